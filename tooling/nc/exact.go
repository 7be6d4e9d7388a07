package nc

import (
	"math"
	"math/bits"
)

// signOf returns the sign of a*b - c*d, exactly.
func signOf(a, b, c, d int64) int {
	h1, l1 := product(a, b)
	h2, l2 := product(c, d)
	switch {
	case h1 != h2 && h1 < h2:
		return -1
	case h1 != h2:
		return 1
	case l1 < l2:
		return -1
	case l1 > l2:
		return 1
	}
	return 0
}

// product returns a*b as a signed number of 128 bits.
func product(a, b int64) (hi int64, lo uint64) {
	h, l := bits.Mul64(uint64(a), uint64(b))
	hi = int64(h)
	if a < 0 {
		hi -= b
	}
	if b < 0 {
		hi -= a
	}
	return hi, l
}

// hypotenuse returns the length of (x, y), the same on every machine: the
// products are not fused and the root is correctly rounded.
func hypotenuse(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }
