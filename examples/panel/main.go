// Command panel does the main job: it reads a job file with its drill files
// and outlines, plans the lot, checks every program, writes the programs and
// the job sheet, and prints the sheet.
//
//	go run ./examples/panel [-json] [-bound] [-out DIR] [JOB]
//
// -bound proves how little travel any order could need and shows the gap.
// JOB is a job file; without it the greenhouse-sensor sample is planned.
// Programs are written to DIR only when every check has passed.
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
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/nc"
)

// sample is the job that is planned when none is named.
const sample = "testdata/panels/greenhouse-sensor/job.json"

func main() {
	asJSON := flag.Bool("json", false, "print one JSON object instead of the sheet")
	bound := flag.Bool("bound", false, "prove a lower bound of each run's travel")
	out := flag.String("out", "panel-out", "directory for programs and sheet.html")
	flag.Parse()
	name := sample
	if flag.NArg() > 0 {
		name = flag.Arg(0)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout, name, options{dir: *out, json: *asJSON, bound: *bound}); err != nil {
		fmt.Fprintln(os.Stderr, "panel:", err)
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	dir         string
	json, bound bool
}

func run(ctx context.Context, w io.Writer, name string, o options) error {
	j, err := job.Load(os.DirFS(filepath.Dir(name)), filepath.Base(name))
	if err != nil {
		return err
	}
	line := progress.New(os.Stderr)
	plan, err := job.Make(ctx, j, job.Options{Drill: drill.Options{Tour: tour.Options{Bound: o.bound}, Progress: line.Pass}})
	line.Done()
	if err != nil {
		return err
	}
	programs, checks, err := plan.Write(o.dir, nc.WriteOptions{})
	if err != nil {
		return err
	}
	s, err := report.Sheet(plan, programs, checks)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := s.WriteHTML(&page, report.Scene(plan)); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(o.dir, "sheet.html"), page.Bytes(), 0o644); err != nil {
		return err
	}
	if o.json {
		return s.WriteJSON(w)
	}
	if err := s.WriteText(w); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "\nWritten to %s: %d programs and sheet.html\n", o.dir, len(programs))
	return err
}
