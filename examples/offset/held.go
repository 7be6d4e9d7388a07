package main

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"example.org/pinstack/route/contour"
)

// tipping is how far outside the polygon of its tabs a centroid may lie and still
// count as on it, mm: two tabs have one right between them.
const tipping = 1e-3

// A loose part is one whose tabs may let it tip: its weight and the cutter's push act
// beyond them.
type loose struct {
	centroid orb.Point
	outside  float64 // how far it lies outside the polygon of the tabs, mm
}

// heldParts are the centroids of what the loops cut free, by loop: of the
// board with its cut-outs where the cutter runs outside, of the slug between the loops
// where it runs inside. Loops that run round no material have none.
func heldParts(source, loops []contour.Contour, inside bool) []orb.Point {
	body := loops
	if !inside {
		// Distance 0 only turns the contours so that the region is on their left.
		if o, err := contour.Offset(source, 0); err == nil {
			body = o.Loops
		}
	}
	size, bounds := make([]float64, len(loops)), make([]orb.Bound, len(loops))
	for i, c := range loops {
		size[i], bounds[i] = c.Area(), c.Bound()
	}
	out := make([]orb.Point, len(loops))
	area := make([]float64, len(loops)) // of what out is the centre of; cut-outs count negative
	for _, c := range body {
		// Of the loops round it the smallest one cuts it free.
		owner := -1
		for i := range loops {
			if size[i] > 0 && (owner < 0 || size[i] < size[owner]) && bounds[i].Contains(c.Start) && holds(loops[i], c) {
				owner = i
			}
		}
		if owner < 0 {
			continue
		}
		p, a := planar.CentroidArea(c.AppendRing(nil, 1e-4))
		a = math.Copysign(a, c.Area())
		out[owner][0] += float64(p[0] * a)
		out[owner][1] += float64(p[1] * a)
		area[owner] += a
	}
	for i := range out {
		if area[i] != 0 {
			out[i] = orb.Point{out[i][0] / area[i], out[i][1] / area[i]}
		}
	}
	return out
}

// holds tells whether a loop runs round a contour, or along it.
func holds(loop, c contour.Contour) bool {
	return loop.Start == c.Start || loop.Contains(c.Start)
}
