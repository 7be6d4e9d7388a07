package drill

import (
	"context"
	"fmt"
	"log/slog"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
)

// Options steer [Plan]. The zero value is the default.
type Options struct {
	Tour       tour.Options                             // effort, seed, bound of every run's order; no kicks and no time: DefaultKicks
	Interleave int                                      // subsets a run's holes are dealt into, each its own tour, so that consecutive hits lie apart and dense fields stay cool; 0 and 1: none
	Repeat     bool                                     // order one board and repeat that over its copies, so that the writer can write step and repeat; [Run.Repeat] is what it costs
	Progress   func(pass string, done, of int, n int64) // called after each run with the hits ordered so far; nil: never
	Log        *slog.Logger                             // told of every run and pass that is planned; nil: silent
	Stats      *tooling.Statistics                      // gets what planning took; nil: nowhere
}

// Plan groups the holes by bit, splits them into the plated and the unplated
// pass, and orders every run to minimise the machine's travel time from the
// change position and back to it. Passes come before plating first; a stage
// without holes has no pass. Holes to be routed ([Input.Routed]) are left
// out.
//
// Runs stand in this order: pilots of large holes and short slots; round
// holes from small to large; slots from narrow to wide; holes from
// Rules.PilotFrom; then, after all of these, the second holes of close pairs.
//
// The plan does not depend on the order of the holes in the input, and not on
// the stack height. Errors are those of [Input.Validate], a [*HoleError]
// wrapping [tooling.ErrNoTool], or the context's, with no passes.
// Cost is that of the tours.
func Plan(ctx context.Context, in Input, o Options) ([]Pass, error) {
	if err := in.Validate(); err != nil {
		return nil, err
	}
	tools, err := in.tools()
	if err != nil {
		return nil, err
	}
	var passes []Pass
	watch := o.watch("drill")
	for _, stage := range []tooling.Stage{tooling.BeforePlating, tooling.AfterPlating} {
		p := Pass{Schema: Schema, Name: "plated", Stage: stage, Operation: tooling.Drilling}
		if stage == tooling.AfterPlating {
			p.Name = "unplated"
		}
		groups, err := in.groups(stage, tools)
		if err != nil {
			return nil, err
		}
		if len(groups) == 0 {
			continue
		}
		if p.Runs, err = in.order(ctx, p.Name, groups, watch.options(o)); err != nil {
			return nil, err
		}
		passes = append(passes, p)
		watch.sum.Items += p.Hits()
	}
	watch.done(ctx)
	return passes, nil
}

// order solves the tour of every group.
func (in Input) order(ctx context.Context, name string, groups []group, o Options) ([]Run, error) {
	runs := make([]Run, len(groups))
	var hits int64
	for i, g := range groups {
		watch := o.watch(fmt.Sprintf("drill/%s/%d", name, i+1))
		run, err := in.run(ctx, g, watch.options(o))
		if err != nil {
			return nil, err
		}
		run.Number = i + 1
		runs[i] = run
		watch.sum.Items = len(run.Hits)
		watch.done(ctx)
		hits += int64(len(run.Hits))
		if o.Progress != nil {
			o.Progress(name, i+1, len(groups), hits)
		}
	}
	return runs, nil
}
