package route

import (
	"math"

	"github.com/paulmach/orb"
)

// boxes is a tree of bounds over pieces in their order, which along contours
// is a good one: the nearest piece is found in about O(log n), however densely they
// lie. Nodes of a level stand in a row; fan of them make one of the next.
type boxes struct {
	n      int           // pieces
	levels [][]orb.Bound // the first by leaves of fan pieces, the last a single one
}

const fan = 4

func newBoxes(ps []piece) boxes {
	t := boxes{n: len(ps)}
	level := make([]orb.Bound, len(ps))
	for i := range ps {
		level[i] = ps[i].box()
	}
	for len(level) > 0 {
		up := make([]orb.Bound, 0, len(level)/fan+1)
		for i := 0; i < len(level); i += fan {
			b := level[i]
			for _, c := range level[i+1 : min(i+fan, len(level))] {
				b = b.Union(c)
			}
			up = append(up, b)
		}
		t.levels = append(t.levels, up)
		if len(up) == 1 {
			break
		}
		level = up
	}
	return t
}

// visit calls leaf for runs of pieces whose boxes come within the reach of b, the
// nearest first. Leaf returns the reach from there on: what lies farther is left out.
func (t boxes) visit(b orb.Bound, reach float64, leaf func(first, end int) float64) {
	if len(t.levels) == 0 {
		return
	}
	type node struct {
		level, index int
		d            float64
	}
	var buf [64]node
	top := len(t.levels) - 1
	stack := append(buf[:0], node{top, 0, 0})
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if at.d > reach {
			continue
		}
		if at.level == 0 {
			reach = leaf(at.index*fan, min(at.index*fan+fan, t.n))
			continue
		}
		below := t.levels[at.level-1]
		from := len(stack)
		for k := at.index * fan; k < min(at.index*fan+fan, len(below)); k++ {
			d := apartBounds(below[k], b) - onBox
			if d > reach {
				continue
			}
			stack = append(stack, node{at.level - 1, k, d})
			for j := len(stack) - 1; j > from && stack[j].d > stack[j-1].d; j-- { // the nearest last
				stack[j], stack[j-1] = stack[j-1], stack[j]
			}
		}
	}
}

// onBox is what rounding may make of a distance to a box, mm.
const onBox = 1e-9

// apartBounds is the distance between two bounds, 0 where they meet.
func apartBounds(a, b orb.Bound) float64 {
	x := max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0])
	y := max(0, a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])
	return math.Sqrt(float64(x*x) + float64(y*y))
}
