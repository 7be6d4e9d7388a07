package artwork

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// clash is a loop that crosses another one and was taken out for it.
type clash struct {
	loop  loop
	other loop // the one that stays
	at    orb.Point
}

// maxClashes bounds how many crossings are looked into.
const maxClashes = 64

// alike is how far apart in nm two loops may run and be one drawn twice.
const alike = 20_000

// dropLoopsTwice leaves out loops that run along an earlier one all the way, as
// a circle of one arc and one of many chords may. The one of fewer moves stays.
func (m *maker) dropLoopsTwice() {
	boxes := make([]rect, len(m.loops))
	for i := range m.loops {
		boxes[i] = m.loops[i].box
	}
	tree := newBoxTree(boxes)
	gone := make([]bool, len(m.loops))
	for i := range m.loops {
		if gone[i] {
			continue
		}
		n := 0
		tree.each(nowhere().add(boxes[i].x0, boxes[i].y0).grow(alike), func(k int32) bool {
			j := int(k)
			n++
			if j > i && !gone[i] && !gone[j] && sameBox(boxes[i], boxes[j]) && alongAll(&m.loops[i], &m.loops[j]) && alongAll(&m.loops[j], &m.loops[i]) {
				drop := j
				if len(m.loops[j].line.Moves) < len(m.loops[i].line.Moves) {
					drop = i // arcs rather than their chords
				}
				gone[drop] = true
				l := &m.loops[drop]
				m.note("loop-twice", "a closed contour is drawn twice and counts once", m.loopSource(l), 0, 0, l.line.Start)
			}
			return n < 4*looked
		})
	}
	kept := m.loops[:0]
	for i, l := range m.loops {
		if !gone[i] {
			kept = append(kept, l)
		}
	}
	m.loops = kept
}

func sameBox(a, b rect) bool {
	return math.Abs(a.x0-b.x0) <= alike && math.Abs(a.y0-b.y0) <= alike && math.Abs(a.x1-b.x1) <= alike && math.Abs(a.y1-b.y1) <= alike
}

// alongAll reports whether the ends and middles of a's moves lie on b.
func alongAll(a, b *loop) bool {
	x := contour.NewIndex([]contour.Contour{b.line})
	at := a.line.Start
	for _, v := range a.line.Moves {
		s := arc{from: toPoint(at), to: toPoint(v.To), center: [2]float64{v.Center[0] * 1e6, v.Center[1] * 1e6}, turn: v.Turn}
		mx, my := s.middle()
		if x.Distance(v.To)*1e6 > alike || x.Distance(orb.Point{mx / 1e6, my / 1e6})*1e6 > alike {
			return false
		}
		at = v.To
	}
	return true
}

// findClashes takes out of the loops those that cross a larger one. Cut-outs that
// overlap become one. A target mark, a circle with strokes through its middle, is no
// edge and goes for good; any other is kept aside until the boards are known. Where only the smaller one holds the
// holes the larger goes.
func (m *maker) findClashes() error {
	for range maxClashes {
		lines := make([]contour.Contour, len(m.loops))
		for i, l := range m.loops {
			lines[i] = l.line
		}
		err := contour.ValidateRegion(lines)
		if err == nil {
			return nil
		}
		var e *contour.ContourError
		if !errors.As(err, &e) || !errors.Is(err, contour.ErrCrossing) || e.Index == e.OtherIndex {
			return m.fail(ErrCrossing, err.Error(), "contours that do not cross")
		}
		small, large := e.Index, e.OtherIndex
		if larger(m.loops, small, large) {
			small, large = large, small
		}
		if m.prefers(small, large) {
			small, large = large, small
		}
		l := m.loops[small]
		if m.target(&l, &m.loops[large]) {
			m.item(Item{Kind: KindMark, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(&l)},
				"target", "a circle with strokes through its middle lies across an edge: a drawing mark")
		} else if u, ok := m.unite(small, large); ok {
			m.note("cut-outs-united", "two cut-outs overlap: what either of them encloses is cut away", m.loopSource(&l), 0, 0, e.At)
			m.loops[large] = u
		} else {
			m.clashes = append(m.clashes, clash{loop: l, other: m.loops[large], at: e.At})
		}
		m.loops = append(m.loops[:small:small], m.loops[small+1:]...)
	}
	return &ReadError{Source: m.loopSource(&m.clashes[0].loop), Err: ErrCrossing,
		Found: fmt.Sprintf("more than %d contours that cross others", maxClashes), Expected: "contours that do not cross"}
}

// prefers reports whether the smaller of two loops holds all the holes that the
// larger one holds, and there are some that only it holds.
func (m *maker) prefers(small, large int) bool {
	if len(m.options.Holes) == 0 {
		return false
	}
	t := newNest([]loop{m.loops[small], m.loops[large]}, m.options.Holes)
	return t.holds[0] >= 3 && t.holds[0] > t.holds[1] && 10*t.holds[0] >= 9*len(m.options.Holes)
}

// target reports whether two or more strokes run through the middle of a circle,
// loose ones or one of them an edge that it crosses.
func (m *maker) target(l, crossed *loop) bool {
	r := l.box.width() / 2
	if !l.circle && math.Abs(l.area-math.Pi*r*r/1e12) > 0.01*l.area {
		return false
	}
	middle := point{int64(l.box.x0 + r), int64(l.box.y0 + l.box.height()/2)}
	n := 0
	if crossed.line.Distance(middle.orb())*1e6 < r/5 {
		n++
	}
	for i := range m.pieces {
		p := &m.pieces[i]
		if !p.box.meets(l.box) || p.box.size() > 8*r {
			continue
		}
		for _, e := range p.edges {
			if e.distance(middle) < r/5 {
				n++
			}
		}
	}
	return n >= 2
}
