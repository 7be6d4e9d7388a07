package route

import (
	"math"

	"github.com/paulmach/orb"
)

// A tab may stand on an outward arc where an outline has no straight edge left
// for it. Its frame is the tangent in its middle: x along it, y away from the
// board. The edge falls away from the tangent on both sides, and so does the
// centre line of a cutter of radius c, which runs at R + c:
//
//	fall(x) = (R + c) - sqrt((R + c)^2 - x^2)
//
// The web is as wide as asked at the height of the ends of the cuts.

// fall is how far in mm the line at radius c from a tab's edge has fallen away
// from its tangent at x; 0 on straight edges.
func (t *Tab) fall(c, x float64) float64 {
	r := t.Radius + c
	if t.Radius == 0 || math.Abs(x) >= r {
		return 0
	}
	return r - math.Sqrt(float64(r*r)-float64(x*x))
}

// leastArc is the least radius in mm of an arc on which a tab of the rule's
// width may stand: the ends of the cuts, half a web and a cutter's radius from
// its middle, must lie outside of the tangent, and the arc must not turn by more than
// some 30 degrees to either side.
func (l *Layout) leastArc() float64 {
	d := l.Cutter.Diameter
	half := (l.Input.Rules.Tabs.Width + d) / 2
	return max(2*half, (float64(half*half)-float64(d*d)/4)/d*1.05)
}

// eachArcSpot goes along one outward arc, piece k of an outline, where there is
// scrap across.
func (l *Layout) eachArcSpot(o *loop, k int, pitch float64, all, rim *edges, put func(x float64, t Tab)) {
	p := &o.ps[k]
	if p.turn < 0 || p.r < l.leastArc() {
		return
	}
	r := l.Input.Rules.Tabs
	before, after := o.sameCircle(k)
	room := r.Width/2 + l.cornerRoom()
	lo, hi := max(0, room-before), p.length-max(0, room-after)
	for n := 0; lo+float64(float64(n)*pitch) < hi; n++ {
		x := lo + float64(float64(n)*pitch)
		at := p.at(x)
		t := Tab{Board: o.board, At: at, Out: unit(sub(at, p.c)), Width: r.Width, Perforated: r.Perforated, Radius: p.r}
		if across, ok := l.across(t, all); ok && across == 0 && l.onArcRim(t, rim) && !l.obstructed(t) && l.inScrap(t, all) {
			put(x, t)
		}
	}
}

// inScrap tells whether a tab that ends in scrap keeps off the channels round
// the other boards, also beside it: what the tab keeps the cutter from would stay
// on their edges.
func (l *Layout) inScrap(t Tab, all *edges) bool {
	d := l.Cutter.Diameter
	half := (t.Width + d) / 2
	side := left(t.Out)
	for _, y := range [2]float64{d / 2, d} {
		for _, x := range [5]float64{-half, -half / 2, 0, half / 2, half} {
			q := along(along(t.At, t.Out, y), side, x)
			if _, k, _ := all.nearOf(q, d-onLine, func(owner int32) bool { return l.loops[owner].board != t.Board }); k >= 0 {
				return false
			}
		}
	}
	return true
}

// sameCircle is how far in mm the circle of an arc goes on in the pieces before
// and after it.
func (l *loop) sameCircle(k int) (before, after float64) {
	same := func(i int) bool {
		p, q := &l.ps[k], &l.ps[i]
		return q.turn == p.turn && !l.scored[i] && gap(p.c, q.c) <= onLine && math.Abs(p.r-q.r) <= onLine
	}
	n := len(l.ps)
	if l.ps[k].a == l.ps[k].b {
		return l.ps[k].length, l.ps[k].length
	}
	for i := 1; i < n && same((k+n-i)%n); i++ {
		before += l.ps[(k+n-i)%n].length
	}
	for i := 1; i < n && same((k+i)%n); i++ {
		after += l.ps[(k+i)%n].length
	}
	return before, after
}

// onArcRim is onRim for a tab on an arc.
func (l *Layout) onArcRim(t Tab, rim *edges) bool {
	d := l.Cutter.Diameter
	for _, s := range [3]float64{0, -(t.Width + d) / 2, (t.Width + d) / 2} {
		if _, k, _ := rim.near(t.perforation(s, d), onLine); k < 0 {
			return false
		}
	}
	return true
}

// perforation is the place x along a row, such as one of perforations, that lies
// y from the edge, away from the board.
func (t *Tab) perforation(x, y float64) orb.Point {
	side := left(t.Out)
	if t.Radius == 0 || t.Radius+y <= 0 {
		return along(along(t.At, t.Out, y), side, x)
	}
	centre, angle, r := along(t.At, t.Out, -t.Radius), x/t.Radius, t.Radius+y
	return along(along(centre, t.Out, r*math.Cos(angle)), side, r*math.Sin(angle))
}
