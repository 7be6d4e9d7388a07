package tooling

import (
	"math"

	"github.com/paulmach/orb"
)

// MaxLength is the largest coordinate or length, in mm, that the module
// accepts: 10 m is beyond any panel and far inside exact float64 nanometres.
const MaxLength = 10_000.0

// Nanometres snaps a length in mm to whole nanometres, ties away from zero.
// Every coordinate passes here once, on reading, so that later comparisons
// are exact and the same on every processor.
func Nanometres(mm float64) int64 {
	return int64(math.Round(mm * 1e6))
}

// Snap returns the length in mm rounded to the nearest nanometre.
func Snap(mm float64) float64 {
	return float64(Nanometres(mm)) / 1e6
}

// SnapPoint snaps both coordinates of p, in mm, to the nearest nanometre.
func SnapPoint(p orb.Point) orb.Point {
	return orb.Point{Snap(p[0]), Snap(p[1])}
}

// InRange tells whether v is a finite length with |v| <= [MaxLength].
func InRange(v float64) bool {
	return v >= -MaxLength && v <= MaxLength // false for NaN
}
