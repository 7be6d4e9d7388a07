package array

import (
	"context"
	"errors"
	"fmt"
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
// routed, and lays it out. A way of parting whose arrays are refused time and again is
// given up, and gaps that leave a strip standing are tried where waste came loose.
// Errors are those of [Prepare] and [Solve].
func Best(ctx context.Context, in Input) (Layout, error) {
	p, err := Prepare(ctx, in)
	out := Layout{Prepared: p}
	if err != nil {
		return out, err
	}
	t := trials{p: &p, laid: map[string]trial{}}
	for {
		t.refused, t.loose = make([]int, len(p.Problem.Variants)), make([]bool, len(p.Problem.Variants))
		out.Result, err = Solve(ctx, p.Problem, func(c Choice) error { return t.try(ctx, c) })
		if ctx.Err() != nil || !t.widen(ctx) {
			break
		}
	}
	out.Prepared = p
	if fit := (*FitError)(nil); errors.As(err, &fit) {
		fit.Source = in.Board.Source
		fit.Refused = slices.Concat(t.told(fit.Refused), p.Refused)
	}
	if err != nil {
		return out, err
	}
	out.Laid = t.laid[out.Result.Choice.String()].layout
	out.Result.Refused = slices.Concat(p.Refused, t.told(out.Result.Refused))
	out.Panel = out.Laid.Input.Panel
	return out, nil
}

// Bounds of the trials of one way of parting, after which it is given up.
const (
	mostLoose   = 3  // arrays in which waste comes loose: others of it will hardly do better
	mostRefused = 12 // arrays refused for any reason
)

// trials are the arrays that were laid out, by their names.
type trials struct {
	p       *Prepared
	laid    map[string]trial
	refused []int  // by variant
	loose   []bool // by variant: waste came loose
}

type trial struct {
	layout route.Layout
	err    error
}

// errGivenUp refuses further arrays of a way of parting.
var errGivenUp = errors.New("array: this way of parting was refused too often")

// try lays an array out, unless its way of parting was given up.
func (t *trials) try(ctx context.Context, c Choice) error {
	v := c.Variant
	if t.givenUp(v) {
		return errGivenUp
	}
	name := c.String()
	r, known := t.laid[name]
	if !known {
		if r.layout, r.err = t.p.Try(ctx, c); r.err != nil {
			r.layout = route.Layout{}
		}
		t.laid[name] = r
	}
	if r.err != nil {
		t.refused[v]++
		t.loose[v] = t.loose[v] || errors.Is(r.err, errLoose)
	}
	return r.err
}

// givenUp tells whether further arrays of a variant are refused unseen.
func (t *trials) givenUp(variant int) bool {
	n := t.refused[variant]
	return n >= mostRefused || n >= mostLoose && t.loose[variant]
}

// widen adds the ways with wider gaps of those that were given up because waste came
// loose, and tells whether there are any new ones.
func (t *trials) widen(ctx context.Context) (more bool) {
	wide := Way{Gap: t.p.wide()}
	for v, w := range slices.Clone(t.p.Problem.Variants) { // those added below were not tried yet
		if !t.loose[v] || !t.givenUp(v) {
			continue
		}
		for _, to := range [3][2]Way{{wide, w.Rows}, {w.Columns, wide}, {wide, wide}} {
			if t.p.mayBe(t.p.Input.Columns, w.Columns, to[0]) && t.p.mayBe(t.p.Input.Rows, w.Rows, to[1]) && !t.p.has(to) && !t.asked(to) {
				more = t.p.variant(ctx, to[0], to[1]) || more
			}
		}
	}
	return more
}

// mayBe tells whether a way may become another: it is the same, or routed at the
// cutter's gap where the input allows any.
func (p *Prepared) mayBe(allowed []Way, from, to Way) bool {
	return from == to || from == p.gap(Way{}) && slices.Contains(orAny(allowed), Way{})
}

// has tells whether a pair of ways is among the variants.
func (p *Prepared) has(ways [2]Way) bool {
	return slices.ContainsFunc(p.Problem.Variants, func(v Variant) bool { return v.Columns == ways[0] && v.Rows == ways[1] })
}

// asked tells whether a pair of ways was refused before.
func (t *trials) asked(ways [2]Way) bool {
	return slices.ContainsFunc(t.p.Refused, func(r Refusal) bool { return r.What == pair(ways[0], ways[1]) })
}

// told leaves the refusals of what was given up out but for one of each way of parting.
func (t *trials) told(all []Refusal) (out []Refusal) {
	for _, r := range all {
		if !errors.Is(r.Err, errGivenUp) {
			out = append(out, r)
		}
	}
	for v, n := range t.refused {
		if t.givenUp(v) {
			w := t.p.Problem.Variants[v]
			out = append(out, Refusal{What: pair(w.Columns, w.Rows), Reason: fmt.Sprintf("given up: %d arrays were refused", n), Err: errGivenUp})
		}
	}
	return out
}

// pair names two ways of parting.
func pair(columns, rows Way) string { return fmt.Sprintf("columns %v, rows %v", columns, rows) }
