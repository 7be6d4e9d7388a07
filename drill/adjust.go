package drill

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Adjust returns the pass for a panel that has moved in process: every hit
// goes where the fit says its nominal place is now. The hits of the pass stay
// nominal; steps and program are adjusted, and the program says so. Check
// takes the fit back before it compares. Similarity and affine fits are
// allowed. A fit whose worst residual exceeds limit mm is refused with an
// [*tooling.InputError] wrapping [tooling.ErrTargets]; limit 0 does not
// limit.
func (p Pass) Adjust(f tooling.Fit, limit float64) (Pass, error) {
	if limit > 0 && f.Worst > limit {
		return Pass{}, &tooling.InputError{
			Source: tooling.Source{Path: "targets"}, Err: tooling.ErrTargets,
			Found: fmt.Sprintf("a worst residual of %.3f mm", f.Worst), Expected: fmt.Sprintf("at most %.3f mm", limit),
		}
	}
	p.Fit = f
	return p, nil
}

// place is where a hit is made on the panel as it is now, on the writing grid.
func (p Pass) place(at orb.Point) orb.Point {
	if p.Fit.Kind == "" {
		return at
	}
	return snapMicro(p.Fit.Apply(at))
}

// written is the place of a hit in the program's own coordinates.
func (p Pass) written(at orb.Point) orb.Point { return p.Frame.Apply(p.place(at)) }
