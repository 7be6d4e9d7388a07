package tour

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// hilbert returns the points' indices in the order of a Hilbert curve over
// their bounding square, ties by coordinates and then by index. An unfinished
// budget gives nil.
func hilbert(at []orb.Point, b *budget) []int32 {
	lo, hi := bounds(at)
	side := max(hi[0]-lo[0], hi[1]-lo[1])
	scale := 0.0
	if side > 0 {
		scale = (1<<16 - 1) / side
	}
	keys := make([]uint64, len(at))
	for i, q := range at {
		if i&0xffff == 0 && b.over() {
			return nil
		}
		x, y := uint32(float64((q[0]-lo[0])*scale)), uint32(float64((q[1]-lo[1])*scale))
		keys[i] = uint64(curve(x, y))<<32 | uint64(i)
	}
	if keys = radix(keys, b); keys == nil {
		return nil
	}
	perm := make([]int32, len(at))
	for k, e := range keys {
		perm[k] = int32(uint32(e))
	}
	for k := 0; k < len(keys); { // cells with several points
		j := k + 1
		for j < len(keys) && keys[j]>>32 == keys[k]>>32 {
			j++
		}
		if j-k > 1 {
			slices.SortFunc(perm[k:j], func(a, c int32) int {
				p, q := at[a], at[c]
				switch {
				case p[0] < q[0] || p[0] == q[0] && p[1] < q[1]:
					return -1
				case p != q:
					return 1
				}
				return int(a) - int(c)
			})
		}
		k = j
	}
	return perm
}

// curve is the place of a cell on the Hilbert curve over 2^16 x 2^16 cells.
func curve(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d = d<<2 | (3 * rx) ^ ry
		if ry == 0 {
			if rx == 1 {
				x, y = ^x, ^y
			}
			x, y = y, x
		}
	}
	return d
}

func bounds(at []orb.Point) (lo, hi orb.Point) {
	lo = orb.Point{math.Inf(1), math.Inf(1)}
	hi = orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range at {
		lo[0], lo[1] = min(lo[0], q[0]), min(lo[1], q[1])
		hi[0], hi[1] = max(hi[0], q[0]), max(hi[1], q[1])
	}
	return lo, hi
}

// radix sorts by the upper 32 bits and leaves ties as they are, polling the
// budget, which a library sort would not. It returns nil when that ran out.
func radix(keys []uint64, b *budget) []uint64 {
	if len(keys) < 2000 {
		slices.SortStableFunc(keys, func(x, y uint64) int { return int(x>>32) - int(y>>32) })
		return keys
	}
	const bits = 11
	spare := make([]uint64, len(keys))
	for digit := range 3 {
		shift := 32 + digit*bits
		var start [1 << bits]int
		for k, e := range keys {
			if k&0xffff == 0 && b.over() {
				return nil
			}
			start[e>>shift&(1<<bits-1)]++
		}
		sum := 0
		for d, c := range start {
			start[d] = sum
			sum += c
		}
		for k, e := range keys {
			if k&0xffff == 0 && b.over() {
				return nil
			}
			d := e >> shift & (1<<bits - 1)
			spare[start[d]] = e
			start[d]++
		}
		keys, spare = spare, keys
	}
	return keys
}
