package tour

import "math/rand/v2"

// crossing improves one ring by what another does differently: edge assembly
// crossover in its local form (Y. Nagata, S. Kobayashi, A powerful genetic
// algorithm using edge assembly crossover for the traveling salesman problem,
// INFORMS Journal on Computing 25, 2013). The edges in which two rings differ
// fall apart into closed paths that take an edge of the one and an edge of the
// other in turn. Exchanging the edges of one such path leaves one ring or
// several; several are joined again, the smallest first, by the cheapest
// exchange of two edges. Everything both rings agree on is contracted first, so
// the work is that of the difference.
type crossing struct {
	*contraction
	near neighbours
	rng  *rand.Rand
	a, b [][2]int32 // by node: its neighbours in the one ring and in the other, mates included
	part []int32    // by node: the ring it is in after an exchange
	size []int32    // by part
	some []int32    // a node of each part
	log  []change
	path []int32
	seen [2][]int32 // by node: where the path met it, at even and at odd places
	best []change
}

// change is one edge of a node replaced.
type change struct {
	v        int32
	slot     int32
	was, now int32
}

// agree marks the edges of ring a that ring b has too. posb are b's positions.
func agree(a, posb []int32, frozen []bool) {
	n := len(a)
	for p, v := range a {
		d := int(posb[v]) - int(posb[a[wrap(p+1, n)]])
		frozen[p] = d == 1 || d == -1 || d == n-1 || d == 1-n
	}
}

// newCrossing prepares to improve the tour x by the tour y. It returns nil when
// they hardly differ. Fixed edges are in both, hence frozen.
func newCrossing(f *field, from neighbours, x, y one, rng *rand.Rand) *crossing {
	frozen := make([]bool, len(x.tour))
	agree(x.tour, y.pos, frozen)
	b, posb := y.tour, y.pos
	c := &crossing{contraction: contract(f, x.tour, x.pos, frozen), rng: rng}
	n := len(c.ring)
	if n < 6 {
		return nil
	}
	c.near = c.candidates(from, from.width)
	c.a, c.b = make([][2]int32, n), make([][2]int32, n)
	for p, v := range c.ring {
		c.a[v] = [2]int32{c.ring[wrap(p+n-1, n)], c.ring[wrap(p+1, n)]}
	}
	m := len(b)
	for i, v := range c.outer {
		p := int(posb[v])
		got := 0
		if c.mate[i] >= 0 {
			c.b[i][0] = c.mate[i]
			got = 1
		}
		for _, w := range [2]int32{b[wrap(p+1, m)], b[wrap(p+m-1, m)]} {
			j := c.inner[w]
			if j < 0 || got == 2 {
				continue
			}
			if j == c.mate[i] {
				continue
			}
			c.b[i][got] = j
			got++
		}
		if got < 2 {
			c.b[i][1] = -1
		}
	}
	c.part = make([]int32, n)
	for k := range c.seen {
		c.seen[k] = make([]int32, n)
	}
	return c
}

// loops takes the difference apart into alternating closed paths: nodes t0, t1,
// ..., where t0-t1, t2-t3, ... are edges of a and t1-t2, ..., back to t0 of b.
func (c *crossing) loops() [][]int32 {
	n := len(c.ring)
	var left [2][][2]int32 // edges of a and of b not used yet
	left[0], left[1] = make([][2]int32, n), make([][2]int32, n)
	for v := range n {
		c.seen[0][v], c.seen[1][v] = -1, -1
		for s := range 2 {
			src := c.a[v]
			if s == 1 {
				src = c.b[v]
			}
			k := 0
			left[s][v] = [2]int32{-1, -1}
			for _, w := range src {
				if w >= 0 && w != c.mate[v] {
					left[s][v][k] = w
					k++
				}
			}
		}
	}
	drop := func(s int, v, w int32) {
		l := &left[s][v]
		if l[0] == w {
			l[0] = l[1]
		}
		l[1] = -1
	}
	var out [][]int32
	path := c.path[:0]
	for first := range int32(n) {
		for left[0][first][0] >= 0 {
			path = append(path[:0], first)
			c.seen[0][first] = 0
			for {
				s := (len(path) - 1) & 1
				v := path[len(path)-1]
				l := left[s][v]
				w := l[0]
				if l[1] >= 0 && c.rng.IntN(2) == 1 {
					w = l[1]
				}
				if w < 0 { // cannot happen between two rings
					return out
				}
				drop(s, v, w)
				drop(s, w, v)
				q := len(path) & 1
				if at := c.seen[q][w]; at >= 0 {
					loop := append([]int32(nil), path[at:]...)
					for i, u := range loop {
						c.seen[(int(at)+i)&1][u] = -1
					}
					if q == 1 { // begin with an edge of a
						loop = append(loop[1:], loop[0])
					}
					out = append(out, loop)
					if at == 0 {
						break
					}
					// The node itself stays the end of what is left.
					path = append(path[:at], w)
					c.seen[q][w] = at
					continue
				}
				c.seen[q][w] = int32(len(path))
				path = append(path, w)
			}
		}
	}
	c.path = path
	return out
}

func (c *crossing) swap(v, was, now int32) bool {
	slot := int32(0)
	switch was {
	case c.a[v][0]:
	case c.a[v][1]:
		slot = 1
	default:
		return false
	}
	c.a[v][slot] = now
	c.log = append(c.log, change{v, slot, was, now})
	return true
}

func (c *crossing) back(to int) {
	for k := len(c.log) - 1; k >= to; k-- {
		e := c.log[k]
		c.a[e.v][e.slot] = e.was
	}
	c.log = c.log[:to]
}

// exchange swaps the edges of a loop and returns what that costs.
func (c *crossing) exchange(loop []int32) (int64, bool) {
	k := len(loop)
	var cost int64
	for i := 0; i < k; i += 2 {
		cost -= c.cost(loop[i], loop[i+1])
		cost += c.cost(loop[i+1], loop[wrap(i+2, k)])
	}
	for i := 0; i < k; i += 2 {
		u, v := loop[i], loop[i+1]
		if !c.swap(u, v, loop[wrap(i+k-1, k)]) || !c.swap(v, u, loop[wrap(i+2, k)]) {
			return 0, false
		}
	}
	return cost, true
}

// label finds the rings that the edges form now.
func (c *crossing) label() {
	for v := range c.part {
		c.part[v] = -1
	}
	c.size, c.some = c.size[:0], c.some[:0]
	for v := range c.part {
		if c.part[v] >= 0 {
			continue
		}
		id := int32(len(c.size))
		c.size = append(c.size, 0)
		c.some = append(c.some, int32(v))
		at, prev := int32(v), int32(-1)
		for {
			c.part[at] = id
			c.size[id]++
			to := c.a[at][0]
			if to == prev {
				to = c.a[at][1]
			}
			prev, at = at, to
			if at == int32(v) {
				break
			}
		}
	}
}

// unite joins the rings to one and returns what that costs.
func (c *crossing) unite() (int64, bool) {
	c.label()
	var sum int64
	for parts := len(c.size); parts > 1; parts-- {
		small := -1
		for p, s := range c.size {
			if s > 0 && (small < 0 || s < c.size[small]) {
				small = p
			}
		}
		var best [4]int32 // u, its next, v, its next: u-v and the others joined
		var least int64
		found := false
		at, prev := c.some[small], int32(-1)
		start := at
		for {
			for _, e := range c.near.of(at) {
				if e.id < 0 {
					break
				}
				if int(c.part[e.id]) == small {
					continue
				}
				base := c.cost(at, e.id)
				for _, u := range c.a[at] {
					if c.mate[at] == u {
						continue
					}
					cu := c.cost(at, u)
					for _, v := range c.a[e.id] {
						if c.mate[e.id] == v {
							continue
						}
						d := base + c.cost(u, v) - cu - c.cost(e.id, v)
						if !found || d < least {
							found, least = true, d
							best = [4]int32{at, u, e.id, v}
						}
					}
				}
			}
			to := c.a[at][0]
			if to == prev {
				to = c.a[at][1]
			}
			prev, at = at, to
			if at == start {
				break
			}
		}
		if !found {
			return 0, false
		}
		sum += least
		into := c.part[best[2]]
		// Relabel before the edges change: the walk needs the small ring closed.
		at, prev = start, -1
		for {
			c.part[at] = into
			to := c.a[at][0]
			if to == prev {
				to = c.a[at][1]
			}
			prev, at = at, to
			if at == start {
				break
			}
		}
		c.size[into] += c.size[small]
		c.size[small] = 0
		u, un, v, vn := best[0], best[1], best[2], best[3]
		if !c.swap(u, un, v) || !c.swap(un, u, vn) || !c.swap(v, vn, u) || !c.swap(vn, v, un) {
			return 0, false
		}
	}
	return sum, true
}

// improve tries up to tries loops, makes the best exchange and returns its gain.
func (c *crossing) improve(tries int) int64 {
	c.log = c.log[:0]
	loops := c.loops()
	c.rng.Shuffle(len(loops), func(i, j int) { loops[i], loops[j] = loops[j], loops[i] })
	var most int64
	c.best = c.best[:0]
	for _, l := range loops[:min(len(loops), tries)] {
		cost, ok := c.exchange(l)
		if ok {
			var more int64
			more, ok = c.unite()
			cost += more
		}
		if ok && -cost > most {
			most = -cost
			c.best = append(c.best[:0], c.log...)
		}
		c.back(0)
	}
	for _, e := range c.best {
		c.a[e.v][e.slot] = e.now
	}
	return most
}

// result appends the improved outer ring.
func (c *crossing) result(dst []int32) []int32 {
	ring := c.ring[:0]
	at, prev := int32(0), int32(-1)
	for range len(c.part) {
		ring = append(ring, at)
		to := c.a[at][0]
		if to == prev {
			to = c.a[at][1]
		}
		prev, at = at, to
	}
	return c.expand(dst, ring)
}
