package main

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"example.org/pinstack/route/contour"
)

// tipping is how far outside the polygon of its tabs a centroid may lie and still
// count as on it, mm: two tabs have one right between them.
const tipping = 1e-3

// A loose part is one whose tabs may let it tip.
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
	out := make([]orb.Point, len(loops))
	area := make([]float64, len(loops))
	areas, bounds := make([]float64, len(loops)), make([]orb.Bound, len(loops))
	for i, c := range loops {
		areas[i], bounds[i] = c.Area(), c.Bound()
	}
	for _, c := range body {
		// Of the loops round it the smallest one cuts it free.
		owner := -1
		for i := range loops {
			if areas[i] > 0 && (owner < 0 || areas[i] < areas[owner]) && bounds[i].Contains(c.Start) && holds(loops[i], c) {
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

// outsideHull is how far a point lies outside the smallest convex polygon round
// the others, mm; 0 inside.
func outsideHull(p orb.Point, others []orb.Point) float64 {
	h := hull(others)
	nearest, within := math.Inf(1), len(h) > 2
	for i, a := range h {
		b := h[(i+1)%len(h)]
		within = within && turn(a, b, p) >= 0
		nearest = math.Min(nearest, planar.DistanceFromSegment(a, b, p))
	}
	if within {
		return 0
	}
	return nearest
}

// hull is the convex hull, counter-clockwise (A. M. Andrew, Another efficient algorithm
// for convex hulls in two dimensions, 1979).
func hull(points []orb.Point) []orb.Point {
	ps := slices.Clone(points)
	slices.SortFunc(ps, func(a, b orb.Point) int { return slices.Compare(a[:], b[:]) })
	ps = slices.Compact(ps)
	if len(ps) < 3 {
		return ps
	}
	var out []orb.Point
	for range 2 {
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

// feet are the places on the edge beside the middles of gaps.
func (s *spreader) feet(gaps []gap) []orb.Point {
	out := make([]orb.Point, len(gaps))
	for i, g := range gaps {
		out[i] = s.edge.Nearest(s.at(g.middle())).At
	}
	return out
}

// thickEnough is the thickness of material on either side of a web, mm, below which it
// holds little [assumption]; a narrower web needs no more than its own width.
const thickEnough = 1.0

// needed is the thickness asked for.
func (s *spreader) needed() float64 { return math.Min(thickEnough, s.width-s.cutter) }

// thick tells whether the material on both sides of the web of a gap is thick enough,
// but for what a rounded edge is off.
func (s *spreader) thick(g gap) bool { return s.holdsDisc(g, s.needed()-2e-5) }

// off is how far a disc may stick out and still be held, mm.
const off = 1e-8

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
		if s.edge.Distance(aside(foot.Distance+diameter/2)) < diameter/2-off {
			return false
		}
		reach := (s.cutter + min(diameter, web*(1-2*math.Abs(part)))) / 2
		across := aside(-reach)
		if s.edge.Contains(across) != s.inside || s.loops.Distance(across) < reach-off {
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
