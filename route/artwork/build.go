package artwork

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// build makes the boards and lists what is left.
func (m *maker) build(boards []int) error {
	m.profile.Gap, m.profile.Join = 0, m.options.Joins[0]
	for _, b := range boards {
		l := &m.loops[b]
		board := Board{Source: m.loopSource(l)}
		var err error
		if board.Outline, err = m.edge(l); err != nil {
			return err
		}
		for _, k := range m.tree.kids[b] {
			c, err := m.edge(&m.loops[k])
			if err != nil {
				return err
			}
			board.CutOuts = append(board.CutOuts, c.Reverse())
			if w := m.loops[k].width(); len(m.loops[k].edges) > 0 && w >= m.options.Wide && w >= 1.5*l.width() {
				m.note("wide-contour", "a cut-out's contour is drawn with a wide stroke, mm: its centre line counts", m.loopSource(&m.loops[k]), w, m.options.Wide, c.Start)
			}
		}
		wide, err := m.wide(b)
		if err != nil {
			return err
		}
		board.CutOuts = append(board.CutOuts, wide...)
		if err := contour.ValidateRegion(append([]contour.Contour{board.Outline}, board.CutOuts...)); err != nil {
			return &ReadError{Source: board.Source, Err: ErrCrossing, Found: err.Error(), Expected: "cut-outs within the outline and apart from each other"}
		}
		m.profile.Boards = append(m.profile.Boards, board)
	}
	if gap := m.profile.Gap; gap > 0 {
		m.profile.Join = needed(m.joins, gap*1e6) / 1e6
		m.note("ends-joined", "ends that do not meet are joined, the widest gap in mm against the tolerance that was needed",
			tooling.Source{File: m.layer.File}, gap, m.profile.Join, m.gapAt.orb())
	}
	for _, p := range m.branches {
		m.note("branch", "more than two strokes meet: the outermost contour counts", tooling.Source{File: m.layer.File}, 0, 0, p.orb())
	}
	m.list(boards)
	return nil
}

// edge is a loop as it goes into a board.
func (m *maker) edge(l *loop) (contour.Contour, error) {
	if l.gap/1e6 > m.profile.Gap {
		m.profile.Gap, m.gapAt = l.gap/1e6, l.gapAt
	}
	if m.options.FitArcs == 0 {
		return l.line, nil
	}
	c, err := contour.FitArcs(l.line, m.options.FitArcs)
	if err != nil {
		return c, &ReadError{Source: m.loopSource(l), Err: ErrCrossing, Found: err.Error(), Expected: "a contour that arcs can be fitted to"}
	}
	return c, nil
}

// list puts every open piece into the items.
func (m *maker) list(boards []int) {
	for i := range m.pieces {
		p := &m.pieces[i]
		if p.used {
			continue
		}
		item := Item{Kind: KindLoose, Box: p.box.bound(), Strokes: len(p.edges), Source: m.source(p.stroke)}
		if len(p.ends) == 2 {
			item.Ends = []orb.Point{p.ends[0].orb(), p.ends[1].orb()}
		}
		outside := true
		for _, b := range boards {
			outside = outside && !m.loops[b].box.meets(p.box)
		}
		switch {
		case p.text:
			item.Kind = KindText
			m.item(item, "text", "small strokes that stand together are taken for letters")
		case outside && p.straight():
			item.Kind = KindDimension
			m.item(item, "dimension", "straight strokes beside the boards are taken for dimension lines")
		default:
			m.item(item, "loose", "strokes that close nothing are left out")
		}
	}
}

// wide makes cut-outs of the open pieces in a board that are drawn so wide that the
// stroke itself must be what is cut.
func (m *maker) wide(b int) ([]contour.Contour, error) {
	var out []contour.Contour
	l := &m.loops[b]
	in := newInside(l.line)
	for i := range m.pieces {
		p := &m.pieces[i]
		if !m.isWide(p, l) || !l.box.meets(p.box) || m.inKid(b, p) {
			continue
		}
		within := 0
		for _, e := range p.edges {
			for _, q := range [2]point{e.from, e.to} {
				if in.contains(q.orb()) {
					within++
				}
			}
		}
		if within == 0 {
			continue
		}
		if within < 2*len(p.edges) {
			return nil, &ReadError{Source: m.source(p.stroke), Err: ErrCrossing, Found: fmt.Sprintf("a stroke %.3f mm wide that runs across the outline", p.width()), Expected: "a slot within the board, or a bay drawn as part of the outline"}
		}
		c, ok := m.edgeOf(p)
		if !ok {
			return nil, &ReadError{Source: m.source(p.stroke), Err: ErrUnsupported, Found: "wide strokes within the board that are no single line", Expected: "a cut-out drawn as one line, or by its edge"}
		}
		p.used = true
		m.note("wide-stroke", "an open wide stroke within the board is a cut-out as wide as the stroke, mm", m.source(p.stroke), p.width(), m.options.Wide, p.edges[0].from.orb())
		out = append(out, c.Reverse())
	}
	return out, nil
}

// inKid reports whether a piece lies in a cut-out that is drawn already.
func (m *maker) inKid(b int, p *piece) bool {
	for _, k := range m.tree.kids[b] {
		if m.loops[k].box.holds(p.box) && m.loops[k].line.Contains(p.edges[0].from.orb()) {
			return true
		}
	}
	return false
}

// isWide reports whether a piece is drawn at least as wide as asked and half again as
// wide as the outline.
func (m *maker) isWide(p *piece, outline *loop) bool {
	w := p.width()
	if p.text || w < m.options.Wide {
		return false
	}
	return len(outline.edges) == 0 || w >= 1.5*outline.width()
}

// edgeOf is the edge of what a piece's strokes cover, counter-clockwise.
func (m *maker) edgeOf(p *piece) (contour.Contour, bool) {
	line, ok := chainOf(p)
	if !ok {
		return contour.Contour{}, false
	}
	r := p.width() / 2
	right, errR := contour.OffsetPath(line, -r)
	left, errL := contour.OffsetPath(line, r)
	if errR != nil || errL != nil || len(right) != 1 || len(left) != 1 || right[0].Closed() || left[0].Closed() {
		return contour.Contour{}, false
	}
	back := left[0].Reverse()
	c := right[0]
	c.Moves = append(c.Moves[:len(c.Moves):len(c.Moves)], contour.Move{To: back.Start, Center: line.End(), Turn: 1})
	c.Moves = append(c.Moves, back.Moves...)
	c.Moves = append(c.Moves, contour.Move{To: c.Start, Center: line.Start, Turn: 1})
	return c, c.Validate() == nil
}

// chainOf strings the strokes of a piece together, if they follow each other.
func chainOf(p *piece) (contour.Contour, bool) {
	if len(p.ends) != 2 {
		return contour.Contour{}, false
	}
	at := p.ends[0]
	c := contour.Contour{Start: at.orb()}
	left := append([]edge(nil), p.edges...)
	for len(left) > 0 {
		best, turned, least := -1, false, float64(looseEnds)
		for i, e := range left {
			if d := e.from.distance(at); d <= least {
				best, turned, least = i, false, d
			}
			if d := e.to.distance(at); d < least {
				best, turned, least = i, true, d
			}
		}
		if best < 0 {
			return c, false
		}
		a := left[best].arc
		if turned {
			a = a.reversed()
		}
		if a.from != at {
			c.Moves = append(c.Moves, contour.Move{To: a.from.orb()})
		}
		c.Moves = append(c.Moves, contour.Move{To: a.to.orb(), Center: orb.Point{a.center[0] / 1e6, a.center[1] / 1e6}, Turn: a.turn})
		at = a.to
		left = append(left[:best], left[best+1:]...)
	}
	return c, true
}

// looseEnds is how far apart ends of a chain may lie that were joined, nm.
const looseEnds = 1e6
