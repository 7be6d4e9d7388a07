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
	if op.Kind != OpHit {
		w.flushRow()
		w.row.live = false
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

// change selects a tool.
func (w *writer) change(tool int) (string, error) {
	if w.down {
		return "the tool is down", ErrWrite
	}
	if tool != 0 && !w.tools[tool] {
		return fmt.Sprintf("T%d is not in the table", tool), ErrNoTool
	}
	w.tool = tool
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
	if w.o.Rows && w.inRow(p) {
		return "", nil
	}
	start := len(w.buf)
	w.xy(p)
	w.close(start)
	return "", nil
}

// inRow adds a hit to the pending repeat, or opens one; false when the hit
// must be written by itself.
func (w *writer) inRow(p point) bool {
	r := &w.row
	if r.live {
		step := point{p.x - r.last.x, p.y - r.last.y}
		if r.times > 0 && step == r.step {
			r.times++
			r.last = p
			return true
		}
		w.flushRow()
		if step.x != 0 || step.y != 0 {
			r.step, r.times, r.last = step, 1, p
			return true
		}
	}
	*r = row{live: true, last: p}
	return false
}

// flushRow writes the pending repeat: one repeat as a plain hit, which is shorter.
func (w *writer) flushRow() {
	r := &w.row
	if r.times == 0 {
		return
	}
	start := len(w.buf)
	if r.times == 1 {
		w.xy(r.last)
	} else {
		w.buf = fmt.Appendf(w.buf, "R%d", r.times)
		w.xy(r.step)
	}
	w.close(start)
	r.times = 0
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

// move writes one straight move.
func (w *writer) move(g string, p point) {
	start := len(w.buf)
	w.buf = append(w.buf, g...)
	w.xy(p)
	w.close(start)
}

// rout writes the operations of a cutter path.
func (w *writer) rout(op *Op) (string, error) {
	if w.tool == 0 && op.Kind != OpRapid && op.Kind != OpRetract {
		return "no tool is selected", ErrNoTool
	}
	switch op.Kind {
	case OpRetract:
		w.down = false
		w.line("M16")
		return "", nil
	case OpPlunge:
		if w.down {
			return "the tool is down already", ErrWrite
		}
		if w.mode != 0 || !w.placed {
			return "a rapid move to the start of the path is missing", ErrWrite
		}
		w.down = true
		w.line("M15")
		return "", nil
	}
	to, ok := w.round(op.To[0], op.To[1])
	if !ok {
		return offGrid, ErrRange
	}
	if op.Kind == OpRapid {
		if w.down {
			return "the tool is down", ErrWrite
		}
		w.move("G00", to)
		w.mode, w.at, w.placed = 0, to, true
		return "", nil
	}
	if !w.down {
		return "the tool is up", ErrWrite
	}
	from, ok := w.round(op.From[0], op.From[1])
	if !ok {
		return offGrid, ErrRange
	}
	if from != w.at {
		return "it does not start where the last move ended", ErrWrite
	}
	if op.Kind == OpArc {
		return w.arc(op, to)
	}
	if to != w.at {
		w.move("G01", to)
	}
	w.at = to
	return "", nil
}

// arc writes an arc in blocks of at most a quarter turn. The quarters come
// from turning the start by right angles, which is exact, so no trigonometry
// decides a digit.
func (w *writer) arc(op *Op, end point) (string, error) {
	snap := func(v [2]float64) point { return point{int64(math.Round(v[0] * 1e6)), int64(math.Round(v[1] * 1e6))} }
	if _, ok := w.round(op.Center[0], op.Center[1]); !ok && !(math.Abs(op.Center[0]) <= 10_000 && math.Abs(op.Center[1]) <= 10_000) {
		return "the centre is not finite or beyond 10 m", ErrRange
	}
	from, to, c := snap(op.From), snap(op.To), snap(op.Center)
	r, r2 := distance(from, c), distance(to, c)
	if r == 0 || math.Abs(r-r2) > arcSlack {
		return fmt.Sprintf("radius %.6f mm at its start and %.6f mm at its end", r/1e6, r2/1e6), ErrArc
	}
	u, v := point{from.x - c.x, from.y - c.y}, point{to.x - c.x, to.y - c.y}
	full := from == to
	for quarter := 0; quarter < 4; quarter++ {
		if !full && reaches(u, v, op.Clockwise) {
			w.arcBlock(end, r, op.Clockwise)
			return "", nil
		}
		if op.Clockwise {
			u = point{u.y, -u.x}
		} else {
			u = point{-u.y, u.x}
		}
		p := end
		if !(full && quarter == 3) {
			var ok bool
			if p, ok = w.round(millimetres(c.x+u.x), millimetres(c.y+u.y)); !ok {
				return offGrid, ErrRange
			}
		}
		w.arcBlock(p, r, op.Clockwise)
	}
	// Four quarters and not there: v lies exactly on u but for its radius.
	if w.at != end {
		w.move("G01", end)
		w.at = end
	}
	return "", nil
}

// reaches tells whether turning u the given way by 90 degrees or less meets v.
func reaches(u, v point, clockwise bool) bool {
	cross := signOf(u.x, v.y, u.y, v.x)
	if clockwise {
		cross = -cross
	}
	dot := signOf(u.x, v.x, -u.y, v.y)
	return cross > 0 && dot >= 0 || cross == 0 && dot > 0
}

// arcBlock writes one block to p, unless it rounds to nothing. The radius is
// raised where rounding would leave it shorter than half its chord.
func (w *writer) arcBlock(p point, r float64, clockwise bool) {
	if p == w.at {
		return
	}
	a := w.digits(int64(math.Round(r)))
	dx, dy := float64(p.x-w.at.x), float64(p.y-w.at.y)
	if least := int64(math.Ceil(math.Sqrt(float64(dx*dx)+float64(dy*dy)) / 2)); a < least {
		a = least
	}
	g := "G03"
	if clockwise {
		g = "G02"
	}
	start := len(w.buf)
	w.buf = append(w.buf, g...)
	w.xy(p)
	w.buf = append(w.buf, 'A')
	w.buf = w.number(w.buf, a)
	w.close(start)
	w.at = p
}
