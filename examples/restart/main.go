// Command restart makes the rest of a pass after a stop, as after a broken bit
// or a power cut: it plans the job as examples/panel does, leaves out what is
// known good, and writes the program of the rest with a sheet for the operator, as
// text and as a page with the picture of what is left.
//
//	go run ./examples/restart [-json] [-out DIR] -pass plated -run 1 -hit 20 [JOB]
//	go run ./examples/restart -pass rout -run 1 -path 3 -spindles 2 [JOB]
//
// The keys of -json are described in testdata/panels/README.md.
//
// Hits (paths, in a rout pass) count from 1 in the order of the run. -hit and
// -path name the last one known good, -last the last one the machine made: those
// between are in doubt and are made again, by the spindles of -spindles with the
// others parked, or with -together by all. -fragments names those in doubt, after
// -hit and up to -last, that hold a piece of the tool: they are left out. A piece
// in a hole known good is not this program's to plan: clear it, or give the place
// up with -scrapped, which names areas of the panel.
// -machine makes the rest on another machine, -from goes on from a saved pass.
// Nothing is written unless every check of the program has passed.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"

	"example.org/pinstack/examples/internal/progress"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/machine"
)

// sample is the job that is carried on when none is named.
const sample = "testdata/panels/greenhouse-sensor/job.json"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	err := run(ctx, os.Stdout, os.Args[1:])
	if err != nil && !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(os.Stderr, "restart:", err)
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	job, out, machine, from string
	json                    bool
	stop                    stop
}

func run(ctx context.Context, w io.Writer, arguments []string) error {
	o, err := parse(arguments)
	if err != nil {
		return err
	}
	plan, err := planned(ctx, o.job)
	if err != nil {
		return err
	}
	return carryOn(ctx, w, plan, o)
}

// planned is the job as it was planned before the stop: planning gives the same
// passes each time.
func planned(ctx context.Context, name string) (job.Plan, error) {
	j, err := job.Load(os.DirFS(filepath.Dir(name)), filepath.Base(name))
	if err != nil {
		return job.Plan{}, err
	}
	line := progress.New(os.Stderr)
	made := job.Options{}
	made.Drill.Progress = line.Pass("ordering", "hits")
	made.Route.Progress = line.Pass("ordering", "paths")
	plan, err := job.Make(ctx, j, made)
	line.Done()
	return plan, err
}

// carryOn replaces the passes of a plan by the rest of one, and writes that.
func carryOn(ctx context.Context, w io.Writer, plan job.Plan, o options) error {
	before := plan.Job.Drill.Machine
	m, err := another(before, o.machine)
	if err != nil {
		return err
	}
	plan.Job.Drill.Machine, plan.Layout.Input.Machine = m, m
	r := result{Schema: 1, Job: plan.Job.Name, Pass: o.stop.pass, Run: o.stop.run, Machine: m.Name, LeftOut: []leftOut{}, Later: []check{}}
	if o.stop.isPath {
		err = r.rout(ctx, &plan, before, o)
	} else {
		err = r.drill(ctx, &plan, before, o)
	}
	if err != nil {
		return err
	}
	return r.write(ctx, w, plan, o)
}

// another is the machine that makes the rest: a preset, or the job's own with
// what a JSON file says of it.
func another(own machine.Machine, name string) (machine.Machine, error) {
	if name == "" {
		return own, nil
	}
	if m, ok := machine.Preset(name); ok {
		return m, nil
	}
	src, err := os.ReadFile(name)
	if err != nil {
		return own, fmt.Errorf("-machine %q is no preset and no file: %w", name, err)
	}
	return machine.Decode(src, name, own)
}
