package route

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Sentinels that the typed errors of this package wrap; test with errors.Is.
var (
	ErrBoard     = errors.New("route: the board or its place cannot be used")
	ErrOpen      = errors.New("route: the outline is open")
	ErrCrossing  = errors.New("route: the outline crosses itself or another one of its board")
	ErrWord      = errors.New("route: a word that is no part of an outline")
	ErrOffPanel  = errors.New("route: the board leaves the panel")
	ErrOverlap   = errors.New("route: two boards overlap")
	ErrGap       = errors.New("route: the gap is narrower than the cutter")
	ErrScore     = errors.New("route: the score line crosses a board")
	ErrObstacle  = errors.New("route: a pin or keep-out is in the way")
	ErrTabLong   = errors.New("route: the tab is longer than its edge")
	ErrTabPlace  = errors.New("route: the tab cannot stand there")
	ErrHole      = errors.New("route: the hole cannot be made there")
	ErrNoCutter  = errors.New("route: no cutter of the crib fits")
	ErrOffset    = errors.New("route: the centre line cannot be computed")
	ErrOpenPath  = errors.New("route: the open path cannot be cut")
	ErrLife      = errors.New("route: a path is longer than the cutter lives")
	ErrUnmounted = errors.New("route: the pass is not mounted")
	ErrStop      = errors.New("route: the pass has no such place to resume at")
	ErrSetUp     = errors.New("route: the set-up does not fit the pass")
	ErrCoord     = errors.New("route: a coordinate is not a length within 10 m")
)

// BoardError names one board, place, tab or path that cannot be planned.
type BoardError struct {
	Board    int       // index into Panel.Boards, or of the board where it has no place yet; -1: none
	Other    int       // the second board of a pair; -1: none
	Loop     int       // 0 the outline, k the cut-out k-1
	At       orb.Point // mm, on the panel (of the board itself before it is placed)
	Source   tooling.Source
	Found    string
	Expected string
	Err      error // one of the sentinels, or joined with its cause
}

// Error prints source, cause, boards, place, what was found and expected.
func (e *BoardError) Error() string {
	s := e.Err.Error()
	if at := e.Source.String(); at != "" {
		s = at + ": " + s
	}
	if e.Board >= 0 {
		s += fmt.Sprintf(": board %d", e.Board)
		if e.Other >= 0 {
			s += fmt.Sprintf(" and board %d", e.Other)
		}
		if e.Loop > 0 {
			s += fmt.Sprintf(", cut-out %d", e.Loop-1)
		}
		s += fmt.Sprintf(" at X%.3f Y%.3f", e.At[0], e.At[1])
	}
	return withFound(s, e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *BoardError) Unwrap() error { return e.Err }

// OpenError is an outline whose ends do not meet. It wraps [ErrOpen].
type OpenError struct {
	Source     tooling.Source // where the open piece begins
	Start, End orb.Point      // mm, the two ends nearest to each other
	Gap        float64        // mm between them
}

// Error names both ends and the gap.
func (e *OpenError) Error() string {
	s := ErrOpen.Error()
	if at := e.Source.String(); at != "" {
		s = at + ": " + s
	}
	return withFound(s, fmt.Sprintf("ends at X%.4f Y%.4f and X%.4f Y%.4f, %.4f mm apart", e.Start[0], e.Start[1], e.End[0], e.End[1], e.Gap),
		fmt.Sprintf("ends within %.3f mm", joinWithin))
}

// Unwrap gives ErrOpen.
func (e *OpenError) Unwrap() error { return ErrOpen }

// ReadError says why a program gives no outlines.
type ReadError struct {
	Source   tooling.Source
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

// MountError says why a pass and a set-up do not go together.
type MountError struct {
	Pass     string
	Tool     string // ID of the cutter; empty: the whole pass
	Found    string
	Expected string
	Err      error
}

// Error prints the pass, the tool, what was found and what was expected.
func (e *MountError) Error() string {
	s := fmt.Sprintf("%v: pass %s", e.Err, e.Pass)
	if e.Tool != "" {
		s += ", cutter " + e.Tool
	}
	return withFound(s, e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *MountError) Unwrap() error { return e.Err }

func withFound(s, found, expected string) string {
	if found != "" {
		s += ": found " + found
	}
	if expected != "" {
		s += ", expected " + expected
	}
	return s
}
