package main

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// An ideal is the length along the loop near which gap i should lie; it may hang on
// the gap before it.
type ideal func(i int, before gap) float64

// A finder finds the gap nearest to a place that lies between lo and hi.
type finder func(near, lo, hi float64) (gap, bool)

// spread finds n places, nil where none are found: at even distances or near them,
// starting from several points of the loop; on straight stretches also at even
// distances along these alone, and at last as close together as they may be.
func (s *spreader) spread(n int, want demand, centroid orb.Point) []gap {
	const bentTurns, straightTurns = 8, 32
	along := func(part float64) float64 { return part * s.total }
	find, ideals := s.straightOrBent(n, want.thick), evenly(n, bentTurns, along)
	if want.straight {
		if len(s.free) == 0 {
			return nil
		}
		find = func(near, lo, hi float64) (gap, bool) { return s.straight(near, lo, hi, want.thick) }
		ideals = slices.Concat(evenly(n, straightTurns, along), evenly(n, straightTurns, s.alongFree), s.closely(straightTurns))
	}
	for _, at := range ideals {
		if out := s.place(n, find, at); out != nil && (!want.centred || outsideHull(centroid, s.feet(out)) <= tipping) {
			return out
		}
	}
	return nil
}

// straightOrBent finds a straight place rather than a bent one in each tab's share of
// the loop.
func (s *spreader) straightOrBent(n int, thick bool) finder {
	share := s.total / float64(2*n)
	return func(near, lo, hi float64) (gap, bool) {
		if g, ok := s.straight(near, max(lo, near-share), min(hi, near+share), thick); ok {
			return g, true
		}
		return s.bent(near, lo, hi, thick)
	}
}

// evenly are ideals at even parts of the way, from several points on; at says the
// length at a part.
func evenly(n, turns int, at func(part float64) float64) []ideal {
	out := make([]ideal, turns)
	for k := range out {
		phase := float64(k)/float64(turns) + 0.5
		out[k] = func(i int, _ gap) float64 { return at((float64(i) + phase) / float64(n)) }
	}
	return out
}

// alongFree is the place at a part of the way along the straight stretches alone,
// past 1 on the next round.
func (s *spreader) alongFree(part float64) float64 {
	var all float64
	for _, f := range s.free {
		all += f.to - f.from
	}
	round := math.Floor(part)
	left := (part - round) * all
	for _, f := range s.free {
		if left <= f.to-f.from {
			return f.from + left + round*s.total
		}
		left -= f.to - f.from
	}
	return s.free[0].from + (round+1)*s.total
}

// closely are ideals each right behind the gap before, from the start of several
// straight stretches on.
func (s *spreader) closely(turns int) []ideal {
	out := make([]ideal, min(turns, len(s.free)))
	for k := range out {
		first := s.free[k*len(s.free)/len(out)].from
		out[k] = func(i int, before gap) float64 {
			if i == 0 {
				return first
			}
			return before.middle() + s.width + leastCut
		}
	}
	return out
}

// place puts n gaps near their ideals, one after the other; nil where that is not
// possible.
func (s *spreader) place(n int, find finder, at ideal) []gap {
	var out []gap
	var before gap
	lo, hi := math.Inf(-1), math.Inf(1)
	for i := range n {
		if i > 0 {
			before = out[i-1]
			lo, hi = before.to+leastCut, out[0].from+s.total-leastCut
		}
		g, ok := find(at(i, before), lo, hi)
		if !ok {
			return nil
		}
		out = append(out, g)
	}
	return out
}

// feet are the places on the edge beside gaps.
func (s *spreader) feet(gaps []gap) []orb.Point {
	out := make([]orb.Point, len(gaps))
	for i, g := range gaps {
		out[i] = s.foot(g)
	}
	return out
}
