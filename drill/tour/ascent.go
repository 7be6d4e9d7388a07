package tour

import (
	"cmp"
	"slices"
)

// graph is a sparse part of the complete graph: the candidates and a tour, so
// that it is connected. Costs are scaled.
type graph struct {
	first []int32 // by node: its first arc; one more at the end
	to    []int32
	cost  []int64
}

type arc struct{ a, b int32 }

// newGraph joins both directions of the candidates and of the extra edges.
func newGraph(f *field, c neighbours, extra []arc, scale int64) *graph {
	n := len(f.at)
	arcs := make([]arc, 0, n*c.width+2*len(extra))
	for i := range int32(n) {
		for _, e := range c.of(i) {
			if e.id >= 0 {
				arcs = append(arcs, arc{i, e.id}, arc{e.id, i})
			}
		}
	}
	for _, e := range extra {
		arcs = append(arcs, e, arc{e.b, e.a})
	}
	slices.SortFunc(arcs, func(x, y arc) int { return cmp.Or(cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b)) })
	arcs = slices.Compact(arcs)
	g := &graph{first: make([]int32, n+1), to: make([]int32, len(arcs)), cost: make([]int64, len(arcs))}
	for k, e := range arcs {
		g.first[e.a+1]++
		g.to[k], g.cost[k] = e.b, scale*f.edge(e.a, e.b)
	}
	for i := range n {
		g.first[i+1] += g.first[i]
	}
	return g
}

// oneTree is a shortest spanning tree with one edge more at a leaf: never longer
// than a tour, and for the best node penalties close to it (M. Held, R. M. Karp,
// The traveling-salesman problem and minimum spanning trees, Operations
// Research 18, 1970).
type oneTree struct {
	f      *field
	scale  int64
	weight int64   // with penalties, less twice their sum: a bound, scaled
	degree []int32 // by node
	parent []int32
	key    []int64 // cheapest edge into the tree, with the penalties of both ends
	heap   []int32
	slot   []int32 // place in heap; -1: not met yet; -2: in the tree
	second []int64 // cheapest edge beside the tree's, for leaves
}

func newOneTree(f *field, scale int64) *oneTree {
	n := len(f.at)
	return &oneTree{
		f: f, scale: scale,
		degree: make([]int32, n), parent: make([]int32, n), key: make([]int64, n),
		slot: make([]int32, n), second: make([]int64, n), heap: make([]int32, 0, n),
	}
}

const none = int64(1) << 62

func (t *oneTree) reset() {
	for i := range t.key {
		t.key[i], t.parent[i], t.slot[i], t.degree[i] = none, -1, -1, 0
	}
	t.heap = t.heap[:0]
}

// less orders by key, ties to the lower node.
func (t *oneTree) less(a, b int32) bool {
	return t.key[a] < t.key[b] || t.key[a] == t.key[b] && a < b
}

func (t *oneTree) up(k int) {
	v := t.heap[k]
	for k > 0 {
		p := (k - 1) / 2
		if !t.less(v, t.heap[p]) {
			break
		}
		t.heap[k] = t.heap[p]
		t.slot[t.heap[k]] = int32(k)
		k = p
	}
	t.heap[k] = v
	t.slot[v] = int32(k)
}

func (t *oneTree) popLeast() int32 {
	top := t.heap[0]
	last := len(t.heap) - 1
	v := t.heap[last]
	t.heap = t.heap[:last]
	k := 0
	for last > 0 {
		c := 2*k + 1
		if c >= last {
			break
		}
		if c+1 < last && t.less(t.heap[c+1], t.heap[c]) {
			c++
		}
		if !t.less(t.heap[c], v) {
			break
		}
		t.heap[k] = t.heap[c]
		t.slot[t.heap[k]] = int32(k)
		k = c
	}
	if last > 0 {
		t.heap[k] = v
		t.slot[v] = int32(k)
	}
	t.slot[top] = -2
	return top
}

// forced is the key of a fixed edge: it goes into the tree before any other.
const forced = -none

// grow takes node v into the tree.
func (t *oneTree) grow(v int32, pi []int64) {
	p := t.parent[v]
	if p < 0 {
		return
	}
	t.degree[v]++
	t.degree[p]++
	if t.key[v] == forced {
		t.weight += pi[v] + pi[p]
	} else {
		t.weight += t.key[v]
	}
}

// sparse finds the tree within a graph, by Prim's algorithm.
func (t *oneTree) sparse(g *graph, pi []int64) {
	t.reset()
	t.weight = 0
	t.key[0] = 0
	t.heap = append(t.heap, 0)
	t.slot[0] = 0
	for len(t.heap) > 0 {
		v := t.popLeast()
		t.grow(v, pi)
		for k := g.first[v]; k < g.first[v+1]; k++ {
			w := g.to[k]
			if t.slot[w] == -2 {
				continue
			}
			c := g.cost[k] + pi[v] + pi[w]
			if t.f.fixed(v, w) {
				c = forced
			}
			if c >= t.key[w] {
				continue
			}
			t.key[w], t.parent[w] = c, v
			if t.slot[w] < 0 {
				t.heap = append(t.heap, w)
				t.slot[w] = int32(len(t.heap) - 1)
			}
			t.up(int(t.slot[w]))
		}
	}
	best := -none
	var extra arc
	for v := range t.degree {
		if t.degree[v] != 1 {
			continue
		}
		mate := t.joined(int32(v))
		least, at := none, mate
		for k := g.first[v]; k < g.first[v+1]; k++ {
			if w := g.to[k]; w != mate {
				if c := g.cost[k] + pi[v] + pi[w]; c < least {
					least, at = c, w
				}
			}
		}
		if least > best {
			best, extra = least, arc{int32(v), at}
		}
	}
	t.finish(best, extra, pi)
}

// joined is the one tree neighbour of a leaf.
func (t *oneTree) joined(v int32) int32 {
	if t.parent[v] >= 0 {
		return t.parent[v]
	}
	for w, p := range t.parent { // the root, once
		if p == v {
			return int32(w)
		}
	}
	return -1
}

// finish adds the edge that makes a 1-tree of the tree. There is one: a tree has
// leaves, and in a graph with a tour a leaf has a second neighbour.
func (t *oneTree) finish(cost int64, extra arc, pi []int64) {
	t.weight += cost
	t.degree[extra.a]++
	t.degree[extra.b]++
	for _, p := range pi {
		t.weight -= 2 * p
	}
}

// leavesTried is how many leaves of a tree of the complete graph are tried for
// the edge more: each costs a look at all nodes.
const leavesTried = 200

// dense finds the tree in the complete graph, in O(n^2), and appends its edges
// to found. It returns false when the budget ran out.
func (t *oneTree) dense(pi []int64, found []arc, b *budget) ([]arc, bool) {
	t.reset()
	t.weight = 0
	n := len(t.key)
	rest := make([]int32, n-1)
	for i := range rest {
		rest[i] = int32(i + 1)
	}
	for v := int32(0); ; {
		t.slot[v] = -2
		t.grow(v, pi)
		if t.parent[v] >= 0 {
			found = append(found, arc{v, t.parent[v]})
		}
		if len(rest) == 0 {
			break
		}
		if b.over() {
			return found, false
		}
		least := 0
		for k, w := range rest {
			c := t.scale*t.f.cost(v, w) + pi[v] + pi[w]
			if t.f.fixed(v, w) {
				c = forced
			}
			if c < t.key[w] {
				t.key[w], t.parent[w] = c, v
			}
			if t.key[w] < t.key[rest[least]] || t.key[w] == t.key[rest[least]] && w < rest[least] {
				least = k
			}
		}
		v = rest[least]
		rest[least] = rest[len(rest)-1]
		rest = rest[:len(rest)-1]
	}
	// The extra edge: any leaf may have it, a few of the likeliest are tried.
	var leaves []int32
	for v := range t.degree {
		if t.degree[v] == 1 {
			leaves = append(leaves, int32(v))
		}
	}
	slices.SortFunc(leaves, func(x, y int32) int { return cmp.Or(cmp.Compare(pi[y], pi[x]), cmp.Compare(x, y)) })
	best := -none
	var extra arc
	for _, v := range leaves[:min(len(leaves), leavesTried)] {
		if b.over() {
			return found, false
		}
		mate := t.joined(v)
		least, at := none, mate
		for w := range int32(n) {
			if w == v || w == mate {
				continue
			}
			if c := t.scale*t.f.cost(v, w) + pi[v] + pi[w]; c < least {
				least, at = c, w
			}
		}
		if least > best {
			best, extra = least, arc{v, at}
		}
	}
	found = append(found, extra)
	t.finish(best, extra, pi)
	return found, true
}
