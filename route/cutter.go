package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

func rectangle(b orb.Bound) contour.Contour { return contour.FromBound(b) }

// chooseCutter returns the cutter for the outlines: the wanted diameter, or
// the largest that passes the narrowest gap, follows every inside arc and comes
// into every notch that some cutter comes into.
func (l *Layout) chooseCutter(outlines []*loop, narrow strait) (tooling.Tool, error) {
	if want := l.Input.Rules.Rout.Cutter; want > 0 {
		return l.cutterOf(want)
	}
	limit := narrow.d
	for _, o := range outlines {
		limit = min(limit, 2*o.insideRadius(l.Input.tightest())+2*l.Input.Rules.Rout.Deflection)
	}
	if fit := cutters(l.Input.Crib, limit+onLine); len(fit) > 0 {
		return l.openAll(outlines, fit)
	}
	if len(outlines) == 0 {
		return tooling.Tool{}, nil
	}
	t, ok := smallestCutter(l.Input.Crib)
	if !ok {
		return tooling.Tool{}, l.fault(outlines[0], nil, outlines[0].line.Start, "a crib without cutters", "at least one cutter", ErrNoCutter)
	}
	if math.IsInf(narrow.d, 1) || narrow.d > limit {
		return tooling.Tool{}, l.fault(outlines[0], nil, outlines[0].line.Start, fmt.Sprintf("an inside arc that asks for %.3f mm", limit), "a cutter of the crib so small", ErrNoCutter)
	}
	return tooling.Tool{}, l.fault(narrow.a, narrow.b, narrow.at, fmt.Sprintf("a gap of %.3f mm", narrow.d),
		fmt.Sprintf("at least the smallest cutter, %.3f mm, or no gap on a score line", t.Diameter), ErrGap)
}

// openAll is the first of some cutters, the largest first, that comes into all
// notches of the outlines. Boards of one kind are looked at once.
func (l *Layout) openAll(outlines []*loop, fit []tooling.Tool) (tooling.Tool, error) {
	seen := map[int]bool{}
	for _, o := range outlines {
		board := l.Input.Panel.Boards[o.board].Board
		if seen[board] {
			continue
		}
		seen[board] = true
		t, _, _, err := o.open(fit, l.Input.Rules.Rout.Deflection)
		if err != nil {
			return t, err
		}
		fit = slices.DeleteFunc(slices.Clone(fit), func(x tooling.Tool) bool { return x.Diameter > t.Diameter })
	}
	return fit[0], nil
}

// cutterOf is the crib's first cutter of a diameter.
func (l *Layout) cutterOf(want float64) (tooling.Tool, error) {
	for _, t := range l.Input.Crib.Tools {
		if t.Kind == tooling.Cutter && tooling.Nanometres(t.Diameter) == tooling.Nanometres(want) {
			return t, nil
		}
	}
	return tooling.Tool{}, &BoardError{Board: -1, Other: -1, Source: tooling.Source{Path: "rout.cutter_mm"}, Found: fmt.Sprintf("%.3f mm", want), Expected: "a cutter of the crib", Err: ErrNoCutter}
}

func smallestCutter(c tooling.Crib) (best tooling.Tool, ok bool) {
	for _, t := range c.Tools {
		if t.Kind == tooling.Cutter && (!ok || t.Diameter < best.Diameter) {
			best, ok = t, true
		}
	}
	return best, ok
}

// insideRadius is the radius in mm of the tightest arc that the cutter must
// follow on its hollow side; +Inf when there is none. Sharp inside corners and
// arcs tighter than tightest do not count: every cutter leaves its radius there.
func (l *loop) insideRadius(tightest float64) float64 {
	r := math.Inf(1)
	for i := range l.ps {
		// Loops run counter-clockwise: outside the material lies on the left, so a
		// clockwise arc is hollow; inside it is the other way round.
		hollow := l.ps[i].turn < 0
		if l.inner() {
			hollow = l.ps[i].turn > 0
		}
		if hollow && l.ps[i].r >= tightest {
			r = min(r, l.ps[i].r)
		}
	}
	return r
}

// tightest is the least radius in mm of a hollow arc that some cutter of the crib
// follows: a fillet below it is a corner that keeps a cutter's radius.
func (in Input) tightest() float64 {
	t, ok := smallestCutter(in.Crib)
	if !ok {
		return 0
	}
	return t.Diameter/2 - in.Rules.Rout.Deflection - onLine
}
