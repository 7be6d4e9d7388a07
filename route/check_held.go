package route

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// smallest is the area in mm2 from which a loose piece counts: below it is
// dust.
const smallest = 0.3

// checkHeld goes back through the paths and asks after each whether every
// board still hangs on the panel's rim or on two pins, until its last path and,
// unless it is meant to drop, after it; and which waste comes loose.
func (c *checker) checkHeld() {
	s := newStock(c.l.Input.Panel)
	last := make([]int, len(c.l.Input.Panel.Boards)) // by board: its last path
	for i := range last {
		last[i] = -1
	}
	all := slices.Concat(c.done, c.chains)
	for i := range all {
		ch := &all[i]
		if o := c.l.lineOf(ch.planned); o != nil {
			last[o.board] = i
		}
		for k := range ch.ps {
			s.sweep(&ch.ps[k], ch.radius, i)
			if _, j, _ := c.solid.clearance(&ch.ps[k], ch.radius+10*tight); j >= 0 {
				if b := c.l.loops[c.solid.owner[j]].board; b >= 0 {
					last[b] = i
				}
			}
		}
	}
	inside := make([]int, len(last)) // by board: a cell of it
	for i := range c.l.loops {
		if o := &c.l.loops[i]; !o.inner() {
			inside[o.board] = c.cellOf(s, o)
		}
	}
	s.rewind(len(all), func(after int) {
		pinned := c.pinned(s)
		held := func(root int32) bool { return root == s.find(s.frame()) || pinned[root] }
		for b, cell := range inside {
			if cell < 0 || held(s.find(int32(cell))) || after >= last[b] && c.mayDrop(b) {
				continue
			}
			c.report.Refuse("part-loose", "", fmt.Sprintf("board %d comes loose", b), float64(after+1), float64(last[b]+1), s.middle(cell))
		}
		if after == len(all)-1 {
			c.checkSlugs(s, inside, held)
		}
		boards := map[int32]bool{}
		for _, cell := range inside {
			if cell >= 0 {
				boards[s.find(int32(cell))] = true
			}
		}
		for k := range c.loosened {
			if root := s.find(int32(c.loosened[k].first)); c.loosened[k].path < 0 && (held(root) || boards[root]) {
				c.loosened[k].path = after + 1 - len(c.done)
			}
		}
	})
}

// loosened is waste that comes loose in one piece, and the written path after
// which it does; below 0 one before a stop.
type loosened struct {
	lump
	path int
}

// pinned finds the pieces that two pins go through.
func (c *checker) pinned(s *stock) map[int32]bool {
	count, out := map[int32]int{}, map[int32]bool{}
	for _, f := range c.l.Input.Panel.Pins(setUpOf(c.pass.Stage)) {
		if cell := s.index(f.At); cell >= 0 && s.cutAt[cell] == never {
			root := s.find(int32(cell))
			if count[root]++; count[root] == 2 {
				out[root] = true
			}
		}
	}
	return out
}

// mayDrop tells whether a board was asked to be left without anything to hold
// it.
func (c *checker) mayDrop(board int) bool {
	in := c.l.Input
	return in.NoTabs && len(in.Boards[in.Panel.Boards[board].Board].Tabs) == 0
}

// cellOf finds a cell of a board's material that no path takes; -1 none.
func (c *checker) cellOf(s *stock, o *loop) int {
	const rows = 16
	for k := range rows {
		y := o.box.Min[1] + float64((o.box.Max[1]-o.box.Min[1])*((float64(k)+0.5)/rows))
		for x := o.box.Min[0]; x < o.box.Max[0]; x += 2 * s.cell {
			q := orb.Point{x, y}
			if cell := s.index(q); cell >= 0 && s.cutAt[cell] == never && o.inside(s.middle(cell)) && c.material(s.middle(cell)) {
				return cell
			}
		}
	}
	return -1
}

// checkSlugs refuses loose waste that was not announced: anything between the
// boards, and inside cut-outs and pockets what is smaller than may drop.
func (c *checker) checkSlugs(s *stock, boards []int, held func(root int32) bool) {
	roots := map[int32]bool{}
	for _, cell := range boards {
		if cell >= 0 {
			roots[s.find(int32(cell))] = true
		}
	}
	lumps := s.lumps(
		func(cell int) bool { return s.cutAt[cell] == never },
		func(root int32) bool { return held(root) || roots[root] })
	for _, l := range lumps {
		if float64(float64(l.cells)*s.cell)*s.cell < smallest {
			continue
		}
		if at := s.middle(l.first); c.material(at) {
			c.report.Refuse("part-loose", "", "a piece of a board comes loose, mm", tooling.Snap(l.size()), 0, l.mean)
			continue
		}
		if c.l.pocket(s.middle(l.first), l.box) && l.size() >= c.pass.DropFrom-2*s.cell {
			c.loosened = append(c.loosened, loosened{l, -1})
			c.report.Note("slug-drops", "", "waste inside a cut-out or a pocket comes loose in one piece, mm", tooling.Snap(l.size()), c.pass.DropFrom, l.mean)
			continue
		}
		c.report.Refuse("slug-loose", "", "a piece of waste comes loose, mm", tooling.Snap(l.size()), 0, l.mean)
	}
}

// pocket tells whether a loose piece lies in a cut-out, a routed hole, or a
// pocket of one board's outline.
func (l *Layout) pocket(q orb.Point, box orb.Bound) bool {
	for i := range l.loops {
		o := &l.loops[i]
		if o.inner() && o.inside(q) || !o.inner() && o.box.Contains(box.Min) && o.box.Contains(box.Max) {
			return true
		}
	}
	return false
}
