package route

import (
	"math"
	"slices"

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
			p.addClearing(p.clearing(s, l), last)
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

// clearing plans paths that sweep all cells of a lump. Places for the cutter are
// taken one after the other, each on the cell not yet swept that is nearest to
// the place before, or moved off the edges far enough to gouge nothing; where the
// straight way between two places is clear they are one cut, else a new path
// begins. It is nil when a cell cannot be swept.
func (p *planner) clearing(s *stock, l lump) []contour.Contour {
	root := s.find(int32(l.first))
	var left []orb.Point
	for c := range s.cutAt {
		if s.cutAt[c] == never && s.find(int32(c)) == root {
			left = append(left, s.middle(c))
		}
	}
	r := p.l.Cutter.Diameter/2 - s.cell
	at := l.mean // the middle first: for a small star a plunge there is all
	var out []contour.Contour
	for len(left) > 0 {
		place, ok := p.clearPlace(at)
		var swept piece
		if n := len(out); n > 0 && ok {
			swept = newPiece(out[n-1].End(), contour.Move{To: place})
			if p.clearOfEdges(&swept) {
				out[n-1].Moves = append(out[n-1].Moves, contour.Move{To: place})
			} else {
				swept = newPiece(place, contour.Move{To: place})
				out = append(out, contour.Contour{Start: place})
			}
		} else {
			swept = newPiece(place, contour.Move{To: place})
			out = append(out, contour.Contour{Start: place})
		}
		before := len(left)
		left = slices.DeleteFunc(left, func(q orb.Point) bool {
			d, _ := swept.to(q)
			return d <= r
		})
		if !ok || len(left) == before && at != l.mean {
			return nil
		}
		best := math.Inf(1)
		for _, q := range left {
			if d := gap(q, place); d < best {
				best, at = d, q
			}
		}
	}
	for k := range out { // a plunge alone: the least move that can be written
		if len(out[k].Moves) == 0 {
			out[k].Moves = append(out[k].Moves, contour.Move{To: orb.Point{out[k].Start[0] + 10*writingGrid, out[k].Start[1]}})
		}
	}
	return out
}

// clearPlace is the place nearest to q, or nearly, where the cutter gouges
// nothing: q itself, or moved away from the edges in the way.
func (p *planner) clearPlace(q orb.Point) (orb.Point, bool) {
	want := p.radius(p.l.Cutter)
	for range 8 {
		q = gridPoint(q)
		d, k, foot := p.solid.near(q, want-onLine/2)
		if k < 0 {
			return q, !p.inTab(q, p.l.Cutter.Diameter, 0)
		}
		q = along(q, unit(sub(q, foot)), want-d)
	}
	return q, false
}

// clearOfEdges tells whether the cutter gouges nothing along a piece.
func (p *planner) clearOfEdges(q *piece) bool {
	_, k, _ := p.solid.clearance(q, p.radius(p.l.Cutter)-onLine)
	return k < 0 && !p.inTab(q.at(q.length/2), p.l.Cutter.Diameter, 0)
}

// addClearing adds paths and puts them before all that would cut their waste
// loose: those near it among the first n items.
func (p *planner) addClearing(lines []contour.Contour, n int) {
	for _, line := range lines {
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
}
