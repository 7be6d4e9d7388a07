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

// body makes the raw piece of an element; ok is false for an arc that the offset
// leaves without a radius.
func (o *offsetter) body(i int32) (p piece, ok bool) {
	e := &o.t.elems[i]
	p.elem, p.turn = i, e.turn
	n := o.t.next(i)
	if e.turn == 0 {
		p.p, p.u, p.len = e.a.along(e.t0.left(), o.side*o.raw), e.t0, e.len
	} else {
		p.rad = e.r - o.side*float64(e.turn)*o.raw
		if p.rad <= 0 {
			return p, false
		}
		p.p, p.u, p.w = e.c, e.a.sub(e.c).unit(), e.b.sub(e.c).unit()
		p.len = p.rad * math.Abs(e.sweep)
	}
	p.lo, p.hi = 0, p.len
	p.joinLo, p.joinHi = o.joins(i), o.joins(n)
	if e.turn == 0 {
		if p.joinLo {
			p.lo = o.trim[i]
		}
		if p.joinHi {
			p.hi -= o.trim[n]
		}
	}
	p.from, p.to = p.at(p.lo), p.at(p.hi)
	return p, true
}

// joins reports whether the raw pieces on the two sides of the vertex at the start
// of element i, trimmed, share an end there, if need be through a vertex arc.
func (o *offsetter) joins(i int32) bool {
	lp := &o.t.loops[o.t.owner[i]]
	if !lp.closed && i == lp.first {
		return false
	}
	return o.joint[i] != jointConcave || o.reach[o.t.previous(i)] > 0
}

// corner makes the arc about the vertex at the start of element i.
func (o *offsetter) corner(i int32) piece {
	e, f := &o.t.elems[o.t.previous(i)], &o.t.elems[i]
	turn := int8(1)
	if o.turn[i] < 0 {
		turn = -1
	}
	p := piece{
		p: f.a, u: e.t1.left().scale(o.side), w: f.t0.left().scale(o.side), rad: o.raw,
		len: o.raw * math.Abs(o.turn[i]), elem: i, turn: turn, vertex: true,
		joinLo: true, joinHi: true,
	}
	p.hi = p.len
	p.from, p.to = p.at(0), p.at(p.len)
	return p
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
	if f.vertex {
		p := o.corner(f.elem)
		return &p
	}
	p, _ := o.body(f.elem)
	return &p
}
