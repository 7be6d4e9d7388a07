package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// At returns the point at length s along the contour, mm, and the unit direction
// of travel there. On a closed contour s wraps round, on an open one it stops at
// the ends. Where two moves meet the later one gives the direction. A contour
// without moves gives its start and no direction. O(moves).
func (c Contour) At(s float64) (point, direction orb.Point) {
	origin := toVec(c.Start)
	es := c.elems()
	if len(es) == 0 {
		return c.Start, orb.Point{}
	}
	i, t := locate(es, c.wrap(s, total(es)))
	return es[i].at(t).add(origin).point(), es[i].tangent(t).point()
}

// Cut returns the open part of the contour from length s0 to length s1, mm. On a
// closed contour lengths wrap round and s1 <= s0 runs through the start, so that
// Cut(s, s) is the whole contour begun at s. On an open contour they stop at the
// ends, and s1 <= s0 gives a contour without moves. Arcs stay arcs about the same
// centre. O(moves).
func (c Contour) Cut(s0, s1 float64) Contour {
	es := c.elems()
	if len(es) == 0 {
		return Contour{Start: c.Start}
	}
	l := total(es)
	s0, s1 = c.wrap(s0, l), c.wrap(s1, l)
	i, t := locate(es, s0)
	cut := Contour{Start: c.place(&es[i], t)}
	left := s1 - s0
	if left <= 0 {
		if !c.Closed() {
			return cut
		}
		left += l
	}
	for ; ; i, t = (i+1)%len(es), 0 {
		e := &es[i]
		end := math.Min(e.len, t+left)
		left -= e.len - t
		m := Move{To: c.place(e, end), Turn: e.turn}
		if e.turn != 0 {
			m.Center = e.centre().add(toVec(c.Start)).point()
			if src := c.Moves[e.move].Center; toVec(src).dist(toVec(m.Center)) < radiusNoise {
				m.Center = src
			}
		}
		// A line or an arc whose two ends are one point has no length here; only
		// a full circle may end where it starts.
		if m.To != cut.End() || (e.full && end-t > e.r) {
			cut.Moves = append(cut.Moves, m)
		}
		if !(left > meetDistance) {
			return cut
		}
	}
}

// Split returns the contour with every arc cut into equal parts of at most
// maxSweep radians each. Full circles fall into two parts or more. A maxSweep
// that is not above 0.001 counts as 0.001. O(moves).
func (c Contour) Split(maxSweep float64) Contour {
	if !(maxSweep > minSweep) {
		maxSweep = minSweep
	}
	s := Contour{Start: c.Start, Moves: make([]Move, 0, len(c.Moves))}
	at := toVec(c.Start)
	for i, m := range c.Moves {
		to := toVec(m.To)
		if m.Turn != 0 {
			e := arcElem(at, to, toVec(m.Center), m.Turn, i)
			// A sweep that is the limit but for rounding is one part.
			n := int(math.Ceil(math.Abs(e.sweep)/maxSweep - 1e-9))
			if e.full {
				n = max(n, 2)
			}
			for k := 1; k < n; k++ {
				p := e.at(e.len * float64(k) / float64(n)).point()
				s.Moves = append(s.Moves, Move{To: p, Center: m.Center, Turn: m.Turn})
			}
		}
		s.Moves = append(s.Moves, m)
		at = to
	}
	return s
}

// minSweep is the smallest part an arc is ever cut into, radians. It bounds the
// number of parts.
const minSweep = 0.001

// wrap brings a length onto the contour.
func (c Contour) wrap(s, length float64) float64 {
	if c.Closed() && length > 0 && (s < 0 || s > length) {
		s = math.Mod(s, length)
		if s < 0 {
			s += length
		}
	}
	if math.IsNaN(s) {
		return 0
	}
	return math.Max(0, math.Min(length, s))
}

// place is a point of an element, the move's own end point where s is the end.
func (c Contour) place(e *elem, s float64) orb.Point {
	if s >= e.len {
		return c.Moves[e.move].To
	}
	if s <= 0 {
		if e.move == 0 {
			return c.Start
		}
		return c.Moves[e.move-1].To
	}
	return e.at(s).add(toVec(c.Start)).point()
}

func total(es []elem) float64 {
	var l float64
	for i := range es {
		l += es[i].len
	}
	return l
}

// locate finds the element that holds length s and the length along it. The end
// of an element is the start of the one after it.
func locate(es []elem, s float64) (int, float64) {
	for i := range es {
		if s < es[i].len || i == len(es)-1 {
			return i, math.Min(s, es[i].len)
		}
		s -= es[i].len
	}
	return 0, 0
}
