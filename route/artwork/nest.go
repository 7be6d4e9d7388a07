package artwork

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// nest is which loop lies in which.
type nest struct {
	parent []int   // -1: in none
	kids   [][]int // in the order of the loops
	depth  []int
	holds  []int // holes inside each
	strays int   // holes inside none
}

// inside answers whether points lie in a loop; long loops get an index.
type inside struct {
	line  contour.Contour
	index *contour.Index
}

func newInside(c contour.Contour) inside {
	in := inside{line: c}
	if len(c.Moves) > 32 {
		in.index = contour.NewIndex([]contour.Contour{c})
	}
	return in
}

func (in inside) contains(p orb.Point) bool {
	if in.index != nil {
		return in.index.Contains(p)
	}
	return in.line.Contains(p)
}

// sample is a point of the loop away from its corners: the middle of its longest move.
func (l *loop) sample() orb.Point {
	at, best, longest := l.line.Start, l.line.Start, -1.0
	for _, v := range l.line.Moves {
		a := arc{from: toPoint(at), to: toPoint(v.To), center: [2]float64{v.Center[0] * 1e6, v.Center[1] * 1e6}, turn: v.Turn}
		if n := float64(int64(a.length())); n > longest {
			x, y := a.middle()
			best, longest = orb.Point{x / 1e6, y / 1e6}, n
		}
		at = v.To
	}
	return best
}

// newNest finds for each loop the smallest one around it, and the holes in it.
func newNest(loops []loop, holes []orb.Point) nest {
	t := nest{
		parent: make([]int, len(loops)), kids: make([][]int, len(loops)), depth: make([]int, len(loops)), holds: make([]int, len(loops)),
	}
	boxes := make([]rect, len(loops))
	insides := make([]inside, len(loops))
	order := make([]int, len(loops))
	for i := range loops {
		boxes[i], order[i] = loops[i].box, i
		insides[i] = newInside(loops[i].line)
	}
	tree := newBoxTree(boxes)
	for i := range loops {
		t.parent[i] = -1
		p := loops[i].sample()
		at := nowhere().add(p[0]*1e6, p[1]*1e6)
		tree.each(at, func(k int32) bool {
			j := int(k)
			if j != i && larger(loops, j, i) && boxes[j].grow(nodeWithin).holds(boxes[i]) && insides[j].contains(p) {
				if t.parent[i] < 0 || larger(loops, t.parent[i], j) {
					t.parent[i] = j
				}
			}
			return true
		})
	}
	slices.SortFunc(order, func(a, b int) int {
		if larger(loops, a, b) {
			return -1
		}
		return 1
	})
	for _, i := range order {
		if p := t.parent[i]; p >= 0 {
			t.depth[i] = t.depth[p] + 1
		}
	}
	for i, p := range t.parent {
		if p >= 0 {
			t.kids[p] = append(t.kids[p], i)
		}
	}
	for _, h := range holes {
		in := 0
		tree.each(nowhere().add(h[0]*1e6, h[1]*1e6), func(k int32) bool {
			if insides[k].contains(h) {
				t.holds[k]++
				in++
			}
			return true
		})
		if in == 0 {
			t.strays++
		}
	}
	return t
}

// larger orders loops by area, ties by index, so that of two equal ones the first is the outer.
func larger(loops []loop, i, j int) bool {
	if i == j {
		return false
	}
	c := cmp.Compare(int64(loops[j].area*1e6), int64(loops[i].area*1e6))
	return c < 0 || c == 0 && i < j
}
