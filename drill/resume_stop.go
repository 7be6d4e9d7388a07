package drill

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Stop says where a mounted pass came to a halt and what is to be done about
// it. Hits are counted from 1 in the order of the run.
type Stop struct {
	Run       int         `json:"run"`                   // Run.Number
	Hit       int         `json:"hit"`                   // last hit of the run known good; 0: none
	Last      int         `json:"last_hit"`              // last hit of the run that the machine made: those after Hit up to it are in doubt where the bit broke and good elsewhere; 0: Hit, or the largest of Fragments
	Spindles  []int       `json:"spindles,omitempty"`    // where the bit broke, from 1; none: all in use
	Together  bool        `json:"together,omitempty"`    // all spindles make the hits in doubt again, as where nobody knows what the others made; false: only those concerned, the others parked
	Fresh     bool        `json:"fresh,omitempty"`       // every spindle starts with new bits, as on another machine; false: only those concerned
	Fragments []int       `json:"fragments,omitempty"`   // hits in doubt whose holes hold a piece of the bit: left out from now on
	Scrapped  []orb.Bound `json:"scrapped_mm,omitempty"` // areas given up: holes with their centre, or slots with a part of their centre line, in one are left out from now on
}

// StopError says why a pass cannot be resumed at a stop.
type StopError struct {
	Pass     string
	Stop     Stop
	Found    string
	Expected string
	Err      error // ErrStop, ErrUnmounted, ErrSetUp or ErrCoord
}

// Error prints the pass, the run, what was found and what was expected.
func (e *StopError) Error() string {
	return withFound(fmt.Sprintf("pass %s run %d: %v", e.Pass, e.Stop.Run, e.Err), e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *StopError) Unwrap() error { return e.Err }

// Reasons for a hole to be left out.
const (
	Fragment = "fragment" // a piece of the bit is in it
	Scrapped = "scrapped" // it lies in an area given up
)

// LeftOut is a hole that the rest of a pass does not make on any spindle: it is
// for the operator to deal with.
type LeftOut struct {
	Hole int32     `json:"hole"` // index into Input.Holes
	At   orb.Point `json:"at_mm"`
	Why  string    `json:"why"` // Fragment or Scrapped
}

// Done is what one run made before a stop.
type Done struct {
	Diameter float64 `json:"diameter_mm"` // of the bit
	Hits     []Hit   `json:"hits"`        // known good, in the order they were made
}

// Rest is what lies behind a pass from [Resume]: what [Check] has to know
// besides the holes.
type Rest struct {
	Stop    Stop      `json:"stop"`              // the latest
	Earlier []Stop    `json:"earlier,omitempty"` // of a rest of a rest: the stops before, the first one first; each counts in the rest of the one before it
	Done    []Done    `json:"done"`              // made before, on every spindle in use
	Again   []Hit     `json:"again"`             // in doubt and made again
	Parked  bool      `json:"parked,omitempty"`
	LeftOut []LeftOut `json:"left_out,omitempty"` // sorted by hole
	Stacks  int       `json:"stacks"`             // of the load that was interrupted, one at each spindle in use
}

// validate refuses a stop that is not in the pass and returns the index of its
// run. Last is filled in.
func (s *Stop) validate(in Input, p Pass) (int, error) {
	fault := func(err error, expected, format string, a ...any) error {
		return &StopError{Pass: p.Name, Stop: *s, Found: fmt.Sprintf(format, a...), Expected: expected, Err: err}
	}
	if !p.Mounted() {
		return 0, fault(ErrUnmounted, "a mounted pass", "no set-up")
	}
	k := slices.IndexFunc(p.Runs, func(r Run) bool { return r.Number == s.Run })
	if k < 0 {
		var runs []int
		for _, r := range p.Runs {
			runs = append(runs, r.Number)
		}
		return 0, fault(ErrStop, fmt.Sprintf("a run of the pass, one of %v", runs), "run %d", s.Run)
	}
	r := p.Runs[k]
	for _, f := range s.Fragments {
		if f < 1 || f > len(r.Hits) {
			return 0, fault(ErrStop, fmt.Sprintf("1 to %d", len(r.Hits)), "a fragment in hit %d", f)
		}
	}
	if s.Last == 0 {
		s.Last = max(s.Hit, slices.Max(append([]int{0}, s.Fragments...)))
	}
	n := len(r.Hits)
	if s.Hit < 0 || s.Hit > n {
		return 0, fault(ErrStop, fmt.Sprintf("0 to %d", n), "hit %d", s.Hit)
	}
	if s.Last < s.Hit || s.Last > n {
		return 0, fault(ErrStop, fmt.Sprintf("%d to %d", s.Hit, n), "last hit %d", s.Last)
	}
	for _, f := range s.Fragments {
		if f <= s.Hit && s.Last == s.Hit {
			return 0, fault(ErrStop, fmt.Sprintf("none: hits to %d are known good and none after them is in doubt", s.Hit), "a fragment in hit %d", f)
		}
		if f <= s.Hit || f > s.Last {
			return 0, fault(ErrStop, fmt.Sprintf("a hit in doubt, %d to %d", s.Hit+1, s.Last), "a fragment in hit %d", f)
		}
	}
	if found, expected := tooling.CheckSpindles(s.Spindles, max(1, p.SetUp.Spindles)); found != "" {
		return 0, fault(ErrStop, expected, "%s", found)
	}
	if err := s.validateRest(in, p, fault); err != nil {
		return 0, err
	}
	if s.Hit < r.Again && (s.Together || !slices.Equal(s.Spindles, p.Rest.Stop.Spindles)) {
		return 0, fault(ErrStop, fmt.Sprintf("the same spindles alone, %v: the first %d hits of the run are theirs", p.Rest.Stop.Spindles, r.Again), "spindles %v", s.Spindles)
	}
	return k, nil
}

// validateRest looks at the scrapped areas and at the pass itself, which may
// have been read from a file.
func (s *Stop) validateRest(in Input, p Pass, fault func(err error, expected, format string, a ...any) error) error {
	for _, b := range s.Scrapped {
		if expected := tooling.CheckArea(b); expected != "" {
			return fault(ErrCoord, expected, "a scrapped area from %v to %v", b.Min, b.Max)
		}
	}
	for _, r := range p.Runs {
		for i, h := range r.Hits {
			if h.Hole < 0 || int(h.Hole) >= len(in.Holes) || !tooling.InRange(h.At[0]) || !tooling.InRange(h.At[1]) {
				return fault(ErrSetUp, "the input the pass was planned from", "hit %d of run %d at X%g Y%g of hole %d of %d", i+1, r.Number, h.At[0], h.At[1], h.Hole, len(in.Holes))
			}
		}
	}
	if p.Rest != nil {
		for _, l := range p.Rest.LeftOut {
			if l.Hole < 0 || int(l.Hole) >= len(in.Holes) || l.Why == "" {
				return fault(ErrSetUp, "the input the pass was planned from", "hole %d of %d left out for %q", l.Hole, len(in.Holes), l.Why)
			}
		}
	}
	for _, r := range p.Runs {
		next := 0
		for _, b := range r.Bits {
			if b.First != next || b.Hits < 1 || b.Hits > len(r.Hits)-next {
				break
			}
			next += b.Hits
		}
		if next != len(r.Hits) || r.Again < 0 || r.Again > len(r.Hits) || (r.Again > 0 && !p.parks()) {
			return fault(ErrSetUp, "a pass from Mount or Resume", "run %d whose bits make %d of %d hits, %d of them with spindles parked", r.Number, next, len(r.Hits), r.Again)
		}
	}
	return nil
}

// alone are the spindles that a rest begins with, the others parked.
func (p Pass) alone() []int {
	if p.Rest == nil {
		return nil
	}
	return p.Rest.Stop.Spindles
}

// parks tells whether the pass says which spindles make its first hits alone.
func (p Pass) parks() bool {
	return p.Rest != nil && p.Rest.Parked && p.Rest.Stop.some(p)
}

// some tells whether the stop concerns only some of the spindles in use.
func (s Stop) some(p Pass) bool { return len(s.Spindles) > 0 && len(s.Spindles) < p.SetUp.Spindles }
