package nc

import (
	"bytes"
	"fmt"
)

// mode does the G words that set something.
func (it *interp) mode(g code) error {
	w := &it.w
	switch g.num {
	case 0, 1, 2, 3:
		it.routing, it.motion = true, g.num
	case 5, 81:
		it.idle(g.col)
		if it.down {
			it.note("down-in-drill", g.col, it.tool, "drilling begins with the tool down: M16 or M17 is missing")
		}
		it.routing = false
	case 90:
		it.relative = false
	case 91:
		it.incremental(g.col)
	case 40, 41, 42:
		if g.num != 40 {
			it.note("compensated", g.col, it.tool, "G41 and G42 leave the cutter's radius to the control's table")
		}
		return it.emit(&step{kind: OpCompensation, tool: it.tool, line: it.line, text: fmt.Sprintf("G%d", g.num)})
	case 4:
		if !w.has('X') {
			return it.fail(g.col, ErrSyntax, "G04", "X with the time")
		}
		return it.emit(&step{kind: OpDwell, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))})
	case 93:
		it.note("zero-set", g.col, 0, "G93 moves the zero of all later coordinates")
		for _, axis := range [2]struct {
			letter byte
			at     *int64
		}{{'X', &it.zero.x}, {'Y', &it.zero.y}} {
			if w.has(axis.letter) {
				v, err := it.length(w.get(axis.letter), w.col[axis.letter-'A'])
				if err != nil {
					return err
				}
				*axis.at = v
			}
		}
	}
	return nil
}

// incremental makes coordinates steps from the last place.
func (it *interp) incremental(col int) {
	it.relative = true
	it.note("incremental", col, 0, "coordinates are steps from the last place")
}

// changeUnits does M71 and M72. Before the first coordinate they are part of
// the file's form, which is settled already.
func (it *interp) changeUnits(col int, u Units) error {
	if !it.moved || u == it.sc.units || it.o.Force && it.o.Units != UnitsUnknown {
		return nil
	}
	it.note("unit-change", col, 0, fmt.Sprintf("the unit changes in mid-file, first to %v", u))
	d := it.sc.digits
	if d != (Digits{}) {
		d = usualDigits(u)
	}
	z := it.sc.zeros
	it.useScale(u, z, d)
	return nil
}
