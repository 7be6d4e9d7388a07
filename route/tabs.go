package route

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
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
		if l.Input.NoTabs && !held[o.board] {
			l.Report.Note("board-drops", "", "a board without tabs drops with its last cut, unless two pins hold it", 0, 0, o.box.Center())
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
		if edge := t.edge(); l.overHalfHole(&edge) {
			return l.fault(ring, nil, t.At, what+" over a half hole", "an edge that holds the tab all along", ErrTabPlace)
		}
		if apart, taken := l.taken(t); taken {
			return l.fault(ring, nil, t.At, what+" over another tab", fmt.Sprintf("places %.3f mm apart: half of both webs and a cut between", apart), ErrTabPlace)
		}
		if t.Across, ok = l.across(t, all); !ok {
			return l.fault(ring, nil, t.At, what+" faces another board with a part of it", "a place that faces one board, or scrap, all along", ErrTabPlace)
		}
		l.Tabs = append(l.Tabs, t)
	}
	return nil
}

// tabbed tells whether a tab stands on an outline or cut-out.
func (l *Layout) tabbed(o *loop) bool {
	return slices.ContainsFunc(l.Tabs, func(t Tab) bool { return t.Board == o.board && t.Loop == o.number })
}

// taken tells whether a tab of the same edge stands too near for a cut between,
// and how far apart in mm the two would have to stand: shorter cuts than sample
// may be missed.
func (l *Layout) taken(t Tab) (apart float64, taken bool) {
	for _, u := range l.Tabs {
		apart = (u.Width+t.Width)/2 + l.Cutter.Diameter + sample
		if u.Board == t.Board && u.Loop == t.Loop && u.Out == t.Out && gap(u.At, t.At) < apart-onLine/2 {
			return apart, true
		}
	}
	return 0, false
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
