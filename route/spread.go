package route

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// spot is a place where a tab may stand or, when fixed, stands already.
type spot struct {
	s      float64 // mm along the contour
	at     orb.Point
	out    orb.Point
	across float64
	radius float64 // of the arc it is on; 0: a straight edge
	fixed  bool
	scored bool    // fixed: the middle of a scored edge, which holds as a tab does
	side   int8    // which way the edge faces: index into sideNames
	angle  float64 // rad, of the place seen from the centroid, unwrapped along the contour
}

// maxExtra is how many tabs beyond the least number may be tried to come
// under the spacing.
const maxExtra = 24

// spread chooses places for tabs: the least number from atLeast on whose
// largest gap along the contour comes under spacing, and of that number the
// choice with the least largest gap. Every fixed spot is in it, and of each side
// as many as need says. Neighbours stand apart or more from each other, and seen
// from the centroid the angle from each tab to the next is under half a turn, which
// puts the centroid inside the polygon of the tabs. That last rule falls away where
// the contour does not go round its centroid (round unset), as in a C.
//
// Method: for a wanted largest gap g the spots form a graph, an arc from each
// to those it may be followed by; a choice of k tabs is a closed walk of k
// arcs once round the contour. The least g is found by bisection over the
// distances between spots, each test by dynamic programming over spots and what
// the sides have so far, from every first spot within g of the start. It is exact
// over the spots given: equal to trying all choices. When no number comes under
// spacing the best gap of all is taken. Cost O(m n^2 k log n) for n spots and m of them within g; ties go to
// the earlier spot.
func spread(spots []spot, perimeter float64, atLeast int, need [4]int, spacing, apart float64, round bool) (chosen []int, worst float64, ok bool) {
	fixed := 0
	for _, s := range spots {
		if s.fixed {
			fixed++
		}
	}
	r, shift := newRing(spots, perimeter, apart, round)
	r.need = newTally(need)
	defer func() { chosen = unshift(chosen, shift, len(spots)) }()
	worst = math.Inf(1)
	least := max(atLeast, fixed, 2, need[0]+need[1]+need[2]+need[3])
	enough := max(least, int(math.Ceil(perimeter/spacing))) // fewer cannot come under spacing
	for k := enough; k <= min(enough+maxExtra, len(spots)) && worst > spacing; k++ {
		if got, gap, found := r.best(k); found && gap < worst-onLine {
			chosen, worst, ok = got, gap, true
		}
	}
	for k := min(enough-1, len(spots)); k >= least && !ok; k-- {
		chosen, worst, ok = r.best(k)
	}
	return chosen, worst, ok
}

// ring is the spots of one closed contour.
type ring struct {
	spots     []spot
	perimeter float64
	apart     float64
	round     bool
	need      tally
}

// newRing brings the first fixed spot to the front, where walks begin; shift
// says by how many.
func newRing(spots []spot, perimeter, apart float64, round bool) (r ring, shift int) {
	shift = max(0, slices.IndexFunc(spots, func(s spot) bool { return s.fixed }))
	turned := slices.Concat(spots[shift:], spots[:shift])
	for k := len(spots) - shift; k < len(spots); k++ {
		turned[k].s += perimeter
		turned[k].angle += 2 * math.Pi
	}
	return ring{spots: turned, perimeter: perimeter, apart: apart, round: round}, shift
}

// unshift gives the indices back that spots had before newRing.
func unshift(chosen []int, shift, n int) []int {
	for k := range chosen {
		chosen[k] = (chosen[k] + shift) % n
	}
	return chosen
}

// gap is the way along the contour from spot i to spot j, the next time round
// when j <= i.
func (r *ring) gap(i, j int) float64 {
	d := r.spots[j].s - r.spots[i].s
	if j <= i {
		d += r.perimeter
	}
	return d
}

// follows tells whether j may be the next tab after i, whatever the gap.
func (r *ring) follows(i, j int) bool {
	a, b := &r.spots[i], &r.spots[j]
	if r.gap(i, j) < r.apart && !(a.fixed && b.fixed) {
		return false
	}
	if !r.round {
		return true
	}
	turn := b.angle - a.angle
	if j <= i {
		turn += 2 * math.Pi
	}
	return turn < math.Pi-1e-9
}

// best finds the choice of k spots with the least largest gap.
func (r *ring) best(k int) (chosen []int, worst float64, ok bool) {
	var gaps []float64
	for i := range r.spots {
		for j := range r.spots {
			if i != j {
				gaps = append(gaps, r.gap(i, j))
			}
		}
	}
	slices.Sort(gaps)
	gaps = slices.Compact(gaps)
	lo, hi := 0, len(gaps)-1
	if hi < 0 {
		return nil, 0, false
	}
	if chosen = r.walk(k, gaps[hi]); chosen == nil {
		return nil, 0, false
	}
	for lo < hi {
		mid := (lo + hi) / 2
		if gaps[mid]*float64(k) < r.perimeter-onLine {
			lo = mid + 1
			continue
		}
		if c := r.walk(k, gaps[mid]); c != nil {
			chosen, hi = c, mid
		} else {
			lo = mid + 1
		}
	}
	for i, c := range chosen {
		worst = max(worst, r.gap(c, chosen[(i+1)%k]))
	}
	return chosen, worst, true
}

// walk finds k spots with no gap over g, nil when there are none. A walk begins
// at the fixed spot in front, or at any spot within g of the first.
func (r *ring) walk(k int, g float64) []int {
	limit := g + onLine/1000
	for first := range r.spots {
		if r.spots[first].s-r.spots[0].s > limit || first > 0 && r.spots[0].fixed {
			return nil
		}
		if c := r.walkFrom(first, k, limit); c != nil {
			return c
		}
	}
	return nil
}

// walkFrom finds the walk of k spots that begins at first and does not pass
// its start again before it is closed.
func (r *ring) walkFrom(first, k int, limit float64) []int {
	n := len(r.spots)
	// reached[m][j]: what the sides may have so far after a walk of m arcs from
	// first to j.
	reached := make([][]counts, k)
	for m := range reached {
		reached[m] = make([]counts, n)
	}
	reached[0][first] = r.need.with(r.need.none(), r.spots[first].side)
	for m := 1; m < k; m++ {
		for i := first; i < n; i++ {
			if reached[m-1][i] == (counts{}) {
				continue
			}
			for j := i + 1; j < n && r.gap(i, j) <= limit; j++ {
				if r.follows(i, j) {
					reached[m][j] = reached[m][j].or(r.need.with(reached[m-1][i], r.spots[j].side))
				}
				if r.spots[j].fixed {
					break // no arc may pass a fixed tab
				}
			}
		}
	}
	for last := first; last < n; last++ {
		if !reached[k-1][last].has(r.need.all()) || last == first && k > 1 || r.gap(last, first) > limit || !r.follows(last, first) || r.fixedAfter(last) {
			continue
		}
		return r.trace(reached, last, limit)
	}
	return nil
}

// trace goes back from the last spot of a walk to its first: of the spots before
// one, the first that leads to what the sides have there.
func (r *ring) trace(reached [][]counts, last int, limit float64) []int {
	out := make([]int, len(reached))
	state := r.need.all()
	for m, j := len(reached)-1, last; ; m-- {
		out[m] = j
		if m == 0 {
			return out
		}
		before := -1
		for i := j - 1; i >= 0 && r.gap(i, j) <= limit; i-- {
			if r.follows(i, j) && r.need.with(reached[m-1][i], r.spots[j].side).has(state) {
				before = i
			}
			if r.spots[i].fixed {
				break
			}
		}
		state, j = r.need.before(reached[m-1][before], state, r.spots[j].side), before
	}
}

// fixedAfter tells whether a fixed spot follows i before the end of the list.
func (r *ring) fixedAfter(i int) bool {
	return slices.ContainsFunc(r.spots[i+1:], func(s spot) bool { return s.fixed })
}
