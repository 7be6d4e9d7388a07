package artwork

import (
	"fmt"
	"math"
)

// arc is a straight or circular step in nanometres. The centre is not rounded,
// since it may have been moved to where the ends meet.
type arc struct {
	from, to point
	center   [2]float64
	turn     int8
}

// Lengths in nanometres.
const (
	// looseRadius is the difference of an arc's radii at its ends that is left
	// alone: package contour takes as much for rounding.
	looseRadius = 1_000
	// worstRadius is the difference up to which a centre is moved to fit; it also
	// may not pass a quarter of the radius.
	worstRadius = 100_000
	// flattest is the largest radius that stays an arc.
	flattest = 90e9
)

// curve finds the centre of an arc from its I and J.
//
// Where the ends lie at radii that differ by more than 1 um, the centre moves to
// the nearest point that is as far from both ends, on the chord's bisector;
// the ends stay. The report says so.
func (r *reader) curve(from, to point, m motion) (arc, error) {
	none := arc{from: from, to: to}
	if from != to && from.distance(to) <= r.tiny() {
		a := arc{from: from, to: to, turn: r.turn, center: [2]float64{
			float64(from[0] + nanometres(m.value[2], r.layer.Format.Inch)), float64(from[1] + nanometres(m.value[3], r.layer.Format.Inch)),
		}}
		if !a.near() {
			r.note("arc-tiny", "an arc no longer than two steps of the file's digits does not fit its centre: taken as a line", m.first, from.orb())
			return none, nil
		}
	}
	if !m.has[2] && !m.has[3] {
		if from == to {
			return none, nil // nothing is drawn
		}
		return none, r.failHere(m.first, ErrArc, "an arc without I and J", "the distance from its start to its centre")
	}
	i, j := nanometres(m.value[2], r.layer.Format.Inch), nanometres(m.value[3], r.layer.Format.Inch)
	if r.quadrant == quadrantUnset {
		r.note("quadrant-missing", "neither G74 nor G75 is set before an arc: read as whichever fits its ends", m.first, from.orb())
	}
	if i == 0 && j == 0 {
		if from == to {
			return none, nil
		}
		return none, r.failHere(m.first, ErrArc, "an arc whose centre is its start", "a centre elsewhere")
	}
	multi := arc{from: from, to: to, turn: r.turn, center: [2]float64{float64(from[0] + i), float64(from[1] + j)}}
	single, fits := quarter(from, to, i, j, r.turn)
	chosen := multi
	switch {
	case r.quadrant == quadrantMulti:
	case r.quadrant == quadrantSingle:
		if from == to {
			r.note("arc-of-no-length", "a single-quadrant arc ends where it starts: nothing is drawn", m.first, from.orb())
			return none, nil
		}
		if !fits || !single.near() {
			if !multi.near() {
				return none, r.failHere(m.first, ErrArc, "no centre within a quarter turn that fits both ends", "I and J that do")
			}
			r.note("quadrant-wrong", "an arc fits its ends only if it is read as multi-quadrant", m.first, from.orb())
			break
		}
		chosen = single
	case !multi.near() && fits && single.near():
		chosen = single
	}
	return r.settle(chosen, m)
}

// settle moves an arc's centre so that its ends meet, or refuses it.
func (r *reader) settle(a arc, m motion) (arc, error) {
	if r0 := a.radius(a.from); r0 > flattest {
		if chord := a.from.distance(a.to); a.from == a.to || float64(chord*chord)/(8*r0) > looseRadius {
			return a, r.failHere(m.first, ErrArc, fmt.Sprintf("a radius of %.0f mm", r0/1e6), "at most 90 m")
		}
		r.note("arc-flat", "an arc of more than 90 m radius is taken as a line", m.first, a.from.orb())
		return arc{from: a.from, to: a.to}, nil
	}
	off := a.mismatch()
	if off <= looseRadius {
		return a, nil
	}
	if !a.near() {
		return a, r.failHere(m.first, ErrArc, fmt.Sprintf("ends at %.4f and %.4f mm from the centre", a.radius(a.from)/1e6, a.radius(a.to)/1e6), "the same distance at both ends")
	}
	a.center = a.fitted()
	r.noteValue("arc-radius", "an arc's ends lie at different distances from its centre, mm: the centre is moved onto the bisector of its ends",
		r.scan.offset(m.first), off/1e6, looseRadius/1e6, a.from.orb())
	return a, nil
}

// tiny is two steps of the file's digits, or 1 um, in nm.
func (r *reader) tiny() float64 {
	step := 1e6
	if r.layer.Format.Inch {
		step = 25.4e6
	}
	return max(looseRadius, 2.9*step*math.Pow10(-min(r.layer.Format.Decimals[0], r.layer.Format.Decimals[1])))
}

func (a arc) radius(p point) float64 {
	return length(float64(p[0])-a.center[0], float64(p[1])-a.center[1])
}

func (a arc) mismatch() float64 { return math.Abs(a.radius(a.from) - a.radius(a.to)) }

// near reports whether the ends fit the centre well enough to settle it.
func (a arc) near() bool {
	off, least := a.mismatch(), min(a.radius(a.from), a.radius(a.to))
	return off <= looseRadius && least > 0 || off <= worstRadius && off <= least/4
}

// fitted is the point of the chord's bisector nearest to the centre.
func (a arc) fitted() [2]float64 {
	dx, dy := float64(a.to[0]-a.from[0]), float64(a.to[1]-a.from[1])
	n := float64(dx*dx) + float64(dy*dy)
	if n == 0 {
		return a.center
	}
	mx, my := float64(a.from[0])+dx/2-a.center[0], float64(a.from[1])+dy/2-a.center[1]
	s := (float64(mx*dx) + float64(my*dy)) / n
	return [2]float64{a.center[0] + float64(s*dx), a.center[1] + float64(s*dy)}
}

// quarter is the single-quadrant arc: of the four centres that unsigned I and J
// allow, the one that fits both ends best with a turn of at most a quarter.
func quarter(from, to point, i, j int64, turn int8) (best arc, ok bool) {
	i, j = max(i, -i), max(j, -j)
	worst := math.Inf(1)
	for _, sign := range [4][2]int64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		a := arc{from: from, to: to, turn: turn, center: [2]float64{float64(from[0] + sign[0]*i), float64(from[1] + sign[1]*j)}}
		ux, uy := float64(from[0])-a.center[0], float64(from[1])-a.center[1]
		wx, wy := float64(to[0])-a.center[0], float64(to[1])-a.center[1]
		cross := (float64(ux*wy) - float64(uy*wx)) * float64(turn)
		dot := float64(ux*wx) + float64(uy*wy)
		// A thousandth of the radius past the quarter, or 10 nm, is rounding.
		r := length(ux, uy)
		if cross <= 0 || dot < -r*max(1e-3*r, 10) {
			continue
		}
		if off := math.Round(a.mismatch()); off < worst {
			best, worst, ok = a, off, true
		}
	}
	return best, ok
}

// length is the length of a vector. Each product is rounded by itself.
func length(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }
