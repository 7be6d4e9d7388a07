package artwork

import (
	"example.org/pinstack/route/contour"
)

// unite puts two contours that cross into one, where both lie within a third: two
// cut-outs of a board that overlap take away what either of them encloses. It leaves
// them alone where one may be a board itself, holding holes as a board does, and
// where they would enclose a piece that lies in neither.
func (m *maker) unite(small, large int) (loop, bool) {
	a, b := &m.loops[small], &m.loops[large]
	if !m.shareOutline(small, large) || m.holdsMany(a) || m.holdsMany(b) {
		return loop{}, false
	}
	meet, err := contour.Meetings(a.line, b.line)
	if err != nil {
		return loop{}, false
	}
	var cuts []point
	for _, p := range meet {
		cuts = append(cuts, toPoint(p))
	}
	var edges []edge
	for _, l := range [2]*loop{a, b} {
		for _, e := range l.outlined() {
			var on []point
			for _, p := range cuts {
				if e.distance(p) <= sameWithin {
					on = append(on, p)
				}
			}
			edges = append(edges, cutAt(e, on)...)
		}
	}
	edges, _ = dropTwice(edges)
	g, _ := newGraph(edges)
	n, hub := g.cycles()
	if hub != nil || len(n.walks) == 0 {
		return loop{}, false
	}
	var all []loop
	best := 0
	for _, w := range n.walks {
		all = append(all, g.assemble(w, m.joins))
		if larger(all, len(all)-1, best) {
			best = len(all) - 1
		}
	}
	for i := range all {
		if p := all[i].sample(); i != best && !a.line.Contains(p) && !b.line.Contains(p) {
			return loop{}, false
		}
	}
	u := all[best]
	if u.err != nil || u.area < max(a.area, b.area) {
		return loop{}, false
	}
	u.stroke, u.filled = b.stroke, b.filled
	return u, true
}

// outlined is a loop's contour as edges.
func (l *loop) outlined() []edge {
	var out []edge
	at := l.line.Start
	for _, v := range l.line.Moves {
		e := edge{arc: arc{from: toPoint(at), to: toPoint(v.To), turn: v.Turn}, stroke: l.stroke}
		if v.Turn != 0 {
			e.center = [2]float64{v.Center[0] * 1e6, v.Center[1] * 1e6}
		}
		if len(l.edges) > 0 {
			e.width = l.width()
		}
		out = append(out, e)
		at = v.To
	}
	return out
}

// shareOutline reports whether a loop holds both of two others and meets neither.
func (m *maker) shareOutline(i, j int) bool {
	for k := range m.loops {
		if k == i || k == j {
			continue
		}
		holds := true
		for _, l := range [2]*loop{&m.loops[i], &m.loops[j]} {
			o := &m.loops[k]
			holds = holds && o.box.holds(l.box) && o.line.Contains(l.sample()) && o.area > l.area
			if holds {
				meet, err := contour.Meetings(o.line, l.line)
				holds = err == nil && len(meet) == 0
			}
		}
		if holds {
			return true
		}
	}
	return false
}

// holdsMany reports whether as many holes lie in a loop as make it a board.
func (m *maker) holdsMany(l *loop) bool {
	in, n := newInside(l.line), 0
	for _, h := range m.options.Holes {
		if in.contains(h) {
			n++
		}
	}
	return n >= boardHoles
}
