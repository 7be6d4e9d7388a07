package main

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// outsideHull is how far a point lies outside the smallest convex polygon round
// the others, of which there is one at least, mm; 0 inside.
func outsideHull(p orb.Point, others []orb.Point) float64 {
	h := hull(others)
	h = append(h, h[0])
	if len(h) > 3 && planar.RingContains(h, p) {
		return 0
	}
	return planar.DistanceFrom(orb.LineString(h), p)
}

// hull is the convex hull, counter-clockwise, which neither this module nor orb has (A. M. Andrew, Another efficient algorithm
// for convex hulls in two dimensions, 1979).
func hull(points []orb.Point) orb.Ring {
	ps := slices.Clone(points)
	slices.SortFunc(ps, func(a, b orb.Point) int { return slices.Compare(a[:], b[:]) })
	ps = slices.Compact(ps)
	if len(ps) < 3 {
		return ps
	}
	var out orb.Ring
	for range 2 { // the lower half, then back over the upper one
		least := len(out) + 1
		for _, p := range ps {
			for len(out) > least && turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1] // the last one begins the other half
		slices.Reverse(ps)
	}
	return out
}

// turn is above 0 where the way from a by b to c turns left.
func turn(a, b, c orb.Point) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}
