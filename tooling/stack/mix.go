package stack

import (
	"cmp"
	"slices"
)

// maxMixes bounds the mixes of speeds that are kept for one tier in one
// layout, and maxMixed those looked at in one search over the edges: more
// would make the search take minutes.
const (
	maxMixes = 500
	maxMixed = 4_000_000
)

// mix is a choice of speed for every item of a span, where they cannot be
// chosen one by one because a due time, a shared stock or the magazine binds
// them together, and what they add up to.
type mix struct {
	cell
	spent []int64 // of the shared tools
	ns    int64   // of the lot, without loading
	item  int     // the last one added
	speed int
	prev  *mix
}

// speeds spells out the speed of each item of a bench of n.
func (m *mix) speeds(n int) []int {
	out := make([]int, n)
	for ; m != nil && m.prev != nil; m = m.prev {
		out[m.item] = m.speed
	}
	return out
}

// chosen is an item's part in a span: by the mix of speeds, or the speed that
// serves the objective best.
func (s *shop) chosen(p span, i int) part {
	it, l := s.benches[p.bench].items[i], s.layouts[p.layout]
	if p.mix != nil {
		return s.at(it, l, p.mix.speeds(len(s.benches[p.bench].items))[i])
	}
	return s.part(it, l)
}

// mixes, where there are several speeds, lists a span with the speeds that may be part of the best plan. By
// price alone they are chosen item by item, and so they are where that mix
// keeps to the magazine and no due time, stock or front asks for others.
func (s *shop) mixes(p span) []span {
	if c, ok := s.cell(p); !s.options.coupled() && (ok || c.refused > 0) {
		return []span{p}
	}
	return s.mixed(p)
}

// mixed adds item after item, and keeps the mixes that no other beats in all
// of tool cost, time, places and shared tools. Where these are more than
// maxMixes, those on the convex hull of tool cost against time stay.
func (s *shop) mixed(p span) []span {
	b, l := &s.benches[p.bench], s.layouts[p.layout]
	front := []*mix{{spent: make([]int64, len(s.shared))}}
	hull := false
	for _, i := range b.works(p) {
		var next []*mix
		for v := range b.items[i].levels {
			one := s.at(b.items[i], l, v)
			if one.rule != "" {
				continue
			}
			for _, m := range front {
				*s.tried++
				if !within(m.cell, one.cell, l) || m.places+one.places > s.problem.Machine.Places {
					continue
				}
				n := &mix{cell: m.plus(one.cell), spent: m.spent, item: i, speed: v, prev: m}
				n.ns = n.load*int64(l.loads) + n.carried
				if k := s.sharedIndex(b.items[i].work.Tool.ID); k >= 0 {
					n.spent = slices.Clone(m.spent)
					n.spent[k] += one.use.bought
				}
				next = append(next, n)
			}
		}
		if front = paretoOf(next); len(front) > maxMixes || *s.tried > maxMixed {
			front, hull = hullOf(front), true
		}
	}
	if hull {
		*s.thinned = true
	}
	out := make([]span, len(front))
	for k, m := range front {
		out[k] = p
		out[k].mix = m
	}
	return out
}

// paretoOf keeps the mixes that no other beats, cheapest tools first.
func paretoOf(all []*mix) []*mix {
	slices.SortStableFunc(all, func(a, b *mix) int {
		return cmp.Or(cmp.Compare(a.tools, b.tools), cmp.Compare(a.ns, b.ns), cmp.Compare(a.places, b.places), slices.Compare(a.spent, b.spent))
	})
	var out []*mix
next:
	for _, m := range all {
		for _, k := range slices.Backward(out) { // a like one is most likely near
			if k.beats(m) {
				continue next
			}
		}
		out = append(out, m)
	}
	return out
}

// beats tells whether m, whose tools cost no more, makes o superfluous.
func (m *mix) beats(o *mix) bool {
	if m.ns > o.ns || m.places > o.places {
		return false
	}
	for k := range m.spent {
		if m.spent[k] > o.spent[k] {
			return false
		}
	}
	return true
}

// hullOf keeps of a front the mixes that are best at some price of time: the
// lower convex hull of tool cost over time, cheapest tools first; and one that
// takes the fewest places.
func hullOf(front []*mix) []*mix {
	var out []*mix
	fewest := front[0]
	for _, m := range front {
		if m.places < fewest.places {
			fewest = m
		}

		if n := len(out); n > 0 && m.ns >= out[n-1].ns {
			continue
		}
		for len(out) >= 2 {
			a, b := out[len(out)-2], out[len(out)-1]
			if float64(b.tools-a.tools)*float64(a.ns-m.ns) < float64(m.tools-a.tools)*float64(a.ns-b.ns) {
				break
			}
			out = out[:len(out)-1]
		}
		out = append(out, m)
	}
	if !slices.Contains(out, fewest) {
		out = append(out, fewest)
	}
	return out
}
