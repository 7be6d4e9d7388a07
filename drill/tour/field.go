package tour

import (
	"slices"

	"github.com/paulmach/orb"
)

// field is the problem as the search sees it: distinct nodes to be joined into
// one ring. Two-ended items, fixed ends and, in a window, the rest of the tour
// are edges that must stay, kept as mates: a node has at most one.
type field struct {
	metric *Metric
	at     []orb.Point // by node, along a Hilbert curve
	mate   []int32     // by node: the other end of its fixed edge or -1; nil: no fixed edges
	free   int32       // the node that costs nothing to reach: an end left open; -1: none
}

// cost is the cost of joining two nodes. Fixed edges are never asked for.
func (f *field) cost(i, j int32) int64 {
	if f.free >= 0 && (i == f.free || j == f.free) {
		return 0
	}
	return f.metric.cost(f.at[i], f.at[j])
}

// fixed tells whether the edge between neighbours i and j of the ring must stay.
func (f *field) fixed(i, j int32) bool { return f.mate != nil && f.mate[i] == j }

// edge is cost for edges of the ring: a fixed one counts nothing.
func (f *field) edge(i, j int32) int64 {
	if f.fixed(i, j) {
		return 0
	}
	return f.cost(i, j)
}

// origin says what a node stands for.
type origin struct {
	item int32 // index of the item; startNode, endNode or openNode
	side uint8 // 1: the B end of a two-ended item
}

const (
	startNode = -1
	endNode   = -2
	openNode  = -3
)

// encoding maps a problem to a field and an order of its nodes back.
type encoding struct {
	field
	from   []origin
	twins  []int32 // by item: the next item at the same place or -1; nil: none
	double bool    // some item has two ends
}

// encode lays the problem out as a field.
//
//	two-ended item      two nodes and a fixed edge
//	start and end       two nodes and a fixed edge
//	one end left open   its node and the open node, with a fixed edge
//	both ends open      the open node
//	items at one place  one node: visited in one go
//
// An unfinished budget gives nil.
func encode(p *Problem, b *budget) *encoding {
	e := &encoding{field: field{metric: &p.Metric, free: -1}}
	total := 2 // nodes at most
	for _, it := range p.Items {
		total++
		if it.A != it.B {
			total++
			e.double = true
		}
	}
	at := make([]orb.Point, 0, total)
	from := make([]origin, 0, total)
	for i, it := range p.Items {
		at = append(at, it.A)
		from = append(from, origin{int32(i), 0})
		if it.A != it.B {
			at = append(at, it.B)
			from = append(from, origin{int32(i), 1})
		}
	}
	if p.Start != nil {
		at = append(at, *p.Start)
		from = append(from, origin{startNode, 0})
	}
	if p.End != nil {
		at = append(at, *p.End)
		from = append(from, origin{endNode, 0})
	}
	perm := hilbert(at, b)
	if perm == nil {
		return nil
	}
	e.at = make([]orb.Point, 0, len(at)+1)
	e.from = make([]origin, 0, len(at)+1)
	single := func(o origin) bool { return o.item >= 0 && p.Items[o.item].A == p.Items[o.item].B }
	last, tail := -1, int32(-1) // the latest node of a single point, the latest item at it
	for _, i := range perm {
		if k := last; k >= 0 && e.at[k] == at[i] && single(from[i]) {
			if e.twins == nil {
				e.twins = make([]int32, len(p.Items))
				for j := range e.twins {
					e.twins[j] = -1
				}
			}
			e.twins[tail] = from[i].item
			tail = from[i].item
			continue
		}
		if single(from[i]) {
			last, tail = len(e.at), from[i].item
		}
		e.at = append(e.at, at[i])
		e.from = append(e.from, from[i])
	}
	if !p.Closed && (p.Start == nil || p.End == nil) {
		e.free = int32(len(e.at))
		e.at = append(e.at, orb.Point{})
		e.from = append(e.from, origin{openNode, 0})
	}
	e.pair(p)
	return e
}

// pair finds the fixed edges.
func (e *encoding) pair(p *Problem) {
	ends := p.Start != nil || p.End != nil
	if !e.double && (p.Closed || !ends) {
		return
	}
	e.mate = make([]int32, len(e.at))
	var b map[int32]int32 // item -> node of its B end; only looked up
	if e.double {
		b = make(map[int32]int32)
	}
	terminal := [2]int32{-1, -1}
	for i := range e.mate {
		e.mate[i] = -1
		switch o := e.from[i]; {
		case o.item == startNode || o.item == endNode:
			terminal[-1-o.item] = int32(i)
		case o.side == 1:
			b[o.item] = int32(i)
		}
	}
	for i, o := range e.from {
		if j, ok := b[o.item]; ok && o.side == 0 && o.item >= 0 {
			e.mate[i], e.mate[j] = j, int32(i)
		}
	}
	if p.Closed || !ends {
		return
	}
	i, j := terminal[0], terminal[1]
	if i < 0 {
		i = e.free
	}
	if j < 0 {
		j = e.free
	}
	e.mate[i], e.mate[j] = j, i
}

// decode turns a ring of nodes into an order of items. Where nothing tells the
// ring's beginning it begins with the lowest item, in the direction of its
// lower neighbour, so that equal rings give equal orders.
func (e *encoding) decode(p *Problem, ring []int32) (order []int32, flipped []bool) {
	n := len(ring)
	first, back := e.beginning(p, ring)
	order = make([]int32, 0, len(p.Items))
	if e.double {
		flipped = make([]bool, len(p.Items))
	}
	for k := range n {
		at := first + k
		if back {
			at = first - k + n
		}
		o := e.from[ring[at%n]]
		if o.item < 0 {
			continue
		}
		if m := len(order); m > 0 && order[m-1] == o.item {
			continue // the second end of a two-ended item
		}
		if o.side == 1 {
			flipped[o.item] = true
		}
		order = append(order, o.item)
		if e.twins != nil {
			for t := e.twins[o.item]; t >= 0; t = e.twins[t] {
				order = append(order, t)
			}
		}
	}
	return order, flipped
}

// beginning picks the position in the ring where the order begins and whether
// it runs backwards from there.
func (e *encoding) beginning(p *Problem, ring []int32) (first int, back bool) {
	n := len(ring)
	find := func(item int32) int {
		return slices.IndexFunc(ring, func(v int32) bool { return e.from[v].item == item })
	}
	next := func(k int) origin { return e.from[ring[(k+1)%n]] }
	prev := func(k int) origin { return e.from[ring[(k+n-1)%n]] }
	switch {
	case n < 3:
		if p.Start != nil && n == 2 {
			return find(startNode), false
		}
		return 0, n == 2 && !p.Closed && e.from[ring[0]].item == openNode
	case p.Closed && p.Start != nil:
		k := find(startNode)
		return k, prev(k).item < next(k).item
	case p.Start != nil: // its mate stands before it
		k := find(startNode)
		return k, next(k).item < 0
	case p.End != nil: // the open node, then the way, then the end
		k := find(openNode)
		return k, next(k).item < 0
	case !p.Closed:
		k := find(openNode)
		return k, prev(k).item < next(k).item
	}
	lowest := 0
	for k := range ring {
		if a, b := e.from[ring[k]], e.from[ring[lowest]]; a.item < b.item || a.item == b.item && a.side < b.side {
			lowest = k
		}
	}
	if e.mate != nil && e.mate[ring[lowest]] >= 0 {
		// Enter at A and go along the item.
		return lowest, e.mate[ring[lowest]] == ring[(lowest+n-1)%n]
	}
	return lowest, prev(lowest).item < next(lowest).item
}
