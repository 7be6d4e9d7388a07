package array

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// hold is a cutter and tabs that may hold the board.
type hold struct {
	cutter float64
	tabs   tooling.TabRules
}

// holds lists what is tried to hold a board, the rules' own tabs first, then
// tabs that need less of a straight edge, then the same with smaller cutters:
// plain tabs of 4 to 1 mm (3 to 5 are usual, common practice).
func (in Input) holds() (out []hold, err error) {
	cutters, err := in.cutters()
	if err != nil {
		return nil, err
	}
	for _, cutter := range cutters {
		own := in.Rules.Tabs
		near := own
		near.CornerClear = min(own.CornerClear, 2)
		out = append(out, hold{cutter, own}, hold{cutter, near})
		for _, width := range []float64{4, 3, 2, 1.5, 1} {
			plain := near
			plain.Perforated, plain.Width, plain.CornerClear = false, width, min(own.CornerClear, 0.5)
			fewer := plain
			fewer.PerBoard = min(own.PerBoard, 2)
			out = append(out, hold{cutter, plain})
			if fewer != plain {
				out = append(out, hold{cutter, fewer})
			}
		}
	}
	return out, nil
}

// cutters are those to try: the rules' own, or the largest up to the usual one that
// follows the outline and those below it, the largest first.
func (in Input) cutters() (out []float64, err error) {
	if d := in.Rules.Rout.Cutter; d > 0 {
		return []float64{d}, nil
	}
	fit, err := route.FitCutter(in.Board, in.Crib, usualCutter, in.Rules.Rout.Deflection)
	if err != nil {
		return nil, err
	}
	limit, least := fit.Diameter, 0.0
	for _, t := range in.Crib.Tools {
		if t.Kind != tooling.Cutter {
			continue
		}
		if t.Diameter <= limit {
			out = append(out, t.Diameter)
		}
		if least == 0 || t.Diameter < least {
			least = t.Diameter
		}
	}
	if len(out) == 0 && least > 0 {
		out = append(out, least)
	}
	slices.SortFunc(out, func(a, b float64) int { return cmp.Compare(b, a) })
	return slices.Compact(out), nil
}

// eachHold calls take with the input held in each way of holds in which one board alone,
// routed all round, can be laid, until take is content; where none is, with one that
// needs no tabs, if all sides may be scored. The error is that of the first way, with
// what else was tried; nil where take was called at all.
func (in Input) eachHold(take func(held Input, scoredOnly bool) (content bool)) error {
	all, err := in.holds()
	if err == nil && len(all) == 0 {
		return bad("crib", "no cutters", "at least one cutter")
	}
	if fault := in.alone(Way{}, Way{}).Validate(); fault != nil {
		return fault // of the board itself, in its own coordinates
	}
	if err != nil {
		return err
	}
	try := func(h hold, columns, rows Way) (Input, error) {
		held := in
		held.Rules.Rout.Cutter, held.Rules.Tabs = h.cutter, h.tabs
		alone := held.alone(columns, rows)
		_, err := route.Lay(alone)
		return held, in.onBoard(err, alone.Panel)
	}
	var first error
	some := false
	for _, h := range all {
		held, err := try(h, Way{}, Way{})
		if err == nil {
			some = true
			if take(held, false) {
				return nil
			}
		} else if first == nil {
			first = err
		}
	}
	if scored := (Way{Score: true}); !some && in.mayScore() {
		if held, err := try(all[0], scored, scored); err == nil {
			take(held, true)
			return nil
		}
	}
	if some {
		return nil
	}
	return tried(first, all[len(all)-1])
}

// mayScore tells whether all four sides can be scored and the input lets them.
func (in Input) mayScore() bool {
	scored := Way{Score: true}
	return slices.Contains(orAny(in.Columns), scored) && slices.Contains(orAny(in.Rows), scored) && in.scorable(0) == "" && in.scorable(1) == ""
}

// tried adds to the error of the usual tabs that smaller ones were no help.
func tried(err error, last hold) error {
	b, ok := err.(*route.BoardError)
	if !ok || !errors.Is(err, route.ErrTabLong) {
		return err
	}
	more := *b
	more.Expected = fmt.Sprintf("%s; tabs down to %g mm with a cutter of %g mm find no room either", b.Expected, last.tabs.Width, last.cutter)
	return &more
}

// note tells where cutter or tabs are others than the shop's usual ones.
func (in Input) note(asked Input, scoredOnly bool, report *tooling.Report) {
	if scoredOnly {
		report.Note("scored-only", "", "no tabs find room on this outline: boards are held by score lines alone", 0, 0)
		return
	}
	if t := in.Rules.Tabs; t != asked.Rules.Tabs {
		kind := "plain"
		if t.Perforated {
			kind = "perforated"
		}
		report.Note("tabs-adapted", "", fmt.Sprintf("the usual tabs find no room on this outline: %s tabs, width in mm", kind), t.Width, asked.Rules.Tabs.Width)
	}
	if d := in.Rules.Rout.Cutter; asked.Rules.Rout.Cutter == 0 && d < usualCutter {
		report.Note("cutter-adapted", "", "the outline asks for a smaller cutter than the usual one, mm", d, usualCutter)
	}
}
