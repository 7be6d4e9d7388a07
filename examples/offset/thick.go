package main

import (
	"math"

	"github.com/paulmach/orb"
)

// thickEnough is the thickness of material on either side of a web, mm, below which it
// holds little [assumption]; a narrower web needs no more than its own width.
const thickEnough = 1.0

// needed is the thickness asked for, mm.
func (s *spreader) needed() float64 { return min(thickEnough, s.width-s.cutter) }

// thick tells whether the material on both sides of the web of a gap is thick enough,
// but for what a rounded edge is off.
func (s *spreader) thick(g gap) bool { return s.holdsDisc(g, s.needed()-2e-5) }

// slack is how far a disc may stick out and still be held, mm.
const slack = 1e-8

// holdsDisc tells whether discs of a diameter lie in the material on both sides of the
// channel, all along the web: those that touch the edge in what is behind it, those
// across the channel in what is left there, where no other edge lies and no other path
// cuts into them. The latter are no larger than the web reaches to their sides.
func (s *spreader) holdsDisc(g gap, diameter float64) bool {
	web := s.width - s.cutter
	for _, part := range [5]float64{0, -0.2, 0.2, -0.4, 0.4} {
		q := s.at(g.middle() + float64(part*web))
		foot := s.edge.Nearest(q)
		// aside is a place beside q, on the edge's side of it.
		aside := func(d float64) orb.Point {
			d /= foot.Distance
			return orb.Point{q[0] + float64((foot.At[0]-q[0])*d), q[1] + float64((foot.At[1]-q[1])*d)}
		}
		if s.edge.Distance(aside(foot.Distance+diameter/2)) < diameter/2-slack {
			return false
		}
		reach := (s.cutter + min(diameter, web*(1-2*math.Abs(part)))) / 2
		across := aside(-reach)
		if s.edge.Contains(across) != s.inside || s.loops.Distance(across) < reach-slack {
			return false
		}
	}
	return true
}

// thickness is that of the material beside a web, at most what is needed, mm.
func (s *spreader) thickness(g gap) float64 {
	lo, hi := 0.0, s.needed()
	for range 40 {
		if mid := (lo + hi) / 2; s.holdsDisc(g, mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
