package artwork

import (
	"math"
	"slices"
)

// rect is a box in nanometres.
type rect struct{ x0, y0, x1, y1 float64 }

// nowhere is the box that holds nothing.
func nowhere() rect { return rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (b rect) add(x, y float64) rect {
	return rect{min(b.x0, x), min(b.y0, y), max(b.x1, x), max(b.y1, y)}
}

func (b rect) union(o rect) rect {
	return rect{min(b.x0, o.x0), min(b.y0, o.y0), max(b.x1, o.x1), max(b.y1, o.y1)}
}

func (b rect) grow(d float64) rect { return rect{b.x0 - d, b.y0 - d, b.x1 + d, b.y1 + d} }

func (b rect) meets(o rect) bool {
	return b.x0 <= o.x1 && o.x0 <= b.x1 && b.y0 <= o.y1 && o.y0 <= b.y1
}

func (b rect) holds(o rect) bool {
	return b.x0 <= o.x0 && o.x1 <= b.x1 && b.y0 <= o.y0 && o.y1 <= b.y1
}

func (b rect) width() float64  { return b.x1 - b.x0 }
func (b rect) height() float64 { return b.y1 - b.y0 }
func (b rect) size() float64   { return max(b.width(), b.height()) }

// boxTree finds the boxes that meet a box. Items are halved by the middle of
// their boxes, in turn along the longer side: O(n log2 n) to build.
type boxTree struct {
	boxes []rect
	order []int32
	nodes []boxNode
}

// boxNode holds order[first:last]; its halves are nodes left and left+1 unless
// it is a leaf (left 0).
type boxNode struct {
	box         rect
	first, last int32
	left        int32
}

const boxLeaf = 8

func newBoxTree(boxes []rect) *boxTree {
	t := &boxTree{boxes: boxes, order: make([]int32, len(boxes))}
	for i := range t.order {
		t.order[i] = int32(i)
	}
	if len(boxes) == 0 {
		return t
	}
	t.nodes = append(t.nodes, boxNode{last: int32(len(boxes))})
	for at := 0; at < len(t.nodes); at++ {
		n := &t.nodes[at]
		n.box = nowhere()
		middle := nowhere()
		part := t.order[n.first:n.last]
		for _, i := range part {
			b := boxes[i]
			n.box = n.box.union(b)
			middle = middle.add((b.x0+b.x1)/2, (b.y0+b.y1)/2)
		}
		if len(part) <= boxLeaf {
			continue
		}
		wide := middle.width() >= middle.height()
		slices.SortFunc(part, func(i, j int32) int {
			a, b := boxes[i], boxes[j]
			u, v := a.y0+a.y1, b.y0+b.y1
			if wide {
				u, v = a.x0+a.x1, b.x0+b.x1
			}
			switch {
			case u < v:
				return -1
			case u > v:
				return 1
			}
			return int(i) - int(j)
		})
		half := (n.first + n.last) / 2
		first, last := n.first, n.last
		n.left = int32(len(t.nodes))
		t.nodes = append(t.nodes, boxNode{first: first, last: half}, boxNode{first: half, last: last})
	}
	return t
}

// each calls visit with the items whose boxes meet b, until it returns false.
// The order is the tree's, the same every time.
func (t *boxTree) each(b rect, visit func(int32) bool) {
	if len(t.nodes) == 0 {
		return
	}
	stack := make([]int32, 1, 64)
	for len(stack) > 0 {
		n := &t.nodes[stack[len(stack)-1]]
		stack = stack[:len(stack)-1]
		if !n.box.meets(b) {
			continue
		}
		if n.left > 0 {
			stack = append(stack, n.left+1, n.left)
			continue
		}
		for _, i := range t.order[n.first:n.last] {
			if t.boxes[i].meets(b) && !visit(i) {
				return
			}
		}
	}
}
