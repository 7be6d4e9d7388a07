package drill

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// run orders one group and expands its slots into hits.
func (in Input) run(ctx context.Context, g group, o Options) (Run, error) {
	got, err := in.visit(ctx, g.items, o)
	if err != nil {
		return Run{}, err
	}
	run := in.ordered(g, got)
	if !o.Repeat {
		return run, nil
	}
	order, boards, err := in.repeated(ctx, g.items, o)
	if err != nil || boards == 0 {
		return run, err
	}
	again := in.ordered(g, visits{order, got.bound})
	again.Boards, again.Repeat = boards, tooling.Snap(again.Travel-run.Travel)
	return again, nil
}

// ordered makes the run of a group's order.
func (in Input) ordered(g group, got visits) Run {
	travel := in.Machine.Travel()
	run := Run{Tool: g.tool, Slow: g.slow, Sizes: in.sizes(g)}
	inside := int64(0) // ns within slots, the same in every order, less what leaving short of the far end may save
	for _, v := range got.order {
		it := g.items[v.item]
		from := len(run.Hits)
		run.Hits = in.appendHits(run.Hits, it, v.flipped)
		for n := from + 1; n < len(run.Hits); n++ {
			inside += int64(travel.Between(run.Hits[n-1].At, run.Hits[n].At))
		}
		if it.slot {
			far := it.to
			if run.Hits[from].At == it.to {
				far = it.from
			}
			inside -= saving(travel, run.Hits[len(run.Hits)-1].At, far)
		}
	}
	for _, it := range g.items {
		if it.position > 0 && it.kind == Finish && (run.Tolerance == 0 || it.position < run.Tolerance) {
			run.Tolerance = it.position
		}
		run.After = max(run.After, it.after)
	}
	run.measure(in)
	if got.bound > 0 {
		run.Bound = max(0, floor9(got.bound+float64(inside)/1e9))
	}
	return run
}

// measure fills in the travel figures of the run's order.
func (r *Run) measure(in Input) {
	travel := in.Machine.Travel()
	at := in.Machine.ChangeAt
	var total, settle int64
	path := 0.0
	leg := func(to orb.Point) {
		d := travel.Between(at, to)
		total += int64(d)
		if d > 0 {
			settle += int64(min(d, travel.Settle()))
		}
		path += Hole{At: at, To: to}.Length()
		at = to
	}
	for _, h := range r.Hits {
		leg(h.At)
	}
	leg(in.Machine.ChangeAt)
	r.Travel, r.Settle = float64(total)/1e9, float64(settle)/1e9
	r.Path = onGrid(path)
	r.Trip = meanTrip(trips(r.Hits, travel, in.Machine.ChangeAt))
}

// saving is the most in ns that a move may gain by starting at the last hit of
// a slot instead of its far end. Moves keep the triangle inequality, settled
// moves less their overlap need not: the bare move bounds it, or the whole one
// where the next item begins at the very place; rounding adds 2 ns.
func saving(travel machine.Travel, last, far orb.Point) int64 {
	return int64(max(travel.Move(last, far), travel.Between(last, far))) + 2
}

// floor9 rounds a bound down to whole nanoseconds, so that it stays a bound.
func floor9(s float64) float64 { return math.Floor(s*1e9) / 1e9 }

// appendHits adds the hits of an item: one, or those of a slot from the end
// at which it is entered.
func (in Input) appendHits(dst []Hit, it item, flipped bool) []Hit {
	if !it.slot {
		return append(dst, Hit{At: it.from, Hole: it.hole, Kind: it.kind})
	}
	a, b := it.from, it.to
	if flipped {
		a, b = b, a
	}
	points := Nibble(a, b, it.tool.Diameter, in.Rules.Bump)
	for k, p := range points {
		kind := Nibbled
		if k == len(points)-1 {
			kind = Finish
		}
		dst = append(dst, Hit{At: p, Hole: it.hole, Kind: kind})
	}
	return dst
}

func snapMicro(p orb.Point) orb.Point { return orb.Point{onGrid(p[0]), onGrid(p[1])} }

// sizes counts the holes of each size that a group finishes.
func (in Input) sizes(g group) []SizeUse {
	var out []SizeUse
	for _, it := range g.items {
		if it.kind != Finish {
			continue
		}
		k := slices.IndexFunc(out, func(u SizeUse) bool { return u.Size == it.size })
		if k < 0 {
			out = append(out, SizeUse{Size: it.size, Finished: in.Rules.Allowance.Result(it.size, g.tool.Diameter)})
			k = len(out) - 1
		}
		out[k].Holes++
	}
	slices.SortFunc(out, func(a, b SizeUse) int { return compareSizes(a.Size, b.Size) })
	return out
}
