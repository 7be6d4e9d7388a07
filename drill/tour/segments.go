package tour

import "slices"

// A large ring is cut into segments of consecutive nodes, which are improved
// independently and put together again; each round cuts elsewhere. A segment is
// a ring of its own whose ends are held together by a fixed edge: whatever is
// gained in it is gained in the whole. Segments keep the arrays short, the
// memory close and the cores busy. What lies next to each other in two far
// segments is missed, so the nodes along such seams are looked at in the whole
// ring after the first round.
const (
	segmentNodes = 25000
	segmentKicks = 0.2   // kicks a node and round
	seamReach    = 30000 // longest rearrangement at a seam, in nodes
)

// segments searches until the budget is spent.
func (s *solver) segments(start []int32) {
	n := len(start)
	ring := slices.Clone(start)
	inner := make([]int32, n) // by node: its place in its segment's field
	pos := make([]int32, n)
	count := segmentCount(n)
	for round := uint64(0); !s.over(); round++ {
		rng := s.rng(round << 32)
		s.rotate(ring, rng.IntN(n))
		cuts := s.cuts(ring, count)
		for p, v := range ring {
			pos[v] = int32(p)
		}
		quota := func(i int) int64 {
			w := cuts[i+1] - cuts[i]
			q := int64(segmentKicks * float64(w))
			if round == 0 {
				q = descent(w)
			}
			return max(q, 1)
		}
		gains := make([]int64, len(cuts)-1)
		parts := make([][]int32, len(cuts)-1)
		whole, partial := s.parts(len(parts), quota, func(i int, quota int64, b *budget) int64 {
			g := segment{solver: s, ring: ring[cuts[i]:cuts[i+1]], low: int32(cuts[i]), pos: pos, inner: inner}
			t := newSearch(g.field(), g.candidates(), g.tour(), s.how, s.rng(round<<32+uint64(i)+1))
			before := t.total()
			var made int64
			if round == 0 {
				for v := range t.tour {
					t.push(int32(v))
				}
				made = t.descend(quota, b)
			} else {
				_, made = t.sweep(quota, b)
			}
			s.tried.Add(t.tried)
			gains[i] = before - t.total()
			parts[i] = g.result(t)
			return made
		})
		if partial > 0 {
			whole++
		}
		next := slices.Clone(ring)
		length := s.length
		for i := range whole {
			copy(next[cuts[i]:cuts[i+1]], parts[i])
			length -= gains[i]
		}
		ring = next
		s.offer(ring, length)
		ring = slices.Clone(ring)
		s.report()
		if round == 0 && !s.over() {
			ring = s.seams(ring, cuts)
		}
	}
}

// segmentCount is how many segments n nodes are cut into: of about segmentNodes
// each, but two at least.
func segmentCount(n int) int { return max(2, (n+segmentNodes/2)/segmentNodes) }

// rotate makes the ring begin elsewhere.
func (s *solver) rotate(ring []int32, by int) {
	slices.Reverse(ring[:by])
	slices.Reverse(ring[by:])
	slices.Reverse(ring)
}

// cuts divides the ring into count segments, or fewer, none of which ends at a
// fixed edge or at the open node. The ring is rotated where it has to be.
func (s *solver) cuts(ring []int32, count int) []int {
	n := len(ring)
	plain := func(p int) bool {
		v := ring[p%n]
		return s.mate == nil || s.mate[v] < 0
	}
	good := func(p int) bool { return plain(p) && plain(p+n-1) }
	first := 0
	for first < n && !good(first) {
		first++
	}
	if first == n {
		return []int{0, n}
	}
	s.rotate(ring, first)
	cuts := []int{0}
	for k := 1; k < count; k++ {
		p := max(k*n/count, cuts[len(cuts)-1]+1000)
		for p < n && !good(p) {
			p++
		}
		if p < n-1000 {
			cuts = append(cuts, p)
		}
	}
	return append(cuts, n)
}

// seams looks at the nodes with candidates in another segment.
func (s *solver) seams(ring []int32, cuts []int) []int32 {
	if len(cuts) < 3 {
		return ring
	}
	n := len(ring)
	part := make([]int32, n)
	for i := range len(cuts) - 1 {
		for _, v := range ring[cuts[i]:cuts[i+1]] {
			part[v] = int32(i)
		}
	}
	t := newSearch(&s.field, s.near, ring, s.how, s.rng(1<<62))
	t.reach = seamReach
	for v := range int32(n) {
		for _, e := range s.near.of(v) {
			if e.id < 0 {
				break
			}
			if part[e.id] != part[v] {
				t.push(v)
				break
			}
		}
	}
	s.parts(1, func(int) int64 { return descent(n) / 2 }, func(_ int, quota int64, b *budget) int64 {
		return t.descend(quota, b)
	})
	s.tried.Add(t.tried)
	s.offer(slices.Clone(t.tour), t.total())
	return t.tour
}

// segment is a stretch of the ring as a problem of its own.
type segment struct {
	*solver
	ring  []int32 // its nodes in the order of the ring
	low   int32   // position of the first
	pos   []int32 // positions in the ring
	inner []int32
	outer []int32 // its nodes by place in its field
	sub   field
}

// field lays the segment out.
func (g *segment) field() *field {
	g.outer = slices.Clone(g.ring)
	slices.Sort(g.outer)
	n := len(g.outer)
	g.sub = field{metric: g.metric, at: g.at[:0:0], mate: make([]int32, n), free: -1}
	for i, v := range g.outer {
		g.inner[v] = int32(i)
	}
	for i, v := range g.outer {
		g.sub.at = append(g.sub.at, g.at[v])
		g.sub.mate[i] = -1
		if g.mate != nil && g.mate[v] >= 0 {
			g.sub.mate[i] = g.inner[g.mate[v]]
		}
		if v == g.free {
			g.sub.free = int32(i)
		}
	}
	if n < len(g.at) {
		a, z := g.inner[g.ring[0]], g.inner[g.ring[n-1]]
		g.sub.mate[a], g.sub.mate[z] = z, a
	}
	return &g.sub
}

func (g *segment) candidates() neighbours {
	width := g.near.width
	c := neighbours{width: width, list: make([]near, len(g.outer)*width)}
	high := g.low + int32(len(g.ring))
	for i, v := range g.outer {
		row := c.of(int32(i))
		k := 0
		for _, e := range g.near.of(v) {
			if e.id < 0 {
				break
			}
			if p := g.pos[e.id]; p >= g.low && p < high && g.inner[e.id] != g.sub.mate[i] {
				row[k] = near{g.inner[e.id], e.cost}
				k++
			}
		}
		for ; k < width; k++ {
			row[k].id = -1
		}
	}
	return c
}

// tour is the segment's ring.
func (g *segment) tour() []int32 {
	t := make([]int32, len(g.ring))
	for p, v := range g.ring {
		t[p] = g.inner[v]
	}
	return t
}

// result is the improved stretch, from the same end to the same other end.
func (g *segment) result(t *search) []int32 {
	n := len(g.ring)
	out := make([]int32, 0, n)
	a := g.inner[g.ring[0]]
	p, step := int(t.pos[a]), 1
	if n > 1 && n < len(g.at) && t.next(a) == g.inner[g.ring[n-1]] {
		step = n - 1
	}
	for range n {
		out = append(out, g.outer[t.tour[p]])
		p = wrap(p+step, n)
	}
	return out
}
