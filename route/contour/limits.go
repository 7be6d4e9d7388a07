package contour

import "math"

// Lengths in mm that the whole package shares. They form a ladder: what one step
// may leave undone is far below what the next one looks at.
const (
	// maxCoordinate is the largest coordinate or distance accepted, 10 m. A
	// float64 resolves 2e-12 mm there.
	maxCoordinate = 10_000
	// meetDistance is how near two elements may come without being taken to
	// touch: some hundred times the rounding of a coordinate at 10 m.
	meetDistance = 1e-9
	// radiusNoise is the difference of an arc's two radii that is put down to
	// rounding and left alone.
	radiusNoise = 1e-9
	// radiusTolerance is the difference of an arc's two radii that is accepted:
	// a coordinate written with three decimals is off by half of it.
	radiusTolerance = 1e-3
)

// finite reports whether both coordinates are numbers.
func (a vec) finite() bool {
	return !math.IsNaN(a.x-a.x) && !math.IsNaN(a.y-a.y)
}

// inRange reports whether both coordinates are within maxCoordinate.
func (a vec) inRange() bool {
	return math.Abs(a.x) <= maxCoordinate && math.Abs(a.y) <= maxCoordinate
}

// maxRadius is the largest radius of an arc, mm. An arc flatter than that is a
// line to within a nanometre over 10 mm.
const maxRadius = 10 * maxCoordinate

// minRadius is the smallest radius of an arc, mm, a nanometre.
const minRadius = 1e-6
