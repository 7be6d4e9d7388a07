package route

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Stop says where a mounted pass came to a halt and what is to be done about
// it. Paths are counted from 1 in the order of the run. It has the shape of
// the stop of a drill pass.
type Stop struct {
	Run       int         `json:"run"`                   // Run.Number
	Path      int         `json:"path"`                  // last path of the run known good; 0: none
	Last      int         `json:"last_path"`             // last path of the run that the machine finished: those after Path up to it are in doubt where the cutter broke and good elsewhere; 0: Path, or the one before the largest of Fragments
	Spindles  []int       `json:"spindles,omitempty"`    // where the cutter broke, from 1; none: all in use
	Together  bool        `json:"together,omitempty"`    // all spindles cut the paths in doubt again; false: only those concerned, the others parked
	Fresh     bool        `json:"fresh,omitempty"`       // every spindle starts with new cutters, as on another machine; false: only those concerned
	Fragments []int       `json:"fragments,omitempty"`   // paths not known good whose channel holds a piece of the cutter: left out from now on, with all that would touch it
	Scrapped  []orb.Bound `json:"scrapped_mm,omitempty"` // areas given up: paths that lie wholly in one are left out from now on
}

// StopError says why a pass cannot be resumed at a stop.
type StopError struct {
	Pass     string
	Stop     Stop
	Found    string
	Expected string
	Err      error // ErrStop, ErrUnmounted, ErrSetUp, ErrCoord or ErrObstacle
}

// Error prints the pass, the run, what was found and what was expected.
func (e *StopError) Error() string {
	return withFound(fmt.Sprintf("pass %s run %d: %v", e.Pass, e.Stop.Run, e.Err), e.Found, e.Expected)
}

// Unwrap gives the cause.
func (e *StopError) Unwrap() error { return e.Err }

// Reasons for a path to be left out.
const (
	Fragment = "fragment"          // a piece of the cutter is in its channel
	Beside   = "beside a fragment" // it would touch such a channel
	Scrapped = "scrapped"          // it lies in an area given up
)

// LeftOut is a path that the rest of a pass does not cut on any spindle: it is
// for the operator to deal with.
type LeftOut struct {
	Diameter float64 `json:"diameter_mm"` // of its cutter
	Path     Path    `json:"path"`
	Why      string  `json:"why"` // Fragment, Beside or Scrapped
}

// Done is what one cutter cut before a stop.
type Done struct {
	Diameter float64 `json:"diameter_mm"` // of the cutter
	Paths    []Path  `json:"paths"`       // known good, in the order they were cut
}

// Rest is what lies behind a pass from [Resume]: what [Check] has to know
// besides the layout.
type Rest struct {
	Stop    Stop      `json:"stop"`              // the latest
	Earlier []Stop    `json:"earlier,omitempty"` // of a rest of a rest: the stops before, the first one first; each counts in the rest of the one before it
	Done    []Done    `json:"done"`              // cut before, on every spindle in use
	Again   []Path    `json:"again"`             // in doubt and cut again
	Parked  bool      `json:"parked,omitempty"`
	LeftOut []LeftOut `json:"left_out,omitempty"` // in the order they would have been cut
	Stacks  int       `json:"stacks"`             // of the load that was interrupted, one at each spindle in use
}

// some tells whether the stop concerns only some of the spindles in use.
func (s Stop) some(p Pass) bool { return len(s.Spindles) > 0 && len(s.Spindles) < p.SetUp.Spindles }

// alone are the spindles that a rest begins with, the others parked.
func (p Pass) alone() []int {
	if p.Rest == nil {
		return nil
	}
	return p.Rest.Stop.Spindles
}

// parks tells whether the pass says which spindles cut its first paths alone.
func (p Pass) parks() bool {
	return p.Rest != nil && p.Rest.Parked && p.Rest.Stop.some(p)
}

// validate refuses a stop that is not in the pass and returns the index of its
// run. Last is filled in.
func (s *Stop) validate(p Pass) (int, error) {
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
		if f < 1 || f > len(r.Paths) {
			return 0, fault(ErrStop, fmt.Sprintf("1 to %d", len(r.Paths)), "a fragment in path %d", f)
		}
	}
	if s.Last == 0 {
		s.Last = max(s.Path, slices.Max(append([]int{0}, s.Fragments...))-1)
	}
	n := len(r.Paths)
	if s.Path < 0 || s.Path > n {
		return 0, fault(ErrStop, fmt.Sprintf("0 to %d", n), "path %d", s.Path)
	}
	if s.Last < s.Path || s.Last > n {
		return 0, fault(ErrStop, fmt.Sprintf("%d to %d", s.Path, n), "last path %d", s.Last)
	}
	for _, f := range s.Fragments {
		if most := min(s.Last+1, n); f <= s.Path || f > most { // the one that was being cut may hold it
			return 0, fault(ErrStop, fmt.Sprintf("a path in doubt or begun, %d to %d", s.Path+1, most), "a fragment in path %d", f)
		}
	}
	if found, expected := tooling.CheckSpindles(s.Spindles, max(1, p.SetUp.Spindles)); found != "" {
		return 0, fault(ErrStop, expected, "%s", found)
	}
	for _, b := range s.Scrapped {
		if expected := tooling.CheckArea(b); expected != "" {
			return 0, fault(ErrCoord, expected, "a scrapped area from %v to %v", b.Min, b.Max)
		}
	}
	for _, r := range p.Runs {
		next := 0
		for _, c := range r.Cutters {
			if c.First != next || c.Paths < 1 || c.Paths > len(r.Paths)-next {
				break
			}
			next += c.Paths
		}
		if next != len(r.Paths) || r.Again < 0 || r.Again > len(r.Paths) || (r.Again > 0 && !p.parks()) {
			return 0, fault(ErrSetUp, "a pass from Mount or Resume", "run %d whose cutters make %d of %d paths, %d of them with spindles parked", r.Number, next, len(r.Paths), r.Again)
		}
	}
	if s.Path < r.Again && (s.Together || !slices.Equal(s.Spindles, p.Rest.Stop.Spindles)) {
		return 0, fault(ErrStop, fmt.Sprintf("the same spindles alone, %v: the first %d paths of the run are theirs", p.Rest.Stop.Spindles, r.Again), "spindles %v", s.Spindles)
	}
	return k, nil
}
