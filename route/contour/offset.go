package contour

import "github.com/paulmach/orb"

// A Place is a stretch of a contour that the cutter cannot touch.
type Place struct {
	// At is the middle of the stretch, a point of the contour, mm.
	At orb.Point
	// Size is the length of the stretch along the contour, mm.
	Size float64
}

// Offsets is what [Offset] returns.
type Offsets struct {
	// Loops are closed, free of crossings and run with the offset region on
	// their left: outer loops counter-clockwise, loops around holes clockwise.
	Loops []Contour
	// Unreachable lists where the offset, put back by the same distance, does
	// not come back to the region's contours.
	Unreachable []Place
}

// Offset moves the boundary of a region by distance mm: outwards when distance is
// positive, so that the region grows, inwards when it is negative.
func Offset(region []Contour, distance float64) (Offsets, error) {
	return Offsets{}, ErrUnresolved
}
