package main

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// flat is how far from one line the points of a straight stretch may lie, mm: the
// rounding of what is printed, twice.
const flat = 2e-6

// straights are the stretches on which the middle of a gap on one straight line may
// lie, ascending. A line may be written in pieces, so that no single move tells.
func (s *spreader) straights() []gap {
	var free []gap
	for first := 0; first < len(s.legs); {
		next := s.straightFrom(first)
		if a, b := s.startOf(first), s.startOf(next); b-a >= s.width && isLine(s.legs[first]) {
			free = append(free, gap{a + s.width/2, b - s.width/2})
		}
		first = next
	}
	return free
}

// straightFrom is the leg after the last one that lies on one line with the leg
// given. The line's direction as seen from its start is held between two bounds
// that every further point narrows.
func (s *spreader) straightFrom(first int) int {
	a := s.legs[first].Start
	lo, hi := math.Inf(-1), math.Inf(1)
	var along orb.Point
	k := first
	for ; k < len(s.legs) && isLine(s.legs[k]); k++ {
		to := s.legs[k].End()
		d := orb.Point{to[0] - a[0], to[1] - a[1]}
		l := math.Hypot(d[0], d[1])
		if l <= flat {
			continue
		}
		if math.IsInf(lo, -1) {
			along = d
		}
		turn := math.Atan2(float64(along[0]*d[1])-float64(along[1]*d[0]), float64(along[0]*d[0])+float64(along[1]*d[1]))
		if turn < lo || turn > hi {
			break
		}
		half := math.Asin(flat / l)
		lo, hi = max(lo, turn-half), min(hi, turn+half)
	}
	return max(k, first+1)
}

// straight finds the gap nearest to a place that lies between lo and hi on one
// straight stretch.
func (s *spreader) straight(near, lo, hi float64, thick bool) (gap, bool) {
	best, found := gap{}, false
	n := len(s.free)
	if n == 0 {
		return best, false
	}
	// The stretches repeat every round; look outwards from the place until none can
	// be nearer.
	round := math.Floor(near / s.total)
	i, _ := slices.BinarySearchFunc(s.free, near-round*s.total, func(f gap, v float64) int {
		if f.to < v {
			return -1
		}
		return 1
	})
	look := func(k int) (far bool) {
		turn := round + math.Floor(float64(k)/float64(n))
		f := s.free[((k%n)+n)%n]
		f.from, f.to = f.from+turn*s.total, f.to+turn*s.total
		if found && max(f.from-near, near-f.to) >= math.Abs(best.middle()-near) {
			return true
		}
		a, b := max(f.from, lo+s.width/2), min(f.to, hi-s.width/2)
		if a > b {
			return false
		}
		for _, m := range [4]float64{min(max(near, a), b), a, (a + b) / 2, b} {
			g := gap{m - s.width/2, m + s.width/2}
			if (!found || math.Abs(m-near) < math.Abs(best.middle()-near)) && (!thick || s.thick(g)) && s.keeps(g) {
				best, found = g, true
			}
		}
		return false
	}
	for k, up, down := 0, false, false; k <= n && !(up && down); k++ {
		up = up || look(i+k)
		down = down || look(i-1-k)
	}
	return best, found
}

// isStraight tells whether a gap lies on one straight stretch.
func (s *spreader) isStraight(g gap) bool { return g.to-g.from <= s.width+1e-6 }
