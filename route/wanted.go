package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// around adds the items of one centre line: the whole loop, or what is left of
// it between tabs, scored edges, other boards and channels cut already.
func (p *planner) around(i int, t tooling.Tool, c contour.Contour, role Role, allowance float64) {
	o := &p.l.loops[i]
	r := newRuler(c)
	stretches, whole := r.trim(func(q, _ orb.Point) bool { return p.wanted(i, q, t, t.Diameter/2+allowance, role) })
	base := item{tool: t, outline: !o.inner(), plated: o.plated, boards: []int{o.board}}
	base.path = Path{Role: role, Board: o.board, Loop: o.number, Hole: o.hole, Allowance: tooling.Snap(allowance)}
	if whole {
		base.ring = r
		p.items = append(p.items, base)
		return
	}
	for _, k := range stretches {
		if k.t-k.s < 2*onLine {
			continue
		}
		open := base
		open.path.Line = r.cut(k.s, k.t)
		p.items = append(p.items, open)
	}
}

// wanted tells whether a point of loop i's centre line at radius mm is to be
// cut by it.
func (p *planner) wanted(i int, q orb.Point, t tooling.Tool, radius float64, role Role) bool {
	if p.inTab(q, t.Diameter, radius) {
		return false
	}
	if p.l.loops[i].inner() {
		return true
	}
	if !p.clearOf(i, q, radius) {
		return false
	}
	if role != Finish || p.centres == nil {
		return true
	}
	_, k, foot := p.centres.nearOf(q, onLine/2, func(owner int32) bool { return int(owner) < i })
	return k < 0 || !p.clearOf(int(p.centres.owner[k]), foot, radius)
}

// clearOf tells whether a point of loop i's centre line is off its scored
// edges and off the other boards.
func (p *planner) clearOf(i int, q orb.Point, radius float64) bool {
	const slack = 1e-7 // mm, above the offset's own rounding
	if s := p.scored[i]; s != nil {
		if d, _, _ := s.near(q, radius+slack); d <= radius+slack {
			return false
		}
	}
	if _, k, _ := p.boards.nearOf(q, radius-1e-4, func(owner int32) bool { return int(owner) != i }); k >= 0 {
		return false
	}
	return !p.boards.within(q, func(owner int32) bool { return int(owner) != i })
}

// inTab tells whether the cutter's centre at q would cut into a tab's web, on a line
// that keeps radius mm from the edge: a rough path may run beyond the channel.
func (p *planner) inTab(q orb.Point, diameter, radius float64) bool {
	return p.tabs.any(q, func(i int, x, y float64) bool {
		t := &p.l.Tabs[i]
		depth := max(diameter, radius)
		if t.Across > 0 {
			depth = t.Across
		}
		half := (t.Width + diameter) / 2
		return y >= -onLine && y <= depth+onLine && x > -half && x < half
	})
}
