package tour

import (
	"math"

	"github.com/paulmach/orb"
)

// exactPlaces is how many places are ordered by dynamic programming.
const exactPlaces = 12

// places returns the items that need a place in the order: one for each place
// of single points, each two-ended item.
func (e *encoding) places() []int32 {
	var reps []int32
	for _, o := range e.from {
		if o.item >= 0 && o.side == 0 {
			reps = append(reps, o.item)
			if len(reps) > exactPlaces {
				break
			}
		}
	}
	return reps
}

// withTwins puts the items that share a place behind the one that stands for
// it. Some do: the items are more than the places.
func (e *encoding) withTwins(order []int32) []int32 {
	var out []int32
	for _, i := range order {
		out = append(out, i)
		for t := e.twins[i]; t >= 0; t = e.twins[t] {
			out = append(out, t)
		}
	}
	return out
}

// exact finds a best order of few items by dynamic programming over subsets and
// last ends (M. Held, R. M. Karp, A dynamic programming approach to sequencing
// problems, Journal of SIAM 10, 1962): O(2^n n^2). Ties go to the lower item.
func exact(p *Problem, items []int32) (order []int32, flipped []bool) {
	n := len(items)
	double := false
	// State (set, a = 2k+s): the items of the set are visited, the last is k,
	// entered at A when s is 0, at B when s is 1, and left at its other end.
	enter := func(a int) orb.Point {
		it := p.Items[items[a/2]]
		if a%2 == 1 {
			return it.B
		}
		return it.A
	}
	leave := func(a int) orb.Point {
		it := p.Items[items[a/2]]
		if a%2 == 1 {
			return it.A
		}
		return it.B
	}
	ways := make([]int, n)
	for k, i := range items {
		ways[k] = 1
		if p.Items[i].A != p.Items[i].B {
			ways[k], double = 2, true
		}
	}
	dist := make([][]int64, 2*n) // from leaving state to entering state
	for a := range dist {
		dist[a] = make([]int64, 2*n)
		for b := range dist[a] {
			dist[a][b] = p.Metric.cost(leave(a), enter(b))
		}
	}
	const none = math.MaxInt64 / 4
	full := 1<<n - 1
	best := int64(none)
	var bestEnd int
	var bestFrom []int8
	// A closed tour without a start may begin anywhere: with item 0, and either
	// way round, so entering it at A is enough.
	ring := p.Closed && p.Start == nil
	cost := make([]int64, (full+1)*2*n)
	from := make([]int8, (full+1)*2*n)
	for i := range cost {
		cost[i], from[i] = none, -1
	}
	for k := range n {
		for s := range ways[k] {
			if ring && (k > 0 || s > 0) {
				continue
			}
			c := int64(0)
			if p.Start != nil {
				c = p.Metric.cost(*p.Start, enter(2*k+s))
			}
			cost[(1<<k)*2*n+2*k+s] = c
		}
	}
	for set := 1; set <= full; set++ {
		for a := range 2 * n {
			c := cost[set*2*n+a]
			if c == none {
				continue
			}
			for k := range n {
				if set&(1<<k) != 0 {
					continue
				}
				for s := range ways[k] {
					b := 2*k + s
					to := (set|1<<k)*2*n + b
					if d := c + dist[a][b]; d < cost[to] {
						cost[to], from[to] = d, int8(a)
					}
				}
			}
		}
	}
	for a := range 2 * n {
		c := cost[full*2*n+a]
		if c == none {
			continue
		}
		out := leave(a)
		switch {
		case ring:
			c += dist[a][0]
		case p.Closed:
			c += p.Metric.cost(out, *p.Start)
		case p.End != nil:
			c += p.Metric.cost(out, *p.End)
		}
		if c < best {
			best, bestEnd = c, a
		}
	}
	bestFrom = from
	if double {
		flipped = make([]bool, len(p.Items))
	}
	order = make([]int32, n)
	set, a := full, bestEnd
	for k := n - 1; k >= 0; k-- {
		order[k] = items[a/2]
		if a%2 == 1 {
			flipped[items[a/2]] = true
		}
		b := int(bestFrom[set*2*n+a])
		set &^= 1 << (a / 2)
		a = b
	}
	return order, flipped
}
