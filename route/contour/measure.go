package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// elems returns the contour's elements about its own start, which keeps areas
// of small contours far from the origin exact.
func (c Contour) elems() []elem {
	return appendElems(make([]elem, 0, len(c.Moves)), c, toVec(c.Start))
}

// Length returns the length along the contour, mm. O(moves).
func (c Contour) Length() float64 {
	var s float64
	for _, e := range c.elems() {
		s += e.len
	}
	return s
}

// Area returns the signed area a closed contour encloses, mm2, positive when it
// runs counter-clockwise: the polygon of its ends by the shoelace formula, plus
// r2(a - sin a)/2 for each arc of radius r and signed angle a. An open contour is
// taken as closed by a line. O(moves).
func (c Contour) Area() float64 {
	return area(c.elems())
}

func area(es []elem) float64 {
	var s float64
	for i := range es {
		e := &es[i]
		s += e.a.cross(e.b)
		if e.turn != 0 {
			s += e.r * e.r * minusSin(e.sweep)
		}
	}
	if n := len(es); n > 0 {
		s += es[n-1].b.cross(es[0].a)
	}
	return s / 2
}

// minusSin is a - sin a without the cancellation that a short arc of a large
// radius would suffer: below 0.1 rad the series to a^9 is exact to 1e-17 of a^3.
func minusSin(a float64) float64 {
	if math.Abs(a) > 0.1 {
		return a - math.Sin(a)
	}
	q := a * a
	return a * q / 6 * (1 - q/20*(1-q/42*(1-q/72)))
}

// Bound returns the smallest bound around the contour, arcs included, mm. The
// zero Contour gives the bound of the origin. O(moves).
func (c Contour) Bound() orb.Bound {
	b := box{c.Start[0], c.Start[1], c.Start[0], c.Start[1]}
	at := toVec(c.Start)
	for i, m := range c.Moves {
		to := toVec(m.To)
		if m.Turn == 0 {
			b = b.union(box{to.x, to.y, to.x, to.y})
		} else {
			e := arcElem(at, to, toVec(m.Center), m.Turn, i)
			b = b.union(e.box())
		}
		at = to
	}
	return orb.Bound{Min: orb.Point{b.x0, b.y0}, Max: orb.Point{b.x1, b.y1}}
}

// Distance returns the distance from p to the contour, mm; +Inf for a contour
// without moves. O(moves): for many points make an [Index].
func (c Contour) Distance(p orb.Point) float64 {
	d := math.Inf(1)
	q := toVec(p).sub(toVec(c.Start))
	es := c.elems()
	for i := range es {
		d = math.Min(d, es[i].dist(q))
	}
	return d
}

// Contains reports whether a closed contour has p inside: whether a ray from p
// crosses it an odd number of times. A point on the contour itself may go either
// way, and an open contour contains nothing. O(moves): for many points make an
// [Index].
func (c Contour) Contains(p orb.Point) bool {
	if !c.Closed() {
		return false
	}
	q := toVec(p).sub(toVec(c.Start))
	n := 0
	es := c.elems()
	for i := range es {
		n += es[i].crossings(q)
	}
	return n%2 == 1
}
