package route

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

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
	all.each(&p, 0, func(i int) {
		if at, ok := p.meets(&all.pieces[i]); ok {
			if d := gap(a, at); best == 0 || d < best {
				best = d
			}
		}
	})
	return best
}

// obstructed tells whether a keep-out stands over a tab, an open path may cut
// it, a half hole is there, or its perforations would come nearer to a hole than
// the rules' web.
func (l *Layout) obstructed(t Tab) bool {
	edge, side := t.edge(), left(t.Out)
	b := orb.MultiPoint{
		edge.a, edge.b,
		along(along(t.At, t.Out, l.Cutter.Diameter), side, t.Width/2), along(along(t.At, t.Out, l.Cutter.Diameter), side, -t.Width/2),
	}.Bound()
	for _, k := range l.Input.Panel.KeepOuts {
		if k.Bound().Intersects(b) {
			return true
		}
	}
	return l.meetsOpen(&edge) || l.overHalfHole(&edge) || t.Perforated && l.meetsHole(t)
}

// meetsHole tells whether a perforated tab's rows come too near to a hole.
func (l *Layout) meetsHole(t Tab) bool {
	r := l.Input.Rules
	half := float64(float64(r.Tabs.Count-1)*r.Tabs.Pitch) / 2
	for _, y := range t.rows(r.Tabs) {
		row := newPiece(t.perforation(-half, y), contour.Move{To: t.perforation(half, y)})
		if len(l.holesAt(&row, r.Tabs.Hole/2+r.Web)) > 0 {
			return true
		}
	}
	return false
}

// metHole is a hole whose wall comes near to something.
type metHole struct {
	hole int       // index into Input.Holes
	d    float64   // mm from the hole's centre line
	wall float64   // mm, the hole's drilled radius
	at   orb.Point // the nearest place of what was asked about
}

// holesAt lists the holes whose walls come nearer to a piece than web, in order.
func (l *Layout) holesAt(p *piece, web float64) (out []metHole) {
	l.holes.each(p, l.widest+web, func(i int) {
		m := metHole{hole: int(l.holes.owner[i])}
		m.wall = l.Input.Rules.Allowance.Target(l.Input.Holes[m.hole].Size) / 2
		if m.d, m.at = p.between(&l.holes.pieces[i]); m.d < m.wall+web {
			out = append(out, m)
		}
	})
	slices.SortFunc(out, func(a, b metHole) int { return cmp.Compare(a.hole, b.hole) })
	return slices.CompactFunc(out, func(a, b metHole) bool { return a.hole == b.hole })
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

// edge is the stretch of the board's edge that a tab holds.
func (t *Tab) edge() piece {
	side := left(t.Out)
	return newPiece(along(t.At, side, -t.Width/2), contour.Move{To: along(t.At, side, t.Width/2)})
}
