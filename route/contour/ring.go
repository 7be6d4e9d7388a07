package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// FromRing returns the contour that runs along the ring's points by lines.
// A ring that does not end where it starts is closed, and points that repeat
// the one before them are left out. A ring without points gives the zero
// Contour.
func FromRing(r orb.Ring) Contour {
	c := FromLine(orb.LineString(r))
	if n := len(c.Moves); n > 0 && !c.Closed() {
		c.Moves = append(c.Moves, Move{To: c.Start})
	}
	return c
}

// FromLine returns the open contour along the points of a line string, or a
// closed one when its last point is its first. Points that repeat the one before
// them are left out.
func FromLine(l orb.LineString) Contour {
	if len(l) == 0 {
		return Contour{}
	}
	c := Contour{Start: l[0], Moves: make([]Move, 0, len(l))}
	for _, p := range l[1:] {
		if p != c.End() {
			c.Moves = append(c.Moves, Move{To: p})
		}
	}
	return c
}

// FromPolygon returns the contours of a polygon's rings in their order.
func FromPolygon(p orb.Polygon) []Contour {
	cs := make([]Contour, len(p))
	for i, r := range p {
		cs[i] = FromRing(r)
	}
	return cs
}

// FromBound returns the rectangle of a bound in mm, counter-clockwise from its lower
// left corner.
func FromBound(b orb.Bound) Contour {
	return FromRing(orb.Ring{
		b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min,
	})
}

// Circle returns the full circle about center with the given radius in mm,
// counter-clockwise from its rightmost point.
func Circle(center orb.Point, radius float64) Contour {
	s := orb.Point{center[0] + radius, center[1]}
	return Contour{Start: s, Moves: []Move{{To: s, Center: center, Turn: 1}}}
}

// AppendRing appends the contour's points to dst, arcs as chords that stay within
// chord mm of the arc, every end of a move kept. A closed contour gives a closed
// ring. The chord height must be positive; anything else, or an arc that would
// take more than 10,000 chords, is cut into 10,000.
func (c Contour) AppendRing(dst orb.Ring, chord float64) orb.Ring {
	dst = append(dst, c.Start)
	at := toVec(c.Start)
	for i, m := range c.Moves {
		to := toVec(m.To)
		if m.Turn != 0 {
			e := arcElem(at, to, toVec(m.Center), m.Turn, i)
			n := chords(e.r, math.Abs(e.sweep), chord)
			for k := 1; k < n; k++ {
				dst = append(dst, e.at(e.len*float64(k)/float64(n)).point())
			}
		}
		dst = append(dst, m.To)
		at = to
	}
	return dst
}

// chords is the number of equal chords that stay within height of an arc: a chord
// over an angle a lies r(1 - cos(a/2)) = 2 r sin2(a/4) below it.
func chords(r, sweep, height float64) int {
	const most = 10_000
	if math.IsNaN(height) {
		return most
	}
	a := 4 * math.Asin(math.Sqrt(min(max(height, 0), 2*r)/(2*r)))
	// A chord over more than a third of a turn says little about a circle. No height
	// at all makes it endlessly many.
	n := math.Ceil(sweep / math.Min(a, 2*math.Pi/3))
	return int(math.Max(1, math.Min(most, n)))
}
