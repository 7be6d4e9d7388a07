package contour

import "math"

// elem is one line or arc with what the geometry needs of it worked out. There is one
// to every move and each is looked at again and again: the smaller, the more of them
// the caches hold.
type elem struct {
	a, b  vec     // ends
	v     vec     // direction of a line, centre of an arc
	len   float64 // mm along the element
	r     float64 // radius of an arc, 0 for a line
	sweep float64 // signed angle of an arc, radians
	move  int32   // index of the move it comes from
	turn  int8    // as in Move
	full  bool    // a full circle
}

// dir is the direction of a line, centre the centre of an arc.
func (e *elem) dir() vec    { return e.v }
func (e *elem) centre() vec { return e.v }

// t0 and t1 are the unit tangents at a and b; a line's direction in both.
func (e *elem) t0() vec { return e.tangentAt(e.a) }
func (e *elem) t1() vec { return e.tangentAt(e.b) }

func (e *elem) tangentAt(end vec) vec {
	if e.turn == 0 {
		return e.v
	}
	return end.sub(e.v).left().scale(float64(e.turn)).unit()
}

// setLine makes a zero element that of a line between two different points.
func (e *elem) setLine(a, b vec, move int) {
	d := b.sub(a)
	e.a, e.b, e.len, e.move = a, b, d.norm(), int32(move)
	e.v = d.scale(1 / e.len)
}

// arcElem is the element of an arc. Where the ends lie at radii that differ by
// more than rounding, the centre moves onto the bisector of the chord, which
// changes the curve by less than the difference.
func arcElem(a, b, c vec, turn int8, move int) elem {
	e := elem{a: a, b: b, v: c, turn: turn, move: int32(move)}
	if a == b {
		e.full = true
		e.sweep = 2 * math.Pi * float64(turn)
		e.r = a.dist(c)
	} else {
		ra, rb := a.dist(c), b.dist(c)
		if math.Abs(ra-rb) > radiusNoise {
			chord := b.sub(a).unit()
			e.v = c.along(chord, middle(a, b).sub(c).dot(chord))
			ra, rb = a.dist(e.v), b.dist(e.v)
		}
		e.r = (ra + rb) / 2
		e.sweep = a.sub(e.v).angleTo(b.sub(e.v))
		if turn > 0 && e.sweep < 0 {
			e.sweep += 2 * math.Pi
		} else if turn < 0 && e.sweep > 0 {
			e.sweep -= 2 * math.Pi
		}
	}
	e.len = e.r * math.Abs(e.sweep)
	return e
}

// appendElems appends the elements of a contour, coordinates relative to an
// origin. Lines of no length are left out.
func appendElems(dst []elem, c Contour, origin vec) []elem {
	at := toVec(c.Start).sub(origin)
	for i, m := range c.Moves {
		to := toVec(m.To).sub(origin)
		if m.Turn != 0 {
			dst = append(dst, arcElem(at, to, toVec(m.Center).sub(origin), m.Turn, i))
		} else if to != at {
			dst = append(dst, elem{})
			dst[len(dst)-1].setLine(at, to, i)
		}
		at = to
	}
	return dst
}

// reversed is the element run the other way.
func (e elem) reversed() elem {
	e.a, e.b = e.b, e.a
	if e.turn == 0 {
		e.v = e.v.scale(-1)
	}
	e.turn, e.sweep = -e.turn, -e.sweep
	return e
}

// curvature is signed, positive where the element bends to the left, 1/mm.
func (e *elem) curvature() float64 {
	if e.turn == 0 {
		return 0
	}
	return float64(e.turn) / e.r
}

// spans reports whether the direction d from the centre points into the arc's
// sector, ends included.
func (e *elem) spans(d vec) bool {
	if e.full {
		return true
	}
	u, w := e.a.sub(e.centre()), e.b.sub(e.centre())
	if e.turn < 0 {
		u, w = w, u
	}
	if e.sweep <= math.Pi && e.sweep >= -math.Pi {
		return min(u.cross(d), d.cross(w)) >= 0 && max(u.dot(d), w.dot(d)) >= 0
	}
	return !(w.cross(d) > 0 && d.cross(u) > 0)
}

// dist is the distance from p to the element.
func (e *elem) dist(p vec) float64 {
	if e.turn == 0 {
		w := p.sub(e.a)
		s := w.dot(e.dir())
		if s <= 0 {
			return w.norm()
		}
		if s >= e.len {
			return p.dist(e.b)
		}
		return math.Abs(w.cross(e.dir()))
	}
	d := p.sub(e.centre())
	if e.spans(d) {
		return math.Abs(d.norm() - e.r)
	}
	return min(p.dist(e.a), p.dist(e.b))
}

// foot is the length along the element of its point nearest to p.
func (e *elem) foot(p vec) float64 {
	if e.turn == 0 {
		return max(0, min(e.len, p.sub(e.a).dot(e.dir())))
	}
	d := p.sub(e.centre())
	if e.spans(d) {
		s := e.a.sub(e.centre()).angleTo(d) * float64(e.turn)
		if s < 0 {
			// Just before the start by rounding, or past the half turn.
			if s += 2 * math.Pi; s*e.r > e.len {
				s = 0
			}
		}
		return min(e.len, s*e.r)
	}
	if p.dist(e.a) <= p.dist(e.b) {
		return 0
	}
	return e.len
}

// at is the point at a length along the element, exact at both ends.
func (e *elem) at(s float64) vec {
	switch {
	case s <= 0:
		return e.a
	case s >= e.len:
		return e.b
	case e.turn == 0:
		return e.a.along(e.dir(), s)
	}
	return e.centre().add(e.a.sub(e.centre()).rotate(math.Copysign(s/e.r, e.sweep)))
}

// tangent is the unit direction of travel at a length along the element.
func (e *elem) tangent(s float64) vec {
	switch {
	case s <= 0 || e.turn == 0:
		return e.t0()
	case s >= e.len:
		return e.t1()
	}
	return e.t0().rotate(math.Copysign(s/e.r, e.sweep))
}

// box is the smallest axis-parallel box around the element.
func (e *elem) box() box {
	b := box{min(e.a.x, e.b.x), min(e.a.y, e.b.y), max(e.a.x, e.b.x), max(e.a.y, e.b.y)}
	if e.turn == 0 {
		return b
	}
	if e.spans(vec{1, 0}) {
		b.x1 = max(b.x1, e.centre().x+e.r)
	}
	if e.spans(vec{0, 1}) {
		b.y1 = max(b.y1, e.centre().y+e.r)
	}
	if e.spans(vec{-1, 0}) {
		b.x0 = min(b.x0, e.centre().x-e.r)
	}
	if e.spans(vec{0, -1}) {
		b.y0 = min(b.y0, e.centre().y-e.r)
	}
	return b
}

// crossings counts where the ray from p towards +x crosses the element. Each end
// belongs to the half plane above p or to the one below, so that along a closed
// contour every crossing counts once.
func (e *elem) crossings(p vec) int {
	if e.turn == 0 {
		if (e.a.y > p.y) == (e.b.y > p.y) {
			return 0
		}
		// Which side of the line p lies on, without dividing.
		side := e.b.sub(e.a).cross(p.sub(e.a))
		if (side > 0) == (e.b.y > e.a.y) && side != 0 {
			return 1
		}
		return 0
	}
	n := 0
	dy := p.y - e.centre().y
	half := math.Sqrt(max(0, float64(e.r*e.r)-float64(dy*dy)))
	// Pieces that rise or fall all along, each on the right or on the left of
	// the centre.
	e.monotone(func(y0, y1 float64, right bool) {
		if (y0 > p.y) == (y1 > p.y) {
			return
		}
		x := e.centre().x - half
		if right {
			x = e.centre().x + half
		}
		if x > p.x {
			n++
		}
	})
	return n
}

// monotone calls f for the parts of an arc between its highest and lowest points
// with the heights of their ends and the side of the centre they lie on.
func (e *elem) monotone(f func(y0, y1 float64, right bool)) {
	u := e.a.sub(e.centre())
	right := u.x > 0 || (u.x == 0 && (u.y < 0) == (e.turn > 0))
	left := math.Abs(e.sweep)
	y := e.a.y
	// A full circle has two poles and so three parts at most.
	for range 4 {
		rising := right == (e.turn > 0)
		top := e.centre().y - e.r
		pole := vec{0, -1}
		if rising {
			top, pole = e.centre().y+e.r, vec{0, 1}
		}
		// Between none and half a turn, its sign known.
		turn := math.Abs(u.angleTo(pole))
		// An arc that ends at the pole but for rounding ends here.
		if turn >= left-1e-9 {
			f(y, e.b.y, right)
			return
		}
		f(y, top, right)
		left -= turn
		y, u, right = top, pole, !right
	}
}

// box is an axis-parallel box.
type box struct{ x0, y0, x1, y1 float64 }

// noBox is the empty box that any union replaces.
var noBox = box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

func (b box) union(o box) box {
	return box{min(b.x0, o.x0), min(b.y0, o.y0), max(b.x1, o.x1), max(b.y1, o.y1)}
}

func (b box) grow(d float64) box { return box{b.x0 - d, b.y0 - d, b.x1 + d, b.y1 + d} }

func (b box) meets(o box) bool {
	return b.x0 <= o.x1 && o.x0 <= b.x1 && b.y0 <= o.y1 && o.y0 <= b.y1
}

// dist2 is the squared distance from p, 0 inside.
func (b *box) dist2(p vec) float64 {
	var dx, dy float64
	if p.x < b.x0 {
		dx = b.x0 - p.x
	} else if p.x > b.x1 {
		dx = p.x - b.x1
	}
	if p.y < b.y0 {
		dy = b.y0 - p.y
	} else if p.y > b.y1 {
		dy = p.y - b.y1
	}
	return float64(dx*dx) + float64(dy*dy)
}

// apart2 is the squared distance between two boxes, 0 where they meet.
func (b *box) apart2(o *box) float64 {
	dx := max(0, o.x0-b.x1, b.x0-o.x1)
	dy := max(0, o.y0-b.y1, b.y0-o.y1)
	return float64(dx*dx) + float64(dy*dy)
}
