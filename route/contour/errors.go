package contour

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"
)

// The kinds of fault that a contour can have. A [*ContourError] wraps one of
// them and says where.
var (
	// ErrEmpty: the contour has no move of any length, or encloses nothing.
	ErrEmpty = errors.New("contour: empty")
	// ErrOpen: the contour does not end where it starts, where a closed one is needed.
	ErrOpen = errors.New("contour: open")
	// ErrCrossing: the contour meets itself or another one of its region.
	ErrCrossing = errors.New("contour: crossing")
	// ErrNotFinite: a coordinate or a distance is NaN or infinite.
	ErrNotFinite = errors.New("contour: not finite")
	// ErrRange: a coordinate or a distance is beyond 10 m.
	ErrRange = errors.New("contour: out of range")
	// ErrRadius: the ends of an arc lie at different distances from its centre,
	// its radius is zero, or its turn is none of -1, 0 and +1.
	ErrRadius = errors.New("contour: bad arc")
	// ErrTolerance: a tolerance or chord height is not a positive number.
	ErrTolerance = errors.New("contour: bad tolerance")
	// ErrUnresolved: the offset could not be put together within its tolerance.
	ErrUnresolved = errors.New("contour: offset not resolved")
)

// A ContourError tells which contour is at fault, at which of its moves, and
// where on the panel.
type ContourError struct {
	// Index is the contour's place in the region, 0 for a single contour.
	Index int
	// Move is the move's index, -1 where the fault is the whole contour's.
	Move int
	// OtherIndex and OtherMove name the contour and the move that the first one
	// meets. Only a crossing sets them.
	OtherIndex, OtherMove int
	// At is the place of the fault, mm.
	At orb.Point
	// Detail says what was found and what was expected.
	Detail string
	// Err is the kind of fault, one of the Err values of this package.
	Err error
}

// Error gives the kind, the contour, the move, the place and the detail.
func (e *ContourError) Error() string {
	where := fmt.Sprintf("contour %d", e.Index)
	if e.Move >= 0 {
		where += fmt.Sprintf(" move %d", e.Move)
	}
	return fmt.Sprintf("%v: %s at (%.6f, %.6f): %s", e.Err, where, e.At[0], e.At[1], e.Detail)
}

// Unwrap returns the kind of fault, for [errors.Is].
func (e *ContourError) Unwrap() error { return e.Err }
