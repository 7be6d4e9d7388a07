package route

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// A routed half hole crosses an edge of its board, and what of either lies beyond
// the other is no edge of the finished board: paths of the hole cross the
// board's edge, and those of the board pass the hole's outer side. So the
// cutter keeps off the one set of edges in holes and off the other elsewhere.

// keepOff returns the edges of the panel that a cutter keeps off and follows: in
// holes, or along outlines and in cut-outs. Owners are indices into l.loops.
func (l *Layout) keepOff(inHoles bool) *edges {
	half := func(o *loop) bool { return o.hole && l.Input.Holes[o.number].Half }
	holes := edgesOf(l.loops, half)
	if len(holes.pieces) == 0 {
		return edgesOf(l.loops, func(*loop) bool { return true })
	}
	boards := edgesOf(l.loops, func(o *loop) bool { return !o.hole })
	var ps []piece
	var owner []int32
	for i := range l.loops {
		o := &l.loops[i]
		kept := o.ps
		switch {
		case inHoles && !o.hole:
			kept = o.parts(func(q orb.Point) bool { return !holes.within(q, func(int32) bool { return true }) })
		case !inHoles && half(o):
			kept = o.parts(func(q orb.Point) bool { return boards.material(q, l.loops) })
		}
		for _, p := range kept {
			ps, owner = append(ps, p), append(owner, int32(i))
		}
	}
	return newEdges(ps, owner)
}

// parts are the pieces of a loop where keep says so.
func (l *loop) parts(keep func(q orb.Point) bool) []piece {
	r := newRuler(l.line)
	stretches, whole := r.trim(func(q, _ orb.Point) bool { return keep(q) })
	if whole {
		return l.ps
	}
	var out []piece
	for _, k := range stretches {
		out = append(out, pieces(r.cut(k.s, k.t))...)
	}
	return out
}

// clearOthers refuses a half hole that reaches beyond its board's channel into
// another board. Boards flush on an edge share the holes on it.
func (l *Layout) clearOthers(hole int, outlines *edges) error {
	h := l.Input.Holes[hole]
	r := l.Input.Rules.Allowance.Target(h.Size) / 2
	p := centreLine(h)
	own, to := -1, 0.0
	for i := range l.loops {
		if o := &l.loops[i]; !o.inner() && o.inside(h.At) {
			own = o.board
		}
	}
	if own < 0 {
		d, k, _ := outlines.clearance(&p, r)
		if k < 0 {
			return nil
		}
		own, to = l.loops[outlines.owner[k]].board, d
	}
	d, k, at := outlines.clearanceOf(&p, r, func(owner int32) bool { return l.loops[owner].board != own })
	if k < 0 || d <= to+onLine || d >= r-onLine {
		return nil
	}
	board := l.loops[outlines.owner[k]].board
	return l.cutHole(hole, board, at, fmt.Sprintf("it is a half hole of board %d and reaches %.3f mm into board %d", own, r-d, board))
}

// overHalfHole tells whether a tab's edge comes to a declared half hole: there
// is no edge left for it to hold.
func (l *Layout) overHalfHole(edge *piece) bool {
	return slices.ContainsFunc(l.holesAt(edge, 0), func(m metHole) bool { return l.Input.Holes[m.hole].Half })
}
