package route

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// piece is one line or arc with what is needed to measure it. Measures here
// are distances only: nothing in this file moves a contour sideways, so that
// the check, which is built on it, shares no offset code with the planner.
type piece struct {
	a, b, c orb.Point // mm: start, end, centre
	turn    int8      // 0 line, +1 counter-clockwise, -1 clockwise
	r       float64   // mm, arcs
	from    float64   // rad, arcs: direction of a seen from c
	sweep   float64   // rad, arcs: > 0 whatever the turn, at most 2 pi
	length  float64   // mm
}

func newPiece(a orb.Point, m contour.Move) piece {
	p := piece{a: a, b: m.To, c: m.Center, turn: m.Turn}
	if m.Turn == 0 {
		p.length = gap(a, m.To)
		return p
	}
	p.r = gap(m.Center, a)
	p.from = math.Atan2(a[1]-m.Center[1], a[0]-m.Center[0])
	p.sweep = 2 * math.Pi
	if a != m.To {
		to := math.Atan2(m.To[1]-m.Center[1], m.To[0]-m.Center[0])
		p.sweep = positive(float64(p.turn) * (to - p.from))
	}
	p.length = float64(p.r * p.sweep)
	return p
}

// positive brings an angle into (0, 2 pi].
func positive(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a <= 0 {
		a += 2 * math.Pi
	}
	return a
}

func pieces(c contour.Contour) []piece {
	out := make([]piece, 0, len(c.Moves))
	at := c.Start
	for _, m := range c.Moves {
		if m.Turn != 0 || m.To != at {
			out = append(out, newPiece(at, m))
		}
		at = m.To
	}
	return out
}

// gap is the distance between two points; products are rounded on their own
// so that no processor fuses them.
func gap(a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

func add(p, q orb.Point) orb.Point              { return orb.Point{p[0] + q[0], p[1] + q[1]} }
func sub(p, q orb.Point) orb.Point              { return orb.Point{p[0] - q[0], p[1] - q[1]} }
func scale(p orb.Point, k float64) orb.Point    { return orb.Point{float64(p[0] * k), float64(p[1] * k)} }
func dot(p, q orb.Point) float64                { return float64(p[0]*q[0]) + float64(p[1]*q[1]) }
func cross(p, q orb.Point) float64              { return float64(p[0]*q[1]) - float64(p[1]*q[0]) }
func left(p orb.Point) orb.Point                { return orb.Point{-p[1], p[0]} }
func along(p, d orb.Point, k float64) orb.Point { return add(p, scale(d, k)) }

func unit(p orb.Point) orb.Point {
	n := gap(orb.Point{}, p)
	if n == 0 {
		return orb.Point{}
	}
	return orb.Point{p[0] / n, p[1] / n}
}

// at is the point s mm along the piece.
func (p *piece) at(s float64) orb.Point {
	switch {
	case s <= 0:
		return p.a
	case s >= p.length:
		return p.b
	case p.turn == 0:
		return along(p.a, sub(p.b, p.a), s/p.length)
	}
	angle := p.from + float64(float64(p.turn)*(s/p.r))
	return orb.Point{p.c[0] + float64(p.r*math.Cos(angle)), p.c[1] + float64(p.r*math.Sin(angle))}
}

// heading is the direction of travel s mm along the piece, a unit vector.
func (p *piece) heading(s float64) orb.Point {
	if p.turn == 0 {
		return unit(sub(p.b, p.a))
	}
	return p.headingAt(p.at(s))
}

// headingAt is the direction of travel at a point of the piece.
func (p *piece) headingAt(q orb.Point) orb.Point {
	if p.turn == 0 {
		return unit(sub(p.b, p.a))
	}
	return scale(left(unit(sub(q, p.c))), float64(p.turn))
}

// holds tells whether the arc passes the direction of q seen from its centre.
func (p *piece) holds(q orb.Point) bool {
	if p.a == p.b {
		return true
	}
	const slack = 1e-9 // rad; under a nanometre at any radius met here
	t := positive(float64(p.turn) * (math.Atan2(q[1]-p.c[1], q[0]-p.c[0]) - p.from))
	return t <= p.sweep+slack || t >= 2*math.Pi-slack
}

// to returns the distance from q to the piece and the foot: the nearest point.
func (p *piece) to(q orb.Point) (float64, orb.Point) {
	if p.turn == 0 {
		f := p.foot(q)
		return gap(q, f), f
	}
	d := gap(p.c, q)
	if d == 0 {
		return p.r, p.a
	}
	if p.holds(q) {
		return math.Abs(d - p.r), along(p.c, sub(q, p.c), p.r/d)
	}
	da, db := gap(q, p.a), gap(q, p.b)
	if da <= db {
		return da, p.a
	}
	return db, p.b
}

// foot is the nearest point of a line to q.
func (p *piece) foot(q orb.Point) orb.Point {
	d := sub(p.b, p.a)
	l2 := dot(d, d)
	if l2 == 0 {
		return p.a
	}
	switch t := dot(sub(q, p.a), d) / l2; {
	case t <= 0:
		return p.a
	case t >= 1:
		return p.b
	default:
		return along(p.a, d, t)
	}
}

// box is the bound of the piece.
func (p *piece) box() orb.Bound {
	b := orb.MultiPoint{p.a, p.b}.Bound()
	if p.turn == 0 {
		return b
	}
	for _, e := range [4]orb.Point{{p.c[0] + p.r, p.c[1]}, {p.c[0], p.c[1] + p.r}, {p.c[0] - p.r, p.c[1]}, {p.c[0], p.c[1] - p.r}} {
		if p.holds(e) {
			b = b.Extend(e)
		}
	}
	return b
}

// part is the length in mm up to which a piece has one box: that of a long slanting
// one would hold much that is far from it.
const part = 16

// parts visits boxes that cover the piece.
func (p *piece) parts(visit func(b orb.Bound)) {
	n := int(math.Ceil(p.length / part))
	if n <= 1 {
		visit(p.box())
		return
	}
	a := p.a
	for k := range n {
		b := p.b
		if k < n-1 {
			b = p.at(p.length * float64(k+1) / float64(n))
		}
		q := newPiece(a, contour.Move{To: b, Center: p.c, Turn: p.turn})
		visit(q.box())
		a = b
	}
}

// stretch is the part of the piece from s to t mm as a move of a contour.
func (p *piece) stretch(t float64) contour.Move {
	return contour.Move{To: p.at(t), Center: p.c, Turn: p.turn}
}
