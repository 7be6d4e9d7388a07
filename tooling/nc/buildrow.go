package nc

import "fmt"

// flushHits writes the hits held back for repeats and patterns.
func (w *writer) flushHits() {
	held := w.held
	w.held = w.held[:0]
	if !w.o.Patterns {
		w.rows(held)
		return
	}
	plain := 0 // hits before i are written
	next := nextAlike(held)
	for i := 0; i < len(held); {
		period, copies := bestPattern(held, next, i)
		if copies == 0 {
			i++
			continue
		}
		w.rows(held[plain:i])
		w.pattern(held[i:i+period], held[i+period], copies)
		i += period * (copies + 1)
		plain = i
	}
	w.rows(held[plain:])
}

// rows writes hits, evenly spaced ones as a repeat when that is asked for.
func (w *writer) rows(hits []point) {
	for i := 0; i < len(hits); {
		start := len(w.buf)
		w.xy(hits[i])
		w.close(start)
		i++
		if !w.o.Rows || i+1 >= len(hits) {
			continue
		}
		step := hits[i].minus(hits[i-1])
		n := 1
		for i+n < len(hits) && hits[i+n].minus(hits[i+n-1]) == step {
			n++
		}
		if n < 2 || step == (point{}) {
			continue // one repeat is no shorter than the hit
		}
		start = len(w.buf)
		w.buf = fmt.Appendf(w.buf, "R%d", n)
		w.pair(step)
		w.last = hits[i+n-1]
		w.repeated += n
		w.close(start)
		i += n
	}
}

// minus returns p - q.
func (p point) minus(q point) point { return point{p.x - q.x, p.y - q.y} }

// pattern writes hits and their copies: M25, the hits, M01, M02 with the
// offset of the first copy, which every further one adds again, M08.
func (w *writer) pattern(hits []point, second point, copies int) {
	w.line("M25")
	w.rows(hits)
	w.line("M01")
	start := len(w.buf)
	if copies > 1 {
		w.buf = fmt.Appendf(w.buf, "R%d", copies)
	}
	w.buf = append(w.buf, "M02"...)
	w.pair(second.minus(hits[0]))
	w.close(start)
	w.line("M08")
	w.repeated += copies * len(hits)
}

// alikeSteps is how many steps must agree before a pattern is looked for.
const alikeSteps = 3

// nextAlike finds for each hit the next one from which the same three steps
// are made, 0 for none.
func nextAlike(hits []point) []int32 {
	next := make([]int32, len(hits))
	seen := make(map[[alikeSteps]point]int32, len(hits))
	for i := len(hits) - 1 - alikeSteps; i >= 0; i-- {
		var key [alikeSteps]point
		for k := range key {
			key[k] = hits[i+k+1].minus(hits[i+k])
		}
		next[i] = seen[key]
		seen[key] = int32(i)
	}
	return next
}

// candidatePeriods is how many later places of the same steps are tried.
const candidatePeriods = 8

// bestPattern finds how many hits from i on are best taken as a pattern, and
// its copies: the choice that saves most lines, 0 copies for none.
func bestPattern(hits []point, next []int32, i int) (period, copies int) {
	const overhead = 4 // M25, M01, M02, M08
	best := 0
	for j, tried := int(next[i]), 0; j > 0 && tried < candidatePeriods; j, tried = int(next[j]), tried+1 {
		p := j - i
		d := hits[j].minus(hits[i])
		n := 0 // hits from j on that repeat the ones a period before
		for j+n < len(hits) && hits[j+n].minus(hits[i+n]) == d {
			n++
		}
		if c := n / p; c*p-overhead > best {
			best, period, copies = c*p-overhead, p, c
		}
		if n < alikeSteps {
			break
		}
	}
	return period, copies
}
