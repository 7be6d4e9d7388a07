package contour

import "github.com/paulmach/orb"

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

// FromBound returns the rectangle of a bound, counter-clockwise from its lower
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
