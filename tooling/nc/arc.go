package nc

import (
	"fmt"
	"math"
)

// arcSlack is how far, in nanometres, rounded arcs may miss: a radius short of
// half its chord, or start and end at different distances from the centre.
// Programs with two decimals in mm need 5 um a coordinate.
const arcSlack = 10_000

// evenSlack is how far, in nanometres, the two ends of an arc may differ in
// their distance from its centre without a note: rounding to 1 um costs less.
const evenSlack = 2_000

// arcCenter finds the centre of the block's arc from A, or I and J. The
// products are converted one by one so that no machine fuses them.
func (it *interp) arcCenter(from, to point, clockwise bool) (point, error) {
	w := &it.w
	switch {
	case w.has('I') || w.has('J'):
		if w.has('A') {
			return point{}, it.fail(w.col[0], ErrArc, "A beside I or J", "one of them")
		}
		c := from
		if w.has('I') {
			v, err := it.length(w.get('I'), w.col['I'-'A'])
			if err != nil {
				return c, err
			}
			c.x += v
		}
		if w.has('J') {
			v, err := it.length(w.get('J'), w.col['J'-'A'])
			if err != nil {
				return c, err
			}
			c.y += v
		}
		r1, r2 := distance(c, from), distance(c, to)
		if r1 == 0 || math.Abs(r1-r2) > arcSlack {
			return c, it.fail(w.firstCol(), ErrArc, fmt.Sprintf("an end %.6f mm from the centre", r2/1e6), fmt.Sprintf("%.6f mm, as at its start", r1/1e6))
		}
		if math.Abs(r1-r2) > evenSlack {
			it.note("uneven-arc", w.firstCol(), it.tool, fmt.Sprintf("an arc starts %.6f mm and ends %.6f mm from its centre", r1/1e6, r2/1e6))
		}
		return c, nil
	case w.has('A'):
		r, err := it.length(w.get('A'), w.col[0])
		if err != nil {
			return point{}, err
		}
		if r <= 0 || from == to {
			return point{}, it.fail(w.col[0], ErrArc, "an arc by radius that goes nowhere", "another end, and a radius above 0")
		}
		c, short := centerByRadius(from, to, float64(r), clockwise)
		if short > arcSlack {
			return c, it.fail(w.col[0], ErrArc, fmt.Sprintf("radius %.6f mm", millimetres(r)), fmt.Sprintf("at least half the chord, %.6f mm", distance(from, to)/2e6))
		}
		if short > 0 {
			it.note("short-radius", w.col[0], it.tool, "a radius shorter than half its chord is read as a half circle")
		}
		return c, nil
	}
	return point{}, it.fail(w.firstCol(), ErrArc, "an arc without a radius", "A, or I and J")
}

// distance returns the distance of two places in nanometres.
func distance(a, b point) float64 {
	dx, dy := float64(b.x-a.x), float64(b.y-a.y)
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

// centerByRadius returns the centre of the arc of at most half a turn, and by
// how much the radius falls short of half the chord.
func centerByRadius(from, to point, r float64, clockwise bool) (c point, short float64) {
	chord := distance(from, to)
	h := 0.0
	if half := chord / 2; r > half {
		h = math.Sqrt(float64((r - half) * (r + half)))
	} else {
		short = half - r
	}
	if !clockwise {
		h = -h
	}
	dx, dy := float64(to.x-from.x), float64(to.y-from.y)
	// The centre lies right of the way for a clockwise turn.
	cx := float64(from.x) + dx/2 + float64(h*dy)/chord
	cy := float64(from.y) + dy/2 - float64(h*dx)/chord
	return point{int64(math.Round(cx)), int64(math.Round(cy))}, short
}
