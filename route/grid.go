package route

import (
	"math"

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

// setOf is a set of pieces that belong to nothing.
func setOf(ps []piece) *edges { return newEdges(ps, make([]int32, len(ps))) }

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

// distance is how far q lies from the set, however far; +Inf where that is empty.
func (e *edges) distance(q orb.Point) float64 {
	if d, k, _ := e.near(q, e.cell); k >= 0 {
		return d
	}
	best := math.Inf(1)
	for i := range e.pieces {
		d, _ := e.pieces[i].to(q)
		best = min(best, d)
	}
	return best
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
	return e.clearanceOf(p, limit, func(int32) bool { return true })
}

// clearanceOf is clearance for the pieces of which keep says so.
func (e *edges) clearanceOf(p *piece, limit float64, keep func(owner int32) bool) (d float64, index int, at orb.Point) {
	d, index = math.Inf(1), -1
	e.along(p, limit, func(c int) {
		for _, i := range e.list[e.first[c]:e.first[c+1]] {
			if !keep(e.owner[i]) {
				continue
			}
			di, f := p.between(&e.pieces[i])
			if di <= limit && (di < d || di == d && int(i) < index) {
				d, index, at = di, int(i), f
			}
		}
	})
	return d, index, at
}
