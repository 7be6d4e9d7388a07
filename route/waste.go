package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// waste finds what the paths so far would cut loose between the boards, such
// as the star where four rounded corners meet, and adds a path for each that
// cuts it away while it still hangs on. What is too large or out of the cutter's
// reach is left for the check to refuse.
func (p *planner) waste() {
	if len(p.items) == 0 || p.l.Cutter.Diameter == 0 {
		return
	}
	s := newStock(p.l.Input.Panel)
	last := len(p.items)
	for i := range p.items[:last] {
		it := &p.items[i]
		for _, q := range it.line() {
			s.sweep(&q, it.tool.Diameter/2, 0)
		}
	}
	s.rewind(1, func(after int) {
		if after != 0 {
			return
		}
		lumps := s.lumps(
			func(c int) bool { return s.cutAt[c] == never },
			func(root int32) bool { return root == s.find(s.frame()) })
		for _, l := range lumps {
			first := s.middle(l.first)
			if l.size() > mostWaste || p.boards.within(first, func(int32) bool { return true }) {
				continue
			}
			if line, ok := p.clearing(s, l); ok {
				p.addClearing(line, last)
			}
		}
	})
}

// mostWaste is the longest side in mm of waste that is cut away whole.
const mostWaste = 12.0

// line is the centre line of an item before its entry is known.
func (it *item) line() []piece {
	if it.ring != nil {
		return it.ring.ps
	}
	return pieces(it.path.Line)
}

// clearing is a path that sweeps all cells of a lump: from its middle out to
// the farthest cell left and back, until none is left. It is not ok when that
// takes more than a few strokes or comes too near to an edge.
func (p *planner) clearing(s *stock, l lump) (contour.Contour, bool) {
	const strokes = 12
	r := p.l.Cutter.Diameter / 2
	middle := gridPoint(l.mean)
	root := s.find(int32(l.first))
	var left []orb.Point
	for c := range s.cutAt {
		if s.cutAt[c] == never && s.find(int32(c)) == root {
			left = append(left, s.middle(c))
		}
	}
	line := contour.Contour{Start: middle}
	swept := []piece{newPiece(middle, contour.Move{To: middle})}
	for range strokes {
		var far orb.Point
		worst := r - s.cell
		for _, q := range left {
			best := gap(q, middle)
			for k := range swept {
				if d, _ := swept[k].to(q); d < best {
					best = d
				}
			}
			if best > worst {
				worst, far = best, q
			}
		}
		if far == (orb.Point{}) {
			break
		}
		to := gridPoint(along(middle, unit(sub(far, middle)), gap(middle, far)-r/2))
		swept = append(swept, newPiece(middle, contour.Move{To: to}))
		line.Moves = append(line.Moves, contour.Move{To: to}, contour.Move{To: middle})
	}
	if len(line.Moves) == 0 { // the plunge alone sweeps it: the least move that can be written
		line.Moves = append(line.Moves, contour.Move{To: orb.Point{middle[0] + 10*writingGrid, middle[1]}})
		swept[0] = newPiece(middle, line.Moves[0])
	}
	for k := range swept {
		if d, i, _ := p.solid.clearance(&swept[k], r); i >= 0 && d < r {
			return line, false
		}
	}
	return line, len(swept) <= strokes
}

// addClearing adds a path and puts it before all paths that would cut its waste
// loose: those near it among the first n items.
func (p *planner) addClearing(line contour.Contour, n int) {
	b := line.Bound().Pad(3 * p.l.Cutter.Diameter)
	k := len(p.items)
	for i := range p.items[:n] {
		for _, q := range p.items[i].line() {
			if q.box().Intersects(b) {
				p.items[i].after = append(p.items[i].after, k)
				break
			}
		}
	}
	p.items = append(p.items, item{tool: p.l.Cutter, path: Path{Role: Clear, Board: -1, Line: line}})
}
