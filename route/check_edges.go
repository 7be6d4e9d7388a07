package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// checkEdges looks at every edge that this pass must cut, place by place. A
// place can be reached when the cutter, touching it from outside the
// material, touches nothing deeper: then it must lie on the swept area, unless
// a tab stands there or a score line runs along it. What the rest after a stop
// leaves out counts as swept here and for the tabs, not for what is held.
func (c *checker) checkEdges() {
	longest, unreached := 0.0, 0.0
	for i := range c.l.loops {
		o := &c.l.loops[i]
		if !c.due(o) {
			continue
		}
		want := c.radiusOf(o) - c.deflection()
		run, at := 0.0, orb.Point{}
		flush := func() {
			if run > 0 {
				longest = max(longest, run)
				c.report.Refuse("uncut-edge", "", o.kind()+" is left uncut, mm", tooling.Snap(run), 0, at)
			}
			run = 0
		}
		for k := range o.ps {
			if o.scored[k] {
				flush()
				continue
			}
			q := &o.ps[k]
			n := max(1, int(math.Ceil(q.length/edgeStep)))
			length := q.length / float64(n)
			for j := range n {
				x := q.length * (float64(j) + 0.5) / float64(n)
				e := q.at(x)
				out := left(q.headingAt(e))
				if !o.inner() {
					out = scale(out, -1)
				}
				switch {
				case c.atTab(e) || c.covered(e):
					flush()
				case !c.reachable(along(e, out, want), want, o.hole):
					unreached += length
					flush()
				default:
					if run == 0 {
						at = e
					}
					run += length
				}
			}
		}
		flush()
	}
	longest = max(longest, c.checkOpenPaths())
	c.figure("uncut-edge", "longest stretch of edge within reach that is left, mm", longest, 0)
	if unreached > 0 {
		c.report.Note("unreachable", "", "edge that the cutters cannot reach and leave, mm in all", tooling.Snap(unreached), 0)
	}
}

// kind says what sort of edge a loop is.
func (l *loop) kind() string {
	switch {
	case l.hole:
		return "the edge of a routed hole"
	case l.number > 0:
		return "the edge of a cut-out"
	}
	return "the edge of a board"
}

// due tells whether a loop belongs to the pass.
func (c *checker) due(o *loop) bool {
	return (c.pass.Stage == tooling.BeforePlating) == (o.hole && o.plated)
}

// radiusOf is the radius of the cutter that the plan has for a loop: the
// largest of its finishing paths, the outlines' where it has none.
func (c *checker) radiusOf(o *loop) float64 {
	r := 0.0
	for i := range c.pass.Runs {
		for k := range c.pass.Runs[i].Paths {
			p := &c.pass.Runs[i].Paths[k]
			if p.finishes(o) {
				r = max(r, c.pass.Runs[i].Tool.Diameter/2)
			}
		}
	}
	for _, ch := range slices.Concat(c.done, c.left) {
		if ch.planned.finishes(o) {
			r = max(r, ch.radius)
		}
	}
	if r == 0 {
		r = c.l.Cutter.Diameter / 2
	}
	return r
}

// finishes tells whether a path leaves the edge of a loop.
func (p *Path) finishes(o *loop) bool {
	return p.Role == Finish && p.Open == "" && p.Hole == o.hole && p.Loop == o.number && (o.hole || p.Board == o.board)
}

// reachable tells whether a cutter with its centre at q touches no edge deeper
// than by a twentieth of a micrometre: enough for arithmetic, and too little to
// ask for places in the narrow end of a wedge that a path cannot be written for.
func (c *checker) reachable(q orb.Point, want float64, inHole bool) bool {
	_, k, _ := c.keptOff(inHole).near(q, want-5e-5)
	return k < 0
}

// covered tells whether a place of an edge lies on what the cutters sweep.
func (c *checker) covered(e orb.Point) bool {
	for k, s := range c.swept {
		if _, i, _ := s.near(e, c.radii[k]-c.deflection()+tight); i >= 0 {
			return true
		}
	}
	return false
}

// atTab tells whether a place of an edge lies in a tab or beside it, where the
// round end of a cut leaves its cusp.
func (c *checker) atTab(e orb.Point) bool {
	return c.tabs.any(e, func(i int, x, y float64) bool {
		t := &c.l.Tabs[i]
		return math.Abs(x) <= t.Width/2+c.tabRadius[i]+onLine && (y <= onLine && y >= -t.fall(0, x)-onLine || t.Across > 0 && math.Abs(y-t.Across) <= onLine)
	})
}

// checkTabs measures the web of every tab: along the line on which the cutter
// would have cut it, from the tab's middle both ways to the swept area.
func (c *checker) checkTabs() {
	if c.pass.Stage == tooling.BeforePlating {
		return
	}
	narrowest := math.Inf(1)
	for k, t := range c.l.Tabs {
		want := c.tabRadius[k] - c.deflection()
		lines := []float64{want}
		if t.Across > 0 {
			lines = append(lines, t.Across-want)
		}
		web := math.Inf(1)
		for _, y := range lines {
			y -= t.fall(want, t.Width/2+c.tabRadius[k]) // where the cuts end
			web = min(web, c.web(along(t.At, t.Out, y), left(t.Out), t.Width))
		}
		narrowest = min(narrowest, web)
		switch {
		case web <= 0:
			c.report.Refuse("tab-lost", "", "a tab is cut through", 0, t.Width, t.At)
		case web < t.Width-webSpare || web > t.Width+webSpare:
			c.report.Refuse("tab-width", "", "a tab's web is not what was asked, mm", tooling.Snap(web), t.Width, t.At)
		}
	}
	if !math.IsInf(narrowest, 1) {
		c.figure("tab-width", "narrowest web, mm", tooling.Snap(narrowest), 0)
	}
	c.tellPerforations()
}

// tellPerforations lists what perforated tabs are broken at, apart from their
// whole webs: the laminate between two perforations, and from the last one to the
// end of a cut where that has not opened it.
func (c *checker) tellPerforations() {
	r := c.l.Input.Rules.Tabs
	count, least, at := 0, math.Inf(1), orb.Point{}
	put := func(web float64, q orb.Point) {
		if web > 0 {
			count++
			if web < least {
				least, at = web, q
			}
		}
	}
	for _, t := range c.l.Tabs {
		if !t.Perforated {
			continue
		}
		for _, y := range t.rows(r) {
			row := t.row(y, r)
			for k := range row[1:] {
				put(gap(row[k], row[k+1])-r.Hole, row[k])
			}
			for _, end := range [2]orb.Point{row[0], row[len(row)-1]} {
				put(c.outside(end, t.Width)-r.Hole/2, end)
			}
		}
	}
	if count > 0 {
		c.report.Note("tab-perforation", "", fmt.Sprintf("%d webs between perforations and at their ends, the narrowest %.3f mm wide", count, least), tooling.Snap(least), 0, at)
	}
}

// web is the length in mm of the unswept stretch round middle along a
// direction; 0 when middle itself is swept. It steps by the distance from the
// swept area, which cannot jump over it.
func (c *checker) web(middle, direction orb.Point, width float64) float64 {
	const settled = 1e-5
	reach := width + 2*c.l.Cutter.Diameter
	sum := 0.0
	for _, sign := range [2]float64{1, -1} {
		x := 0.0
		for x < reach {
			d := c.outside(along(middle, direction, sign*x), reach)
			if d < settled {
				break
			}
			x += min(d, reach)
		}
		if x == 0 {
			return 0
		}
		sum += min(x, reach)
	}
	return sum
}
