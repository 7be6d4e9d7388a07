package job

import (
	"fmt"
	"slices"

	"example.org/pinstack/tooling"
)

// Adjust returns the plan with the passes of one set-up fitted to how its
// panel has moved in process, see [drill.Pass.Adjust] and [route.Pass.Adjust]:
// where the set-up routs too only a similarity is allowed. The change stands in
// every program of the set-up, and among the findings of the plan for the
// sheet. Limit is the largest residual in mm, 0: none. Errors are theirs, and a
// [*tooling.InputError] for a set-up the plan does not have.
func (p Plan) Adjust(setUp int, f tooling.Fit, limit float64) (Plan, error) {
	return p.change(setUp, "panel-moved", f.String(), func(q *Plan, drilled bool, i int) (err error) {
		if drilled {
			q.Drill[i], err = q.Drill[i].Adjust(f, limit)
		} else {
			q.Rout[i], err = q.Rout[i].Adjust(f, limit)
		}
		return err
	})
}

// Framed returns the plan with the programs of one set-up written in the
// coordinates of a frame: another datum, quarter turns, the other face. The frame
// stands in every program of the set-up, and among the findings of the plan for
// the sheet. The errors are those of [tooling.Frame.Validate], and a
// [*tooling.InputError] for a set-up the plan does not have.
func (p Plan) Framed(setUp int, f tooling.Frame) (Plan, error) {
	if err := f.Validate(); err != nil {
		return Plan{}, err
	}
	return p.change(setUp, "frame", f.String(), func(q *Plan, drilled bool, i int) error {
		if drilled {
			q.Drill[i].Frame = f
		} else {
			q.Rout[i].Frame = f
		}
		return nil
	})
}

// change does something to every pass of one set-up of a copy of the plan.
func (p Plan) change(setUp int, rule, detail string, do func(q *Plan, drilled bool, i int) error) (Plan, error) {
	q := p
	q.Drill, q.Rout, q.Report = slices.Clone(p.Drill), slices.Clone(p.Rout), slices.Clone(p.Report)
	found := false
	for i := range q.Drill {
		if q.Drill[i].SetUp.Number == setUp {
			found = true
			if err := do(&q, true, i); err != nil {
				return Plan{}, err
			}
		}
	}
	for i := range q.Rout {
		if q.Rout[i].SetUp.Number == setUp {
			found = true
			if err := do(&q, false, i); err != nil {
				return Plan{}, err
			}
		}
	}
	if !found {
		return Plan{}, &tooling.InputError{Source: tooling.Source{Path: "set_up"}, Err: tooling.ErrValue, Found: fmt.Sprint(setUp), Expected: "the number of a set-up of the plan"}
	}
	if detail != "" {
		q.Report.Note(rule, fmt.Sprintf("set-up %d", setUp), detail, 0, 0)
	}
	return q, nil
}
