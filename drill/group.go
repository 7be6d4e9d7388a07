package drill

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// item is what a tour visits: one hit, or the hits of a slot from end to end.
type item struct {
	tool     tooling.Tool
	hole     int32
	kind     HitKind // of the last hit
	slot     bool
	slow     bool
	from, to orb.Point // on the writing grid; the ends of a slot, else alike
	size     tooling.Size
	position float64 // mm, of the hole; 0: not stated
	after    float64 // mm, diameter of a close neighbour that comes first; 0: none
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
		it := item{tool: tools[i], hole: int32(i), kind: Finish, from: snapMicro(h.At), to: snapMicro(h.To), size: h.Size, position: h.Position}
		it.slot = it.from != it.to
		it.slow = it.slot && h.Length() < tools[i].Diameter
		items = append(items, it)
	}
	slices.SortFunc(items, compareItems)
	level, after := levels(items, in.Rules.ClosePair)
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
		it.after = after[k]
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
