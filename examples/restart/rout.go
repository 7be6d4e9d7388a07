package main

import (
	"context"
	"fmt"
	"os"
	"slices"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// rout makes the rest of a rout pass and puts it into the plan.
func (r *result) rout(ctx context.Context, plan *job.Plan, before machine.Machine, o options) error {
	var p route.Pass
	var err error
	if k := slices.IndexFunc(plan.Rout, func(d route.Pass) bool { return d.Name == o.stop.pass }); o.from != "" {
		var src []byte
		if src, err = os.ReadFile(o.from); err == nil {
			p, err = route.DecodePass(src, o.from)
		}
		if err == nil && p.Name != o.stop.pass {
			err = fmt.Errorf("%s: found pass %s, expected %s as -pass says", o.from, p.Name, o.stop.pass)
		}
	} else if k < 0 {
		err = fmt.Errorf("the job has no rout pass %q, which -path is for; expected one of %s, or -hit for a drill pass", o.stop.pass, names(plan.Rout, func(r route.Pass) string { return r.Name }))
	} else {
		p = plan.Rout[k]
	}
	if err != nil {
		return err
	}
	s := o.stop
	at := route.Stop{Run: s.run, Path: s.hit, Last: s.last, Spindles: s.spindles, Together: s.together, Fresh: s.fresh, Fragments: s.pieces, Scrapped: s.scrapped}
	rest, err := route.Resume(ctx, plan.Layout, p, at, route.Options{})
	if err != nil {
		return err
	}
	e, err := rest.Estimate(plan.Job.Drill.Machine)
	if err != nil {
		return err
	}
	r.RepeatedPaths, r.Parked = len(rest.Rest.Again), rest.Rest.Parked
	for _, l := range rest.Rest.LeftOut {
		r.LeftOut = append(r.LeftOut, leftOut{l.Path.Line.Start, l.Why})
	}
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
	r.Spindles, r.Loads, r.stacks = rest.SetUp.Spindles, rest.SetUp.Loads, rest.Rest.Stacks
	plan.Drill, plan.Rout, plan.Stack = nil, []route.Pass{rest}, alone(rest.SetUp)
	return nil
}
