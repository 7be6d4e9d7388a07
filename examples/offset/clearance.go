package main

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// clearance is the smallest distance from the paths to the edges, negative where a
// path lies on the wrong side of them. Two lines are nearest to each other at
// an end of one of them, so all ends are looked at; arcs are sampled.
func (m ruling) clearance() float64 {
	edge, path := contour.NewIndex(m.given), contour.NewIndex(m.paths)
	nearest, wrong := math.Inf(1), 0.0
	look := func(p orb.Point) float64 {
		d := edge.Distance(p)
		nearest = min(nearest, d)
		return d
	}
	for _, c := range m.given {
		nearest = min(nearest, path.Distance(c.Start))
		for _, v := range c.Moves {
			nearest = min(nearest, path.Distance(v.To))
		}
	}
	for _, c := range m.paths {
		look(c.Start)
		for leg := range legs(c) {
			if !isLine(leg) {
				lookAlong(leg, look)
			}
			// One look a move tells the side it runs on: to get to the other one
			// it has to cross an edge.
			if p := at(leg, leg.Length()/2); edge.Contains(p) != m.inside {
				wrong = max(wrong, look(p))
			}
			look(leg.End())
		}
	}
	if wrong > 0 {
		return -wrong
	}
	return nearest
}

// lookAlong looks at points along an arc, and closer in where one lies nearer to the
// edge than its neighbours.
func lookAlong(arc contour.Contour, look func(orb.Point) float64) {
	l := arc.Length()
	n := 8 + int(min(l/sampling, 1000))
	part := func(k int) float64 { return l * float64(k) / float64(n) }
	before, here := look(arc.Start), look(at(arc, part(1)))
	for k := 1; k < n; k++ {
		after := look(at(arc, part(k+1)))
		if here <= before && here <= after {
			lo, hi := part(k-1), part(k+1)
			for range 40 {
				a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
				if look(at(arc, a)) < look(at(arc, b)) {
					hi = b
				} else {
					lo = a
				}
			}
		}
		before, here = here, after
	}
}
