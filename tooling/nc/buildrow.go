package nc

import (
	"fmt"
)

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
