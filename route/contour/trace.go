package contour

import "math"

// A frag is a stretch of a raw piece that nothing comes too near to: a part of
// the offset.
type frag struct {
	start, end     vec
	t0, t1         float64 // parameters on the piece
	elem           int32
	vertex         bool
	joinLo, joinHi bool // the stretch reaches an end that joins the piece's neighbour
	gone           bool // left over by rounding, no part of the result
}

// run makes the fragments of the offset and joins them to loops, with the
// distance changed by nudge.
func (o *offsetter) run(nudge float64) error {
	o.cover = o.reach0 + nudge
	o.raw = o.cover + o.slack()
	o.fragments()
	o.join()
	return o.assemble()
}

// slack is how much further than the cover distance the pieces run, so that a
// piece is not cut by the element it belongs to, or by the ones that it touches:
// some tens of times the rounding of a distance between such coordinates. It
// also closes channels that are exactly as wide as the cutter.
func (o *offsetter) slack() float64 {
	size := 0.0
	if o.t.root >= 0 {
		b := &o.t.nodes[o.t.root].box
		size = max(b.x1, b.y1, -b.x0, -b.y0)
	}
	for i := range o.t.elems {
		size = max(size, o.t.elems[i].r)
	}
	return 1e-11 + 4e-15*(size+o.reach0)
}

// fragments cuts every raw piece by all elements that come too near to it.
func (o *offsetter) fragments() {
	if o.frags == nil {
		pieces := len(o.t.elems) // one each and one a convex vertex, before any is cut in two
		for _, j := range o.joint {
			if j == jointConvex {
				pieces++
			}
		}
		o.frags = make([]frag, 0, pieces+pieces/64)
	}
	o.frags = o.frags[:0]
	for leaf := range o.t.leaves {
		o.leafFragments(&o.t.nodes[leaf])
	}
}

// leafFragments does so for the pieces of one leaf's elements.
func (o *offsetter) leafFragments(n *node) {
	w := &o.work
	w.pieces = w.pieces[:0]
	lp := &o.t.loops[n.loop]
	from := n.first
	for i := n.first; i <= n.last; i++ {
		if o.joint[i] == jointConvex && (lp.closed || i > lp.first) {
			w.pieces = append(w.pieces, piece{})
			o.setCorner(&w.pieces[len(w.pieces)-1], lp, i)
			if i == from {
				from = lp.before(i)
			}
		}
		w.pieces = append(w.pieces, piece{})
		if p := &w.pieces[len(w.pieces)-1]; !o.setBody(p, lp, i) || p.hi-p.lo <= fragNoise {
			w.pieces = w.pieces[:len(w.pieces)-1]
		}
	}
	around := noBox
	for k := range w.pieces {
		p := &w.pieces[k]
		if !o.certified(lp, p) {
			w.rest = append(w.rest[:0], span{p.lo, p.hi})
			o.gallop(p)
			w.keep(k)
			if len(w.rest) == 0 {
				continue
			}
		}
		around = around.union(p.box())
	}
	o.findLeaves(n, from, around)
	galloped := w.galloped
	for k := range w.pieces {
		p := &w.pieces[k]
		whole := len(galloped) == 0 || galloped[0].piece != int32(k)
		if whole && len(w.leaves) == 0 && !o.t.touch {
			o.addFrag(p, span{p.lo, p.hi}) // most pieces
			continue
		}
		w.rest = w.rest[:0]
		if whole {
			w.rest = append(w.rest, span{p.lo, p.hi})
		} else {
			w.rest = append(w.rest, w.spans[galloped[0].from:galloped[0].to]...)
			galloped = galloped[1:]
		}
		if len(w.leaves) > 0 && len(w.rest) > 0 {
			o.cutByLeaves(p)
		}
		for _, s := range w.rest {
			if o.t.touch && p.vertex && !o.onSide(p.at((s.lo+s.hi)/2)) {
				continue
			}
			o.addFrag(p, s)
		}
	}
	w.spans, w.galloped = w.spans[:0], w.galloped[:0]
}

// onSide reports whether a point lies on the side of the boundary that the offset
// goes to. Nearly every point that no element is too near to does; but where two
// loops touch, the arc about a corner of one may come out beyond the other.
func (o *offsetter) onSide(p vec) bool {
	in := o.t.crossings(p, func(int32) bool { return true })%2 == 1
	return in == (o.side == 1)
}

// addFrag adds a stretch of a piece to the fragments.
func (o *offsetter) addFrag(p *piece, s span) {
	o.frags = append(o.frags, frag{})
	f := &o.frags[len(o.frags)-1]
	f.t0, f.t1, f.start, f.end, f.elem = s.lo, s.hi, p.from, p.to, p.elem
	f.vertex, f.joinLo, f.joinHi = p.vertex, p.joinLo, p.joinHi
	if s.lo != p.lo {
		f.start, f.joinLo = p.at(s.lo), false
	}
	if s.hi != p.hi {
		f.end, f.joinHi = p.at(s.hi), false
	}
}

// certified reports whether the piece's element, or the two of a vertex, belong to
// a run, so that its nearest neighbours leave it alone.
func (o *offsetter) certified(lp *loop, p *piece) bool {
	return o.reach[lp.before(p.elem)] > 0 || (!p.vertex && o.reach[p.elem] > 0)
}

// gallop cuts a piece by elements of its own loop ever further away on both sides.
// Where the boundary bends more sharply than the cutter, or slots are narrower,
// one of the first few swallows the piece, and no search is needed.
func (o *offsetter) gallop(p *piece) {
	lp := &o.t.loops[o.t.owner[p.elem]]
	at := p.elem - lp.first
	for step := int32(1); step <= lp.n/2 && step < 4096; step *= 2 {
		for _, k := range [2]int32{at + step, at - step} {
			if k >= lp.n || k < 0 {
				if !lp.closed {
					continue
				}
				k = (k + lp.n) % lp.n
			}
			o.cut(p, lp.first+k)
			if len(o.work.rest) == 0 {
				return
			}
		}
	}
}

// findLeaves collects the leaves that may cut the pieces of leaf n, which lie in
// the box around and belong to elements from to n.last of its loop.
func (o *offsetter) findLeaves(n *node, from int32, around box) {
	w := &o.work
	w.leaves = w.leaves[:0]
	if around.x0 > around.x1 {
		return
	}
	t := o.t
	lp := &t.loops[n.loop]
	d2 := o.cover * o.cover
	w.stack = append(w.stack[:0], t.root)
	for len(w.stack) > 0 {
		at := w.stack[len(w.stack)-1]
		w.stack = w.stack[:len(w.stack)-1]
		b := &t.nodes[at]
		if b.box.apart2(&around) >= d2 {
			continue
		}
		if b.loop == n.loop {
			if b == n {
				steps := n.last - n.first
				if from != n.first {
					steps++
				}
				if steps <= o.reach[from] {
					continue
				}
			} else if b.last < n.first || b.first > n.last {
				if o.runCovers(lp, from, n.last, b.first, b.last) {
					continue
				}
			}
		}
		if b.child < 0 {
			w.leaves = append(w.leaves, at)
			continue
		}
		for k := b.child + b.children - 1; k >= b.child; k-- {
			w.stack = append(w.stack, k)
		}
	}
}

// runCovers reports whether elements from to last, which may begin before the
// loop's start, and another stretch of the loop, b0 to b1, lie in one run.
func (o *offsetter) runCovers(lp *loop, from, last, b0, b1 int32) bool {
	if b0 <= from && from <= b1 {
		// The vertex at the start of the leaf has its other element there.
		return follows(o.reach, lp, b0, last)
	}
	return follows(o.reach, lp, from, b1) || follows(o.reach, lp, b0, last)
}

// cutByLeaves cuts a piece by the elements of the leaves found.
func (o *offsetter) cutByLeaves(p *piece) {
	w, t := &o.work, o.t
	lp := &t.loops[t.owner[p.elem]]
	mid, half := p.ball(w.rest)
	for _, leaf := range w.leaves {
		n := &t.nodes[leaf]
		far := o.cover + half
		if n.box.dist2(mid) >= far*far {
			continue
		}
		own := t.owner[n.first] == t.owner[p.elem]
		for j := n.first; j <= n.last; j++ {
			if own {
				if j == p.elem && !p.vertex {
					continue
				}
				if o.pieceRun(lp, p, j) {
					continue
				}
			}
			if t.elems[j].dist(mid) >= o.cover+half {
				continue
			}
			o.cut(p, j)
			if len(w.rest) == 0 {
				return
			}
			mid, half = p.ball(w.rest)
		}
	}
}

// pieceRun reports whether the run that certifies a piece holds element j.
func (o *offsetter) pieceRun(lp *loop, p *piece, j int32) bool {
	if !p.vertex {
		return follows(o.reach, lp, p.elem, j) || follows(o.reach, lp, j, p.elem)
	}
	before := lp.before(p.elem)
	if j == before || j == p.elem {
		return o.reach[before] > 0
	}
	return follows(o.reach, lp, before, j) || follows(o.reach, lp, j, p.elem)
}

// ball is a disc around what is left of a piece.
func (p *piece) ball(rest []span) (mid vec, radius float64) {
	lo, hi := rest[0].lo, rest[len(rest)-1].hi
	radius = (hi - lo) / 2
	if p.turn != 0 && radius > 2*p.rad {
		return p.p, p.rad
	}
	return p.at((lo + hi) / 2), radius
}

// total length of a fragment, mm.
func (f *frag) len() float64 { return math.Abs(f.t1 - f.t0) }
