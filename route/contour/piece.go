package contour

import "math"

// A piece is the raw offset of an element, or the arc about the vertex at an
// element's start, before anything is cut away. Its parameter is the length along
// it from where the untrimmed piece starts, mm.
type piece struct {
	p      vec     // start of a line, centre of an arc
	u      vec     // direction of a line, direction from the centre to an arc's start
	w      vec     // direction from the centre to an arc's end
	rad    float64 // radius of an arc
	len    float64 // of the untrimmed piece
	lo, hi float64 // the trimmed piece
	from   vec     // its ends
	to     vec
	elem   int32
	turn   int8
	vertex bool // about the start of elem
	// joinLo and joinHi tell whether the piece before it and the one after it
	// meet the trimmed ends.
	joinLo, joinHi bool
}

// at is a point of the piece.
func (p *piece) at(t float64) vec {
	if p.turn == 0 {
		return p.p.along(p.u, t)
	}
	if t == 0 {
		return p.p.along(p.u, p.rad)
	}
	if t == p.len {
		return p.p.along(p.w, p.rad)
	}
	return p.p.along(p.u.rotate(t/p.rad*float64(p.turn)), p.rad)
}

// box is a box around the trimmed piece.
func (p *piece) box() box {
	a, b := p.from, p.to
	out := box{min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)}
	if p.turn == 0 {
		return out
	}
	// An arc over an angle 2a bulges from its chord by r(1 - cos a), less than
	// r a2/2 and never more than the circle's diameter.
	half := (p.hi - p.lo) / 2
	return out.grow(min(half*half/p.rad/2, 2*p.rad))
}

// setBody makes a zero piece the raw one of an element of a loop; it reports false
// for an arc that the offset leaves without a radius.
func (o *offsetter) setBody(p *piece, lp *loop, i int32) bool {
	e := &o.t.elems[i]
	p.elem, p.turn = i, e.turn
	if e.turn == 0 {
		p.p, p.u, p.len = e.a.along(e.dir().left(), o.side*o.raw), e.dir(), e.len
	} else {
		p.rad = e.r - o.side*float64(e.turn)*o.raw
		if p.rad <= 0 {
			return false
		}
		c := e.centre()
		p.p, p.u, p.w = c, e.a.sub(c).unit(), e.b.sub(c).unit()
		p.len = p.rad * math.Abs(e.sweep)
	}
	n := lp.after(i)
	p.hi = p.len
	p.joinLo, p.joinHi = o.joins(lp, i), o.joins(lp, n)
	if e.turn == 0 {
		if p.joinLo {
			p.lo = o.trim[i]
		}
		if p.joinHi {
			p.hi -= o.trim[n]
		}
	}
	p.from, p.to = p.at(p.lo), p.at(p.hi)
	return true
}

// joins reports whether the raw pieces on the two sides of the vertex at the start
// of element i, trimmed, share an end there, if need be through a vertex arc.
func (o *offsetter) joins(lp *loop, i int32) bool {
	if !lp.closed && i == lp.first {
		return false
	}
	return o.joint[i] != jointConcave || o.reach[lp.before(i)] > 0
}

// setCorner makes a zero piece the arc about the vertex at the start of element i.
func (o *offsetter) setCorner(p *piece, lp *loop, i int32) {
	e, f := &o.t.elems[lp.before(i)], &o.t.elems[i]
	p.turn = 1
	if o.turn[i] < 0 {
		p.turn = -1
	}
	p.p, p.u, p.w, p.rad = f.a, e.t1().left().scale(o.side), f.t0().left().scale(o.side), o.raw
	p.len = o.raw * math.Abs(o.turn[i])
	p.hi = p.len
	p.elem, p.vertex, p.joinLo, p.joinHi = i, true, true, true
	p.from, p.to = p.at(0), p.at(p.len)
}

// source is the length along the element of the foot of the piece's point t.
func (o *offsetter) source(elem int32, vertex bool, t float64) float64 {
	e := &o.t.elems[elem]
	switch {
	case vertex:
		return 0
	case e.turn == 0:
		return t
	}
	return t * e.r / (e.r - o.side*float64(e.turn)*o.raw)
}

// pieceOf makes the raw piece of a fragment again.
func (o *offsetter) pieceOf(f *frag) *piece {
	p, lp := &piece{}, &o.t.loops[o.t.owner[f.elem]]
	if f.vertex {
		o.setCorner(p, lp, f.elem)
	} else {
		o.setBody(p, lp, f.elem)
	}
	return p
}
