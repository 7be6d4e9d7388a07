package nc

import (
	"errors"
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// What can be wrong with a program. [SyntaxError], [AmbiguousError] and
// [LimitError] wrap one of these.
var (
	ErrUnits         = errors.New("nc: no units")
	ErrZeros         = errors.New("nc: zero form not known")
	ErrDigits        = errors.New("nc: number form not known")
	ErrContradiction = errors.New("nc: the file contradicts itself")
	ErrNoTool        = errors.New("nc: no tool selected")
	ErrToolDiameter  = errors.New("nc: tool without a diameter")
	ErrTool          = errors.New("nc: bad tool definition")
	ErrTruncated     = errors.New("nc: no end of program, the file is cut off")
	ErrRepeat        = errors.New("nc: bad repeat or pattern")
	ErrNumber        = errors.New("nc: bad number")
	ErrRange         = errors.New("nc: coordinate beyond 10 m")
	ErrArc           = errors.New("nc: bad arc")
	ErrSyntax        = errors.New("nc: not understood")
	ErrEncoding      = errors.New("nc: not a text of single bytes")
	ErrLimit         = errors.New("nc: limit exceeded")
	ErrPosition      = errors.New("nc: position not known")
	ErrWrite         = errors.New("nc: cannot be written")
)

// SyntaxError is a place in a program that cannot be read.
type SyntaxError struct {
	File     string // as in ReadOptions.File
	Line     int    // 1-based; CR LF, LF and a lone CR each end a line
	Column   int    // 1-based, in bytes
	Found    string // what stands there
	Expected string // what should
	Err      error  // one of the sentinels
}

// Error renders "file:line:column: cause: found X, expected Y".
func (e *SyntaxError) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File + ":")
	}
	fmt.Fprintf(&b, "%d:%d: %v", e.Line, e.Column, e.Err)
	if e.Found != "" {
		fmt.Fprintf(&b, ": found %s", e.Found)
	}
	if e.Expected != "" {
		if e.Found != "" {
			b.WriteString(",")
		} else {
			b.WriteString(":")
		}
		fmt.Fprintf(&b, " expected %s", e.Expected)
	}
	return b.String()
}

// Unwrap returns the sentinel.
func (e *SyntaxError) Unwrap() error { return e.Err }

// Candidate is one reading of an ambiguous file with the evidence for it.
type Candidate struct {
	Units   Units
	Zeros   Zeros
	Digits  Digits
	Box     orb.Bound // mm, of the coordinates looked at
	OnGrid  float64   // share of neighbouring hits a usual pitch apart
	Overlap float64   // share of hits that overlap another hole
	Score   float64   // points; see the package comment
	Why     string    // what the points are for
}

// String renders the reading in one line.
func (c Candidate) String() string {
	return fmt.Sprintf("%v %v %v: box %.3f,%.3f to %.3f,%.3f mm, on grid %.0f %%, overlap %.0f %%, score %.1f (%s)",
		c.Units, c.Zeros, c.Digits, c.Box.Min[0], c.Box.Min[1], c.Box.Max[0], c.Box.Max[1],
		float64(c.OnGrid*100), float64(c.Overlap*100), c.Score, c.Why)
}

// AmbiguousError is a file that can be read in more than one way, or in none that
// is likely: then the best score is below 0. It wraps
// ErrUnits, ErrZeros or ErrDigits.
type AmbiguousError struct {
	File       string
	Line       int // first line whose meaning hangs on the choice
	Column     int
	Candidates []Candidate // best first
	Err        error
}

// Error names the cause and how many readings there are, best first.
func (e *AmbiguousError) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File + ":")
	}
	fmt.Fprintf(&b, "%d:%d: %v: ", e.Line, e.Column, e.Err)
	if len(e.Candidates) > 0 && e.Candidates[0].Score < 0 {
		fmt.Fprintf(&b, "of %d readings none is likely", len(e.Candidates))
	} else {
		fmt.Fprintf(&b, "%d readings make sense", len(e.Candidates))
	}
	for i, c := range e.Candidates {
		if i == 2 {
			b.WriteString("; ...")
			break
		}
		fmt.Fprintf(&b, "; %v", c)
	}
	return b.String()
}

// Unwrap returns the sentinel.
func (e *AmbiguousError) Unwrap() error { return e.Err }

// LimitError is a program beyond one of the limits of [ReadOptions].
type LimitError struct {
	File   string
	Line   int
	Column int
	Limit  string // "bytes", "blocks", "operations", "nesting" or "tools"
	Max    int    // the limit
	Found  int    // what was asked for, at least
}

// Error names the limit and both numbers.
func (e *LimitError) Error() string {
	file := ""
	if e.File != "" {
		file = e.File + ":"
	}
	return fmt.Sprintf("%s%d:%d: %v: %d %s, at most %d", file, e.Line, e.Column, ErrLimit, e.Found, e.Limit, e.Max)
}

// Unwrap returns ErrLimit.
func (e *LimitError) Unwrap() error { return ErrLimit }
