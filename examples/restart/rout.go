package main

import (
	"context"
	"fmt"
	"slices"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// routPass is the pass that came to a halt: the saved one, else that of the plan.
func routPass(passes []route.Pass, o options) (route.Pass, error) {
	name := func(p route.Pass) string { return p.Name }
	if o.from != "" {
		return saved(o, route.DecodePass, name)
	}
	if k := slices.IndexFunc(passes, func(p route.Pass) bool { return p.Name == o.stop.pass }); k >= 0 {
		return passes[k], nil
	}
	return route.Pass{}, fmt.Errorf("the job has no rout pass %q, which -path is for; expected one of %s, or -hit for a drill pass", o.stop.pass, names(passes, name))
}

// rout makes the rest of a rout pass and puts it into the plan.
func (r *result) rout(ctx context.Context, plan *job.Plan, before machine.Machine, o options) error {
	s := o.stop
	p, err := routPass(plan.Rout, o)
	if err != nil {
		return err
	}
	at := route.Stop{Run: s.run, Path: s.good, Last: s.last, Spindles: s.spindles, Together: s.together, Fresh: s.fresh, Fragments: s.fragments, Scrapped: s.scrapped}
	rest, err := route.Resume(ctx, plan.Layout, p, at, route.Options{})
	if err != nil {
		return err
	}
	e, err := rest.Estimate(plan.Job.Drill.Machine)
	if err != nil {
		return err
	}
	r.RepeatedPaths, r.Parked = len(rest.Rest.Again), rest.Rest.Parked
	r.Rest, r.after = len(rest.Rest.Earlier)+1, fmt.Sprintf("path %d of run %d", s.good, s.run)
	for _, l := range rest.Rest.LeftOut {
		r.LeftOut = append(r.LeftOut, leftOut{l.Path.Line.Start, l.Why})
	}
	r.comesTo(plan.RoutFragments(rest))
	for _, run := range rest.Runs {
		r.RemainingPaths += len(run.Paths)
		for _, c := range run.Cutters {
			r.Tools = append(r.Tools, tool{Place: c.Place, Kind: string(run.Tool.Kind), Diameter: run.Tool.Diameter, Cut: c.Cut, Worn: c.Worn, Life: run.Life})
		}
	}
	for _, path := range rest.Rest.Again {
		r.again = append(r.again, path.Line.Start)
	}
	made := rest.Rest.Stop.Last
	for _, run := range p.Runs {
		if run.Number < s.run {
			made += len(run.Paths)
		}
	}
	r.Seconds = tooling.Snap(e.Total().Seconds() * float64(rest.SetUp.Loads))
	r.Uninterrupted = after(before, p.Steps(before), machine.Retract, made)
	var runs []int
	for _, run := range p.Runs {
		runs = append(runs, run.Number)
	}
	r.warn(p.SetUp, rest.SetUp, s, runs)
	r.Spindles, r.Loads, r.stacks = rest.SetUp.Spindles, rest.SetUp.Loads, rest.Rest.Stacks
	plan.Drill, plan.Rout, plan.Stack = nil, []route.Pass{rest}, alone(rest.SetUp)
	return nil
}
