package nc

import (
	"bytes"
	"fmt"
)

// cannedWord does G84, G85 and G87.
func (it *interp) cannedWord() error {
	w := &it.w
	if w.has('R') {
		return it.fail(w.col['R'-'A'], ErrRepeat, "R with a canned word", "a repeat in a block of its own")
	}
	if err := it.needTool(w.canned.col); err != nil {
		return err
	}
	start := it.at
	if w.seen&xy != 0 {
		var err error
		if start, err = it.target(it.at, w.seen, &w.val, &w.col); err != nil {
			return err
		}
	} else if it.lost || !it.moved {
		return it.fail(w.canned.col, ErrPosition, "a canned word after copies or before any place", "both coordinates before it")
	}
	it.lastHit = false
	if w.canned.num == 84 {
		if w.seen2 != 1<<('X'-'A') {
			return it.fail(w.canned.col, ErrSyntax, "G84", "X with the circle's diameter after it, and nothing else")
		}
		d, err := it.length(w.val2['X'-'A'], w.col2['X'-'A'])
		if err != nil {
			return err
		}
		if d <= 0 {
			return it.fail(w.col2['X'-'A'], ErrNumber, "a diameter of 0 or less", "a diameter above 0")
		}
		it.at = start
		return it.emit(&step{kind: OpCircle, tool: it.tool, to: start, diameter: d, line: it.line, text: "G84"})
	}
	if w.seen2&xy == 0 {
		return it.fail(w.canned.col, ErrSyntax, fmt.Sprintf("G%d", w.canned.num), "X or Y of the slot's other end")
	}
	end, err := it.target(start, w.seen2, &w.val2, &w.col2)
	if err != nil {
		return err
	}
	s := step{kind: OpSlot, tool: it.tool, from: start, to: end, line: it.line}
	if w.canned.num == 87 {
		s.text = "G87"
		it.note("stepped-slot", w.canned.col, it.tool, "G87 is read as a slot between its ends")
	}
	if start == end {
		it.note("zero-slot", w.canned.col, it.tool, "a slot whose ends are one place")
	}
	it.at = end
	if w.seen2&^xy != 0 {
		it.note("unknown-word", w.canned.col, it.tool, fmt.Sprintf("letters behind G%d are kept and not understood", w.canned.num))
		if err := it.emit(&s); err != nil {
			return err
		}
		return it.emit(&step{kind: OpUnknown, motion: true, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))})
	}
	return it.emit(&s)
}

// routedCircle does G32 (clockwise) and G33: a circle of radius A round X, Y.
func (it *interp) routedCircle() error {
	w := &it.w
	col := w.g[0].col
	if err := it.needTool(col); err != nil {
		return err
	}
	if !w.has('A') {
		return it.fail(col, ErrArc, "a circle without A", "A with its radius")
	}
	p, err := it.target(it.at, w.seen, &w.val, &w.col)
	if err != nil {
		return err
	}
	r, err := it.length(w.get('A'), w.col[0])
	if err != nil {
		return err
	}
	if r <= 0 {
		return it.fail(w.col[0], ErrArc, "a radius of 0 or less", "a radius above 0")
	}
	it.at, it.lastHit = p, false
	text := "G33"
	if w.hasG(32) {
		text = "G32"
	}
	return it.emit(&step{kind: OpCircle, clockwise: text == "G32", tool: it.tool, to: p, diameter: 2 * r, line: it.line, text: text})
}
