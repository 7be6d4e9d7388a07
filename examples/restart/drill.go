package main

import (
	"context"
	"fmt"
	"slices"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// find is the index of the drill pass that came to a halt, -1 for none: of several
// tiers the one asked for, or that makes the run.
func find(passes []drill.Pass, s stop) int {
	first := -1
	for i, p := range passes {
		if p.Name != s.pass || s.tier != 0 && max(p.SetUp.Tier, 1) != s.tier {
			continue
		}
		if slices.ContainsFunc(p.Runs, func(r drill.Run) bool { return r.Number == s.run }) {
			return i
		}
		if first < 0 {
			first = i
		}
	}
	return first
}

// drillPass is the pass that came to a halt: the saved one, else that of the plan.
func drillPass(passes []drill.Pass, o options) (drill.Pass, error) {
	name := func(p drill.Pass) string { return p.Name }
	if o.from != "" {
		return saved(o, drill.DecodePass, name)
	}
	if k := find(passes, o.stop); k >= 0 {
		return passes[k], nil
	}
	err := fmt.Errorf("the job has no drill pass %q, which -hit is for; expected one of %s, or -path for a rout pass", o.stop.pass, names(passes, name))
	if o.stop.tier != 0 {
		err = fmt.Errorf("%w in tier %d", err, o.stop.tier)
	}
	return drill.Pass{}, err
}

// drill makes the rest of a drill pass and puts it into the plan.
func (r *result) drill(ctx context.Context, plan *job.Plan, before machine.Machine, o options) error {
	s := o.stop
	p, err := drillPass(plan.Drill, o)
	if err != nil {
		return err
	}
	at := drill.Stop{Run: s.run, Hit: s.good, Last: s.last, Spindles: s.spindles, Together: s.together, Fresh: s.fresh, Fragments: s.fragments, Scrapped: s.scrapped}
	rest, err := drill.Resume(ctx, plan.Job.Drill, p, at, drill.Options{})
	if err != nil {
		return err
	}
	e, err := rest.Estimate(plan.Job.Drill.Machine)
	if err != nil {
		return err
	}
	r.RemainingHits, r.RepeatedHits, r.Parked = rest.Hits(), len(rest.Rest.Again), rest.Rest.Parked
	r.Rest, r.after = len(rest.Rest.Earlier)+1, fmt.Sprintf("hit %d of run %d", s.good, s.run)
	for _, l := range rest.Rest.LeftOut {
		r.LeftOut = append(r.LeftOut, leftOut{l.At, l.Why})
	}
	r.comesTo(plan.DrillFragments(rest))
	for _, run := range rest.Runs {
		for _, b := range run.Bits {
			r.Tools = append(r.Tools, tool{Place: b.Place, Kind: string(run.Tool.Kind), Diameter: run.Tool.Diameter, Hits: b.Hits, Worn: float64(b.Worn), Life: run.Life})
		}
	}
	for _, h := range rest.Rest.Again {
		r.again = append(r.again, h.At)
	}
	made := rest.Rest.Stop.Last
	for _, run := range p.Runs {
		if run.Number < s.run {
			made += len(run.Hits)
		}
		if run.Number == s.run && run.Limit > 0 {
			r.Counter = fmt.Sprintf("the control counts the hits of run %d and takes a spare after %d; in this program every bit of the run is called by its own T, since that count knows neither of hits made again nor of new bits: set it right before the next load", run.Number, run.Limit)
		}
	}
	r.Seconds = tooling.Snap(e.Total().Seconds() * float64(rest.SetUp.Loads))
	r.Uninterrupted = after(before, p.Steps(before), machine.Stroke, made)
	var runs []int
	for _, run := range p.Runs {
		runs = append(runs, run.Number)
	}
	r.warn(p.SetUp, rest.SetUp, s, runs)
	r.Spindles, r.Loads, r.stacks = rest.SetUp.Spindles, rest.SetUp.Loads, rest.Rest.Stacks
	plan.Drill, plan.Rout, plan.Stack = []drill.Pass{rest}, nil, alone(rest.SetUp)
	return nil
}
