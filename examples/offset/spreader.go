package main

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// A gap is a stretch of a loop that is not cut, as lengths along it.
type gap struct{ from, to float64 }

func (g gap) middle() float64 { return (g.from + g.to) / 2 }

// leastCut is the shortest path that is left between two gaps, mm.
const leastCut = 0.1

// A spreader finds places for tabs on one loop.
type spreader struct {
	loop
	edge   *contour.Index // of the region
	loops  *contour.Index // all of them: another path may cut what a tab holds
	inside bool           // the cutter belongs inside the region
	cutter float64        // its diameter, mm
	width  float64        // mm between the two ends of a gap
	free   []gap          // where the middle of a gap on a straight stretch may lie, ascending
	kept   map[[2]int64]bool
}

// follow makes the loop that tabs are placed on another one.
func (s *spreader) follow(c contour.Contour) {
	s.loop, s.kept = newLoop(c), map[[2]int64]bool{}
	s.free = s.straights()
}

// foot is the place on the edge beside the middle of a gap.
func (s *spreader) foot(g gap) orb.Point { return s.edge.Nearest(s.at(g.middle())).At }

// keeps tells whether the cutter stays as far apart on its two ways to the gap as
// at its ends; under a dovetail it does not. Different ideals lead to the same places
// again and again, so that answers are kept, by the ends of the gap in picometres.
func (s *spreader) keeps(g gap) bool {
	from := math.Mod(g.from, s.total)
	key := [2]int64{int64(math.Round(from * 1e9)), int64(math.Round((from + g.to - g.from) * 1e9))}
	ok, known := s.kept[key]
	if !known {
		window := min(s.width, (s.total-(g.to-g.from))/4)
		before, after := s.cut(g.from-window, g.from), s.cut(g.to, g.to+window)
		ok = s.clears(before, after) && s.clears(after, before)
		s.kept[key] = ok
	}
	return ok
}

// clears tells whether the ends of a path's lines, which lie nearest to another line,
// and points along its arcs keep a gap's width from another path.
func (s *spreader) clears(path, other contour.Contour) bool {
	near := contour.NewIndex([]contour.Contour{other})
	for leg := range legs(path) {
		looks := 1
		if !isLine(leg) {
			looks = 16
		}
		l := leg.Length()
		for k := range looks + 1 {
			if near.Distance(at(leg, l*float64(k)/float64(looks))) < s.width-1e-6 {
				return false
			}
		}
	}
	return true
}
