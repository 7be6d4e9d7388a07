package nc

import (
	"bytes"
	"fmt"
)

// machineWord does an M word of the body.
func (it *interp) machineWord(m code, _ int) error {
	w := &it.w
	switch m.num {
	case 0:
		it.stopped, it.shortStop = true, m.digits == 1
	case 30:
		return it.end(m.col)
	case 1:
		return it.endPattern(m.col)
	case 2:
		if w.seen&xy == 0 {
			if it.format1 || !it.patterns.active() {
				it.note("end-word", m.col, 0, "M02 without an offset ends the program")
				return it.end(m.col)
			}
			return it.fail(m.col, ErrRepeat, "M02", "X or Y with the offset of the copy")
		}
		if it.format1 {
			return it.fail(m.col, ErrRepeat, "M02 with an offset in format 1", "format 2 for patterns")
		}
		times, err := it.times()
		if err != nil {
			return err
		}
		d, err := it.delta()
		if err != nil {
			return err
		}
		return it.copyPattern(m.col, d, times, w.hasM(70), w.hasM(80), w.hasM(90))
	case 6, 9:
		it.stopDown(m.col)
		return it.emit(&step{kind: OpStop, tool: it.tool, line: it.line, text: fmt.Sprintf("M%02d", m.num)})
	case 8:
		return it.endRepeat(m.col)
	case 15:
		if err := it.needTool(m.col); err != nil {
			return err
		}
		it.waiting = false
		if it.down {
			it.note("down-twice", m.col, it.tool, "M15 with the tool down already")
		}
		it.down, it.routing, it.uncut = true, true, true
		return it.emit(&step{kind: OpPlunge, tool: it.tool, line: it.line})
	case 16, 17:
		if it.down && it.uncut {
			it.note("plunge-only", m.col, it.tool, "the tool goes down and up and cuts nothing but its own hole")
		}
		it.down = false
		return it.emit(&step{kind: OpRetract, tool: it.tool, line: it.line})
	case 25:
		return it.beginPattern(m.col)
	case 47:
		return it.emit(&step{kind: OpMessage, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.text))})
	case 71:
		return it.changeUnits(m.col, Millimetres)
	case 72:
		return it.changeUnits(m.col, Inches)
	}
	return nil // M70, M80, M90 belong to M02; M48 and M95 were done before
}

// stopDown remarks on a stop in the middle of a cut.
func (it *interp) stopDown(col int) {
	if it.down {
		it.note("stop-down", col, it.tool, "an operator stop with the tool down")
	}
}

// stopHere settles what an M00 was: a stop, since the program goes on.
func (it *interp) stopHere() error {
	it.stopped = false
	it.stopDown(0)
	it.note("stop-m00", 0, it.tool, "M00 with more of the program after it is a stop")
	return it.emit(&step{kind: OpStop, tool: it.tool, line: it.line, text: "M00"})
}

// endHere settles what an M00 was: the end, since nothing follows. Written M0
// in a line without its end it may be the beginning of another word.
func (it *interp) endHere() error {
	if !it.stopped || it.shortStop && !it.complete {
		return nil
	}
	it.stopped = false
	return it.end(0)
}

// end ends the program.
func (it *interp) end(col int) error {
	it.idle(col)
	if it.down {
		it.note("end-down", col, it.tool, "the program ends with the tool down")
	}
	it.ended, it.stopped = true, false
	return it.emit(&step{kind: OpEnd, tool: it.tool, line: it.line})
}
