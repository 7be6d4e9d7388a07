package nc

import (
	"fmt"
	"math"
	"strings"
)

// op writes one operation. The detail says what is wrong beside an error.
func (w *writer) op(op *Op) (detail string, err error) {
	if w.ended {
		return "it stands after the end", ErrWrite
	}
	if op.Kind != OpHit && len(w.held) > 0 {
		w.flushHits()
	}
	if w.o.Exchange && !exchangeable(op) {
		return "the exchange subset has no such word", ErrWrite
	}
	switch op.Kind {
	case OpTool:
		return w.change(op.Tool)
	case OpHit:
		return w.hit(op)
	case OpSlot:
		return w.slot(op)
	case OpCircle:
		return w.circle(op)
	case OpRapid, OpPlunge, OpLine, OpArc, OpRetract:
		return w.rout(op)
	case OpCompensation:
		if op.Text != "G40" && op.Text != "G41" && op.Text != "G42" {
			return "G40, G41 or G42 expected", ErrWrite
		}
		w.line(op.Text)
	case OpStop:
		if w.down {
			return "the tool is down", ErrWrite
		}
		switch op.Text {
		case "":
			w.line("M06")
		case "M06", "M09":
			w.line(op.Text)
		default:
			return "M06 or M09 expected", ErrWrite
		}
	case OpMessage:
		if !oneLine(op.Text) {
			return "the text is not one line", ErrWrite
		}
		w.line("M47," + op.Text)
	case OpDwell:
		if !strings.HasPrefix(op.Text, "G04") || !oneLine(op.Text) || len(strings.Trim(op.Text[3:], "X0123456789.")) > 0 {
			return "G04 with its time expected", ErrWrite
		}
		w.line(op.Text)
	case OpComment:
		if !oneLine(op.Text) {
			return "the text is not one line", ErrWrite
		}
		w.line("; " + op.Text)
	case OpEnd:
		if w.down {
			return "the tool is down", ErrWrite
		}
		w.ended = true
	default:
		return "what is not understood is not written", ErrWrite
	}
	return "", nil
}

// exchangeable tells whether the exchange subset has a form for the operation.
func exchangeable(op *Op) bool {
	switch op.Kind {
	case OpTool:
		return op.Tool != 0
	case OpHit, OpSlot, OpRapid, OpPlunge, OpLine, OpArc, OpRetract, OpComment, OpEnd:
		return true
	}
	return false
}

// change selects a tool.
func (w *writer) change(tool int) (string, error) {
	if w.down {
		return "the tool is down", ErrWrite
	}
	if tool != 0 && !w.tools[tool] {
		return fmt.Sprintf("T%d is not in the table", tool), ErrNoTool
	}
	w.tool = tool
	if w.o.Index && tool != 0 {
		w.line(fmt.Sprintf("T%02d%02d", tool, tool))
		return "", nil
	}
	w.line(fmt.Sprintf("T%d", tool))
	return "", nil
}

// drilling makes sure that hits can be written.
func (w *writer) drilling() (string, error) {
	if w.tool == 0 {
		return "no tool is selected", ErrNoTool
	}
	if w.down {
		return "the tool is down", ErrWrite
	}
	if w.mode != 5 {
		w.line("G05")
		w.mode = 5
	}
	return "", nil
}

const offGrid = "a coordinate is not finite, beyond 10 m or too large for the digits"

func (w *writer) hit(op *Op) (string, error) {
	if w.mode != 5 || w.tool == 0 || w.down {
		if detail, err := w.drilling(); err != nil {
			return detail, err
		}
	}
	p, ok := w.round(op.To[0], op.To[1])
	if !ok {
		return offGrid, ErrRange
	}
	w.at, w.placed = p, true
	if w.o.Rows || w.o.Patterns {
		w.held = append(w.held, p)
		return "", nil
	}
	start := len(w.buf)
	w.xy(p)
	w.close(start)
	return "", nil
}

func (w *writer) slot(op *Op) (string, error) {
	from, ok1 := w.round(op.From[0], op.From[1])
	to, ok2 := w.round(op.To[0], op.To[1])
	if !ok1 || !ok2 {
		return offGrid, ErrRange
	}
	if w.o.Slots == SlotRout {
		if w.tool == 0 {
			return "no tool is selected", ErrNoTool
		}
		if w.down {
			return "the tool is down", ErrWrite
		}
		w.move("G00", from)
		w.line("M15")
		if from != to {
			w.move("G01", to)
		}
		w.line("M16")
		w.mode = 0
	} else {
		if detail, err := w.drilling(); err != nil {
			return detail, err
		}
		start := len(w.buf)
		w.xy(from)
		w.buf = append(w.buf, "G85"...)
		w.xy(to)
		w.close(start)
	}
	w.at, w.placed = to, true
	return "", nil
}

func (w *writer) circle(op *Op) (string, error) {
	p, ok := w.round(op.To[0], op.To[1])
	if !ok || !(op.Diameter > 0 && op.Diameter <= 10_000) {
		return offGrid, ErrRange
	}
	d := w.digits(int64(math.Round(op.Diameter * 1e6)))
	if w.tool == 0 {
		return "no tool is selected", ErrNoTool
	}
	if w.down {
		return "the tool is down", ErrWrite
	}
	var start int
	switch op.Text {
	case "", "G84":
		if detail, err := w.drilling(); err != nil {
			return detail, err
		}
		start = len(w.buf)
		w.xy(p)
		w.buf = append(w.buf, "G84X"...)
		w.buf = w.number(w.buf, d)
	case "G32", "G33":
		start = len(w.buf)
		w.buf = append(w.buf, op.Text...)
		w.xy(p)
		w.buf = append(w.buf, 'A')
		d = w.digits(int64(math.Round(op.Diameter * 5e5)))
		w.buf = w.number(w.buf, d)
	default:
		return "G84, G32 or G33 expected", ErrWrite
	}
	if d == 0 {
		return "the diameter rounds to nothing", ErrWrite
	}
	w.close(start)
	w.at, w.placed = p, true
	return "", nil
}
