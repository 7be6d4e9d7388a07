package route

import (
	"fmt"
	"iter"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Adjust returns the pass for a panel that has moved in process: every path
// goes where the fit says its nominal place is now. Only similarity fits are
// allowed, since an affine one would not leave arcs arcs. The paths of the
// pass stay nominal; the program is adjusted and says so, and Check takes the
// fit back before it compares. A fit whose worst residual exceeds limit mm is
// refused; limit 0 does not limit. Errors are [*tooling.InputError] wrapping
// [tooling.ErrTargets].
func (p Pass) Adjust(f tooling.Fit, limit float64) (Pass, error) {
	refuse := func(found, expected string) (Pass, error) {
		return Pass{}, &tooling.InputError{Source: tooling.Source{Path: "targets"}, Err: tooling.ErrTargets, Found: found, Expected: expected}
	}
	if f.Kind != "" && f.Kind != "similarity" {
		return refuse(f.Kind+" fit", "a similarity, which leaves arcs arcs")
	}
	if limit > 0 && f.Worst > limit {
		return refuse(fmt.Sprintf("a worst residual of %.3f mm", f.Worst), fmt.Sprintf("at most %.3f mm", limit))
	}
	p.Fit = f
	return p, nil
}

// plain tells whether programs are written as planned.
func (p Pass) plain() bool { return p.Fit.Kind == "" && p.Frame == (tooling.Frame{}) }

// written puts operations into the coordinates of the program.
func (p Pass) written(ops iter.Seq[nc.Op]) iter.Seq[nc.Op] {
	if p.plain() {
		return ops
	}
	move := func(at orb.Point) orb.Point { return p.Frame.Apply(gridPoint(p.Fit.Apply(at))) }
	return func(yield func(nc.Op) bool) {
		for op := range ops {
			if op.Kind == nc.OpArc {
				op.Center = p.Frame.Apply(p.Fit.Apply(op.Center))
				op.Clockwise = op.Clockwise != p.Frame.FaceDown
			}
			op.From, op.To = move(op.From), move(op.To)
			op = p.sided(op)
			if !yield(op) {
				return
			}
		}
	}
}

// nominal takes frame and fit of a written operation back.
func (p Pass) nominal(op nc.Op) nc.Op {
	if p.plain() {
		return op
	}
	back := func(at orb.Point) orb.Point { return p.Fit.Undo(p.Frame.Undo(at)) }
	op.From, op.To, op.Center = back(op.From), back(op.To), back(op.Center)
	op.Clockwise = op.Clockwise != p.Frame.FaceDown
	return p.sided(op)
}

// sided changes the side of a compensation where the frame mirrors.
func (p Pass) sided(op nc.Op) nc.Op {
	if op.Kind == nc.OpCompensation && p.Frame.FaceDown {
		switch op.Text {
		case "G41":
			op.Text = "G42"
		case "G42":
			op.Text = "G41"
		}
	}
	return op
}
