package artwork

import (
	"cmp"
	"math"
	"slices"
)

// graph is the strokes as edges between nodes: the places where they end.
type graph struct {
	edges []edge
	node  [][2]int32 // of each edge's ends
	at    []point    // of each node
	uses  [][]end    // edges at each node
	into  []int32    // the node that each node was joined to, itself where none
	gaps  []gap      // the joins made

	leaves  []leave // of each edge forward and back
	circles []edge  // whole circles: loops by themselves
}

// end is one end of an edge: 0 its start, 1 its end.
type end struct {
	edge int32
	side int8
}

// gap is a join of two nodes.
type gap struct {
	a, b  int32
	width float64 // nm
}

// nodeWithin is how far an end may lie from a node and still be at it, nm. A
// node stays where its first end is, so that ends cannot creep together.
const nodeWithin = sameWithin

// newGraph finds the nodes of edges. Edges whose ends are at one node vanish, unless
// they are circles that stand alone: an arc between two other strokes that ends
// where it starts was too short to write. It returns those that vanished.
func newGraph(edges []edge) (*graph, []edge) {
	g := &graph{}
	cells := map[[2]int64][]int32{}
	cell := func(v int64) int64 { return int64(math.Floor(float64(v) / nodeWithin)) }
	find := func(p point) int32 {
		cx, cy := cell(p[0]), cell(p[1])
		best, least := int32(-1), math.Inf(1)
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, k := range cells[[2]int64{cx + dx, cy + dy}] {
					if d := g.at[k].distance(p); d <= nodeWithin && d < least {
						best, least = k, d
					}
				}
			}
		}
		if best >= 0 {
			return best
		}
		k := int32(len(g.at))
		g.at = append(g.at, p)
		cells[[2]int64{cx, cy}] = append(cells[[2]int64{cx, cy}], k)
		return k
	}
	var vanished, rounds []edge
	var roundAt []int32
	for _, e := range edges {
		a, b := find(e.from), find(e.to)
		if a == b {
			if e.turn != 0 && e.sweep() > math.Pi {
				rounds, roundAt = append(rounds, e), append(roundAt, a)
			} else {
				vanished = append(vanished, e)
			}
			continue
		}
		g.edges = append(g.edges, e)
		g.node = append(g.node, [2]int32{a, b})
	}
	g.into = make([]int32, len(g.at))
	for i := range g.into {
		g.into[i] = int32(i)
	}
	g.index()
	for i, e := range rounds {
		if g.between(e, g.uses[roundAt[i]]) {
			vanished = append(vanished, e)
			continue
		}
		e.to = e.from
		g.circles = append(g.circles, e)
	}
	return g, vanished
}

// between reports whether an arc that comes back to its start stands between two
// other strokes: then it was too short to write. Where its ends are the same to
// the nanometre, only the strokes just before and after it in the file tell.
func (g *graph) between(e edge, uses []end) bool {
	if len(uses) != 2 {
		return false
	}
	a, b := g.edges[uses[0].edge].stroke, g.edges[uses[1].edge].stroke
	return !e.full() || min(a, b) == e.stroke-1 && max(a, b) == e.stroke+1
}

// root is the node that a node stands for after joins.
func (g *graph) root(n int32) int32 {
	for g.into[n] != n {
		g.into[n] = g.into[g.into[n]]
		n = g.into[n]
	}
	return n
}

// index lists the edges at each node.
func (g *graph) index() {
	g.uses = make([][]end, len(g.at))
	for i := range g.edges {
		for side := range int8(2) {
			n := g.root(g.node[i][side])
			g.uses[n] = append(g.uses[n], end{int32(i), side})
		}
	}
}

// join closes gaps up to the widest tolerance, nm: first two loose ends each, the
// nearest first, then a loose end and the nearest node.
func (g *graph) join(within float64) {
	pairs := g.pairs(within, func(n int32) bool { return len(g.uses[n]) == 1 })
	for _, p := range pairs {
		if len(g.uses[p.a]) != 1 || len(g.uses[p.b]) != 1 || g.root(p.a) != p.a || g.root(p.b) != p.b || g.short(p) {
			continue
		}
		g.merge(p)
	}
	for _, p := range g.pairs(within, func(n int32) bool { return len(g.uses[n]) > 0 }) {
		a, b := g.root(p.a), g.root(p.b)
		if a == b || len(g.uses[a]) != 1 && len(g.uses[b]) != 1 || g.short(p) {
			continue
		}
		if len(g.uses[a]) == 1 && len(g.uses[b]) == 1 {
			continue // their own strokes', or they would be joined
		}
		g.merge(gap{a, b, p.width})
	}
}

func (g *graph) merge(p gap) {
	a, b := min(p.a, p.b), max(p.a, p.b)
	g.into[b] = a
	g.uses[a] = append(g.uses[a], g.uses[b]...)
	g.uses[b] = nil
	g.gaps = append(g.gaps, p)
}

// short reports whether joining two loose ends would close a chain that is
// hardly longer than the gap: then they are the two ends of a short piece in a longer line.
func (g *graph) short(p gap) bool {
	limit := 8 * p.width
	if len(g.uses[p.a]) != 1 {
		return false
	}
	at, e := p.a, g.uses[p.a][0]
	total := 0.0
	for total <= limit {
		total += g.edges[e.edge].length()
		at = g.root(g.node[e.edge][1-e.side])
		if at == p.a || at == p.b {
			break
		}
		u := g.uses[at]
		if len(u) != 2 {
			return false
		}
		back := end{e.edge, 1 - e.side}
		if e = u[0]; e == back {
			e = u[1]
		}
	}
	return at == p.b && total <= limit
}

// pairs lists the pairs of nodes within a distance, at least one of them of one edge,
// the nearest first.
func (g *graph) pairs(within float64, take func(int32) bool) []gap {
	cells := map[[2]int64][]int32{}
	cell := func(v int64) int64 { return int64(math.Floor(float64(v) / within)) }
	var all []int32
	for n := range g.at {
		if g.root(int32(n)) != int32(n) || !take(int32(n)) {
			continue
		}
		key := [2]int64{cell(g.at[n][0]), cell(g.at[n][1])}
		all = append(all, int32(n))
		cells[key] = append(cells[key], int32(n))
	}
	var out []gap
	for _, n := range all {
		if len(g.uses[n]) != 1 {
			continue
		}
		cx, cy := cell(g.at[n][0]), cell(g.at[n][1])
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				list := cells[[2]int64{cx + dx, cy + dy}]
				for _, k := range list[:min(len(list), looked)] {
					if k == n || len(g.uses[k]) == 1 && k < n {
						continue
					}
					if d := g.at[n].distance(g.at[k]); d <= within {
						out = append(out, gap{n, k, d})
					}
				}
			}
		}
	}
	slices.SortFunc(out, func(p, q gap) int {
		return cmp.Or(cmp.Compare(math.Round(p.width), math.Round(q.width)), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	return out
}
