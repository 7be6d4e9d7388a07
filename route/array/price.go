package array

import (
	"context"
	"math"
	"slices"
	"time"

	"example.org/pinstack/tooling/stack"
)

// pricer prices arrays by the stack planner and knows what they cost at least.
type pricer struct {
	p     Problem
	floor []floors // by variant
	known map[key]priced
}

// key is all that the price of set-ups depends on.
type key struct{ variant, boards, panels int }

type priced struct {
	cost    stack.Cost
	heights []int
	err     error
}

// floors is what a variant's set-ups cost at least.
type floors struct {
	setUps []least
	err    error // one board alone cannot be made
}

// least is what one set-up asks at least: time of one board's strokes, cuts and
// travel at height 1 in hours, and the highest stack.
type least struct {
	hours  float64
	height int
}

func newPricer(ctx context.Context, p Problem) (*pricer, error) {
	q := &pricer{p: p, known: map[key]priced{}}
	bare := &pricer{p: p} // the panel's own holes are made once, however many boards it has
	bare.p.Own = nil
	for v := range p.Variants {
		f := floors{}
		all, err := q.solve(ctx, v, 1, p.made())
		if err == nil {
			var one stack.Result
			if slices.ContainsFunc(p.Variants[v].SetUps, func(w []stack.Work) bool { return len(w) > 0 }) {
				one, err = bare.solve(ctx, v, 1, 1)
			}
			if err == nil {
				f.setUps = q.least(v, one.SetUps, all.Curve)
			}
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		f.err = err
		q.floor = append(q.floor, f)
	}
	return q, nil
}

// least lists what each set-up asks at least, from those of one board alone,
// without the panel's own holes: a set-up of these only has no time that grows
// with the boards.
func (q *pricer) least(variant int, one []stack.SetUp, curve []stack.Point) (out []least) {
	own, board := q.p.Own, q.p.Variants[variant].SetUps
	for k := range max(len(own), len(board)) {
		var l least
		works := k < len(board) && len(board[k]) > 0
		if works {
			t := one[0].Times
			one = one[1:]
			l.hours = (t.Travel + t.Stroke + t.Rout).Hours()
		}
		if works || k < len(own) && len(own[k]) > 0 {
			l.height = highest(curve, len(out)+1)
			out = append(out, l)
		}
	}
	return out
}

// highest is the highest stack of a set-up that one board allows: more work
// never allows more.
func highest(curve []stack.Point, setUp int) int {
	h := 1
	for _, c := range curve {
		if c.SetUp == setUp {
			h = max(h, c.Height)
		}
	}
	return h
}

// bound is less than any array of so many boards and panels can cost, in
// billionths.
func (q *pricer) bound(c Choice) int64 {
	r, m := q.p.Rules.Stack, q.p.Machine
	sum := c.Laminate + c.Scoring
	for _, s := range q.floor[c.Variant].setUps {
		stacks := (c.Panels + s.height - 1) / s.height
		loads := (stacks + m.Spindles - 1) / m.Spindles
		hours := float64(float64(loads) * (float64(float64(c.Boards())*s.hours) + m.Load.Hours()))
		sum += float64(hours*m.Rate) + r.SetUpLabour + float64(float64(stacks)*(r.EntryPrice+r.BackupPrice+r.StackLabour))
	}
	const slack = 1e-6 // above all rounding of times and sums
	return int64(math.Floor((sum - float64(slack*(1+sum))) * 1e9))
}

// price fills in what an array costs.
func (q *pricer) price(ctx context.Context, c *Choice) error {
	k := key{c.Variant, c.Boards(), c.Panels}
	got, ok := q.known[k]
	if !ok {
		r, err := q.solve(ctx, k.variant, k.boards, k.panels)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		got = priced{cost: r.Cost, err: err}
		for _, s := range r.SetUps {
			got.heights = append(got.heights, s.Height)
		}
		q.known[k] = got
	}
	c.Lot, c.Heights = got.cost, slices.Clone(got.heights)
	c.Total = c.Laminate + c.Scoring + got.cost.Total
	c.worth = int64(math.Round(c.Total * 1e9))
	c.PerBoard = c.Total / float64(q.p.Quantity)
	return got.err
}

func (q *pricer) solve(ctx context.Context, variant, boards, panels int) (stack.Result, error) {
	p := stack.Problem{Lot: panels, Panel: q.p.Blank, Rules: q.p.Rules, Machine: q.p.Machine}
	for k := range max(len(q.p.Own), len(q.p.Variants[variant].SetUps)) {
		var works []stack.Work
		if k < len(q.p.Variants[variant].SetUps) {
			for _, w := range q.p.Variants[variant].SetUps[k] {
				works = append(works, times(w, boards))
			}
		}
		if k < len(q.p.Own) {
			works = append(works, q.p.Own[k]...)
		}
		if len(works) > 0 {
			p.SetUps = append(p.SetUps, works)
		}
	}
	return stack.Solve(ctx, p, stack.Options{Height: q.p.StackHeight})
}

// times is the work of n boards.
func times(w stack.Work, n int) stack.Work {
	w.Hits *= n
	w.Cut = float64(w.Cut * float64(n))
	w.Plunges *= n
	w.Travel *= time.Duration(n)
	w.Fixed *= time.Duration(n)
	if w.Pieces != nil {
		w.Pieces = slices.Repeat(w.Pieces, n)
	}
	return w
}
