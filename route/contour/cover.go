package contour

import "math"

// fragNoise is the shortest stretch of a piece that is kept, mm: shorter ones are
// rounding between two cuts at one place.
const fragNoise = 1e-10

// A span is a stretch of a piece's parameter.
type span struct{ lo, hi float64 }

// scratch is memory reused from piece to piece.
type scratch struct {
	rest   []span // what is left of the piece at hand, ascending
	spare  []span
	leaves []int32
	stack  []int32
	cuts   []float64
	pieces []piece

	// What galloping left of pieces of a leaf, one after the other.
	galloped []rest
	spans    []span
}

// rest tells where in the spans what is left of a piece lies.
type rest struct{ piece, from, to int32 }

// keep notes what is left of a piece, to go on with later.
func (w *scratch) keep(piece int) {
	from := len(w.spans)
	w.spans = append(w.spans, w.rest...)
	w.galloped = append(w.galloped, rest{int32(piece), int32(from), int32(len(w.spans))})
}

// remove takes the open stretch from lo to hi out of what is left.
func (w *scratch) remove(lo, hi float64) {
	if !(lo < hi) {
		return
	}
	n := len(w.rest)
	if n == 0 || hi <= w.rest[0].lo || lo >= w.rest[n-1].hi {
		return
	}
	out := w.spare[:0]
	for _, s := range w.rest {
		if hi <= s.lo || lo >= s.hi {
			out = append(out, s)
			continue
		}
		if lo-s.lo > fragNoise {
			out = append(out, span{s.lo, lo})
		}
		if s.hi-hi > fragNoise {
			out = append(out, span{hi, s.hi})
		}
	}
	w.rest, w.spare = out, w.rest
}

// cut takes out of what is left of a piece all that lies nearer than the cover
// distance to element j: to its body, and to the disc about its start. Where an
// open loop ends, the disc about its end counts as well.
func (o *offsetter) cut(p *piece, j int32) {
	e := &o.t.elems[j]
	lp := &o.t.loops[o.t.owner[j]]
	ends := !lp.closed && j == lp.first+lp.n-1
	switch {
	case p.turn == 0:
		o.cutLineDisc(p, e.a)
		if ends {
			o.cutLineDisc(p, e.b)
		}
		if e.turn == 0 {
			o.cutLineLine(p, e)
		} else {
			o.cutLineArc(p, e)
		}
	default:
		if o.t.touch && p.vertex && j < p.elem && e.a.dist(p.p) <= meetDistance {
			o.cutTwin(p, j)
		}
		o.cutArcDisc(p, e.a)
		if ends {
			o.cutArcDisc(p, e.b)
		}
		o.cutArcBody(p, e)
	}
}

// cutTwin cuts the arc about a vertex by the one about a vertex of another loop at
// the same point, of which only one may stay.
func (o *offsetter) cutTwin(p *piece, j int32) {
	lp := &o.t.loops[o.t.owner[j]]
	if o.joint[j] != jointConvex || (!lp.closed && j == lp.first) {
		return
	}
	var q piece
	o.setCorner(&q, lp, j)
	from := p.param(q.u)
	full := 2 * math.Pi * p.rad
	for _, shift := range [3]float64{0, full, -full} {
		o.work.remove(from+shift, from+q.len+shift)
	}
}

func (o *offsetter) cutLineDisc(p *piece, v vec) {
	w := v.sub(p.p)
	h := w.cross(p.u)
	if q := float64(o.cover*o.cover) - float64(h*h); q > 0 {
		m, half := w.dot(p.u), math.Sqrt(q)
		o.work.remove(m-half, m+half)
	}
}

// cutLineLine clips the piece's line against the rectangle around a line, by the
// parameters where it enters and leaves each pair of parallel sides.
func (o *offsetter) cutLineLine(p *piece, e *elem) {
	w := p.p.sub(e.a)
	lo, hi, ok := slab(w.dot(e.dir()), p.u.dot(e.dir()), 0, e.len)
	if !ok {
		return
	}
	lo2, hi2, ok := slab(e.dir().cross(w), e.dir().cross(p.u), -o.cover, o.cover)
	if ok {
		o.work.remove(max(lo, lo2), min(hi, hi2))
	}
}

// slab gives the parameters t with from < at + t rate < to.
func slab(at, rate, from, to float64) (lo, hi float64, ok bool) {
	if math.Abs(rate) < 1e-15 {
		return math.Inf(-1), math.Inf(1), at > from && at < to
	}
	lo, hi = (from-at)/rate, (to-at)/rate
	if lo > hi {
		lo, hi = hi, lo
	}
	return lo, hi, true
}

// cutLineArc cuts a line by the sector of a ring around an arc.
func (o *offsetter) cutLineArc(p *piece, e *elem) {
	w := e.centre().sub(p.p)
	h := w.cross(p.u)
	outer := e.r + o.cover
	q := float64((outer - h) * (outer + h))
	if q <= 0 {
		return
	}
	m, half := w.dot(p.u), math.Sqrt(q)
	cuts := append(o.work.cuts[:0], m-half, m+half)
	if inner := e.r - o.cover; inner > 0 {
		if q := float64((inner - h) * (inner + h)); q > 0 {
			half := math.Sqrt(q)
			cuts = append(cuts, m-half, m+half)
		}
	}
	if !e.full {
		for _, end := range [2]vec{e.a, e.b} {
			d := end.sub(e.centre())
			if rate := d.cross(p.u); math.Abs(rate) > 1e-15*e.r {
				cuts = append(cuts, d.cross(w)/rate)
			}
		}
	}
	o.cutBetween(p, e, cuts)
}

func (o *offsetter) cutArcDisc(p *piece, v vec) {
	w := v.sub(p.p)
	d := w.norm()
	if d >= p.rad+o.cover || p.rad >= d+o.cover {
		return
	}
	if o.cover >= d+p.rad {
		o.work.rest = o.work.rest[:0]
		return
	}
	// Where the circles cross, seen from the piece's centre: s along w, h across.
	s := (d + float64((p.rad-o.cover)*(p.rad+o.cover))/d) / 2
	h := math.Sqrt(math.Max(0, float64((p.rad-s)*(p.rad+s))))
	half := math.Atan2(h, s) * p.rad
	m := p.u.angleTo(w) * float64(p.turn) * p.rad
	// The piece runs from 0 to at most a full turn, the cut may come round.
	full := 2 * math.Pi * p.rad
	for _, shift := range [3]float64{0, full, -full} {
		o.work.remove(m-half+shift, m+half+shift)
	}
}

// param is the parameter of the direction d from the centre of an arc piece.
func (p *piece) param(d vec) float64 {
	t := p.u.angleTo(d) * float64(p.turn)
	if t < 0 {
		t += 2 * math.Pi
	}
	return t * p.rad
}

// cutArcBody cuts an arc piece by the body around an element: all places where it
// crosses the curves that bound the body are found, and what is between two of
// them is in or out as its middle is.
func (o *offsetter) cutArcBody(p *piece, e *elem) {
	cuts := o.work.cuts[:0]
	if e.turn == 0 {
		w := e.a.sub(p.p)
		n := e.dir().left()
		across := w.dot(n)
		cuts = p.crossLine(cuts, n, across-o.cover)
		cuts = p.crossLine(cuts, n, across+o.cover)
		along := w.dot(e.dir())
		cuts = p.crossLine(cuts, e.dir(), along)
		cuts = p.crossLine(cuts, e.dir(), along+e.len)
	} else {
		w := e.centre().sub(p.p)
		cuts = p.crossCircle(cuts, w, e.r+o.cover)
		if e.r > o.cover {
			cuts = p.crossCircle(cuts, w, e.r-o.cover)
		}
		if !e.full {
			for _, end := range [2]vec{e.a, e.b} {
				n := end.sub(e.centre()).scale(1 / e.r).left()
				cuts = p.crossLine(cuts, n, w.dot(n))
			}
		}
	}
	o.cutBetween(p, e, cuts)
}

// crossLine appends where the piece's circle meets the line of points x with
// n.x = d, counted from the circle's centre.
func (p *piece) crossLine(cuts []float64, n vec, d float64) []float64 {
	q := float64((p.rad - d) * (p.rad + d))
	if q <= 0 {
		return cuts
	}
	h := math.Sqrt(q)
	f := n.scale(d)
	return append(cuts, p.param(f.along(n.left(), h)), p.param(f.along(n.left(), -h)))
}

// crossCircle appends where the piece's circle meets the circle of radius r about
// w, counted from the circle's centre.
func (p *piece) crossCircle(cuts []float64, w vec, r float64) []float64 {
	d := w.norm()
	if d >= p.rad+r || d <= math.Abs(p.rad-r) {
		return cuts
	}
	s := (d + float64((p.rad-r)*(p.rad+r))/d) / 2
	h := math.Sqrt(math.Max(0, float64((p.rad-s)*(p.rad+s))))
	u := w.scale(1 / d)
	f := u.scale(s)
	return append(cuts, p.param(f.along(u.left(), h)), p.param(f.along(u.left(), -h)))
}

// cutBetween removes what lies between neighbouring cuts and has its middle in the
// body around e.
func (o *offsetter) cutBetween(p *piece, e *elem, cuts []float64) {
	w := &o.work
	w.cuts = cuts
	n := len(w.rest)
	if n == 0 {
		return
	}
	lo, hi := w.rest[0].lo, w.rest[n-1].hi
	// Few cuts: insertion sort.
	for i := 1; i < len(cuts); i++ {
		for k := i; k > 0 && cuts[k] < cuts[k-1]; k-- {
			cuts[k], cuts[k-1] = cuts[k-1], cuts[k]
		}
	}
	from := lo
	start, inside := lo, false
	step := func(to float64) {
		if !(to > from) {
			return
		}
		in := o.inBody(e, p.at((from+to)/2))
		if in && !inside {
			start = from
		}
		if !in && inside {
			w.remove(start, from)
		}
		inside, from = in, to
	}
	for _, c := range cuts {
		if c > lo && c < hi {
			step(c)
		}
	}
	step(hi)
	if inside {
		// Open towards the end of the piece.
		if start <= lo {
			start = math.Inf(-1)
		}
		w.remove(start, math.Inf(1))
	}
}

// inBody reports whether q is nearer than the cover distance to the inside of the
// element, its ends' discs apart.
func (o *offsetter) inBody(e *elem, q vec) bool {
	if e.turn == 0 {
		d := q.sub(e.a)
		s := d.dot(e.dir())
		return s >= 0 && s <= e.len && math.Abs(d.cross(e.dir())) < o.cover
	}
	d := q.sub(e.centre())
	return math.Abs(d.norm()-e.r) < o.cover && e.spans(d)
}
