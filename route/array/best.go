package array

import (
	"context"
	"slices"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// Layout is the best array of a board, laid out.
type Layout struct {
	Prepared Prepared
	Result   Result
	Panel    tooling.Panel // with boards, score lines, pins and holes
	Laid     route.Layout  // with tabs
}

// Best prepares the board, finds the cheapest array whose panel can be laid and
// routed, and lays it out. Errors are those of [Prepare] and [Solve].
func Best(ctx context.Context, in Input) (Layout, error) {
	p, err := Prepare(ctx, in)
	out := Layout{Prepared: p}
	if err != nil {
		return out, err
	}
	out.Result, err = Solve(ctx, p.Problem, func(c Choice) (err error) {
		out.Laid, err = p.Try(ctx, c)
		return err
	})
	if fit, ok := err.(*FitError); ok {
		fit.Source = in.Board.Source
	}
	if err != nil {
		return out, err
	}
	out.Result.Refused = slices.Concat(p.Refused, out.Result.Refused)
	out.Panel = out.Laid.Input.Panel
	return out, nil
}
