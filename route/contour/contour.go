package contour

import "github.com/paulmach/orb"

// A Move leads from where the contour stands, the end of the move before it or
// the contour's start, to its own end point. The zero Move is a line to the
// origin.
type Move struct {
	// To is the end point, mm.
	To orb.Point `json:"to"`
	// Center is the centre of an arc, mm. A line ignores it.
	Center orb.Point `json:"center,omitzero"`
	// Turn is 0 for a line, +1 for an arc run counter-clockwise and -1 for an
	// arc run clockwise. An arc that ends where it starts is a full circle.
	Turn int8 `json:"turn,omitempty"`
}

// A Contour is a chain of lines and true arcs. It is closed when its last move
// ends exactly at Start and open otherwise. The zero Contour is empty: it has
// no length, no area and no bound, and [Contour.Validate] refuses it.
//
// Methods never change a contour and results never share memory with it.
type Contour struct {
	// Start is the first point, mm.
	Start orb.Point `json:"start"`
	// Moves follow each other, each starting where the one before it ended.
	Moves []Move `json:"moves"`
}

// End returns the last point of the contour, mm: the end of its last move, or Start
// when it has none.
func (c Contour) End() orb.Point {
	if len(c.Moves) == 0 {
		return c.Start
	}
	return c.Moves[len(c.Moves)-1].To
}

// Closed reports whether the contour has moves and ends exactly, bit for bit,
// where it starts.
func (c Contour) Closed() bool {
	return len(c.Moves) > 0 && c.End() == c.Start
}

// Reverse returns the contour run the other way: the same points, arcs turned
// round, the area's sign changed.
func (c Contour) Reverse() Contour {
	r := Contour{Start: c.End(), Moves: make([]Move, len(c.Moves))}
	for i, m := range c.Moves {
		to := c.Start
		if i > 0 {
			to = c.Moves[i-1].To
		}
		r.Moves[len(c.Moves)-1-i] = Move{To: to, Center: m.Center, Turn: -m.Turn}
	}
	return r
}

// each returns the contour with every point replaced by f's value and every
// turn multiplied by sense.
func (c Contour) each(sense int8, f func(orb.Point) orb.Point) Contour {
	t := Contour{Start: f(c.Start), Moves: make([]Move, len(c.Moves))}
	for i, m := range c.Moves {
		t.Moves[i] = Move{To: f(m.To)}
		if m.Turn != 0 {
			t.Moves[i].Center, t.Moves[i].Turn = f(m.Center), m.Turn*sense
		}
	}
	return t
}

// Translate returns the contour moved by dx and dy mm.
func (c Contour) Translate(dx, dy float64) Contour {
	return c.each(1, func(p orb.Point) orb.Point { return orb.Point{p[0] + dx, p[1] + dy} })
}

// Rotate returns the contour turned about the origin by a number of quarter
// turns, counter-clockwise when positive. Coordinates change places and signs
// only, so that four quarters give back the same bits.
func (c Contour) Rotate(quarters int) Contour {
	q := ((quarters % 4) + 4) % 4
	return c.each(1, func(p orb.Point) orb.Point {
		for range q {
			p = orb.Point{0 - p[1], p[0]}
		}
		return p
	})
}

// Mirror returns the contour seen from the other side: x changes its sign, arcs
// change their sense, and so does the area.
func (c Contour) Mirror() Contour {
	return c.each(-1, func(p orb.Point) orb.Point { return orb.Point{0 - p[0], p[1]} })
}
