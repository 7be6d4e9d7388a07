package tour

import "slices"

// fragments grows a tour edge by edge: no node gets more than two and no ring
// closes early.
type fragments struct {
	f    *field
	link [][2]int32 // by node: joined nodes or -1
	far  []int32    // by node that ends a fragment: the other end
	left int        // fragments
}

func newFragments(f *field) *fragments {
	n := len(f.at)
	g := &fragments{f: f, link: make([][2]int32, n), far: make([]int32, n), left: n}
	for i := range g.link {
		g.link[i] = [2]int32{-1, -1}
		g.far[i] = int32(i)
	}
	for i, j := range f.mate {
		if int32(i) < j {
			g.join(int32(i), j)
		}
	}
	return g
}

func (g *fragments) open(i int32) bool { return g.link[i][1] < 0 }

// join adds an edge where that is allowed.
func (g *fragments) join(i, j int32) bool {
	if !g.open(i) || !g.open(j) || g.far[i] == j {
		return false
	}
	add := func(a, b int32) {
		if g.link[a][0] < 0 {
			g.link[a][0] = b
		} else {
			g.link[a][1] = b
		}
	}
	add(i, j)
	add(j, i)
	a, b := g.far[i], g.far[j]
	g.far[a], g.far[b] = b, a
	g.left--
	return true
}

// greedy builds a tour from the shortest edges: first among the candidates,
// then, again and again, among the ends of the fragments that are left. An
// unfinished budget gives nil. The cost is that of sorting the candidates.
func greedy(f *field, c neighbours, b *budget) []int32 {
	n := len(f.at)
	g := newFragments(f)
	solid := n
	if f.free >= 0 {
		solid--
	}
	edges := make([]uint64, 0, 2*n)
	const slots = 8
	width := min(c.width, slots)
	for i := range int32(solid) {
		if i&1023 == 0 && b.over() {
			return nil
		}
		for k, e := range c.of(i)[:width] {
			if e.id < 0 {
				break
			}
			if e.id == f.free || k >= 5 && n > 50000 {
				continue
			}
			if e.id < i && slices.ContainsFunc(c.of(e.id)[:width], func(o near) bool { return o.id == i }) {
				continue
			}
			edges = append(edges, uint64(e.cost)<<32|uint64(i)*slots+uint64(k))
		}
	}
	if edges = radix(edges, b); edges == nil && n > 1 {
		return nil
	}
	for k, e := range edges {
		if k&4095 == 0 && b.over() {
			return nil
		}
		at := uint32(e)
		i := int32(at / slots)
		g.join(i, c.of(i)[at%slots].id)
	}
	done := 1
	if f.free >= 0 && (f.mate == nil || f.mate[f.free] < 0) {
		done = 2 // the open node stands alone
	}
	for g.left > done {
		if b.over() || !g.mend(b) {
			return nil
		}
	}
	return g.ring()
}

// mend joins fragments by the shortest edges between their ends.
func (g *fragments) mend(b *budget) bool {
	f := g.f
	var ends []int32
	sub := field{metric: f.metric, free: -1}
	for i := range f.at {
		if v := int32(i); v != f.free && g.open(v) {
			ends = append(ends, v)
			sub.at = append(sub.at, f.at[v])
		}
	}
	index := make(map[int32]int32, len(ends)) // only looked up
	for k, v := range ends {
		index[v] = int32(k)
	}
	sub.mate = make([]int32, len(ends))
	for k, v := range ends {
		sub.mate[k] = -1
		if o := g.far[v]; o != v {
			if j, ok := index[o]; ok {
				sub.mate[k] = j
			}
		}
	}
	const width = 8
	c := findNeighbours(&sub, candidates{width: width, nearest: width}, b)
	if b.over() {
		return false
	}
	var edges []uint64
	for i := range ends {
		for k, e := range c.of(int32(i)) {
			if e.id >= 0 {
				edges = append(edges, uint64(e.cost)<<32|uint64(i)*width+uint64(k))
			}
		}
	}
	edges = radix(edges, b)
	before := g.left
	for _, e := range edges {
		i := uint32(e) / width
		g.join(ends[i], ends[c.of(int32(i))[uint32(e)%width].id])
	}
	return g.left < before
}

// ring reads the finished tour off the links.
func (g *fragments) ring() []int32 {
	n := len(g.link)
	if o := g.f.free; o >= 0 && n > 1 { // both ends of the way go to the open node
		for i := range g.link {
			if v := int32(i); v != o && g.open(v) && g.open(o) {
				g.link[v] = attach(g.link[v], o)
				g.link[o] = attach(g.link[o], v)
			}
		}
	} else {
		first := int32(-1)
		for i := range g.link {
			if v := int32(i); g.open(v) && n > 1 {
				if first >= 0 {
					g.link[v] = attach(g.link[v], first)
					g.link[first] = attach(g.link[first], v)
					break
				}
				first = v
			}
		}
	}
	tour := make([]int32, 0, n)
	at, prev := int32(0), int32(-1)
	for range n {
		tour = append(tour, at)
		to := g.link[at][0]
		if to == prev {
			to = g.link[at][1]
		}
		prev, at = at, to
	}
	return tour
}

func attach(l [2]int32, v int32) [2]int32 {
	if l[0] < 0 {
		l[0] = v
	} else {
		l[1] = v
	}
	return l
}
