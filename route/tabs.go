package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// placeTabs fixes the tabs of every placement in order. A tab across a channel
// that two boards share holds both, so it counts for the later one too.
func (l *Layout) placeTabs() error {
	l.Tabs = []Tab{}
	l.indexHoles()
	all := edgesOf(l.loops, func(o *loop) bool { return !o.inner() })
	held := l.heldByScores(all)
	for i := range l.loops {
		o := &l.loops[i]
		if o.inner() {
			continue
		}
		b := l.Input.Boards[l.Input.Panel.Boards[o.board].Board]
		if len(b.Tabs) > 0 {
			if err := l.tabsByHand(o, b, all); err != nil {
				return err
			}
			continue
		}
		if l.Input.NoTabs || l.Input.Rules.Tabs.PerBoard == 0 || held[o.board] {
			continue
		}
		if err := l.tabsByRule(i, all); err != nil {
			return err
		}
	}
	return nil
}

// tabsByHand puts a board's own tabs onto the panel.
func (l *Layout) tabsByHand(o *loop, b Board, all *edges) error {
	place := l.Input.Panel.Boards[o.board]
	for k, t := range b.Tabs {
		ring := o
		for j := range l.loops {
			if l.loops[j].board == o.board && !l.loops[j].hole && l.loops[j].number == t.Loop {
				ring = &l.loops[j]
			}
		}
		t.Board, t.At = o.board, place.Apply(t.At)
		if t.Width == 0 {
			t.Width = l.Input.Rules.Tabs.Width
		}
		what := fmt.Sprintf("tab %d of %.3f mm", k, t.Width)
		edge, ok := ring.lineAt(t.At)
		if !ok {
			return l.fault(ring, nil, t.At, what, "a place on a straight edge of the board", ErrTabPlace)
		}
		p := &ring.ps[edge]
		if t.Width > p.length+onLine {
			return l.fault(ring, nil, t.At, what, fmt.Sprintf("at most its edge, %.3f mm", p.length), ErrTabLong)
		}
		room := t.Width/2 + l.leastRoom()
		if s := gap(p.a, t.At); s < room-onLine || s > p.length-room+onLine {
			return l.fault(ring, nil, t.At, what+" too near to the end of its edge", fmt.Sprintf("a place %.3f mm or more from the edge's ends: half the web and room for the cutter", room), ErrTabPlace)
		}
		if ring.scored[edge] {
			return l.fault(ring, nil, t.At, what+" on a score line", "an edge that is routed", ErrTabPlace)
		}
		t.Out = ring.outward(edge)
		if l.taken(t) {
			return l.fault(ring, nil, t.At, what+" over another tab", fmt.Sprintf("tabs %.3f mm apart", t.Width+2*l.Cutter.Diameter), ErrTabPlace)
		}
		if across, ok := l.across(t, all); ok {
			t.Across = across
		}
		l.Tabs = append(l.Tabs, t)
	}
	return nil
}

// taken tells whether a tab of the same edge stands too near for a cut between.
func (l *Layout) taken(t Tab) bool {
	for _, u := range l.Tabs {
		if u.Board == t.Board && u.Loop == t.Loop && u.Out == t.Out && gap(u.At, t.At) < (u.Width+t.Width)/2+l.Cutter.Diameter {
			return true
		}
	}
	return false
}

// lineAt is the index of the straight piece that q lies on.
func (l *loop) lineAt(q orb.Point) (int, bool) {
	best, index := 10*onLine, -1
	for i := range l.ps {
		if l.ps[i].turn != 0 {
			continue
		}
		if d, _ := l.ps[i].to(q); d < best {
			best, index = d, i
		}
	}
	return index, index >= 0
}

// outward is the unit normal of a straight piece, away from the material.
func (l *loop) outward(i int) orb.Point {
	n := left(l.ps[i].heading(0))
	if l.inner() {
		return n
	}
	return orb.Point{0 - n[0], 0 - n[1]}
}

// bar is the least width in mm of a strip between two channels that is left
// standing to carry tabs; narrower ones are cut away with the channels
// [assumption].
const bar = 2.0

// across looks over the channel at a tab: how far the next board lies, 0 when
// there is scrap enough to hold the tab. It is not ok when one part of the tab
// faces a board and another does not, or at another distance.
func (l *Layout) across(t Tab, all *edges) (float64, bool) {
	reach := 2*l.Cutter.Diameter + bar
	half := t.Width/2 + l.Cutter.Diameter/2
	side := left(t.Out)
	first := math.NaN()
	for _, x := range [5]float64{0, -half, half, -half / 2, half / 2} {
		from := along(along(t.At, side, x), t.Out, 10*onLine)
		d := l.ray(from, along(from, t.Out, reach), t, all)
		if d > 0 {
			d = tooling.Snap(d + 10*onLine)
		}
		if math.IsNaN(first) {
			first = d
		}
		if math.Abs(d-first) > onLine {
			return 0, false
		}
	}
	return first, true
}

// ray is how far from a to the first board met on the way to b; 0: none.
func (l *Layout) ray(a, b orb.Point, t Tab, all *edges) float64 {
	p := newPiece(a, contour.Move{To: b})
	best := 0.0
	all.cells(p.box(), func(c int) {
		for _, i := range all.list[all.first[c]:all.first[c+1]] {
			if at, ok := p.meets(&all.pieces[i]); ok {
				if d := gap(a, at); best == 0 || d < best {
					best = d
				}
			}
		}
	})
	return best
}

// tabsByRule places a board's tabs where [spread] says.
func (l *Layout) tabsByRule(i int, all *edges) error {
	o := &l.loops[i]
	r := l.Input.Rules.Tabs
	spots, longest, round := l.spots(o, all)
	if len(spots) == 0 {
		err := ErrTabPlace
		if longest < r.Width {
			err = ErrTabLong
		}
		return l.fault(o, nil, o.line.Start, fmt.Sprintf("a tab of %.3f mm and edges of at most %.3f mm", r.Width, longest),
			fmt.Sprintf("a straight routed edge of %.3f mm, corners kept clear", r.Width+2*l.cornerRoom()), err)
	}
	perimeter := 0.0
	for k := range o.ps {
		perimeter += o.ps[k].length
	}
	chosen, worst, ok := spread(spots, perimeter, r.PerBoard, r.Spacing, r.Width+2*l.Cutter.Diameter, round)
	if !ok {
		return l.fault(o, nil, o.line.Start, fmt.Sprintf("no %d places for tabs round its centre", r.PerBoard), "straight routed edges on all sides, or tabs by hand", ErrTabPlace)
	}
	if worst > r.Spacing {
		l.Report.Note("tab-spacing", "", "tabs are farther apart than the rule aims at", worst, r.Spacing, o.line.Start)
	}
	for _, k := range chosen {
		if s := spots[k]; !s.fixed {
			l.Tabs = append(l.Tabs, Tab{Board: o.board, At: s.at, Out: s.out, Width: r.Width, Perforated: r.Perforated, Across: s.across})
		}
	}
	return nil
}

// step is the least distance in mm of the places looked at along an edge;
// maxSpots bounds their number on one outline by a wider one.
const (
	step     = 1.0
	maxSpots = 120
)

// spots lists where tabs of the rule's width may stand on an outline, in the
// order of the contour, with the neighbours' tabs and the scored edges that hold
// this board already. longest is the longest straight routed edge; round tells
// whether the contour goes round its centroid.
func (l *Layout) spots(o *loop, all *edges) (out []spot, longest float64, round bool) {
	centre := centroid(o)
	straight := 0.0
	for k := range o.ps {
		if o.ps[k].turn == 0 && !o.scored[k] {
			straight += o.ps[k].length
		}
	}
	pitch := max(step, straight/maxSpots)
	s := 0.0
	turned := newWinding(centre, o.line.Start)
	begin := turned.angle
	for k := range o.ps {
		p := &o.ps[k]
		if p.turn == 0 && !o.scored[k] {
			longest = max(longest, p.length)
			n := o.outward(k)
			put := func(x float64, across float64, fixed bool) {
				at := tooling.SnapPoint(p.at(x))
				out = append(out, spot{s: s + x, at: at, out: n, across: across, fixed: fixed, angle: turned.at(at)})
			}
			l.eachSpot(p, n, o.board, pitch, all, put)
		}
		if o.scored[k] {
			at := p.at(p.length / 2)
			out = append(out, spot{s: s + p.length/2, at: at, fixed: true, scored: true, angle: turned.at(at)})
		}
		turned.along(p)
		s += p.length
	}
	return out, longest, turned.angle-begin > math.Pi
}

// leastRoom is how far in mm a tab's end must keep from its edge's end: in an
// inside corner the cutter's centre turns half a diameter before it, the round
// end of the cut takes another half, and as much again is cut between.
func (l *Layout) leastRoom() float64 { return 1.5 * l.Cutter.Diameter }

// cornerRoom is leastRoom or the rule's clearance, whichever is more.
func (l *Layout) cornerRoom() float64 {
	return max(l.Input.Rules.Tabs.CornerClear, l.leastRoom())
}

// eachSpot goes along one straight edge: neighbours' tabs where they stand,
// free places between.
func (l *Layout) eachSpot(p *piece, out orb.Point, board int, pitch float64, all *edges, put func(x, across float64, fixed bool)) {
	r := l.Input.Rules.Tabs
	fixed := l.facing(p, out, board)
	lo := r.Width/2 + l.cornerRoom()
	hi := p.length - lo
	n := int(math.Ceil((hi - lo) / pitch))
	if hi < lo {
		n = -1
	}
	next := 0
	for k := 0; k <= n; k++ {
		x := (lo + hi) / 2
		if n > 0 {
			x = lo + float64((hi-lo)*(float64(k)/float64(n)))
		}
		for ; next < len(fixed) && fixed[next].x <= x; next++ {
			put(fixed[next].x, fixed[next].across, true)
		}
		t := Tab{Board: board, At: p.at(x), Out: out, Width: r.Width, Perforated: r.Perforated}
		across, ok := l.across(t, all)
		if t.Across = across; ok && !l.obstructed(t) {
			put(x, across, false)
		}
	}
	for ; next < len(fixed); next++ {
		put(fixed[next].x, fixed[next].across, true)
	}
}

// obstructed tells whether a keep-out stands over a tab, or its perforations
// would come nearer to a hole than the rules' web.
func (l *Layout) obstructed(t Tab) bool {
	side := left(t.Out)
	b := orb.MultiPoint{
		along(t.At, side, t.Width/2), along(t.At, side, -t.Width/2),
		along(along(t.At, t.Out, l.Cutter.Diameter), side, t.Width/2), along(along(t.At, t.Out, l.Cutter.Diameter), side, -t.Width/2),
	}.Bound()
	for _, k := range l.Input.Panel.KeepOuts {
		if k.Bound().Intersects(b) {
			return true
		}
	}
	return t.Perforated && l.meetsHole(t)
}

// meetsHole tells whether a perforated tab's rows come too near to a hole.
func (l *Layout) meetsHole(t Tab) bool {
	r := l.Input.Rules
	half := float64(float64(r.Tabs.Count-1)*r.Tabs.Pitch) / 2
	for _, middle := range t.rows(r.Tabs) {
		side := left(t.Out)
		row := newPiece(along(middle, side, -half), contour.Move{To: along(middle, side, half)})
		met := false
		l.holes.cells(row.box().Pad(l.widest+r.Tabs.Hole+r.Web), func(c int) {
			for _, i := range l.holes.list[l.holes.first[c]:l.holes.first[c+1]] {
				h := l.Input.Holes[l.holes.owner[i]]
				if d, _ := row.between(&l.holes.pieces[i]); d < (r.Allowance.Target(h.Size)+r.Tabs.Hole)/2+r.Web {
					met = true
				}
			}
		})
		if met {
			return true
		}
	}
	return false
}

// indexHoles puts the holes' centre lines into a set; widest is their largest
// radius.
func (l *Layout) indexHoles() {
	var ps []piece
	var owner []int32
	for i, h := range l.Input.Holes {
		ps, owner = append(ps, centreLine(h)), append(owner, int32(i))
		l.widest = max(l.widest, l.Input.Rules.Allowance.Target(h.Size)/2)
	}
	l.holes = newEdges(ps, owner)
}

type fixedSpot struct{ x, across float64 }

// facing finds the tabs of earlier boards that end on this edge.
func (l *Layout) facing(p *piece, out orb.Point, board int) []fixedSpot {
	var found []fixedSpot
	for _, t := range l.Tabs {
		if t.Board == board || t.Across == 0 {
			continue
		}
		foot := along(t.At, t.Out, t.Across)
		if d, _ := p.to(foot); d > onLine || dot(t.Out, out) > -0.5 {
			continue
		}
		f := fixedSpot{gap(p.a, foot), t.Across}
		k := len(found)
		for k > 0 && found[k-1].x > f.x {
			k--
		}
		found = append(found, f)
		copy(found[k+1:], found[k:])
		found[k] = f
	}
	return found
}
