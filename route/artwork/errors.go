package artwork

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Sentinels that the errors of this package wrap; test with errors.Is.
var (
	ErrSyntax      = errors.New("artwork: a word that is not understood")
	ErrFormat      = errors.New("artwork: the format statement is missing or not usable")
	ErrUnits       = errors.New("artwork: the units are missing or contradictory")
	ErrNumber      = errors.New("artwork: not a number")
	ErrRange       = errors.New("artwork: a coordinate is not a length within 10 m")
	ErrArc         = errors.New("artwork: the arc's centre does not fit its ends")
	ErrAperture    = errors.New("artwork: bad aperture definition")
	ErrUnsupported = errors.New("artwork: not read by this package")
	ErrLimit       = errors.New("artwork: the file exceeds a limit")
	ErrNotArtwork  = errors.New("artwork: not an artwork file")
	ErrNoProfile   = errors.New("artwork: no closed outline is drawn")
	ErrOpen        = errors.New("artwork: the outline does not close")
	ErrCrossing    = errors.New("artwork: the outline crosses itself or another one")
	ErrAmbiguous   = errors.New("artwork: more than one loop may be the board")
	ErrOptions     = errors.New("artwork: an option is not usable")
)

// ReadError says where and why a file is refused.
type ReadError struct {
	Source   tooling.Source // file, line, column
	Found    string
	Expected string
	Err      error // one of the sentinels
}

// Error prints the source, what was found and what was expected.
func (e *ReadError) Error() string { return message(e.Source, e.Err, e.Found, e.Expected) }

// Unwrap gives the cause.
func (e *ReadError) Unwrap() error { return e.Err }

// OpenError names the two ends of an outline that does not close.
type OpenError struct {
	Source   tooling.Source // of the stroke at the first end
	From, To orb.Point      // the ends, mm
	Gap      float64        // between them, mm
	Join     float64        // the widest tolerance tried, mm
}

// Error names both ends and the gap.
func (e *OpenError) Error() string {
	return message(e.Source, ErrOpen,
		fmt.Sprintf("ends at X%.4f Y%.4f and X%.4f Y%.4f, %.4f mm apart", e.From[0], e.From[1], e.To[0], e.To[1], e.Gap),
		fmt.Sprintf("a gap of at most %.3f mm", e.Join))
}

// Unwrap gives ErrOpen.
func (e *OpenError) Unwrap() error { return ErrOpen }

// AmbiguousError lists the loops that may each be the board.
type AmbiguousError struct {
	Source     tooling.Source
	Detail     string
	Candidates []Candidate
}

// Candidate is one loop that may be the board.
type Candidate struct {
	Index int       // for ProfileOptions.Index
	Area  float64   // mm2
	Box   orb.Bound // mm
	Holes int       // of ProfileOptions.Holes inside
	Depth int       // how many loops lie around it
}

// Error names the candidates.
func (e *AmbiguousError) Error() string {
	s := message(e.Source, ErrAmbiguous, e.Detail, "one board, or a choice among them")
	for _, c := range e.Candidates {
		s += fmt.Sprintf("; %d: %.3f mm2, %.3f x %.3f mm at X%.3f Y%.3f", c.Index, c.Area,
			c.Box.Max[0]-c.Box.Min[0], c.Box.Max[1]-c.Box.Min[1], c.Box.Min[0], c.Box.Min[1])
	}
	return s
}

// Unwrap gives ErrAmbiguous.
func (e *AmbiguousError) Unwrap() error { return ErrAmbiguous }

func message(at tooling.Source, err error, found, expected string) string {
	s := err.Error()
	if where := at.String(); where != "" {
		s = where + ": " + s
	}
	if found != "" {
		s += ": found " + found
	}
	if expected != "" {
		s += ", expected " + expected
	}
	return s
}
