package contour

import (
	"cmp"
	"math"
	"slices"
)

// leafSize is the number of consecutive elements under one leaf of a tree. Fewer
// make the tree deeper, more make each leaf's box looser.
const leafSize = 8

// fanOut is the number of children of an inner node.
const fanOut = 4

// A loop is one closed or open chain of consecutive elements of a region.
type loop struct {
	first, n int32 // its elements are elems[first : first+n]
	closed   bool
	index    int32 // of the contour it comes from
	flipped  bool  // run against the contour's own sense
}

// A node of a tree covers elements first to last of one loop, or, above the
// loops, nodes of several.
type node struct {
	box         box
	first, last int32 // elements, both included
	loop        int32 // -1 where it covers elements of more than one
	child       int32 // first child node, -1 for a leaf
	children    int32
}

// A tree is a static hierarchy of boxes over a region's elements. Consecutive
// elements of a loop share a leaf, since they are neighbours on the plane
// as well; the loops themselves are packed along a Hilbert curve. Building costs
// O(n log n) in the number of loops and O(n) in elements. Queries may run
// concurrently.
type tree struct {
	elems  []elem
	loops  []loop
	owner  []int32 // loop of each element
	nodes  []node
	leaves int32 // nodes[:leaves] are the leaves, in the order of the loops
	root   int32 // -1 for an empty tree
	touch  bool  // loops touch each other somewhere
}

func newTree(elems []elem, loops []loop) *tree {
	t := &tree{elems: elems, loops: loops, owner: make([]int32, len(elems)), root: -1}
	t.nodes = make([]node, 0, len(elems)/leafSize*3/2+2*len(loops)+4)
	for l, lp := range loops {
		for at := lp.first; at < lp.first+lp.n; at += leafSize {
			n := node{box: noBox, first: at, last: min(at+leafSize, lp.first+lp.n) - 1, loop: int32(l), child: -1}
			for i := n.first; i <= n.last; i++ {
				n.box = n.box.union(elems[i].box())
				t.owner[i] = int32(l)
			}
			t.nodes = append(t.nodes, n)
		}
	}
	t.leaves = int32(len(t.nodes))
	if t.leaves == 0 {
		return t
	}
	from, to := int32(0), t.leaves
	for to-from > 1 {
		for at := from; at < to; at += fanOut {
			n := node{box: noBox, child: at, children: min(fanOut, to-at), first: t.nodes[at].first, loop: t.nodes[at].loop}
			for i := at; i < at+n.children; i++ {
				n.box = n.box.union(t.nodes[i].box)
				if t.nodes[i].loop != n.loop {
					n.loop = -1
				}
				n.last = t.nodes[i].last
			}
			t.nodes = append(t.nodes, n)
		}
		from, to = to, int32(len(t.nodes))
	}
	t.root = to - 1
	return t
}

// newRegion lays the elements of several contours out for a tree: coordinates
// relative to origin, contours near each other near each other in memory.
func newRegion(contours []Contour, origin vec) ([]elem, []loop) {
	type entry struct {
		key   uint64
		index int32
	}
	order := make([]entry, len(contours))
	moves := 0
	all := noBox
	centre := make([]vec, len(contours))
	for i, c := range contours {
		b := c.Bound()
		all = all.union(box{b.Min[0], b.Min[1], b.Max[0], b.Max[1]})
		centre[i] = vec{(b.Min[0] + b.Max[0]) / 2, (b.Min[1] + b.Max[1]) / 2}
		moves += len(c.Moves)
	}
	side := max(all.x1-all.x0, all.y1-all.y0, meetDistance)
	for i := range contours {
		x := uint32((centre[i].x - all.x0) / side * 65535)
		y := uint32((centre[i].y - all.y0) / side * 65535)
		order[i] = entry{hilbert(x, y), int32(i)}
	}
	slices.SortFunc(order, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.index, b.index))
	})
	elems := make([]elem, 0, moves)
	loops := make([]loop, 0, len(contours))
	for _, o := range order {
		first := len(elems)
		elems = appendElems(elems, contours[o.index], origin)
		if n := len(elems) - first; n > 0 {
			loops = append(loops, loop{first: int32(first), n: int32(n), closed: contours[o.index].Closed(), index: o.index})
		}
	}
	return elems, loops
}

// hilbert is the distance along a Hilbert curve of order 16 at a cell.
func hilbert(x, y uint32) uint64 {
	var d uint64
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d = d<<2 | uint64((3*rx)^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = 65535-x, 65535-y
			}
			x, y = y, x
		}
	}
	return d
}

// after and before are the neighbours of an element along its closed loop.
func (lp *loop) after(i int32) int32 {
	if i++; i == lp.first+lp.n {
		return lp.first
	}
	return i
}

func (lp *loop) before(i int32) int32 {
	if i == lp.first {
		i += lp.n
	}
	return i - 1
}

// next and previous are the same where the loop is not at hand.
func (t *tree) next(i int32) int32     { return t.loops[t.owner[i]].after(i) }
func (t *tree) previous(i int32) int32 { return t.loops[t.owner[i]].before(i) }

// nearest returns the element nearest to p and its distance. A tie goes to the
// lower element.
func (t *tree) nearest(p vec) (int32, float64) {
	best, found := math.Inf(1), int32(-1)
	if t.root < 0 {
		return found, best
	}
	type entry struct {
		node int32
		d2   float64
	}
	stack := make([]entry, 0, 64)
	stack = append(stack, entry{t.root, 0})
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if top.d2 > float64(best*best) {
			continue
		}
		n := &t.nodes[top.node]
		if n.child < 0 {
			for i := n.first; i <= n.last; i++ {
				if d := t.elems[i].dist(p); d < best || (d == best && i < found) {
					best, found = d, i
				}
			}
			continue
		}
		at := len(stack)
		for k := n.child; k < n.child+n.children; k++ {
			stack = append(stack, entry{k, t.nodes[k].box.dist2(p)})
		}
		// Nearest last, so that it is looked at first.
		slices.SortFunc(stack[at:], func(a, b entry) int {
			return cmp.Or(cmp.Compare(b.d2, a.d2), cmp.Compare(b.node, a.node))
		})
	}
	return found, best
}

// crossings counts where the ray from p towards +x crosses elements of the loops
// that keep reports true for.
func (t *tree) crossings(p vec, keep func(loop int32) bool) int {
	if t.root < 0 {
		return 0
	}
	count := 0
	stack := append(make([]int32, 0, 64), t.root)
	for len(stack) > 0 {
		n := &t.nodes[stack[len(stack)-1]]
		stack = stack[:len(stack)-1]
		if p.y < n.box.y0 || p.y > n.box.y1 || p.x > n.box.x1 || (n.loop >= 0 && !keep(n.loop)) {
			continue
		}
		if n.child >= 0 {
			for k := n.child; k < n.child+n.children; k++ {
				stack = append(stack, k)
			}
			continue
		}
		for i := n.first; i <= n.last; i++ {
			count += t.elems[i].crossings(p)
		}
	}
	return count
}
