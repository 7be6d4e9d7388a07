package contour

import "math"

// turns returns the angle turned at the start of each element, from the element
// before it, positive to the left; 0 at the start of an open loop.
func (t *tree) turns() []float64 {
	turn := make([]float64, len(t.elems))
	for l := range t.loops {
		lp := &t.loops[l]
		for i := lp.first; i < lp.first+lp.n; i++ {
			if i > lp.first || lp.closed {
				turn[i] = turnAt(&t.elems[t.previous(i)], &t.elems[i])
			}
		}
	}
	return turn
}

// turnAt is the angle turned from one element to the one after it. A turn by half
// a circle, a cusp, goes to the side that the curvatures give it: heading back
// along one common ray, the element that bends further left lies left.
func turnAt(e, f *elem) float64 {
	before, after := e.t1(), f.t0()
	sin, cos := before.cross(after), before.dot(after)
	if cos > 0 && math.Abs(sin) < 1e-4 {
		// atan by its series, exact to 1e-20.
		q := sin / cos
		return q * (1 - q*q/3)
	}
	a := math.Atan2(sin, cos)
	if cos < 0 && math.Abs(sin) < cuspAngle {
		if f.curvature()+e.curvature() > 0 {
			return -math.Abs(a)
		}
		return math.Abs(a)
	}
	return a
}

// cuspAngle is how far two tangents may be from opposite, radians, for their
// vertex to count as a cusp: the rounding of a short arc's tangent.
const cuspAngle = 1e-9

// runs finds, for each element, how many further elements follow it in its loop
// while all tangents stay within limit radians of each other and joined reports
// true for each two neighbours. A run never comes round to its own start.
// Amortised O(1) an element.
//
// What it is good for: within a limit of half a turn the run advances all
// along some direction, so it cannot meet itself. See [offsetter.certify] for
// a quarter.
func (t *tree) runs(turn []float64, limit float64, joined func(i, next int32) bool) []int32 {
	reach := make([]int32, len(t.elems))
	var low, high window
	for l := range t.loops {
		lp := &t.loops[l]
		low.reset()
		high.reset()
		// end is one past the last element of the run, last that element; angle is
		// the tangent at its end, all counted from the loop's first tangent.
		end, last, angle := int32(0), lp.first-1, 0.0
		push := func(i int32, from, to float64) {
			low.push(end, -min(from, to))
			high.push(end, max(from, to))
			end, last, angle = end+1, i, to
		}
		for k := range lp.n {
			if end == k {
				i := lp.first + k
				from := angle
				if k > 0 {
					from += turn[i]
				}
				push(i, from, from+t.elems[i].sweep)
			}
			low.drop(k)
			high.drop(k)
			for end < k+lp.n && (end < lp.n || lp.closed) {
				j := last + 1
				if j == lp.first+lp.n {
					j = lp.first
				}
				from := angle + turn[j]
				to := from + t.elems[j].sweep
				top := max(high.top(), max(from, to))
				bottom := min(-low.top(), min(from, to))
				if top-bottom > limit || !joined(last, j) {
					break
				}
				push(j, from, to)
			}
			reach[lp.first+k] = end - 1 - k
		}
	}
	return reach
}

// A window keeps the largest of the values pushed and not yet dropped.
type window struct {
	at    []int32
	value []float64
	head  int
}

func (w *window) reset() { w.at, w.value, w.head = w.at[:0], w.value[:0], 0 }

func (w *window) push(at int32, v float64) {
	for len(w.at) > w.head && w.value[len(w.value)-1] <= v {
		w.at, w.value = w.at[:len(w.at)-1], w.value[:len(w.value)-1]
	}
	w.at, w.value = append(w.at, at), append(w.value, v)
}

// drop forgets what was pushed before at, and now and then gives the room back: the
// window stays as small as what it holds.
func (w *window) drop(at int32) {
	for w.head < len(w.at) && w.at[w.head] < at {
		w.head++
	}
	if n := len(w.at); w.head > 64 && w.head > n/2 {
		w.at, w.value = w.at[:copy(w.at, w.at[w.head:])], w.value[:copy(w.value, w.value[w.head:])]
		w.head = 0
	}
}

func (w *window) top() float64 { return w.value[w.head] }

// sameRun reports whether elements a0 to a1 and b0 to b1 of one loop, or
// the two the other way round, lie in one run.
func (t *tree) sameRun(reach []int32, lp *loop, a0, a1, b0, b1 int32) bool {
	return follows(reach, lp, a0, b1) || follows(reach, lp, b0, a1)
}

// follows reports whether element b is reached by the run that starts at a.
func follows(reach []int32, lp *loop, a, b int32) bool {
	steps := b - a
	if steps < 0 {
		steps += lp.n
	}
	return steps <= reach[a]
}
