// Command quote prices a job over quantities: cost and time a panel, the
// stack height chosen at each, the tools bought, and from which quantity
// another height is best.
//
//	go run ./examples/quote [-json] [-quantities 1,5,10,50,240,1000] [-objective cost|time] [-chart FILE] [JOB]
//
// JOB is a job file; without it the greenhouse-sensor sample is priced. A
// chart of both is written as SVG.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/examples/internal/progress"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// sample is the job that is priced when none is named.
const sample = "testdata/panels/greenhouse-sensor/job.json"

func main() {
	var o options
	flag.BoolVar(&o.json, "json", false, "print one JSON object instead of the table")
	quantities := flag.String("quantities", "1,5,10,50,240,1000", "panels in the lot, separated by commas")
	objective := flag.String("objective", "cost", "what the best height has least of: cost or time")
	flag.StringVar(&o.chart, "chart", filepath.Join("panel-out", "quote.svg"), "file for the chart; empty: none")
	flag.Parse()
	name := sample
	if flag.NArg() > 0 {
		name = flag.Arg(0)
	}
	if flag.NArg() > 1 {
		fmt.Fprintf(os.Stderr, "quote: %d job files, expected one\n", flag.NArg())
		os.Exit(1)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	o.objective = stack.Objective(*objective)
	var err error
	if o.lots, err = parse(*quantities); err == nil {
		err = run(ctx, os.Stdout, name, o)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "quote:", err)
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	lots      []int // ascending
	objective stack.Objective
	chart     string // file; "": none
	json      bool
}

// mostPanels is the largest lot that the stack planner takes.
const mostPanels = 10_000_000

// parse reads the quantities, sorted and without repeats. The error is a
// [*tooling.InputError] that names the one that is none.
func parse(list string) ([]int, error) {
	var lots []int
	for k, word := range strings.Split(list, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 || n > mostPanels {
			return nil, &tooling.InputError{
				Source: tooling.Source{Path: fmt.Sprintf("quantities[%d]", k)}, Err: tooling.ErrValue,
				Found: strconv.Quote(word), Expected: fmt.Sprintf("a whole number from 1 to %d", mostPanels),
			}
		}
		lots = append(lots, n)
	}
	slices.Sort(lots)
	return slices.Compact(lots), nil
}

// run orders the job once, with a bound on its travel, and prices every quantity with
// that order: it does not depend on the height.
func run(ctx context.Context, w io.Writer, name string, o options) error {
	j, err := job.Load(os.DirFS(filepath.Dir(name)), filepath.Base(name))
	if err != nil {
		return err
	}
	j.Stack.Objective = o.objective
	if err := j.Stack.Validate(); err != nil {
		return err // before the holes are ordered
	}
	line := progress.New(os.Stderr)
	plan, err := job.Make(ctx, j, job.Options{Drill: drill.Options{Tour: tour.Options{Bound: true}, Progress: line.Pass("ordering", "hits")}})
	line.Done()
	if err != nil {
		return err
	}
	q := quote{Schema: 1, Job: j.Name, Machine: j.Drill.Machine.Name, Calibrated: j.Drill.Machine.Calibrated}
	for _, lot := range o.lots {
		r, err := price(ctx, plan, lot)
		if err != nil {
			return fmt.Errorf("quantity %d: %w", lot, err)
		}
		q.Rows, q.Limits = append(q.Rows, r), r.limits
	}
	if q.Breaks, err = breaks(ctx, plan, q.Rows); err != nil {
		return err
	}
	if o.chart != "" {
		if err := q.chart(o.chart); err != nil {
			return err
		}
	}
	if o.json {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		return enc.Encode(q)
	}
	return q.print(w)
}
