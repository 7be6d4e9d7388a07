package tour

// contraction is a ring with some of its edges frozen: paths of frozen edges
// become one fixed edge between their ends, the nodes within vanish. It serves
// both the windows of large rings, where everything outside is frozen, and the
// merging of tours, where everything they agree on is.
type contraction struct {
	field          // of the nodes that are left
	ring   []int32 // their ring
	outer  []int32 // by inner node: the outer one
	inner  []int32 // by outer node: the inner one or -1
	tour   []int32 // the outer ring
	pos    []int32 // positions in it
	frozen []bool  // by position: the edge after it
}

// contract freezes the edges from position p to the next where frozen says so.
// The open node and fixed edges must be taken care of by the caller: a fixed
// edge must be frozen.
func contract(f *field, tour, pos []int32, frozen []bool) *contraction {
	n := len(tour)
	c := &contraction{tour: tour, pos: pos, frozen: frozen, inner: make([]int32, n)}
	left := 0
	for p := range tour {
		before := wrap(p+n-1, n)
		if frozen[p] && frozen[before] {
			c.inner[tour[p]] = -1
		} else {
			left++
		}
	}
	c.metric, c.free = f.metric, -1
	c.at = f.at[:0:0]
	c.outer = make([]int32, 0, left)
	c.mate = make([]int32, left)
	for v := range c.inner {
		if c.inner[v] < 0 {
			continue
		}
		c.inner[v] = int32(len(c.outer))
		c.mate[c.inner[v]] = -1
		if int32(v) == f.free {
			c.free = c.inner[v]
		}
		c.outer = append(c.outer, int32(v))
		c.at = append(c.at, f.at[v])
	}
	c.ring = make([]int32, 0, left)
	last := int32(-1) // the node before, where a frozen path goes on from it
	for p, v := range tour {
		if i := c.inner[v]; i >= 0 {
			c.ring = append(c.ring, i)
			if last >= 0 {
				c.mate[i], c.mate[last] = last, i
				last = -1
			}
			if frozen[p] {
				last = i
			}
		}
	}
	if last >= 0 && left > 1 {
		c.mate[c.ring[0]], c.mate[last] = last, c.ring[0]
	}
	return c
}

// candidates are the outer ones that are left, the mates not among them.
func (c *contraction) candidates(from neighbours, width int) neighbours {
	in := neighbours{width: width, list: make([]near, len(c.outer)*width)}
	for i, v := range c.outer {
		row := in.of(int32(i))
		k := 0
		for _, e := range from.of(v) {
			if e.id < 0 || k == width {
				break
			}
			if j := c.inner[e.id]; j >= 0 && j != c.mate[i] {
				row[k] = near{j, e.cost}
				k++
			}
		}
		for ; k < width; k++ {
			row[k].id = -1
		}
	}
	return in
}

// expand appends the outer ring that an inner ring stands for.
func (c *contraction) expand(dst, ring []int32) []int32 {
	n := len(c.tour)
	for k, i := range ring {
		v := c.outer[i]
		dst = append(dst, v)
		j := ring[wrap(k+1, len(ring))]
		if c.mate[i] != j {
			continue
		}
		// The frozen path leads to the next node, one way or the other.
		w := c.outer[j]
		p := int(c.pos[v])
		step := n - 1
		if c.frozen[p] {
			step = 1
		}
		for {
			p = wrap(p+step, n)
			if c.tour[p] == w {
				break
			}
			dst = append(dst, c.tour[p])
		}
	}
	return dst
}
