package artwork

import (
	"cmp"
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

// boxTree finds the boxes that meet a box. Items stand in the order of the Z curve
// through the middles of their boxes (G. M. Morton, A computer oriented geodetic
// data base, 1966) and are halved along it: O(n log n) to build.
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
	if len(boxes) == 0 {
		return t
	}
	all := nowhere()
	for _, b := range boxes {
		all = all.union(b)
	}
	keys := make([]uint64, len(boxes))
	for i, b := range boxes {
		keys[i] = spread((b.x0+b.x1)/2-all.x0, all.width())<<1 | spread((b.y0+b.y1)/2-all.y0, all.height())
		t.order[i] = int32(i)
	}
	slices.SortFunc(t.order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(keys[i], keys[j]), cmp.Compare(i, j))
	})
	t.nodes = append(t.nodes, boxNode{last: int32(len(boxes))})
	for at := 0; at < len(t.nodes); at++ {
		n := t.nodes[at]
		if n.last-n.first <= boxLeaf {
			continue
		}
		half := (n.first + n.last) / 2
		t.nodes[at].left = int32(len(t.nodes))
		t.nodes = append(t.nodes, boxNode{first: n.first, last: half}, boxNode{first: half, last: n.last})
	}
	for at := len(t.nodes) - 1; at >= 0; at-- { // children stand behind their parents
		n := &t.nodes[at]
		if n.left > 0 {
			n.box = t.nodes[n.left].box.union(t.nodes[n.left+1].box)
			continue
		}
		n.box = nowhere()
		for _, i := range t.order[n.first:n.last] {
			n.box = n.box.union(boxes[i])
		}
	}
	return t
}

// spread gives v as 24 bits of a length, with a gap of one between each two.
func spread(v, length float64) uint64 {
	if !(length > 0) {
		return 0
	}
	x := uint64(min(max(v/length, 0), 1) * (1<<24 - 1))
	for _, step := range [5]struct {
		by   uint
		mask uint64
	}{{16, 0x0000ffff0000ffff}, {8, 0x00ff00ff00ff00ff}, {4, 0x0f0f0f0f0f0f0f0f}, {2, 0x3333333333333333}, {1, 0x5555555555555555}} {
		x = (x | x<<step.by) & step.mask
	}
	return x
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
