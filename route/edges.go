package route

import (
	"math"

	"github.com/paulmach/orb"
)

// edges is a set of pieces in a tree of boxes, so that questions about the
// neighbourhood of a place cost what stands there. Read-only once built.
type edges struct {
	pieces []piece
	owner  []int32 // what each piece belongs to
	boxes  boxes

	spans []span    // for inside tests: the pieces cut where they turn in y
	rows  [][]int32 // spans by row; nil: not sorted
	row   float64   // mm, the height of a row
	low   float64   // mm, y of the lowest
}

func newEdges(ps []piece, owner []int32) *edges {
	return &edges{pieces: ps, owner: owner, boxes: newBoxes(ps)}
}

// setOf is a set of pieces that belong to nothing.
func setOf(ps []piece) *edges { return newEdges(ps, make([]int32, len(ps))) }

// each visits the pieces that may come within reach mm of a piece, and some others
// near them, each at least once.
func (e *edges) each(p *piece, reach float64, visit func(i int)) {
	p.parts(func(b orb.Bound) {
		e.boxes.visit(b, reach, func(first, end int) float64 {
			for i := first; i < end; i++ {
				visit(i)
			}
			return reach
		})
	})
}

// near returns the piece nearest to q among those within limit mm; index -1
// when there is none. Ties go to the lower index.
func (e *edges) near(q orb.Point, limit float64) (d float64, index int, foot orb.Point) {
	return e.nearOf(q, limit, func(int32) bool { return true })
}

// distance is how far q lies from the set, however far; +Inf where that is empty.
func (e *edges) distance(q orb.Point) float64 {
	d, _, _ := e.near(q, math.Inf(1))
	return d
}

// nearOf is near for the pieces of which keep says so.
func (e *edges) nearOf(q orb.Point, limit float64, keep func(owner int32) bool) (d float64, index int, foot orb.Point) {
	var n nearest
	n.start(limit)
	e.boxes.visit(orb.Bound{Min: q, Max: q}, limit, func(first, end int) float64 {
		for i := first; i < end; i++ {
			if keep(e.owner[i]) {
				d, at := e.pieces[i].to(q)
				n.take(d, i, at)
			}
		}
		return n.reach()
	})
	return n.d, n.index, n.at
}

// clearance is the least distance of a piece from the set as far as limit mm,
// with the piece met and the place on p; index -1 when all is farther off.
func (e *edges) clearance(p *piece, limit float64) (d float64, index int, at orb.Point) {
	return e.clearanceOf(p, limit, func(int32) bool { return true })
}

// clearanceOf is clearance for the pieces of which keep says so.
func (e *edges) clearanceOf(p *piece, limit float64, keep func(owner int32) bool) (d float64, index int, at orb.Point) {
	var n nearest
	n.start(limit)
	p.parts(func(b orb.Bound) {
		e.boxes.visit(b, n.reach(), func(first, end int) float64 {
			for i := first; i < end; i++ {
				if keep(e.owner[i]) {
					d, at := p.between(&e.pieces[i])
					n.take(d, i, at)
				}
			}
			return n.reach()
		})
	})
	return n.d, n.index, n.at
}

// nearest is the nearest piece so far, as far as limit mm.
type nearest struct {
	limit, d float64
	index    int // -1: none
	at       orb.Point
}

func (n *nearest) start(limit float64) { *n = nearest{limit: limit, d: math.Inf(1), index: -1} }

// reach is how far off a piece may be and still be looked at.
func (n *nearest) reach() float64 { return min(n.limit, n.d) }

// take keeps a piece if it is nearer, or as near and of a lower index.
func (n *nearest) take(d float64, i int, at orb.Point) {
	if d <= n.limit && (d < n.d || d == n.d && i < n.index) {
		n.d, n.index, n.at = d, i, at
	}
}
