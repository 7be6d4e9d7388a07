package drill

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Options steer [Plan]. The zero value is the default.
type Options struct {
	Tour       tour.Options                             // effort, seed, bound of every run's order
	Interleave int                                      // subsets a run's holes are dealt into, each its own tour, so that consecutive hits lie apart and dense fields stay cool; 0 and 1: none
	Progress   func(pass string, done, of int, n int64) // called after each run with the hits ordered so far; nil: never
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
		if p.Runs, err = in.order(ctx, p.Name, groups, o); err != nil {
			return nil, err
		}
		passes = append(passes, p)
	}
	return passes, nil
}

// item is what a tour visits: one hit, or the hits of a slot from end to end.
type item struct {
	tool     tooling.Tool
	hole     int32
	kind     HitKind // of the last hit
	slot     bool
	slow     bool
	from, to orb.Point // on the writing grid; the ends of a slot, else alike
	size     tooling.Size
}

// group is the work of one run, before it is ordered.
type group struct {
	level, class int
	tool         tooling.Tool
	slow         bool
	items        []item
}

// Classes of runs in the order in which they are made.
const (
	classPilot = iota
	classRound
	classSlot
	classLarge
)

// groups sorts the holes of a stage into runs.
func (in Input) groups(stage tooling.Stage, tools []tooling.Tool) ([]group, error) {
	var items []item
	for i, h := range in.Holes {
		if h.Stage() != stage || tools[i].Diameter == 0 {
			continue
		}
		it := item{tool: tools[i], hole: int32(i), kind: Finish, from: snapMicro(h.At), to: snapMicro(h.To), size: h.Size}
		it.slot = it.from != it.to
		it.slow = it.slot && h.Length() < tools[i].Diameter
		items = append(items, it)
	}
	slices.SortFunc(items, compareItems)
	level := levels(items, in.Rules.ClosePair)
	var groups []group
	put := func(level, class int, it item) {
		for g := range groups {
			if groups[g].level == level && groups[g].class == class && groups[g].slow == it.slow && groups[g].tool.ID == it.tool.ID {
				groups[g].items = append(groups[g].items, it)
				return
			}
		}
		groups = append(groups, group{level, class, it.tool, it.slow, []item{it}})
	}
	for k, it := range items {
		class := classRound
		switch {
		case it.slot:
			class = classSlot
		case in.Rules.PilotFrom > 0 && it.tool.Diameter >= in.Rules.PilotFrom:
			class = classLarge
		}
		put(level[k], class, it)
		pilots, err := in.pilots(it)
		if err != nil {
			return nil, err
		}
		for _, p := range pilots {
			put(0, classPilot, p)
		}
	}
	slices.SortStableFunc(groups, func(a, b group) int {
		slow := func(g group) int {
			if g.slow {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(a.level, b.level), cmp.Compare(a.class, b.class), cmp.Compare(a.tool.Diameter, b.tool.Diameter), cmp.Compare(slow(a), slow(b)), cmp.Compare(a.tool.ID, b.tool.ID))
	})
	return groups, nil
}

func compareItems(a, b item) int {
	return cmp.Or(
		cmp.Compare(a.from[0], b.from[0]), cmp.Compare(a.from[1], b.from[1]),
		cmp.Compare(a.to[0], b.to[0]), cmp.Compare(a.to[1], b.to[1]), cmp.Compare(a.hole, b.hole),
	)
}

// pilots returns the pilot hits that must be made before an item.
func (in Input) pilots(it item) ([]item, error) {
	h := in.Holes[it.hole]
	var want float64
	var at []orb.Point
	switch {
	case it.slot && it.slow:
		want = shortSlotPilot(h, it.tool.Diameter)
	case !it.slot && in.Rules.PilotFrom > 0 && it.tool.Diameter >= in.Rules.PilotFrom:
		want = in.Rules.Pilot
		at = []orb.Point{it.from}
	default:
		return nil, nil
	}
	t, ok := in.pilotBit(want)
	if !ok {
		return nil, in.fault(int(it.hole), tooling.ErrNoTool, "no bit for its pilot", fmt.Sprintf("a bit of at most %.3f mm", want))
	}
	if it.slot {
		p := slotPilots(h, it.tool.Diameter, t.Diameter)
		at = p[:]
	}
	out := make([]item, len(at))
	for k, p := range at {
		out[k] = item{tool: t, hole: it.hole, kind: Pilot, from: p, to: p}
	}
	return out, nil
}

// pilotBit is the largest bit of the crib up to a diameter.
func (in Input) pilotBit(want float64) (best tooling.Tool, ok bool) {
	for _, t := range in.Crib.Tools {
		if t.Kind == tooling.Bit && t.Diameter <= want && t.Diameter > best.Diameter {
			best, ok = t, true
		}
	}
	return best, ok
}

// order solves the tour of every group.
func (in Input) order(ctx context.Context, name string, groups []group, o Options) ([]Run, error) {
	runs := make([]Run, len(groups))
	var hits int64
	for i, g := range groups {
		run, err := in.run(ctx, g, o)
		if err != nil {
			return nil, err
		}
		run.Number = i + 1
		runs[i] = run
		hits += int64(len(run.Hits))
		if o.Progress != nil {
			o.Progress(name, i+1, len(groups), hits)
		}
	}
	return runs, nil
}

// run orders one group and expands its slots into hits.
func (in Input) run(ctx context.Context, g group, o Options) (Run, error) {
	travel := in.Machine.Travel()
	got, err := in.visit(ctx, g.items, o)
	if err != nil {
		return Run{}, err
	}
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
	run.measure(in)
	if got.bound > 0 {
		run.Bound = max(0, floor9(got.bound+float64(inside)/1e9))
	}
	return run, nil
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
