package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// tabsByRule places a board's tabs where [spread] says.
func (l *Layout) tabsByRule(i int, all *edges) error {
	o := &l.loops[i]
	r := l.Input.Rules.Tabs
	rim, err := l.rim(o)
	if err != nil {
		return err
	}
	perimeter := 0.0
	for k := range o.ps {
		perimeter += o.ps[k].length
	}
	apart := r.Width + 2*l.Cutter.Diameter
	var spots []spot
	var chosen []int
	var longest, worst float64
	ok := false
	for most := r.PerSide; most >= 0 && !ok; most-- {
		for _, arcs := range [2]bool{false, true} { // on arcs where the straight edges alone do not hold it
			var round bool
			spots, longest, round = l.spots(o, all, rim, arcs)
			if chosen, worst, ok = spread(spots, perimeter, r.PerBoard, sideNeed(spots, most, apart), r.Spacing, apart, round); ok {
				break
			}
		}
	}
	if len(spots) == 0 {
		err := ErrTabPlace
		if longest < r.Width {
			err = ErrTabLong
		}
		return l.fault(o, nil, o.line.Start, fmt.Sprintf("a tab of %.3f mm and edges of at most %.3f mm", r.Width, longest),
			fmt.Sprintf("a straight routed edge of %.3f mm, corners kept clear", r.Width+2*l.cornerRoom()), err)
	}
	if !ok {
		return l.fault(o, nil, o.line.Start, fmt.Sprintf("no %d places for tabs round its centre", r.PerBoard), "straight routed edges on all sides, or tabs by hand", ErrTabPlace)
	}
	if worst > r.Spacing {
		l.Report.Note("tab-spacing", "", "tabs are farther apart than the rule aims at", worst, r.Spacing, o.line.Start)
	}
	l.tellSides(o, spots, chosen)
	for _, k := range chosen {
		if s := spots[k]; !s.fixed {
			l.Tabs = append(l.Tabs, Tab{Board: o.board, At: s.at, Out: s.out, Width: r.Width, Perforated: r.Perforated, Across: s.across, Radius: s.radius})
		}
	}
	return nil
}

// rim is the edge of the scrap round a board's channel. A tab beside any other
// loop, in a pocket behind a neck, would tie the board to a slug; where there is no
// line the cutter does not come at all, or leaves nothing to tie to.
func (l *Layout) rim(o *loop) (*edges, error) {
	got, err := contour.Offset([]contour.Contour{o.line}, l.Cutter.Diameter)
	if err != nil {
		return nil, l.fault(o, nil, o.line.Start, o.name(), "", fmt.Errorf("%w: %w", ErrOffset, err))
	}
	var ps []piece
	for _, c := range got.Loops {
		if c.Area() > 0 {
			ps = append(ps, pieces(c)...)
		}
	}
	return setOf(ps), nil
}

// onRim tells whether the whole gap of a tab lies beside that scrap.
func (l *Layout) onRim(t Tab, rim *edges) bool {
	d := l.Cutter.Diameter
	for _, x := range [3]float64{0, -(t.Width + d) / 2, (t.Width + d) / 2} {
		if _, k, _ := rim.near(along(along(t.At, t.Out, d), left(t.Out), x), onLine); k < 0 {
			return false
		}
	}
	return true
}

// step is the least distance in mm of the places looked at along an edge;
// maxSpots bounds their number on one outline by a wider one.
const (
	step     = 1.0
	maxSpots = 120
)

// spots lists where tabs of the rule's width may stand on an outline, in the
// order of the contour, arcs among them where asked, with the neighbours' tabs and the scored edges that hold
// this board already. longest is the longest straight routed edge; round tells
// whether the contour goes round its centroid.
func (l *Layout) spots(o *loop, all, rim *edges, arcs bool) (out []spot, longest float64, round bool) {
	centre := centroid(o)
	straight := 0.0
	for k := range o.ps {
		if (o.ps[k].turn == 0 || arcs) && !o.scored[k] {
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
				out = append(out, spot{s: s + x, at: at, out: n, across: across, fixed: fixed, side: sideOf(n), angle: turned.at(at)})
			}
			l.eachSpot(p, n, o.board, pitch, all, rim, put)
		}
		if p.turn != 0 && arcs {
			l.eachArcSpot(o, k, pitch, all, rim, func(x float64, t Tab) {
				at := tooling.SnapPoint(t.At)
				out = append(out, spot{s: s + x, at: at, out: t.Out, radius: t.Radius, side: sideOf(t.Out), angle: turned.on(p, x)})
			})
		}
		if o.scored[k] {
			at := p.at(p.length / 2)
			out = append(out, spot{s: s + p.length/2, at: at, fixed: true, scored: true, side: sideOf(o.outward(k)), angle: turned.at(at)})
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
func (l *Layout) eachSpot(p *piece, out orb.Point, board int, pitch float64, all, rim *edges, put func(x, across float64, fixed bool)) {
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
		if t.Across = across; ok && l.onRim(t, rim) && !l.obstructed(t) && (across > 0 || l.inScrap(t, all)) {
			put(x, across, false)
		}
	}
	for ; next < len(fixed); next++ {
		put(fixed[next].x, fixed[next].across, true)
	}
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
