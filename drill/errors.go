package drill

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Sentinels that a [*HoleError] or [*ReadError] wraps; test with errors.Is.
var (
	ErrSizes     = errors.New("drill: the file does not say whether its sizes are finished or drilled")
	ErrMarking   = errors.New("drill: plated or unplated is missing or contradictory")
	ErrDuplicate = errors.New("drill: two holes at one place")
	ErrOffPanel  = errors.New("drill: the hole leaves the panel")
	ErrKeepOut   = errors.New("drill: the hole lies in a keep-out or under a pin")
	ErrTool      = errors.New("drill: the hole has no usable tool")
	ErrRoutPath  = errors.New("drill: a routed path stands among the holes")
	ErrWord      = errors.New("drill: a word that could make holes or motion is not understood")
	ErrUnmounted = errors.New("drill: the pass is not mounted")
	ErrSetUp     = errors.New("drill: the set-up does not fit the pass")
	ErrCoord     = errors.New("drill: a coordinate is not a length within 10 m")
	ErrSpan      = errors.New("drill: blind, buried or depth-limited holes cannot be made in a through pass")
	ErrStop      = errors.New("drill: no such stop")
)

// HoleError names one hole that cannot be planned.
type HoleError struct {
	Index    int       // into the holes given
	At       orb.Point // mm
	Source   tooling.Source
	Found    string
	Expected string
	Err      error // one of the sentinels, or the crib's error
}

// Error prints the source, the place, what was found and what was expected.
func (e *HoleError) Error() string {
	s := fmt.Sprintf("hole %d at X%.3f Y%.3f: %v", e.Index, e.At[0], e.At[1], e.Err)
	if at := e.Source.String(); at != "" {
		s = at + ": " + s
	}
	return withFound(s, e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *HoleError) Unwrap() error { return e.Err }

// ReadError says why a program does not give holes.
type ReadError struct {
	Source   tooling.Source // file, line, tool
	Found    string
	Expected string
	Err      error
}

// Error prints the source, what was found and what was expected.
func (e *ReadError) Error() string {
	s := e.Err.Error()
	if at := e.Source.String(); at != "" {
		s = at + ": " + s
	}
	return withFound(s, e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *ReadError) Unwrap() error { return e.Err }

func withFound(s, found, expected string) string {
	if found != "" {
		s += ": found " + found
	}
	if expected != "" {
		s += ", expected " + expected
	}
	return s
}
