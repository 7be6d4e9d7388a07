package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Routed tells whether a hole is routed, not drilled: round holes whose
// drilled diameter exceeds Rules.MaxDrill, and slots for whose width the crib
// has neither a slot bit nor a bit within tolerance.
func Routed(h drill.Hole, c tooling.Crib, r tooling.Rules) bool {
	if r.Allowance.Target(h.Size) > r.MaxDrill {
		return true
	}
	if !h.IsSlot() {
		return false
	}
	bits := tooling.Crib{}
	for _, t := range c.Tools {
		if t.Kind == tooling.SlotBit {
			t.Kind = tooling.Bit
			bits.Tools = append(bits.Tools, t)
		}
	}
	sizes := []tooling.Size{h.Size}
	if _, err := bits.Choose(sizes, r, 0); err == nil {
		return false
	}
	_, err := c.Choose(sizes, r, 0)
	return err != nil
}

// routedLoops returns a loop for each hole that is routed, after the boards'.
func routedLoops(in Input, boards []loop) ([]loop, error) {
	var out []loop
	for i, h := range in.Holes {
		d := in.Rules.Allowance.Target(h.Size)
		if !(h.Size.Diameter > 0) || !tooling.InRange(d) {
			return nil, &BoardError{Board: -1, Other: -1, At: h.At, Source: h.Source, Err: ErrHole, Found: fmt.Sprintf("hole %d of diameter %g mm", i, h.Size.Diameter), Expected: "a diameter above 0"}
		}
		if !Routed(h, in.Crib, in.Rules) {
			continue
		}
		l := newLoop(obround(tooling.SnapPoint(h.At), tooling.SnapPoint(h.To), tooling.Snap(d/2)))
		l.number, l.hole, l.plated = i, true, h.Stage() == tooling.BeforePlating
		if !in.Panel.Bound().Contains(l.box.Min) || !in.Panel.Bound().Contains(l.box.Max) {
			return nil, &BoardError{Board: -1, Other: -1, At: h.At, Source: h.Source, Err: ErrOffPanel, Found: fmt.Sprintf("hole %d of %.3f mm", i, d), Expected: "a place on the panel"}
		}
		for k := range boards {
			b := &boards[k]
			if b.inner() {
				continue
			}
			if b.inside(h.At) || l.board < 0 && h.Half && b.crosses(&l) {
				l.board = b.board
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// obround is the edge of a hole or slot: all points at distance r from the
// line between two centres.
func obround(a, b orb.Point, r float64) contour.Contour {
	if a == b {
		return contour.Circle(a, r)
	}
	n := scale(left(unit(sub(b, a))), r)
	a0, a1 := tooling.SnapPoint(sub(a, n)), tooling.SnapPoint(add(a, n))
	b0, b1 := tooling.SnapPoint(sub(b, n)), tooling.SnapPoint(add(b, n))
	return contour.Contour{Start: a0, Moves: []contour.Move{
		{To: b0}, {To: b1, Center: b, Turn: 1}, {To: a1}, {To: a0, Center: a, Turn: 1},
	}}
}

// crosses tells whether two loops meet.
func (l *loop) crosses(o *loop) bool {
	d, _ := apart(l, o, onLine)
	return d <= onLine
}
