package main

import (
	"math"

	"github.com/paulmach/orb"
)

// A demand says what places will do.
type demand struct{ straight, thick, centred bool }

// demands are tried in turn: a bent place before the centroid is given up, which
// lets the part tip, and a place that holds nothing last.
var demands = [...]demand{
	{straight: true, thick: true, centred: true},
	{thick: true, centred: true},
	{straight: true, thick: true},
	{thick: true},
	{straight: true, centred: true},
	{centred: true},
	{straight: true},
	{},
}

// choose finds n gaps by the first of the demands that can be met.
func (s *spreader) choose(n int, centroid orb.Point) ([]gap, bool) {
	if float64(n)*(s.width+leastCut) > s.total {
		return nil, false
	}
	for _, want := range demands {
		if want.centred && n < 3 {
			want.centred = false
		}
		if out := s.spread(n, want, centroid); out != nil {
			return out, true
		}
	}
	return nil, false
}

// An ideal is the length along the loop near which gap i should lie; it may hang on
// the gap before it.
type ideal func(i int, before gap) float64

// spread finds n places, nil where none are found: at even distances or near them,
// starting from several points of the loop; on straight stretches also at even
// distances along these alone, and at last as close together as they may be.
func (s *spreader) spread(n int, want demand, centroid orb.Point) []gap {
	const bentTurns, straightTurns = 8, 32
	find := func(near, lo, hi float64) (gap, bool) { return s.straight(near, lo, hi, want.thick) }
	var ideals []ideal
	even := func(turns int, at func(part float64) float64) {
		for k := range turns {
			phase := float64(k)/float64(turns) + 0.5
			ideals = append(ideals, func(i int, _ gap) float64 { return at((float64(i) + phase) / float64(n)) })
		}
	}
	whole := func(part float64) float64 { return part * s.total }
	switch {
	case !want.straight:
		even(bentTurns, whole)
		find = func(near, lo, hi float64) (gap, bool) {
			// A straight place rather than a bent one in each tab's share of the loop.
			share := s.total / float64(2*n)
			if g, ok := s.straight(near, max(lo, near-share), min(hi, near+share), want.thick); ok {
				return g, true
			}
			return s.any(near, lo, hi, want.thick)
		}
	case len(s.free) > 0:
		even(straightTurns, whole)
		even(straightTurns, s.alongFree)
		starts := min(straightTurns, len(s.free))
		for k := range starts {
			first := s.free[k*len(s.free)/starts].from
			ideals = append(ideals, func(i int, before gap) float64 {
				if i == 0 {
					return first
				}
				return before.middle() + s.width + leastCut
			})
		}
	}
	for _, at := range ideals {
		if out := s.from(n, find, at); out != nil && (!want.centred || outsideHull(centroid, s.feet(out)) <= tipping) {
			return out
		}
	}
	return nil
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

// from places n gaps near their ideals; nil where that is not possible.
func (s *spreader) from(n int, find func(near, lo, hi float64) (gap, bool), at ideal) []gap {
	var out []gap
	lo, hi := math.Inf(-1), math.Inf(1)
	var before gap
	for k := range n {
		if k > 0 {
			before = out[k-1]
			lo, hi = before.to+leastCut, out[0].from+s.total-leastCut
		}
		g, ok := find(at(k, before), lo, hi)
		if !ok {
			return nil
		}
		out = append(out, g)
	}
	return out
}
