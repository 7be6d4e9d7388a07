package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// besideOpen is how far a cutter's centre is meant to run from an open path.
func (c *checker) besideOpen(o *openLine) float64 {
	if o.path.Side == Centre {
		return 0
	}
	return o.tool.Diameter/2 - c.deflection()
}

// checkOpenCut looks at the cut of an open path as [checker.checkClearance] does
// at those of boards: its distance from the line, its side and its sense, and
// how near it comes to other boards and to holes with copper on their walls.
func (c *checker) checkOpenCut(ch *chain, o *openLine) (wander float64) {
	want := c.besideOpen(o)
	name := toolName(ch.tool)
	finish := ch.planned.Role == Finish
	reach := max(want, ch.radius+ch.planned.Allowance) + 1
	for k := range ch.ps {
		q := &ch.ps[k]
		if d, i, at := o.edges.clearance(q, want-tight); i >= 0 {
			c.report.Refuse("gouge", name, "the cutter cuts into the edge of an open path: distance of its centre, mm", d, want, at)
		}
		c.openNeighbours(ch, o, q)
		n := max(1, int(math.Ceil(q.length)))
		for j := range n + 1 {
			x := q.length * float64(j) / float64(n)
			m := q.at(x)
			d, on, off := o.nearest(m, want, reach)
			if finish {
				wander = max(wander, d-want)
				if d > want+tight {
					c.report.Refuse("off-line", name, "a cut leaves its open path: distance of its centre, mm", d, want, m)
					return wander
				}
			}
			if o.path.Side == Centre {
				continue
			}
			if (off > 0) != (o.path.Side == Left) {
				c.report.Refuse("wrong-side", name, fmt.Sprintf("the cutter does not run on the %s of an open path", o.path.Side), 0, 0, m)
				return wander
			}
			if on == nil || j == 0 || j == n {
				continue // at a corner, where the sense is that of neither neighbour
			}
			climbs := (dot(q.heading(x), on.headingAt(m)) > 0) == (o.path.Side == Left)
			if climbs != (c.l.Input.Rules.Rout.Direction == tooling.Climb) {
				c.report.Refuse("direction", name, fmt.Sprintf("the cut is not %s", c.l.Input.Rules.Rout.Direction), 0, 0, m)
				return wander
			}
		}
	}
	return wander
}

// nearest is the distance of a place from the line, as far as reach mm; the piece
// that the place stands square to, nil at a corner; and which side it is on: above
// 0 the left.
func (o *openLine) nearest(m orb.Point, want, reach float64) (d float64, on *piece, off float64) {
	d, first, _ := o.edges.near(m, reach)
	if first < 0 {
		return reach, nil, 0
	}
	o.edges.each(&piece{a: m, b: m}, d+onLine, func(i int) {
		q := &o.ps[i]
		e, foot := q.to(m)
		if e > d+onLine/2 {
			return
		}
		side := cross(q.headingAt(foot), sub(m, foot))
		if math.Abs(side) > math.Abs(off) { // at a corner the neighbour that sees it best
			off = side
		}
		if foot != q.a && foot != q.b && math.Abs(side) > want/2 {
			on = q
		}
	})
	return d, on, off
}

// openNeighbours refuses what an open path's cut must not meet.
func (c *checker) openNeighbours(ch *chain, o *openLine, q *piece) {
	name := toolName(ch.tool)
	limit := ch.radius - tight
	if d, k, at := c.solid.clearanceOf(q, limit, func(owner int32) bool {
		other := &c.l.loops[owner]
		return !other.inner() && other.board != o.board
	}); k >= 0 {
		c.report.Refuse("gouge", name, "the cut of an open path meets another board: distance of its centre, mm", d, ch.radius, at)
	}
	for _, m := range c.l.holesAt(q, limit) {
		if h := c.l.Input.Holes[m.hole]; h.Size.Plated && !h.Half {
			c.report.Refuse("gouge", name, fmt.Sprintf("the cut of an open path meets plated hole %d: distance of its centre, mm", m.hole), m.d, m.wall+ch.radius, m.at)
		}
	}
}

// checkOpenPaths looks at every open path of this pass, place by place, for what
// its own cutter could reach and has left.
func (c *checker) checkOpenPaths() (longest float64) {
	for i := range c.l.openLines {
		o := &c.l.openLines[i]
		if o.path.Plated != (c.pass.Stage == tooling.BeforePlating) {
			continue
		}
		want := c.besideOpen(o)
		var own []piece
		for _, ch := range slices.Concat(c.done, c.left, c.chains) {
			if ch.planned != nil && ch.planned.Role == Finish && c.l.lineOf(ch.planned) == o {
				own = append(own, ch.ps...)
			}
		}
		cuts := setOf(own)
		run, from := 0.0, orb.Point{}
		flush := func() {
			if run > 0 {
				longest = max(longest, run)
				c.report.Refuse("uncut-edge", "", o.name()+" is left uncut, mm", tooling.Snap(run), 0, from)
			}
			run = 0
		}
		for k := range o.ps {
			q := &o.ps[k]
			n := max(1, int(math.Ceil(q.length/edgeStep)))
			for j := range n {
				m := q.at(q.length * (float64(j) + 0.5) / float64(n))
				out := scale(left(q.headingAt(m)), want)
				if o.path.Side == Right {
					out = scale(out, -1)
				}
				_, cut, _ := cuts.near(m, want+tight)
				_, nearer, _ := o.edges.near(add(m, out), want-5e-5)
				if cut >= 0 || want > 0 && nearer >= 0 { // nearer: no cutter comes there
					flush()
					continue
				}
				if run == 0 {
					from = m
				}
				run += q.length / float64(n)
			}
		}
		flush()
	}
	return longest
}
