// Command panel does the main job: it reads a job file with its drill files
// and outlines, plans the lot, checks every program, writes the programs and
// the job sheet, and prints what an operator wants to know first.
//
//	go run ./examples/panel [-json] [-sheet] [-bound] [-stats] [-kicks N] [-out DIR] [JOB]
//
// JOB is a job file; without it the greenhouse-sensor sample is planned.
// -json prints the job sheet as one JSON object, -sheet as text. -bound proves
// how little travel any order could need and shows the gap; -stats prints to
// standard error what planning took; -kicks is the effort of the search for a
// short order, per hit.
//
// How the programs are written (units, zeros, slots, repeats, datum and face of a
// set-up and more) is the job file's to say: key "writing" of
// testdata/panels/README.md.
//
// Programs are written to DIR only when every check has passed. The check knows
// the program, not the machine: compare the magazine with the sheet, make a dry
// run, then one stack, before the lot.
package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/examples/internal/progress"
	"example.org/pinstack/examples/internal/report"
	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// sample is the job that is planned when none is named.
const sample = "testdata/panels/greenhouse-sensor/job.json"

func main() {
	asJSON := flag.Bool("json", false, "print the job sheet as one JSON object")
	whole := flag.Bool("sheet", false, "print the whole job sheet as text")
	bound := flag.Bool("bound", false, "prove a lower bound of each run's travel")
	stats := flag.Bool("stats", false, "print to standard error what planning took, stage by stage")
	kicks := flag.Float64("kicks", 0, "effort of the search per hit; 0: the default, negative: the first order only")
	out := flag.String("out", "panel-out", "directory for programs and sheet.html")
	flag.Parse()
	name := sample
	if flag.NArg() > 0 {
		name = flag.Arg(0)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout, name, options{dir: *out, json: *asJSON, whole: *whole, bound: *bound, stats: *stats, kicks: *kicks}); err != nil {
		fmt.Fprintln(os.Stderr, "panel:", err)
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	dir                       string
	json, whole, bound, stats bool
	kicks                     float64
}

func run(ctx context.Context, w io.Writer, name string, o options) error {
	line := progress.New(os.Stderr)
	defer line.Done()
	line.Say("reading %s", name)
	j, err := job.Load(os.DirFS(filepath.Dir(name)), filepath.Base(name))
	if err != nil {
		return err
	}
	var took tooling.Statistics
	plan, err := job.Make(ctx, j, job.Options{
		Drill: drill.Options{Tour: tour.Options{Bound: o.bound, Kicks: o.kicks}, Progress: line.Pass("ordering", "hits")},
		Route: route.Options{Progress: line.Pass("ordering", "paths")}, Stats: &took,
	})
	if err != nil {
		return err
	}
	programs, checks, err := plan.Write(ctx, o.dir, job.WriteOptions{Program: j.Writing, Progress: line.Pass("checking", "programs"), Stats: &took})
	if err != nil {
		return err
	}
	s, err := report.Sheet(plan, programs, checks)
	if err != nil {
		return err
	}
	line.Say("drawing the sheet")
	var page bytes.Buffer
	if err := s.WriteHTML(&page, report.Scene(plan)); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(o.dir, "sheet.html"), page.Bytes(), 0o644); err != nil {
		return err
	}
	line.Done()
	if o.stats {
		if _, err := took.WriteTo(os.Stderr); err != nil {
			return err
		}
	}
	switch {
	case o.json:
		return s.WriteJSON(w)
	case o.whole:
		return s.WriteText(w)
	}
	return s.WriteSummary(w, o.dir, written(programs))
}

// written lists the files of a job for the summary.
func written(programs []job.Program) []sheet.Written {
	var list []sheet.Written
	for _, p := range programs {
		list = append(list, sheet.Written{Name: p.File, What: fmt.Sprintf("set-up %d, pass %s", p.SetUp, p.Pass)})
	}
	return append(list, sheet.Written{Name: "sheet.html", What: "open it in a browser; print it for the drill room"})
}
