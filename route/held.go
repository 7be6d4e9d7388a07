package route

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// stock is the panel as a grid of square cells with the time at which each is
// cut away, so that what hangs together after every path can be told. Plan uses
// it to find waste that would come loose, Check to prove that parts are held;
// it knows distances only, no offsets.
type stock struct {
	nx, ny int
	cell   float64 // mm
	cutAt  []int32 // by cell: the first path that takes it; never: it stays
	parent []int32 // union-find over cells; the frame is the last element
}

const (
	// finestCell and mostCells bound the grid: webs and slivers narrower than a
	// cell are not seen.
	finestCell = 0.2
	mostCells  = 2 << 20
	never      = math.MaxInt32
)

func newStock(panel tooling.Panel) *stock {
	cell := max(finestCell, math.Sqrt(float64(panel.Width*panel.Height)/mostCells))
	s := &stock{cell: cell, nx: max(1, int(math.Ceil(panel.Width/cell))), ny: max(1, int(math.Ceil(panel.Height/cell)))}
	s.cutAt = make([]int32, s.nx*s.ny)
	for i := range s.cutAt {
		s.cutAt[i] = never
	}
	return s
}

// middle is the centre of a cell.
func (s *stock) middle(c int) orb.Point {
	return orb.Point{float64((float64(c%s.nx) + 0.5) * s.cell), float64((float64(c/s.nx) + 0.5) * s.cell)}
}

// index is the cell that holds a point, -1 off the panel.
func (s *stock) index(q orb.Point) int {
	x, y := int(math.Floor(q[0]/s.cell)), int(math.Floor(q[1]/s.cell))
	if x < 0 || y < 0 || x >= s.nx || y >= s.ny {
		return -1
	}
	return y*s.nx + x
}

// sweep takes away what a cutter of a radius meets along a piece as path t.
// Paths must come in their order.
func (s *stock) sweep(p *piece, radius float64, t int) {
	b := p.box().Pad(radius)
	x0, x1 := max(0, int(b.Min[0]/s.cell)), min(s.nx-1, int(b.Max[0]/s.cell))
	y0, y1 := max(0, int(b.Min[1]/s.cell)), min(s.ny-1, int(b.Max[1]/s.cell))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			c := y*s.nx + x
			if s.cutAt[c] != never {
				continue
			}
			if d, _ := p.to(s.middle(c)); d <= radius {
				s.cutAt[c] = int32(t)
			}
		}
	}
}

// frame is the element that stands for the panel's rim, which is held.
func (s *stock) frame() int32 { return int32(s.nx * s.ny) }

func (s *stock) find(c int32) int32 {
	for s.parent[c] != c {
		s.parent[c] = s.parent[s.parent[c]]
		c = s.parent[c]
	}
	return c
}

func (s *stock) union(a, b int32) {
	a, b = s.find(a), s.find(b)
	if a < b {
		a, b = b, a
	}
	s.parent[b] = a // the higher index stays root, so that the frame does
}

// rewind goes through the time after each path, from the last path to before
// the first, with the cells put back that the path took; visit is told the
// path after which things stand so, -1 for before the first.
func (s *stock) rewind(paths int, visit func(after int)) {
	s.parent = make([]int32, s.nx*s.ny+1)
	for i := range s.parent {
		s.parent[i] = int32(i)
	}
	s.settle()
	by := make([][]int32, paths) // cells by the path that takes them
	for c, t := range s.cutAt {
		if t != never {
			by[t] = append(by[t], int32(c))
		}
	}
	for k := paths; k >= 0; k-- {
		if k < paths {
			for _, c := range by[k] {
				s.join(c, k)
			}
		}
		visit(k - 1)
	}
}

// settle ties together the cells that no path takes: row by row each run of
// them is one piece, tied to the runs below that it touches.
func (s *stock) settle() {
	for y := range s.ny {
		row := s.cutAt[y*s.nx : (y+1)*s.nx]
		for x := 0; x < s.nx; x++ {
			if row[x] != never {
				continue
			}
			start := int32(y*s.nx + x)
			rim := x == 0 || y == 0 || y == s.ny-1
			fresh := true // the cell below begins a run of its own, as seen from this one
			for ; x < s.nx && row[x] == never; x++ {
				c := int32(y*s.nx + x)
				s.parent[c] = start
				if y == 0 || s.cutAt[c-int32(s.nx)] != never {
					fresh = true
					continue
				}
				if fresh {
					s.union(start, c-int32(s.nx))
				}
				fresh = false
				start = s.find(start)
			}
			if rim || x == s.nx {
				s.union(start, s.frame())
			}
		}
	}
}

// join puts a cell back and ties it to its neighbours that are there already.
func (s *stock) join(c int32, k int) {
	x, y := int(c)%s.nx, int(c)/s.nx
	if x == 0 || y == 0 || x == s.nx-1 || y == s.ny-1 {
		s.union(c, s.frame())
	}
	for _, d := range [4]struct {
		ok   bool
		step int
	}{{x > 0, -1}, {x < s.nx-1, 1}, {y > 0, -s.nx}, {y < s.ny-1, s.nx}} {
		if n := c + int32(d.step); d.ok && int(s.cutAt[n]) >= k { // never is above every path
			s.union(c, n)
		}
	}
}

// lump is a piece that is not held, in cells.
type lump struct {
	cells int
	first int // lowest cell
	box   orb.Bound
	mean  orb.Point
}

// lumps lists the pieces that hang on nothing, by their first cell. It may be
// called from visit.
func (s *stock) lumps(present func(c int) bool, held func(root int32) bool) []lump {
	at := map[int32]int{}
	var out []lump
	for c := range s.cutAt {
		if !present(c) {
			continue
		}
		root := s.find(int32(c))
		if held(root) {
			continue
		}
		k, ok := at[root]
		m := s.middle(c)
		if !ok {
			k = len(out)
			at[root] = k
			out = append(out, lump{first: c, box: m.Bound()})
		}
		l := &out[k]
		l.cells++
		l.box = l.box.Extend(m)
		l.mean = add(l.mean, m)
	}
	for k := range out {
		out[k].mean = scale(out[k].mean, 1/float64(out[k].cells))
		out[k].box = out[k].box.Pad(s.cell / 2)
	}
	return out
}

// size is the longer side of a lump in mm.
func (l lump) size() float64 {
	return max(l.box.Max[0]-l.box.Min[0], l.box.Max[1]-l.box.Min[1])
}
