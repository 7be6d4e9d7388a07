package machine

import (
	"errors"
	"fmt"

	"example.org/pinstack/tooling"
)

// ErrMagazine says that a magazine does not hold the tools a set-up needs.
var ErrMagazine = errors.New("machine: the magazine does not hold the tools of the set-up")

// Place is one place of a magazine and the tool that stands in it.
type Place struct {
	Number int    `json:"place"` // T number, from 1
	Tool   string `json:"tool"`  // tooling.Tool.ID
}

// Magazine is a shop's map of its magazine: which tool stands in which place,
// the same in every spindle. A tool may have several places, for its spares.
type Magazine []Place

// Validate wants numbers from 1 to places, each once, and names. It returns nil
// or [tooling.InputErrors] with the file's name, "" for none.
func (m Magazine) Validate(file string, places int) error {
	v := tooling.Validation{File: file}
	seen := map[int]int{}
	for i, p := range m {
		at := fmt.Sprintf("magazine[%d]", i)
		v.Count(at+".place", p.Number, 1, places)
		if p.Tool == "" {
			v.Add(at+".tool", tooling.ErrMissing, "nothing", "the ID of a tool of the crib")
		}
		if k, ok := seen[p.Number]; ok {
			v.Add(at+".place", tooling.ErrDuplicate, fmt.Sprint(p.Number), fmt.Sprintf("a place that magazine[%d] does not have", k))
		}
		seen[p.Number] = i
	}
	return v.Err()
}

// MagazineError names a tool that has too few places.
type MagazineError struct {
	Tool   string // tooling.Tool.ID
	Places int    // places of it that are still free
	Needed int
	InRow  bool // they have to follow one another
}

// Error prints the tool, its places and what is needed.
func (e *MagazineError) Error() string {
	row := ""
	if e.InRow {
		row = " in a row"
	}
	return fmt.Sprintf("%v: %s has %d free, %d%s needed", ErrMagazine, e.Tool, e.Places, e.Needed, row)
}

// Unwrap returns [ErrMagazine].
func (e *MagazineError) Unwrap() error { return ErrMagazine }

// Loading deals out the places of a magazine to the passes of one set-up.
type Loading struct {
	places []Place
	taken  []bool
}

// Load begins to deal out the places of the magazine.
func (m Magazine) Load() *Loading { return &Loading{append([]Place(nil), m...), make([]bool, len(m))} }

// Take gives n free places of a tool, in the order of the map; in a row means
// that each is the next after the one before, as a control needs that takes the
// spare by itself. The error is a [*MagazineError].
func (l *Loading) Take(tool string, n int, inRow bool) ([]int, error) {
	var free []int // indices
	for i, p := range l.places {
		if p.Tool == tool && !l.taken[i] {
			free = append(free, i)
		}
	}
	for from := 0; from+n <= len(free); from++ {
		out := make([]int, 0, n)
		for _, i := range free[from : from+n] {
			if inRow && len(out) > 0 && l.places[i].Number != out[len(out)-1]+1 {
				break
			}
			out = append(out, l.places[i].Number)
		}
		if len(out) == n {
			for _, i := range free[from : from+n] {
				l.taken[i] = true
			}
			return out, nil
		}
	}
	return nil, &MagazineError{Tool: tool, Places: len(free), Needed: n, InRow: inRow}
}
