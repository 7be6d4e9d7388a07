package artwork

import (
	"cmp"
	"math"
	"slices"
)

// half is an edge run one way.
type half struct {
	edge int32
	back bool
}

func (g *graph) tail(h half) int32 { return g.root(g.node[h.edge][side(h.back)]) }
func (g *graph) head(h half) int32 { return g.root(g.node[h.edge][side(!h.back)]) }

func side(back bool) int {
	if back {
		return 1
	}
	return 0
}

// run is the edge's arc, the way the half runs.
func (g *graph) run(h half) arc {
	a := g.edges[h.edge].arc
	if h.back {
		return a.reversed()
	}
	return a
}

// peels bounds how often the outer edge of one net of strokes is taken off, and
// peelWork how many strokes are looked at for it.
const (
	peels    = 64
	peelWork = 500_000
)

// cycles takes the strokes apart into closed walks and what is left loose. Tails
// fall off until every node has two edges or more. Where all have two, the walk is
// clear. Where strokes branch, the outermost walk is taken, then what is left is
// looked at again: lines across a contour become loose, contours that touch
// in a point fall apart. branches are the places where more than two strokes meet
// in what closes, across the strokes that ran between them; hub is one where more than looked do, and then there is no result.
func (g *graph) cycles() (n net, hub *point) {
	var walks [][]half
	var loose []int32
	var branches []point
	live := make([]bool, len(g.edges))
	degree := make([]int, len(g.at))
	for i := range g.edges {
		live[i] = true
		for s := range 2 {
			degree[g.root(g.node[i][s])]++
		}
	}
	drop := func(e int32) {
		live[e] = false
		for s := range 2 {
			degree[g.root(g.node[e][s])]--
		}
	}
	prune := func(nodes []int32) {
		for len(nodes) > 0 {
			n := nodes[len(nodes)-1]
			nodes = nodes[:len(nodes)-1]
			if degree[n] != 1 {
				continue
			}
			for _, u := range g.uses[n] {
				if live[u.edge] {
					drop(u.edge)
					loose = append(loose, u.edge)
					nodes = append(nodes, g.root(g.node[u.edge][1-u.side]))
					break
				}
			}
		}
	}
	var all []int32
	for n := range g.at {
		all = append(all, int32(n))
	}
	prune(all)
	for n, d := range degree {
		if d > looked {
			return net{}, &g.at[n]
		}
	}
	tails := len(loose)
	g.measure()
	for i := range g.edges {
		for peel := 0; live[i]; peel++ {
			part, simple := g.component(int32(i), live, degree)
			if simple {
				walk := g.walk(int32(i), live)
				walks = append(walks, walk)
				for _, h := range walk {
					drop(h.edge)
				}
				break
			}
			var nodes []int32
			for _, e := range part {
				for s := range 2 {
					n := g.root(g.node[e][s])
					nodes = append(nodes, n)
					if degree[n] > 2 {
						branches = append(branches, g.at[n])
					}
				}
			}
			if peel >= min(peels, 1+peelWork/len(part)) {
				for _, e := range part {
					drop(e)
				}
				loose = append(loose, part...)
				break
			}
			outer, bridges := g.outer(part, live)
			for _, walk := range outer {
				for _, h := range walk {
					drop(h.edge)
				}
			}
			for _, e := range bridges {
				drop(e)
			}
			walks = append(walks, outer...)
			loose = append(loose, bridges...)
			prune(nodes)
		}
	}
	n.across = slices.Clone(loose[tails:])
	slices.Sort(n.across)
	slices.Sort(loose)
	slices.SortFunc(branches, func(p, q point) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
	n.walks, n.loose, n.branches = walks, loose, slices.Compact(branches)
	return n, nil
}

// net is a drawing taken apart.
type net struct {
	walks    [][]half
	loose    []int32 // edges that close nothing
	across   []int32 // those of them that ran between contours or across one
	branches []point // where more than two edges meet
}

// leave is how a half leaves its start: its direction and bend, rounded, so that
// rounding decides no order.
type leave struct{ angle, bend int64 }

// measure works out how every half leaves its start, forward ones first.
func (g *graph) measure() {
	g.leaves = make([]leave, 2*len(g.edges))
	for i := range g.edges {
		for s, a := range [2]arc{g.edges[i].arc, g.edges[i].reversed()} {
			x, y := a.heading()
			g.leaves[2*i+s] = leave{int64(math.Round(math.Atan2(y, x) * 1e9)), int64(math.Round(a.bend() * 1e15))}
		}
	}
}

// component lists the live edges that hang together with e, sorted, and tells whether
// none of their nodes has more than two.
func (g *graph) component(e int32, live []bool, degree []int) (part []int32, simple bool) {
	simple = true
	part = g.together(e, func(x int32) bool { return live[x] }, func(n int32) { simple = simple && degree[n] == 2 })
	return part, simple
}

// together lists the edges of a kind that hang together with e, sorted; it shows
// every node that it comes through once.
func (g *graph) together(e int32, kind func(int32) bool, node func(int32)) []int32 {
	seen, passed := map[int32]bool{e: true}, map[int32]bool{}
	part := []int32{e}
	for k := 0; k < len(part); k++ {
		for s := range 2 {
			n := g.root(g.node[part[k]][s])
			if passed[n] {
				continue
			}
			passed[n] = true
			node(n)
			for _, u := range g.uses[n] {
				if kind(u.edge) && !seen[u.edge] {
					seen[u.edge] = true
					part = append(part, u.edge)
				}
			}
		}
	}
	slices.Sort(part)
	return part
}

// walk runs from e's start around a simple contour.
func (g *graph) walk(e int32, live []bool) []half {
	h := half{edge: e}
	walk := []half{h}
	for {
		n := g.head(h)
		next := end{-1, 0}
		for _, u := range g.uses[n] {
			if live[u.edge] && u != (end{h.edge, int8(side(!h.back))}) {
				next = u
			}
		}
		h = half{next.edge, next.side == 1}
		if h.edge == e {
			return walk
		}
		walk = append(walk, h)
	}
}

// outer takes the outermost walk of a net of edges, cut into walks that come
// through no node twice, and the bridges between them, which it runs both ways.
func (g *graph) outer(part []int32, live []bool) (walks [][]half, bridges []int32) {
	next := g.turns(part, live)
	done := map[half]bool{}
	var best []half
	least := math.Inf(1)
	for _, e := range part {
		for _, back := range [2]bool{false, true} {
			h := half{e, back}
			if done[h] {
				continue
			}
			var face []half
			area := 0.0
			for !done[h] {
				done[h] = true
				face = append(face, h)
				area += g.sector(h)
				h = next[h]
			}
			if area = math.Round(area); area < least {
				best, least = face, area
			}
		}
	}
	// Cut where the walk meets itself.
	var stack []half
	at := map[int32]int{}
	for _, h := range best {
		if _, ok := at[g.tail(h)]; !ok {
			at[g.tail(h)] = len(stack)
		}
		stack = append(stack, h)
		if from, ok := at[g.head(h)]; ok {
			loop := slices.Clone(stack[from:])
			for _, l := range stack[from+1:] {
				delete(at, g.tail(l))
			}
			stack = stack[:from]
			if len(loop) == 2 && loop[0].edge == loop[1].edge {
				bridges = append(bridges, loop[0].edge)
			} else {
				walks = append(walks, loop)
			}
		}
	}
	return walks, bridges
}

// turns gives to each half of a net the next one of its face: the one that leaves
// where it arrives, next clockwise from the way back.
func (g *graph) turns(part []int32, live []bool) map[half]half {
	leaving := map[int32][]half{}
	var nodes []int32
	for _, e := range part {
		for _, back := range [2]bool{false, true} {
			h := half{e, back}
			n := g.tail(h)
			if leaving[n] == nil {
				nodes = append(nodes, n)
			}
			leaving[n] = append(leaving[n], h)
		}
	}
	next := make(map[half]half, 2*len(part))
	for _, n := range nodes {
		l := leaving[n]
		slices.SortFunc(l, func(a, b half) int {
			p, q := g.leaves[2*int(a.edge)+side(a.back)], g.leaves[2*int(b.edge)+side(b.back)]
			return cmp.Or(
				cmp.Compare(p.angle, q.angle), cmp.Compare(p.bend, q.bend),
				cmp.Compare(a.edge, b.edge), side(a.back)-side(b.back),
			)
		})
		for i, h := range l {
			// Arriving by the reverse of h, leave by its clockwise neighbour.
			next[half{h.edge, !h.back}] = l[(i+len(l)-1)%len(l)]
		}
	}
	return next
}

// sector is the area between a half and the first node of its net, nm2, signed.
func (g *graph) sector(h half) float64 {
	a := g.run(h)
	o := g.edges[0].from
	ux, uy := float64(a.from[0]-o[0]), float64(a.from[1]-o[1])
	wx, wy := float64(a.to[0]-o[0]), float64(a.to[1]-o[1])
	s := (float64(ux*wy) - float64(uy*wx)) / 2
	if a.turn != 0 {
		r, t := a.radius(a.from), a.sweep()
		s += float64(a.turn) * float64(r*r) * (t - math.Sin(t)) / 2
	}
	return s
}
