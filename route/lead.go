package route

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// entry is one way to cut a closed path: where it begins and how it is led in.
type entry struct {
	s    float64 // mm along the ring
	lead float64 // radius of the lead arcs, mm; 0: straight down on the line
}

// maxEntries bounds the places at which a closed path may begin.
const maxEntries = 16

// entries lists the places where a closed path may begin, with the longest
// lead that stays clear there: the middles of its lines, and of its arcs where
// no line takes so long a lead, since the mark of a start shows least on a
// straight edge. Only places with the longest lead of all are kept, then at most
// maxEntries, evenly.
func (p *planner) entries(it *item) []entry {
	var all []entry
	longest, straight := 0.0, false
	put := func(s float64, line bool) {
		e := entry{s, p.lead(it, s)}
		switch {
		case e.lead > longest || e.lead == longest && line && !straight:
			all, longest, straight = []entry{e}, e.lead, line
		case e.lead == longest && line == straight:
			all = append(all, e)
		}
	}
	r := it.ring
	for i := range r.ps {
		q := &r.ps[i]
		start := r.ends[i] - q.length
		put(start+q.length/2, q.turn == 0)
		if q.turn != 0 && q.sweep > math.Pi {
			put(start+q.length/4, false)
			put(start+3*q.length/4, false)
		}
	}
	if n := len(all); n > maxEntries {
		for k := range maxEntries {
			all[k] = all[k*n/maxEntries]
		}
		all = all[:maxEntries]
	}
	return all
}

// lead is the longest of the wanted lead and its halves that stays clear. Inside
// a cut-out it is at most a sixth of the shorter side, so that the leads cannot
// cut the waste there in pieces.
func (p *planner) lead(it *item, s float64) float64 {
	if it.path.Role == Clear {
		return 0
	}
	want := p.l.Input.Rules.Rout.LeadIn
	if !it.outline {
		b := it.ring.line.Bound()
		want = min(want, (b.Max[0]-b.Min[0])/6, (b.Max[1]-b.Min[1])/6)
	}
	for _, r := range [4]float64{want, want / 2, want / 4, want / 8} {
		if r < 10*onLine {
			break
		}
		in, out := p.leads(it, s, r)
		if p.free(it, &in) && p.free(it, &out) {
			return r
		}
	}
	return 0
}

// leads returns the quarter arcs that lead in at s and out past the overlap,
// tangent to the path, from and to the side away from the material.
func (p *planner) leads(it *item, s, r float64) (in, out piece) {
	away := -1.0 // the material is on the left
	turn := int8(-1)
	if p.sense != tooling.Conventional {
		away, turn = 1, 1
	}
	a := it.ring.at(s)
	ha := it.ring.heading(s)
	c := along(a, left(ha), away*r)
	in = newPiece(along(c, ha, -r), contour.Move{To: a, Center: c, Turn: turn})
	b := it.ring.at(s + p.l.Input.Rules.Rout.Overlap)
	hb := it.ring.heading(s + p.l.Input.Rules.Rout.Overlap)
	c = along(b, left(hb), away*r)
	out = newPiece(b, contour.Move{To: along(c, hb, r), Center: c, Turn: turn})
	return in, out
}

func (r *ruler) heading(s float64) orb.Point {
	i, x := r.find(s)
	return r.ps[i].heading(x)
}

// free tells whether a lead gouges nothing: edges, tabs, the panel's rim.
func (p *planner) free(it *item, q *piece) bool {
	limit := it.tool.Diameter/2 + it.path.Allowance - onLine/2
	if d, k, _ := p.solid.clearance(q, limit); k >= 0 && d < limit {
		return false
	}
	for k := 0; k <= 4; k++ {
		at := q.at(q.length * float64(k) / 4)
		if p.inTab(at, it.tool.Diameter, 0) || !p.l.Input.Panel.Bound().Contains(at) {
			return false
		}
	}
	return true
}

// line builds the whole path of a closed item for one of its entries.
func (p *planner) line(it *item, e entry) Path {
	out := it.path
	over := p.l.Input.Rules.Rout.Overlap
	if it.path.Role == Clear {
		over = 0
	}
	r := it.ring
	loop := r.cut(e.s, e.s+r.length()+over)
	out.Overlap = over
	if e.lead > 0 {
		in, lead := p.leads(it, e.s, e.lead)
		c := contour.Contour{Start: in.a}
		c.Moves = append(c.Moves, in.stretch(in.length))
		c.Moves = append(c.Moves, loop.Moves...)
		c.Moves = append(c.Moves, contour.Move{To: lead.b, Center: lead.c, Turn: lead.turn})
		loop = c
		out.LeadIn, out.LeadOut = in.length, lead.length
	}
	out.Line = loop
	return out
}
