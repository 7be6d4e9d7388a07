package artwork

import (
	"fmt"
	"math"
	"slices"

	"example.org/pinstack/route/contour"
)

// Bounds for what should have closed.
const (
	// openShare is the part of its length that an open contour's gaps may be at most
	// to count as a contour that should have closed.
	openShare = 0.1
	// aroundShare is that part for one around what would else be the board.
	aroundShare = 0.34
)

// wideJoins are the gaps in nm within which ends are tried once more, only to name
// the gap that keeps a contour open.
var wideJoins = []float64{1e6, 3e6, 10e6}

// checkOpen refuses what should have been an edge of a board and is none: an
// outline or cut-out that does not close, or that crosses itself or another.
func (m *maker) checkOpen(boards []int) error {
	for i := range m.broken {
		if l := &m.broken[i]; m.matters(l, boards) {
			return &ReadError{Source: m.loopSource(l), Err: ErrCrossing, Found: l.err.Error(), Expected: "a contour that does not meet itself"}
		}
	}
	for _, c := range m.clashes {
		if m.matters(&c.loop, boards) || m.matters(&c.other, boards) {
			return &ReadError{Source: m.loopSource(&c.loop), Err: ErrCrossing,
				Found: crossingAt(c), Expected: "contours that do not cross"}
		}
	}
	for _, c := range m.clashes {
		m.item(Item{Kind: KindMark, Box: c.loop.box.bound(), Strokes: len(c.loop.edges), Source: m.loopSource(&c.loop)}, "crossing", "a closed contour crosses another one away from the boards")
	}
	for i := range m.broken {
		l := &m.broken[i]
		m.item(Item{Kind: KindMark, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(l)}, "crossing", "a closed contour crosses itself away from the boards")
	}
	if err := m.divided(boards); err != nil {
		return err
	}
	if err := m.almost(boards); err != nil {
		return err
	}
	if len(boards) > 0 || len(m.profile.Scores) > 0 && len(m.pieces) == 0 {
		return nil
	}
	return m.nothing()
}

// matters reports whether a loop that cannot be used would have been an edge of a board:
// it reaches into one, lies around one, or there is none.
func (m *maker) matters(l *loop, boards []int) bool {
	if len(boards) == 0 {
		return true
	}
	for _, b := range boards {
		o := &m.loops[b]
		if l.area < 1e-4*o.area && l.area < 0.05 {
			continue
		}
		if o.box.meets(l.box) && (o.line.Contains(l.sample()) || o.line.Contains(l.line.Start) || l.box.holds(o.box) || sameLoop(o, l)) {
			return true
		}
	}
	return false
}

func sameLoop(a, b *loop) bool { return a.stroke == b.stroke && a.filled == b.filled }

// divided refuses outlines that strokes divide: a bay drawn as a contour of its own,
// or boards that share an edge. One straight stroke drawn once is a line across the
// board and only listed.
func (m *maker) divided(boards []int) error {
	if m.options.Pick == PickOuter {
		return nil
	}
	for i := range m.across {
		p := &m.across[i]
		if len(p.edges) == 1 && p.edges[0].turn == 0 && !p.edges[0].twice {
			continue
		}
		for _, b := range boards {
			on := 0
			for _, q := range p.ends {
				if m.loops[b].line.Distance(q.orb()) <= m.options.Joins[len(m.options.Joins)-1] {
					on++
				}
			}
			if on >= 2 {
				e := m.ambiguous(fmt.Sprintf("strokes that divide an outline, from X%.4f Y%.4f to X%.4f Y%.4f: a bay in its edge, or boards that share one",
					float64(p.ends[0][0])/1e6, float64(p.ends[0][1])/1e6, float64(p.ends[1][0])/1e6, float64(p.ends[1][1])/1e6))
				e.Source = m.source(p.stroke)
				return e
			}
		}
	}
	return nil
}

// almost looks for contours that would close within a wider tolerance, and for open
// ones around what would else be the board.
func (m *maker) almost(boards []int) error {
	for _, within := range wideJoins {
		if err := m.almostWithin(within, boards); err != nil {
			return err
		}
	}
	for i := range m.pieces {
		p := &m.pieces[i]
		line, ok := chainOf(p)
		if !ok || p.text || m.implied(p) || len(line.Moves) == 0 {
			continue
		}
		from, to := p.ends[1], p.ends[0]
		l := loop{line: line}
		l.line.Moves = append(slices.Clip(line.Moves), contour.Move{To: line.Start})
		if l.finish(); from.distance(to) <= aroundShare*l.line.Length()*1e6 && m.around(&l, boards) {
			return &OpenError{Source: m.source(p.stroke), Join: m.options.Joins[len(m.options.Joins)-1], Gap: from.distance(to) / 1e6, From: from.orb(), To: to.orb()}
		}
	}
	return nil
}

// around reports whether a contour lies around a board where holes do not settle which
// is the board.
func (m *maker) around(l *loop, boards []int) bool {
	if m.settled(boards) {
		return false
	}
	return slices.ContainsFunc(boards, func(b int) bool {
		o := &m.loops[b]
		return l.area > o.area && l.box.holds(o.box) && l.line.Contains(o.sample())
	})
}

// almostWithin looks for contours that would close within a tolerance.
func (m *maker) almostWithin(within float64, boards []int) error {
	var edges []edge
	for i := range m.pieces {
		if p := &m.pieces[i]; !p.text && !m.implied(p) && len(p.ends) >= 2 {
			edges = append(edges, p.edges...)
		}
	}
	g, _ := newGraph(edges)
	g.join(within)
	n, _ := g.cycles()
	for _, w := range n.walks {
		l := g.chain(w, []float64{within}, bridgeMeet)
		if g.gapsOf(w) > openShare*l.line.Length()*1e6 || l.area < 1e-3 || !m.wanted(&l, boards) {
			continue
		}
		return m.openError(g, w)
	}
	return nil
}

// wanted reports whether an almost closed contour is an outline or a cut-out that is missed.
func (m *maker) wanted(l *loop, boards []int) bool {
	if len(boards) == 0 {
		return true
	}
	for _, b := range boards {
		o := &m.loops[b]
		if l.width() >= m.options.Wide && l.width() >= 1.5*o.width() {
			continue
		}
		if o.line.Contains(l.sample()) && o.area > l.area {
			return true
		}
	}
	return m.around(l, boards)
}

// gapsOf is the length of all gaps of a walk, nm.
func (g *graph) gapsOf(walk []half) (sum float64) {
	for i, h := range walk {
		sum += g.run(h).to.distance(g.run(walk[(i+1)%len(walk)]).from)
	}
	return sum
}

// settled reports whether the holes leave no doubt about the boards: nearly all lie in them.
func (m *maker) settled(boards []int) bool {
	n := 0
	for _, b := range boards {
		n += m.tree.holds[b]
	}
	return len(m.options.Holes) > 0 && 20*n >= 19*len(m.options.Holes)
}

// openError names the widest gap of a walk.
func (m *maker) openError(g *graph, walk []half) error {
	e := &OpenError{Join: m.options.Joins[len(m.options.Joins)-1], Gap: -1}
	for i, h := range walk {
		next := walk[(i+1)%len(walk)]
		p, q := g.run(h).to, g.run(next).from
		if d := p.distance(q) / 1e6; d > e.Gap {
			e.Gap, e.From, e.To, e.Source = d, p.orb(), q.orb(), m.source(g.edges[h.edge].stroke)
		}
	}
	return e
}

// nothing is the error for a layer without a board: the longest open piece and
// the end nearest to one of its own.
func (m *maker) nothing() error {
	best := -1
	for i := range m.pieces {
		p := &m.pieces[i]
		if len(p.ends) == 0 || m.implied(p) {
			continue
		}
		if best < 0 || better(p, &m.pieces[best]) {
			best = i
		}
	}
	if best < 0 {
		return m.fail(ErrNoProfile, "no strokes that could be one", "a closed outline")
	}
	p := &m.pieces[best]
	e := &OpenError{Join: m.options.Joins[len(m.options.Joins)-1], Gap: math.Inf(1), Source: m.source(p.stroke)}
	for j, own := range p.ends[:min(len(p.ends), looked)] {
		for i := range m.pieces {
			for k, q := range m.pieces[i].ends {
				if i == best && j == k {
					continue
				}
				if d := own.distance(q) / 1e6; d < e.Gap {
					e.Gap, e.From, e.To = d, own.orb(), q.orb()
				}
			}
		}
	}
	if math.IsInf(e.Gap, 1) {
		return &ReadError{Source: e.Source, Err: ErrNoProfile, Found: "a stroke with one loose end", Expected: "a closed outline"}
	}
	return e
}

// better prefers pieces that are no text, then the longer one.
func better(a, b *piece) bool {
	if a.text != b.text {
		return !a.text
	}
	return math.Round(a.length) > math.Round(b.length)
}

func crossingAt(c clash) string {
	return fmt.Sprintf("a contour that crosses another one at X%.4f Y%.4f", c.at[0], c.at[1])
}
