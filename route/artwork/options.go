package artwork

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Options bound what Read takes. The zero value is the default.
type Options struct {
	// MaxBytes of the file. 0: 64 MiB.
	MaxBytes int
	// MaxObjects after repeats are expanded: strokes, flashes and region moves.
	// 0: 1,000,000.
	MaxObjects int
	// MaxApertures that are defined. 0: 10,000.
	MaxApertures int
	// MaxDepth of blocks and repeats within each other. 0: 8.
	MaxDepth int
}

// Pick says which closed loops are boards where frames or marks lie about them.
type Pick int

// The ways to pick.
const (
	// PickClear takes the loops as they nest, lets Holes decide where they are
	// given, and refuses with an AmbiguousError where a loop may as well be a
	// frame around the board.
	PickClear Pick = iota
	// PickOuter takes the outermost loops, frames or not.
	PickOuter
	// PickLargest takes the outermost loop of the largest area alone.
	PickLargest
	// PickHoles takes the loops that hold Holes most tightly.
	PickHoles
	// PickIndex takes the loop ProfileOptions.Index of AmbiguousError.Candidates alone.
	PickIndex
)

// ProfileOptions say how boards are made of a layer. The zero value is the default.
type ProfileOptions struct {
	// Joins are the tolerances in mm within which ends are joined, tried in
	// their order until everything closes. nil: 0.005, 0.02, 0.1.
	Joins []float64
	// Pick says which loops are boards.
	Pick Pick
	// Index of the candidate for PickIndex.
	Index int
	// Holes are the centres of the board's holes, mm, where known: the loops that hold
	// them are boards, loops around those are frames.
	Holes []orb.Point
	// Wide is the stroke width in mm from which an open stroke within a board
	// is a cut-out as wide as the stroke. 0: 0.5; negative: none is.
	Wide float64
	// FitArcs is the tolerance in mm within which chords become arcs. 0: none do.
	FitArcs float64
	// ScoreCodes are the apertures (D codes) that draw score lines in this layer.
	ScoreCodes []int
}

func (o Options) filled() Options {
	for _, d := range []struct {
		value *int
		or    int
	}{{&o.MaxBytes, 64 << 20}, {&o.MaxObjects, 1_000_000}, {&o.MaxApertures, 10_000}, {&o.MaxDepth, 8}} {
		if *d.value == 0 {
			*d.value = d.or
		}
	}
	return o
}

// Validate refuses negative limits with an [ErrOptions].
func (o Options) Validate() error {
	if min(o.MaxBytes, o.MaxObjects, o.MaxApertures, o.MaxDepth) < 0 {
		return &ReadError{Err: ErrOptions, Found: "a negative limit", Expected: "0 for the default, or a limit"}
	}
	return nil
}

// Validate refuses with an [ErrOptions] what no profile can be made with:
// tolerances that are not rising lengths up to 1 mm, holes that are no places, a
// pick that is not known or lacks its holes.
func (o ProfileOptions) Validate() error {
	fail := func(found, expected string) error {
		return &ReadError{Err: ErrOptions, Found: found, Expected: expected}
	}
	last := 0.0
	for _, j := range o.Joins {
		if !(j > last && j <= 1) {
			return fail(fmt.Sprintf("joins %v", o.Joins), "rising tolerances above 0 and up to 1 mm")
		}
		last = j
	}
	if o.Pick < PickClear || o.Pick > PickIndex {
		return fail(fmt.Sprintf("pick %d", int(o.Pick)), "one of the Pick values")
	}
	if o.Pick == PickHoles && len(o.Holes) == 0 {
		return fail("no holes", "the holes that the board holds")
	}
	for _, h := range o.Holes {
		if !tooling.InRange(h[0]) || !tooling.InRange(h[1]) {
			return fail(fmt.Sprintf("a hole at %v", h), "a place within 10 m")
		}
	}
	if math.IsNaN(o.Wide) || !(o.FitArcs >= 0 && o.FitArcs <= 1) {
		return fail(fmt.Sprintf("wide %v, fit %v", o.Wide, o.FitArcs), "a width, and a tolerance of 0 to 1 mm")
	}
	return nil
}

// filled puts the defaults in.
func (o ProfileOptions) filled() ProfileOptions {
	if o.Joins == nil {
		o.Joins = []float64{0.005, 0.02, 0.1}
	}
	if o.Wide == 0 {
		o.Wide = 0.5
	} else if o.Wide < 0 {
		o.Wide = math.Inf(1)
	}
	return o
}
