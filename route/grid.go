package route

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// edges is a set of pieces in a grid of square cells, so that questions about
// the neighbourhood of a point cost what stands there. Read-only once built.
type edges struct {
	pieces []piece
	owner  []int32 // what each piece belongs to
	cell   float64 // mm
	origin orb.Point
	nx, ny int
	first  []int32   // by cell: where its list begins; one more at the end
	list   []int32   // pieces by cell
	spans  []span    // for inside tests: the pieces cut where they turn in y
	rows   [][]int32 // spans by row of cells
}

// maxCells bounds a grid's memory.
const maxCells = 1 << 20

func newEdges(ps []piece, owner []int32) *edges {
	e := &edges{pieces: ps, owner: owner, cell: 2, nx: 1, ny: 1}
	if len(ps) == 0 {
		e.first = make([]int32, 2)
		return e
	}
	all := ps[0].box()
	for i := range ps {
		all = all.Union(ps[i].box())
	}
	w, h := all.Max[0]-all.Min[0], all.Max[1]-all.Min[1]
	e.cell = max(2, math.Sqrt(float64((w+1)*(h+1))/maxCells)*1.1)
	e.origin = all.Min
	e.nx, e.ny = int(w/e.cell)+1, int(h/e.cell)+1
	e.first = make([]int32, e.nx*e.ny+1)
	for i := range ps {
		e.along(&ps[i], 0, func(c int) { e.first[c+1]++ })
	}
	for c := range e.nx * e.ny {
		e.first[c+1] += e.first[c]
	}
	e.list = make([]int32, e.first[len(e.first)-1])
	next := append([]int32(nil), e.first...)
	for i := range ps {
		e.along(&ps[i], 0, func(c int) {
			e.list[next[c]] = int32(i)
			next[c]++
		})
	}
	return e
}

func (e *edges) cells(b orb.Bound, visit func(c int)) {
	x0, x1 := e.column(b.Min[0], 0, e.nx), e.column(b.Max[0], 0, e.nx)
	y0, y1 := e.column(b.Min[1], 1, e.ny), e.column(b.Max[1], 1, e.ny)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			visit(y*e.nx + x)
		}
	}
}

// along visits the cells within pad mm of a piece, some of them more than once:
// those of the boxes round short parts of it, so that a long slanting piece
// does not visit all of its own box.
func (e *edges) along(p *piece, pad float64, visit func(c int)) {
	const part = 8 // cells
	n := int(math.Ceil(p.length / (part * e.cell)))
	if n <= 1 {
		e.cells(p.box().Pad(pad), visit)
		return
	}
	a := p.a
	for k := 1; k <= n; k++ {
		b := p.at(p.length * float64(k) / float64(n))
		q := newPiece(a, contour.Move{To: b, Center: p.c, Turn: p.turn})
		e.cells(q.box().Pad(pad), visit)
		a = b
	}
}

func (e *edges) column(v float64, axis, n int) int {
	return int(min(max((v-e.origin[axis])/e.cell, 0), float64(n-1)))
}

// near returns the piece nearest to q among those within limit mm; index -1
// when there is none. Ties go to the lower index.
func (e *edges) near(q orb.Point, limit float64) (d float64, index int, foot orb.Point) {
	d, index = math.Inf(1), -1
	e.cells(orb.Bound{Min: q, Max: q}.Pad(limit), func(c int) {
		for _, i := range e.list[e.first[c]:e.first[c+1]] {
			di, f := e.pieces[i].to(q)
			if di <= limit && (di < d || di == d && int(i) < index) {
				d, index, foot = di, int(i), f
			}
		}
	})
	return d, index, foot
}

// nearOf is near for the pieces of which keep says so.
func (e *edges) nearOf(q orb.Point, limit float64, keep func(owner int32) bool) (d float64, index int, foot orb.Point) {
	d, index = math.Inf(1), -1
	e.cells(orb.Bound{Min: q, Max: q}.Pad(limit), func(c int) {
		for _, i := range e.list[e.first[c]:e.first[c+1]] {
			if !keep(e.owner[i]) {
				continue
			}
			di, f := e.pieces[i].to(q)
			if di <= limit && (di < d || di == d && int(i) < index) {
				d, index, foot = di, int(i), f
			}
		}
	})
	return d, index, foot
}

// clearance is the least distance of a piece from the set as far as limit mm,
// with the piece met and the place on p; index -1 when all is farther off.
func (e *edges) clearance(p *piece, limit float64) (d float64, index int, at orb.Point) {
	d, index = math.Inf(1), -1
	e.along(p, limit, func(c int) {
		for _, i := range e.list[e.first[c]:e.first[c+1]] {
			di, f := p.between(&e.pieces[i])
			if di <= limit && (di < d || di == d && int(i) < index) {
				d, index, at = di, int(i), f
			}
		}
	})
	return d, index, at
}

// span is a piece, or a part of an arc, that runs one way in y.
type span struct {
	lo, hi float64 // mm, y
	a, b   orb.Point
	c      orb.Point
	r      float64 // 0: a line
	side   float64 // arcs: +1 right of the centre, -1 left
	owner  int32
}

// monotone fills spans; the inside tests need it.
func (e *edges) monotone() {
	for i := range e.pieces {
		p := &e.pieces[i]
		if p.turn == 0 {
			e.addSpan(span{a: p.a, b: p.b, owner: e.owner[i]}, p.a[1], p.b[1])
			continue
		}
		// Cut where the arc is highest and lowest: at those angles.
		cuts := []float64{0}
		for _, top := range [2]float64{math.Pi / 2, -math.Pi / 2} {
			if t := positive(float64(p.turn) * (top - p.from)); t < p.sweep {
				cuts = append(cuts, t)
			}
		}
		cuts = append(cuts, p.sweep)
		if len(cuts) == 4 && cuts[1] > cuts[2] {
			cuts[1], cuts[2] = cuts[2], cuts[1]
		}
		for k := 1; k < len(cuts); k++ {
			mid := p.from + float64(float64(p.turn)*(cuts[k-1]+cuts[k])/2)
			s := span{c: p.c, r: p.r, side: 1, owner: e.owner[i]}
			if math.Cos(mid) < 0 {
				s.side = -1
			}
			e.addSpan(s, p.height(cuts[k-1], k == 1), p.height(cuts[k], k == len(cuts)-1))
		}
	}
}

// height is the y of the arc at an angle past its start: exact at its ends and
// at its extremes, which is all it is asked for.
func (p *piece) height(t float64, end bool) float64 {
	switch {
	case end && t == 0:
		return p.a[1]
	case end:
		return p.b[1]
	case math.Sin(p.from+float64(float64(p.turn)*t)) > 0:
		return p.c[1] + p.r
	}
	return p.c[1] - p.r
}

func (e *edges) addSpan(s span, y0, y1 float64) {
	s.lo, s.hi = min(y0, y1), max(y0, y1)
	if s.lo >= s.hi {
		return
	}
	if e.rows == nil {
		e.rows = make([][]int32, e.ny)
	}
	for y := e.column(s.lo, 1, e.ny); y <= e.column(s.hi, 1, e.ny); y++ {
		e.rows[y] = append(e.rows[y], int32(len(e.spans)))
	}
	e.spans = append(e.spans, s)
}

// crossings counts, by owner, how often the ray from q to the right meets the
// set; visit gets each owner met. An odd count of a closed contour means that
// q lies inside it. Lower ends count, upper ends do not.
func (e *edges) crossings(q orb.Point, visit func(owner int32)) {
	if e.rows == nil {
		return
	}
	for _, i := range e.rows[e.column(q[1], 1, e.ny)] {
		s := &e.spans[i]
		if q[1] < s.lo || q[1] >= s.hi {
			continue
		}
		var x float64
		if s.r == 0 {
			x = s.a[0] + float64((s.b[0]-s.a[0])*((q[1]-s.a[1])/(s.b[1]-s.a[1])))
		} else {
			dy := q[1] - s.c[1]
			x = s.c[0] + float64(s.side*math.Sqrt(max(0, float64(s.r*s.r)-float64(dy*dy))))
		}
		if x > q[0] {
			visit(s.owner)
		}
	}
}

// within tells whether q lies inside a closed contour of an owner that keep
// says so of; contours of one owner must not lie in each other.
func (e *edges) within(q orb.Point, keep func(owner int32) bool) bool {
	var buf [16]int32
	odd := buf[:0] // owners met an odd number of times so far: few at any place
	e.crossings(q, func(owner int32) {
		if !keep(owner) {
			return
		}
		if k := slices.Index(odd, owner); k >= 0 {
			odd[k] = odd[len(odd)-1]
			odd = odd[:len(odd)-1]
			return
		}
		odd = append(odd, owner)
	})
	return len(odd) > 0
}
