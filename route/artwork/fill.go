package artwork

import (
	"math"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// thin is the width in mm up to which a filled ring is a line drawn as an area.
const thin = 1.0

// regions adds the contours of filled areas to the loops. What a region's contour runs
// along twice, there and back between an outer and an inner part, cancels out. A
// thin ring, of one region or of a clear one in a dark one, becomes its
// centre line: it is a stroke drawn as an area.
func (m *maker) regions() error {
	var filled []loop
	for i, r := range m.layer.Regions {
		loops, err := m.regionLoops(r)
		if err != nil {
			return err
		}
		for _, l := range loops {
			l.filled, l.clear, l.stroke = true, r.Clear, int32(i)
			l.finish()
			switch {
			case l.err == nil:
				filled = append(filled, l)
			default:
				m.keepRegion(l)
			}
		}
	}
	if len(filled) == 0 {
		return nil
	}
	if len(filled) > maxLoops {
		return m.fail(ErrLimit, "too many contours of regions", "fewer")
	}
	tree := newNest(filled, nil)
	gone := make([]bool, len(filled))
	for i := range filled {
		if gone[i] || len(tree.kids[i]) == 0 {
			continue
		}
		for _, k := range tree.kids[i] {
			if gone[k] {
				continue
			}
			if centre, width, ok := ring(&filled[i], &filled[k]); ok {
				m.note("region-ring", "a thin filled ring is taken as a stroke: its centre line counts, the value is its width in mm", m.loopSource(&filled[i]), width, thin, centre.line.Start)
				centre.edges = []edge{{width: width, stroke: -1}}
				filled[i], gone[k] = centre, true
				break
			}
		}
	}
	for i, l := range filled {
		switch {
		case gone[i]:
		case l.clear && tree.parent[i] < 0:
			m.note("clear-region", "a clear region outside of any other takes nothing away and is left out", m.loopSource(&l), 0, 0, l.line.Start)
		default:
			if !l.clear && len(l.edges) == 0 && m.layer.Function != FunctionScore {
				m.note("region-edge", "the edge of a filled area is taken as a contour", m.loopSource(&l), 0, 0, l.line.Start)
			}
			m.loops = append(m.loops, l)
		}
	}
	return nil
}

// keepRegion sorts out a region's contour that is not sound.
func (m *maker) keepRegion(l loop) {
	l.edges = nil
	m.keep(l)
}

// regionLoops takes a region's contours apart where they run along themselves.
func (m *maker) regionLoops(r Region) ([]loop, error) {
	var out []loop
	for _, c := range r.Contours {
		if c.Validate() == nil {
			out = append(out, loop{line: c})
			continue
		}
		var edges []edge
		last := toPoint(c.Start)
		for _, v := range c.Moves {
			e := edge{arc: arc{from: last, to: toPoint(v.To), turn: v.Turn}, stroke: -1}
			if v.Turn != 0 {
				e.center = [2]float64{v.Center[0] * 1e6, v.Center[1] * 1e6}
			}
			last = e.to
			if e.turn != 0 || e.from != e.to {
				edges = append(edges, e)
			}
		}
		at := tooling.Source{File: m.layer.File, Line: r.Line, Column: r.Column}
		split, ok := splitOverlaps(edges)
		if !ok {
			return nil, heapError(at, c.Start)
		}
		g, _ := newGraph(cancelTwice(split))
		n, hub := g.cycles()
		if hub != nil {
			return nil, heapError(at, hub.orb())
		}
		for _, w := range n.walks {
			out = append(out, g.assemble(w, m.joins))
		}
		for _, e := range g.circles {
			out = append(out, circleLoop(e))
		}
	}
	for i := range out {
		out[i].edges = nil
	}
	return out, nil
}

// cancelTwice leaves out edges that are run along an even number of times.
func cancelTwice(edges []edge) []edge {
	count := map[identity]int{}
	for _, e := range edges {
		count[e.identity()]++
	}
	var out []edge
	for _, e := range edges {
		id := e.identity()
		if count[id]%2 == 1 {
			out = append(out, e)
			count[id] = 0
		}
	}
	return out
}

// ring reports whether two loops bound a thin ring of one width, and gives its
// centre line.
func ring(outer, inner *loop) (loop, float64, bool) {
	o, i := outer.box, inner.box
	w := (i.x0 - o.x0 + o.x1 - i.x1 + i.y0 - o.y0 + o.y1 - i.y1) / 4
	if w <= 0 || w > thin*1e6 {
		return loop{}, 0, false
	}
	for _, d := range [4]float64{i.x0 - o.x0, o.x1 - i.x1, i.y0 - o.y0, o.y1 - i.y1} {
		if math.Abs(d-w) > w/10 {
			return loop{}, 0, false
		}
	}
	area := (outer.line.Length() + inner.line.Length()) / 2 * w / 1e6
	if math.Abs(outer.area-inner.area-area) > area/50 {
		return loop{}, 0, false
	}
	moved, err := contour.Offset([]contour.Contour{outer.line}, -w/2e6)
	if err != nil || len(moved.Loops) != 1 {
		return loop{}, 0, false
	}
	centre := loop{line: moved.Loops[0], filled: true, stroke: outer.stroke}
	centre.finish()
	return centre, w / 1e6, centre.err == nil
}
