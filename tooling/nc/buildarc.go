package nc

import (
	"fmt"
	"math"
)

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
