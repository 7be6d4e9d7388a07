package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// checkPlanned pairs the written paths with the planned ones in their order
// and tells which are not where they should be.
func (c *checker) checkPlanned() {
	type want struct {
		path *Path
		tool int
	}
	var planned []want
	for i := range c.pass.Runs {
		r := &c.pass.Runs[i]
		for _, k := range r.Cutters {
			for j := k.First; j < k.First+k.Paths; j++ {
				planned = append(planned, want{&r.Paths[j], k.Place})
			}
		}
	}
	if len(planned) != len(c.chains) {
		c.report.Refuse("path-missing", "", fmt.Sprintf("%d paths are written, %d are planned", len(c.chains), len(planned)), float64(len(c.chains)), float64(len(planned)))
		return
	}
	worst := 0.0
	for i := range c.chains {
		ch, w := &c.chains[i], planned[i]
		ch.planned = w.path
		ps := pieces(w.path.Line)
		d, at := apartMost(ch.ps, setOf(ps))
		if e, f := apartMost(ps, setOf(ch.ps)); e > d {
			d, at = e, f
		}
		d = max(d, gap(ch.start(), ps[0].a), gap(ch.end(), ps[len(ps)-1].b))
		worst = max(worst, d)
		if d > tight || ch.tool != w.tool {
			c.report.Refuse("path-moved", toolName(ch.tool), "a path is not where it was planned, mm", d, tight, at)
		}
	}
	c.figure("path-moved", "every path is where it was planned, mm", worst, tight)
}

// apartMost is the largest distance of a set of places on one path (its ends
// and the middles of its pieces) from another.
func apartMost(ps []piece, other *edges) (worst float64, at orb.Point) {
	for i := range ps {
		for _, q := range [2]orb.Point{ps[i].b, ps[i].at(ps[i].length / 2)} {
			if d := other.distance(q); d > worst {
				worst, at = d, q
			}
		}
	}
	return worst, at
}

// checkClearance looks at every written move: how near it comes to an edge, on
// which side it runs, and whether a finishing path keeps to its line.
func (c *checker) checkClearance() {
	least, wander := math.Inf(1), 0.0
	for i := range c.chains {
		ch := &c.chains[i]
		if o := c.l.lineOf(ch.planned); o != nil {
			wander = max(wander, c.checkOpenCut(ch, o))
			continue
		}
		want := ch.radius - c.deflection()
		solid := c.keptOff(ch.planned != nil && ch.planned.Hole)
		s, total := 0.0, 0.0
		for k := range ch.ps {
			total += ch.ps[k].length
		}
		for k := range ch.ps {
			q := &ch.ps[k]
			if d, j, at := solid.clearance(q, want+1); j >= 0 {
				least = min(least, d-want)
				if d < want-tight {
					c.report.Refuse("gouge", toolName(ch.tool), "the cutter cuts into an edge: distance of its centre, mm", d, want, at)
				}
			}
			if m := q.at(q.length / 2); c.material(m) {
				c.report.Refuse("wrong-side", toolName(ch.tool), "the cutter runs inside the material", 0, 0, m)
			}
			if ch.planned != nil && (ch.planned.Role == Finish || ch.planned.Role == CleanUp) {
				in, out := ch.planned.LeadIn, total-ch.planned.LeadOut
				wander = max(wander, c.onIts(ch, q, solid, s, in, out, want))
			}
			s += q.length
		}
	}
	if !math.IsInf(least, 1) {
		c.figure("gouge", "smallest clearance of a swept edge from a board, mm", tooling.Snap(least), -tight)
	}
	c.figure("off-line", "largest distance of a finishing path from its line, mm", tooling.Snap(wander), tight)
}

// onIts looks at places along one finishing move: their distance from the edge
// and the side the material is on. Leads are left out.
func (c *checker) onIts(ch *chain, q *piece, solid *edges, before, in, out, want float64) (wander float64) {
	n := max(1, int(math.Ceil(q.length)))
	for k := range n {
		x := q.length * (float64(k) + 0.5) / float64(n)
		if s := before + x; s < in+onLine || s > out-onLine {
			continue
		}
		m := q.at(x)
		d, j, _ := solid.near(m, want+1)
		if j < 0 {
			d = want + 1
		}
		wander = max(wander, d-want)
		if d > want+tight {
			c.report.Refuse("off-line", toolName(ch.tool), "a finishing path runs away from the edge: distance of its centre, mm", d, want, m)
			return wander
		}
		side := scale(left(q.heading(x)), want+5*tight)
		l, r := c.material(add(m, side)), c.material(sub(m, side))
		if l != r && l != (c.l.Input.Rules.Rout.Direction == tooling.Conventional) {
			c.report.Refuse("direction", toolName(ch.tool), fmt.Sprintf("the cut is not %s", c.l.Input.Rules.Rout.Direction), 0, 0, m)
		}
	}
	return wander
}
