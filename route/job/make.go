package job

import (
	"cmp"
	"context"
	"fmt"
	"log/slog"
	"slices"
	"time"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Options steer [Make]. The zero value is the default.
type Options struct {
	Drill drill.Options
	Route route.Options       // where it is silent on paths, the job's own Rout counts
	Log   *slog.Logger        // told of every stage: of Drill and Route where they have none of their own, and of the job; nil: silent
	Stats *tooling.Statistics // gets what planning took, likewise; nil: nowhere
}

// watched are the options with log and statistics handed down.
func (o Options) watched() Options {
	if o.Drill.Log == nil {
		o.Drill.Log = o.Log
	}
	if o.Drill.Stats == nil {
		o.Drill.Stats = o.Stats
	}
	if o.Route.Log == nil {
		o.Route.Log = o.Log
	}
	if o.Route.Stats == nil {
		o.Route.Stats = o.Stats
	}
	return o
}

// planned are the rout options, with what the job asks where the caller says
// nothing.
func (o Options) planned(asked RoutFile) route.Options {
	r := o.Route
	r.Rough, r.CleanUp = cmp.Or(r.Rough, asked.Rough), cmp.Or(r.CleanUp, asked.CleanUp)
	r.ClearBelow, r.EnterBelow = cmp.Or(r.ClearBelow, asked.ClearBelow), cmp.Or(r.EnterBelow, asked.EnterBelow)
	r.Margin = cmp.Or(r.Margin, asked.Margin)
	return r
}

// Plan is a job planned and mounted.
type Plan struct {
	Job    Job          // with the perforations among its holes
	Layout route.Layout // zero when nothing is routed
	Stack  stack.Result
	Drill  []drill.Pass // mounted, in the order they run; a pass in tiers once for each
	Rout   []route.Pass // mounted
	Report tooling.Report

	Ordered []drill.Pass // the drill passes before they were mounted: whole, and the same for every lot
}

// Make plans a job: boards laid and tabs fixed, holes and paths grouped and
// ordered, the stack height chosen, every pass mounted in its set-up. The
// errors are those of [route.Lay], [drill.Plan], [route.Plan] and
// [stack.Solve]; a cancelled context returns its error.
func Make(ctx context.Context, j Job, o Options) (Plan, error) {
	o = o.watched()
	o.Route = o.planned(j.Rout)
	p := Plan{Job: j, Report: j.Report}
	var err error
	began := time.Now()
	if len(j.Route.Boards) > 0 || len(j.Drill.Routed()) > 0 {
		if p.Layout, err = route.Lay(j.Route); err != nil {
			return Plan{}, err
		}
		tooling.Spent{Stage: "lay", Time: time.Since(began), Items: len(p.Job.Route.Panel.Boards)}.Tell(ctx, o.Log, o.Stats)
		p.Report = append(p.Report, p.Layout.Report...)
		entries, err := p.Layout.Entries(ctx, o.Route)
		if err != nil {
			return Plan{}, err
		}
		p.Job.Drill.Holes = slices.Concat(j.Drill.Holes, p.Layout.Perforations(), entries)
		if p.Rout, err = route.Plan(ctx, p.Layout, o.Route); err != nil {
			return Plan{}, err
		}
		for _, r := range p.Rout {
			p.Report = append(p.Report, r.Report...)
		}
	}
	found, err := drill.Inspect(p.Job.Drill)
	if err != nil {
		return Plan{}, err
	}
	p.Report = append(p.Report, found...)
	if p.Ordered, err = drill.Plan(ctx, p.Job.Drill, o.Drill); err != nil {
		return Plan{}, err
	}
	if o.Drill.Repeat {
		for _, d := range p.Ordered {
			p.Report = append(p.Report, d.Repeats()...)
		}
	}
	if p.Job.Stack.Log == nil {
		p.Job.Stack.Log = o.Log
	}
	if p.Job.Stack.Stats == nil {
		p.Job.Stack.Stats = o.Stats
	}
	for _, f := range j.Frames {
		if detail := f.Frame.String(); detail != "" {
			p.Report.Note("frame", fmt.Sprintf("set-up %d", f.SetUp), detail, 0, 0)
		}
	}
	p, err = p.For(ctx, j.Lot)
	p.Job.Stack = j.Stack // who plans for another lot later is not told by this caller's log
	return p, err
}

// For returns the same plan for another lot: the orders stay, since they do
// not depend on the height; stack heights are chosen and every pass is mounted
// anew, a drill pass that is cut into tiers once in each of them, and written in
// the frame that the job has for its set-up. Errors are those of [stack.Solve],
// and a [*tooling.InputError] for the frame of a set-up that there is not. Cost is that of the stack planner.
func (p Plan) For(ctx context.Context, lot int) (Plan, error) {
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
	if err := p.mount(stages); err != nil {
		return Plan{}, err
	}
	return p, p.framed()
}

// stages lists the stages that have work, in order; each is one set-up, or
// several tiers.
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
	for _, d := range p.Ordered {
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

// mount puts every pass into the set-up of its stage: a drill pass into all
// tiers of it that have a part, routing into the last.
func (p *Plan) mount(stages []tooling.Stage) error {
	m := p.Job.Drill.Machine
	p.Drill, p.Rout = nil, slices.Clone(p.Rout)
	for _, u := range p.Stack.SetUps {
		loading := p.Job.Magazine.Load()
		for _, d := range p.Ordered {
			if d.Stage != stages[u.From-1] || !u.Has(d.Name) {
				continue
			}
			mounted, err := d.Mount(u, m)
			if err == nil && len(p.Job.Magazine) > 0 {
				mounted, err = mounted.InMagazine(loading)
			}
			if err != nil {
				return err
			}
			p.Drill = append(p.Drill, mounted)
		}
		for i, r := range p.Rout {
			if r.Stage != stages[u.From-1] || !u.Has(r.Name) {
				continue
			}
			var err error
			if p.Rout[i], err = r.Mount(u, m); err == nil && len(p.Job.Magazine) > 0 {
				p.Rout[i], err = p.Rout[i].InMagazine(loading)
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}
