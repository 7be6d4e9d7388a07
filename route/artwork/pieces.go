package artwork

import (
	"math"
	"slices"
)

// piece is a set of strokes that hang together and close nothing.
type piece struct {
	edges  []edge
	box    rect
	ends   []point // loose ends, in the order of the strokes
	length float64 // nm
	stroke int32   // the first of its strokes
	text   bool
	used   bool // made into a cut-out
}

// newPieces gathers loose edges that hang together, in the order of their first.
func newPieces(g *graph, loose []int32) []piece {
	live := make(map[int32]bool, len(loose))
	for _, e := range loose {
		live[e] = true
	}
	var out []piece
	for _, first := range loose {
		if !live[first] {
			continue
		}
		part := g.together(first, func(e int32) bool { return live[e] }, func(int32) {})
		p := piece{box: nowhere(), stroke: math.MaxInt32}
		degree := make(map[int32]int, len(part))
		for _, e := range part {
			live[e] = false
			for s := range 2 {
				degree[g.root(g.node[e][s])]++
			}
		}
		for _, e := range part {
			x := g.edges[e]
			p.edges = append(p.edges, x)
			p.box = p.box.union(x.box())
			p.length += x.length()
			p.stroke = min(p.stroke, x.stroke)
			for s, at := range [2]point{x.from, x.to} {
				if degree[g.root(g.node[e][s])] == 1 {
					p.ends = append(p.ends, at)
				}
			}
		}
		out = append(out, p)
	}
	return out
}

// straight reports whether the piece is lines only.
func (p *piece) straight() bool {
	return !slices.ContainsFunc(p.edges, func(e edge) bool { return e.turn != 0 })
}

// width is the least width of its strokes, mm.
func (p *piece) width() float64 {
	w := math.Inf(1)
	for _, e := range p.edges {
		w = min(w, e.width)
	}
	return w
}

// implied reports whether it is the stroke without a start point alone.
func (m *maker) implied(p *piece) bool {
	return len(p.edges) == 1 && p.stroke >= 0 && m.layer.Strokes[p.stroke].Implied
}
