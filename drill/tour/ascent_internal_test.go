package tour

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

// someField is n places, sometimes with fixed edges and an open end, and a ring
// over it that keeps the fixed edges.
func someField(r *rand.Rand, n, kind int) (*field, []int32) {
	metric := Euclid()
	f := &field{metric: &metric, free: -1}
	ring := make([]int32, n)
	for i := range n {
		f.at = append(f.at, orb.Point{100 * r.Float64(), 70 * r.Float64()})
		ring[i] = int32(i)
	}
	r.Shuffle(n, func(i, j int) { ring[i], ring[j] = ring[j], ring[i] })
	if kind%2 == 1 {
		f.mate = make([]int32, n)
		for i := range f.mate {
			f.mate[i] = -1
		}
		for p := 1; p+1 < n; p += 4 {
			f.mate[ring[p]], f.mate[ring[p+1]] = ring[p+1], ring[p]
		}
	}
	if kind%4 >= 2 {
		f.free = int32(n - 1)
	}
	return f, ring
}

// wantTree is the weight of a 1-tree by trying: Kruskal's tree with the fixed
// edges first, and for every leaf its best edge more.
func wantTree(f *field, scale int64, pi []int64) (weight int64, degree []int32) {
	n := int32(len(f.at))
	type edge struct {
		a, b  int32
		cost  int64
		fixed bool
	}
	cost := func(a, b int32) int64 {
		if f.fixed(a, b) {
			return pi[a] + pi[b]
		}
		return scale*f.cost(a, b) + pi[a] + pi[b]
	}
	var edges []edge
	for a := range n {
		for b := range a {
			edges = append(edges, edge{b, a, cost(a, b), f.fixed(a, b)})
		}
	}
	slices.SortFunc(edges, func(x, y edge) int {
		switch {
		case x.fixed != y.fixed:
			if x.fixed {
				return -1
			}
			return 1
		case x.cost < y.cost:
			return -1
		}
		return 1
	})
	part := make([]int32, n)
	for v := range part {
		part[v] = int32(v)
	}
	degree = make([]int32, n)
	joined := map[[2]int32]bool{}
	for _, e := range edges {
		from, to := part[e.a], part[e.b]
		if from == to {
			continue
		}
		for v := range part {
			if part[v] == from {
				part[v] = to
			}
		}
		weight += e.cost
		degree[e.a]++
		degree[e.b]++
		joined[[2]int32{e.a, e.b}] = true
	}
	most, extra := int64(-1<<62), [2]int32{}
	for v := range n {
		if degree[v] != 1 {
			continue
		}
		least, at := int64(1<<62), int32(0)
		for w := range n {
			if w == v || joined[[2]int32{min(v, w), max(v, w)}] {
				continue
			}
			if c := scale*f.cost(v, w) + pi[v] + pi[w]; c < least {
				least, at = c, w
			}
		}
		if least > most {
			most, extra = least, [2]int32{v, at}
		}
	}
	degree[extra[0]]++
	degree[extra[1]]++
	weight += most
	for _, p := range pi {
		weight -= 2 * p
	}
	return weight, degree
}

// Both ways to a 1-tree, over a graph of all edges and over the complete graph,
// give that of trying.
func TestOneTreesAgainstKruskal(t *testing.T) {
	const seed = 101
	r := rand.New(rand.NewPCG(seed, 0))
	for c := range 60 {
		n := 5 + r.IntN(60)
		f, ring := someField(r, n, c)
		scale := int64(1 + c%3)
		pi := make([]int64, n)
		for i := range pi {
			pi[i] = scale * (r.Int64N(20e6) - 10e6)
		}
		near := neighbours{width: n, list: make([]near, n*n)}
		for v := range int32(n) {
			row := near.of(v)
			for k := range row {
				row[k].id = int32(k)
				if int32(k) == v {
					row[k].id = -1
				}
			}
		}
		a := newAscent(f, ring, 1)
		if len(a.extra) != n {
			t.Fatalf("%d edges of a ring of %d", len(a.extra), n)
		}
		g := newGraph(f, near, a.extra, scale)
		if int(g.first[n]) != n*(n-1) || len(g.to) != n*(n-1) {
			t.Fatalf("seed %d case %d: %d arcs among %d nodes", seed, c, len(g.to), n)
		}
		for v := range int32(n) {
			for k := g.first[v]; k < g.first[v+1]; k++ {
				if g.to[k] == v || k > g.first[v] && g.to[k] <= g.to[k-1] || g.cost[k] != scale*f.edge(v, g.to[k]) {
					t.Fatalf("seed %d case %d: arc %d of node %d goes to %d for %d", seed, c, k, v, g.to[k], g.cost[k])
				}
			}
		}
		weight, degree := wantTree(f, scale, pi)
		tree := newOneTree(f, scale)
		tree.sparse(g, pi)
		if tree.weight != weight || !slices.Equal(tree.degree, degree) {
			t.Errorf("seed %d case %d: sparse %d %v\nwant %d %v", seed, c, tree.weight, tree.degree, weight, degree)
		}
		found, ok := tree.dense(pi, a.extra[:1], unhurried())
		if tree.weight != weight || !slices.Equal(tree.degree, degree) || !ok {
			t.Errorf("seed %d case %d: dense %d %v\nwant %d %v", seed, c, tree.weight, tree.degree, weight, degree)
		}
		of := make([]int32, n)
		for _, e := range found[1:] {
			of[e.a]++
			of[e.b]++
		}
		if len(found) != n+1 || !slices.Equal(of, degree) {
			t.Errorf("seed %d case %d: %d edges found of degrees %v, want %v", seed, c, len(found)-1, of, degree)
		}
		for _, looks := range []int{0, n - 2, n - 1} { // one for each node but the first, and for each leaf
			if _, ok := tree.dense(pi, nil, patient(looks)); ok {
				t.Errorf("seed %d case %d: a tree of %d nodes in %d looks at the clock", seed, c, n, looks)
			}
		}
	}
}

// A ring whose cheapest tree is a star has more leaves than are tried: the
// bound stays a bound, and the likeliest leaf is among them.
func TestOneTreeOfManyLeaves(t *testing.T) {
	metric := Euclid()
	f := &field{metric: &metric, at: []orb.Point{{0, 0}}, free: -1}
	r := rand.New(rand.NewPCG(103, 0))
	pi := []int64{-1e12} // the middle is next to everything
	for range 300 {
		f.at = append(f.at, orb.Point{100 * r.Float64(), 100 * r.Float64()})
		pi = append(pi, r.Int64N(1e6))
	}
	pi[250] = 1e10 // by far the dearest, and far behind by number
	pi[77] = 5e9
	tree := newOneTree(f, 1)
	found, ok := tree.dense(pi, nil, unhurried())
	if !ok || len(found) != 301 || found[300].a != 250 || tree.degree[0] != 300 {
		t.Errorf("the edge more is %v, the middle has %d edges", found[len(found)-1], tree.degree[0])
	}
	weight, degree := wantTree(f, 1, pi)
	if tree.weight != weight || !slices.Equal(tree.degree, degree) {
		t.Errorf("%d, want %d", tree.weight, weight)
	}
}

// Half the sum of the two cheapest edges of every node, fixed and open ends
// counted as what they cost.
func TestNearestBoundAgainstSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(107, 0))
	for c := range 40 {
		n := 3 + r.IntN(60)
		f, _ := someField(r, n, c)
		metrics := []Metric{Euclid(), Rounded(), Chebyshev()}
		f.metric = &metrics[c%3]
		s := &solver{encoding: &encoding{field: *f}, ctx: context.Background(), now: time.Now}
		var twice int64
		for i := range int32(n) {
			if i == f.free {
				continue
			}
			want := 2
			if f.mate != nil && f.mate[i] >= 0 {
				want--
			}
			if f.free >= 0 {
				want--
			}
			var costs []int64
			for j := range int32(n) {
				if j != i && j != f.free && !f.fixed(i, j) {
					costs = append(costs, f.cost(i, j))
				}
			}
			slices.Sort(costs)
			for _, l := range costs[:min(want, len(costs))] {
				twice += l
			}
		}
		got, ok := s.nearestBound(unhurried())
		if want := (twice + 1) / 2; got != want || !ok {
			t.Errorf("case %d, %d nodes: %d, want %d", c, n, got, want)
		}
		if _, ok := s.nearestBound(patient(0)); ok {
			t.Errorf("case %d: a bound without a look at the clock", c)
		}
	}
}

func TestAscentFigures(t *testing.T) {
	for n, want := range map[int]int{4: 6000, 750: 6000, 751: 5992, 1000: 4500, 11250: 400, 11251: 400, 20000: 400} {
		if got := ascentSteps(n); got != want {
			t.Errorf("%d steps for %d nodes, want %d", got, n, want)
		}
	}
	for _, c := range [][3]int64{{7, 2, 4}, {8, 2, 4}, {0, 3, 0}, {1, 3, 1}, {-7, 2, -3}, {-8, 2, -4}} {
		if got := ceilDiv(c[0], c[1]); got != c[2] {
			t.Errorf("%d / %d rounded up is %d, want %d", c[0], c[1], got, c[2])
		}
	}
	r := rand.New(rand.NewPCG(109, 0))
	f, ring := someField(r, 10, 0)
	for length, want := range map[int64]int64{10: 500_001, 9_999_990: 2, 10_000_000: 1, 10_000_000_000: 1, 1990: 5001} {
		a := newAscent(f, ring, length)
		if a.scale != want || a.goal != want*length {
			t.Errorf("a ring of 10 nodes and %d: scale %d, goal %d, want %d", length, a.scale, a.goal, want)
		}
		if a.extra[9] != (arc{ring[9], ring[0]}) {
			t.Errorf("the last edge of the ring is %v", a.extra[9])
		}
	}
}

// What a joined place may have added: a unit for each further item, none where
// lengths are rounded up, and what an overlap is beyond the settle time.
func TestSlackOfJoinedPlaces(t *testing.T) {
	for _, c := range []struct {
		metric Metric
		twins  []int32
		want   int64
	}{
		{Euclid(), nil, 0},
		{Euclid(), []int32{-1, 2, 0, -1}, 2},
		{Ceiling(), []int32{-1, 2, 0, -1}, 0},
		{Chebyshev(), []int32{0}, 1},
	} {
		e := &encoding{field: field{metric: &c.metric}, twins: c.twins}
		if got := e.slack(); got != c.want {
			t.Errorf("%d twins: %d, want %d", len(c.twins), got, c.want)
		}
	}
}

// The steps lengthen the bound until the stall, and what was best is kept.
func TestClimbKeepsTheBest(t *testing.T) {
	r := rand.New(rand.NewPCG(113, 0))
	f, _ := someField(r, 40, 0)
	near := findNeighbours(f, candidates{10, 5, 2}, unhurried())
	ring := greedy(f, near, unhurried())
	length := f.one(ring).length
	a := newAscent(f, ring, length)
	g := newGraph(f, near, a.extra, a.scale)
	a.tree.sparse(g, a.pi)
	flat := a.tree.weight
	if !a.climb(g, 1000, unhurried()) || float64(a.top) < 1.1*float64(flat) || a.top > a.goal {
		t.Errorf("from %d to %d, a ring has %d", flat, a.top, a.goal)
	}
	a.tree.sparse(g, a.best)
	if a.tree.weight != a.top {
		t.Errorf("the best penalties give %d, kept was %d", a.tree.weight, a.top)
	}
	if a.climb(g, 1000, patient(5)) {
		t.Error("1000 steps in five looks at the clock")
	}
	best := slices.Clone(a.best)
	a.climb(g, 0, unhurried())
	if diff := cmp.Diff(best, a.best); diff != "" {
		t.Errorf("no step changed the best penalties: %s", diff)
	}
}
