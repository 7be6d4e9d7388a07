package drill

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// price is what a division costs: the time of the extra trips first, then how
// far its cuts lie from an even division.
type price struct {
	time, uneven int64
}

func (p price) less(o price) bool {
	return p.time < o.time || (p.time == o.time && p.uneven < o.uneven)
}

// never is the price of what cannot be; far below overflow when added to.
const never = math.MaxInt64 / 4

// cutRun divides the hits of a run among k bits of at most life hits each, so
// that the extra trips through the change position take the least time: a
// dynamic programme over the cut points (J. E. Beasley, Route first - cluster
// second methods for vehicle routing, Omega 11(4), 1983). Hits of one slot
// stay with one bit. Among divisions of equal time the most even one wins, so
// that no bit makes one hit where that can be had for nothing.
//
// It returns the index of each bit's first hit, or nil when no division is
// possible. Cost O(k n) time and memory.
func cutRun(hits []Hit, k, life int, travel machine.Travel, change orb.Point) []int {
	return cutWorn(hits, k, life, life, travel, change)
}

// cutWorn is cutRun where the first bit has only so many hits left.
func cutWorn(hits []Hit, k, life, first int, travel machine.Travel, change orb.Point) []int {
	n := len(hits)
	if k < 1 || life < 1 || first < 1 || first+(k-1)*life < n || k > n {
		return nil
	}
	trips := trips(hits, travel, change)
	// best[c] is the least price of making hits [0, c) with the bits so far,
	// the cut at c included.
	best := make([]price, n+1)
	for c := 1; c <= n; c++ {
		best[c].time = never
	}
	from := make([][]int32, k)
	for j := range k {
		last := life
		if j == 0 {
			last = first
		}
		from[j] = make([]int32, n+1)
		next := make([]price, n+1)
		var window []int32 // starts of the last bit, prices rising: a sliding minimum
		for c := 0; c <= n; c++ {
			next[c].time = never
			if c > 0 {
				for len(window) > 0 && best[c-1].less(best[window[len(window)-1]]) {
					window = window[:len(window)-1]
				}
				window = append(window, int32(c-1))
			}
			for len(window) > 0 && int(window[0]) < c-last {
				window = window[1:]
			}
			if len(window) == 0 || best[window[0]].time >= never {
				continue
			}
			p := best[window[0]]
			if c < n {
				p.time += trips[c]
				p.uneven += absolute(int64(c*k - (j+1)*n))
			}
			next[c], from[j][c] = p, window[0]
		}
		best = next
	}
	if best[n].time >= never {
		return nil
	}
	starts := make([]int, k)
	for j, c := k-1, int32(n); j >= 0; j-- {
		c = from[j][c]
		starts[j] = int(c)
	}
	return starts
}

// trips is what cutting before each hit adds: the way through the change
// position instead of the direct one.
func trips(hits []Hit, travel machine.Travel, change orb.Point) []int64 {
	out := make([]int64, len(hits))
	for c := 1; c < len(hits); c++ {
		a, b := hits[c-1], hits[c]
		if a.Hole == b.Hole && a.Kind == Nibbled {
			out[c] = never
			continue
		}
		out[c] = int64(travel.Between(a.At, change) + travel.Between(change, b.At) - travel.Between(a.At, b.At))
	}
	return out
}

// meanTrip is the mean in seconds of the trips that can be made; 0 where there
// is none.
func meanTrip(trips []int64) float64 {
	var sum, count int64
	for _, t := range trips[min(1, len(trips)):] {
		if t < never {
			sum += t
			count++
		}
	}
	if count == 0 {
		return 0
	}
	return float64(max(0, sum/count)) / 1e9
}

func absolute(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}
