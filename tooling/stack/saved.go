package stack

import (
	"fmt"

	"example.org/pinstack/tooling"
)

// MostSpindles is the most spindles, stacks or panels in a stack that a saved pass
// may tell of, MostPlaces the most places of a magazine: far above any machine's.
const (
	MostSpindles = 1000
	MostPlaces   = 100_000
)

// ValidateSaved checks what a saved pass says of its set-up.
func (s SetUp) ValidateSaved(v *tooling.Validation, path string) {
	v.Count(path+".height", s.Height, 0, MostSpindles)
	v.Count(path+".spindles", s.Spindles, 0, MostSpindles)
	for i, t := range s.Tools {
		at := fmt.Sprintf("%s.tools[%d]", path, i)
		v.Count(at+".place", t.Place, 0, MostPlaces)
		v.Count(at+".tools_per_load", t.PerLoad, 0, MostPlaces)
	}
}
