package route

import (
	"math"

	"example.org/pinstack/route/contour"
)

// Gap is the least distance in mm between two lines, 0 where they cross or touch; a
// contour without moves is the point it starts at. Less than the radii of what runs
// along them, and the two meet. Cost is the product of their moves.
func Gap(a, b contour.Contour) float64 {
	best := math.Inf(1)
	one, other := orPoint(a), orPoint(b)
	for i := range one {
		for k := range other {
			d, _ := one[i].between(&other[k])
			best = min(best, d)
		}
	}
	return best
}

// orPoint are the pieces of a line, of one without length the point.
func orPoint(c contour.Contour) []piece {
	if ps := pieces(c); len(ps) > 0 {
		return ps
	}
	return []piece{newPiece(c.Start, contour.Move{To: c.Start})}
}
