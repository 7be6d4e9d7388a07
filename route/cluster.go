package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// heldByScores tells, by placement, which boards score lines hold to the
// panel's frame: those with a scored edge that faces scrap wide enough to stay
// between the channels, and those that hang on such a board by scored edges.
func (l *Layout) heldByScores(all *edges) []bool {
	n := len(l.Input.Panel.Boards)
	held := make([]bool, n)
	parent := make([]int, n)
	for i := range parent {
		parent[i] = i
	}
	var find func(int) int
	find = func(i int) int {
		if parent[i] != i {
			parent[i] = find(parent[i])
		}
		return parent[i]
	}
	for i := range l.loops {
		o := &l.loops[i]
		for k := range o.ps {
			if o.inner() || !o.scored[k] {
				continue
			}
			faces, board := l.facesOver(o, k, all)
			switch {
			case board >= 0:
				parent[find(board)] = find(o.board)
			case faces:
				held[o.board] = true
			}
		}
	}
	frame := make([]bool, n)
	for i := range held {
		if held[i] {
			frame[find(i)] = true
		}
	}
	for i := range held {
		held[i] = frame[find(i)]
	}
	return held
}

// facesOver looks out from the middle of a scored edge: at the board it meets,
// or -1 and whether there is scrap enough to hold on to.
func (l *Layout) facesOver(o *loop, k int, all *edges) (scrap bool, board int) {
	out := o.outward(k)
	at := o.ps[k].at(o.ps[k].length / 2)
	from := along(at, out, 10*onLine)
	far := along(at, out, 2*l.Cutter.Diameter+bar)
	p := newPiece(from, contour.Move{To: far})
	best, board := -1.0, -1
	all.each(&p, 0, func(i int) {
		b := l.loops[all.owner[i]].board
		if b == o.board {
			return
		}
		if q, ok := p.meets(&all.pieces[i]); ok && (best < 0 || gap(from, q) < best) {
			best, board = gap(from, q), b
		}
	})
	if board < 0 {
		// A flush board has its edge behind the ray's start: the ray is inside it.
		all.crossings(from, func(owner int32) {
			if b := l.loops[owner].board; b != o.board && l.loops[owner].inside(from) {
				board = b
			}
		})
	}
	return l.Input.Panel.Bound().Contains(orb.Point(along(at, out, l.Cutter.Diameter))), board
}
