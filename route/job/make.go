package job

import (
	"context"
	"fmt"
	"slices"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Options steer [Make]. The zero value is the default.
type Options struct {
	Drill drill.Options
	Route route.Options
}

// Plan is a job planned and mounted.
type Plan struct {
	Job    Job          // with the perforations among its holes
	Layout route.Layout // zero when nothing is routed
	Stack  stack.Result
	Drill  []drill.Pass // mounted, in the order they run
	Rout   []route.Pass // mounted
	Report tooling.Report
}

// Make plans a job: boards laid and tabs fixed, holes and paths grouped and
// ordered, the stack height chosen, every pass mounted in its set-up. The
// errors are those of [route.Lay], [drill.Plan], [route.Plan] and
// [stack.Solve]; a cancelled context returns its error.
func Make(ctx context.Context, j Job, o Options) (Plan, error) {
	p := Plan{Job: j, Report: j.Report}
	var err error
	if len(j.Route.Boards) > 0 || len(j.Drill.Routed()) > 0 {
		if p.Layout, err = route.Lay(j.Route); err != nil {
			return Plan{}, err
		}
		p.Report = append(p.Report, p.Layout.Report...)
		entries, err := p.Layout.Entries(ctx, o.Route)
		if err != nil {
			return Plan{}, err
		}
		p.Job.Drill.Holes = slices.Concat(j.Drill.Holes, p.Layout.Perforations(), entries)
		if p.Rout, err = route.Plan(ctx, p.Layout, o.Route); err != nil {
			return Plan{}, err
		}
	}
	found, err := drill.Inspect(p.Job.Drill)
	if err != nil {
		return Plan{}, err
	}
	p.Report = append(p.Report, found...)
	if p.Drill, err = drill.Plan(ctx, p.Job.Drill, o.Drill); err != nil {
		return Plan{}, err
	}
	return p.For(ctx, j.Lot)
}

// For returns the same plan for another lot: the orders stay, since they do
// not depend on the height; stack heights are chosen and every pass is mounted
// anew. Errors are those of [stack.Solve],
// and a [*tooling.InputError] for tiers and spares, which passes are not mounted
// for. Cost is that of the stack planner.
func (p Plan) For(ctx context.Context, lot int) (Plan, error) {
	if err := mountable(p.Job.Stack); err != nil {
		return Plan{}, err
	}
	p.Job.Lot = lot
	in := p.Job.Drill
	problem := stack.Problem{Lot: lot, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine}
	stages := p.stages()
	for _, stage := range stages {
		problem.SetUps = append(problem.SetUps, p.work(stage))
	}
	var err error
	if p.Stack, err = stack.Solve(ctx, problem, p.Job.Stack); err != nil {
		return Plan{}, err
	}
	p.Drill, p.Rout = slices.Clone(p.Drill), slices.Clone(p.Rout)
	return p, p.mount(stages)
}

// mountable refuses what the stack planner can plan and no pass can be mounted
// for: tiers, which cut a pass in two, and spares, whose bits change where the
// control counts and not where the program says.
func mountable(o stack.Options) error {
	refuse := func(path, found, expected string) error {
		return &tooling.InputError{Source: tooling.Source{Path: path}, Err: tooling.ErrValue, Found: found, Expected: expected}
	}
	switch {
	case o.Tiers > 1:
		return refuse("stack.tiers", fmt.Sprint(o.Tiers), "0 or 1: a pass is mounted whole")
	case o.Mode != "" && o.Mode != stack.Split:
		return refuse("stack.mode", string(o.Mode), "split: every bit has its own place and its own hits")
	}
	return nil
}

// stages lists the stages that have work, in order; each is one set-up.
func (p *Plan) stages() []tooling.Stage {
	var out []tooling.Stage
	for _, stage := range []tooling.Stage{tooling.BeforePlating, tooling.AfterPlating} {
		if len(p.work(stage)) > 0 {
			out = append(out, stage)
		}
	}
	return out
}

// work is what one load of a stage's set-up asks for: drilling, then routing.
func (p *Plan) work(stage tooling.Stage) []stack.Work {
	var out []stack.Work
	for _, d := range p.Drill {
		if d.Stage == stage {
			out = append(out, d.Work()...)
		}
	}
	for _, r := range p.Rout {
		if r.Stage == stage {
			out = append(out, r.Work()...)
		}
	}
	return out
}

// mount puts every pass into the set-up of its stage.
func (p *Plan) mount(stages []tooling.Stage) (err error) {
	m := p.Job.Drill.Machine
	for k, stage := range stages {
		for i, d := range p.Drill {
			if d.Stage == stage {
				if p.Drill[i], err = d.Mount(p.Stack.SetUps[k], m); err != nil {
					return err
				}
			}
		}
		for i, r := range p.Rout {
			if r.Stage == stage {
				if p.Rout[i], err = r.Mount(p.Stack.SetUps[k], m); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
