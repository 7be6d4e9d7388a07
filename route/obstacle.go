package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// setUpOf is the pinning in which the paths of a stage are made, as the
// panel's pins know it: 1 before plating, 2 after, whatever the number of its
// set-up.
func setUpOf(s tooling.Stage) int {
	if s == tooling.BeforePlating {
		return 1
	}
	return 2
}

// obstacle refuses a path that brings the cutter onto a pin or a keep-out, the
// pressure foot onto one that stands above the entry, or the centre off the
// panel.
func (p *planner) obstacle(path *Path, t tooling.Tool, plated bool) error {
	margin := orDefault(p.o.Margin, defaultMargin)
	panel := p.l.Input.Panel
	stage := tooling.AfterPlating
	if plated {
		stage = tooling.BeforePlating
	}
	for _, q := range pieces(path.Line) {
		for _, f := range panel.Pins(setUpOf(stage)) {
			if d, at := q.to(f.At); d < f.Diameter/2+t.Diameter/2+margin {
				return p.blocked(path, at, fmt.Sprintf("the pin at X%.3f Y%.3f, %.3f mm off the path", f.At[0], f.At[1], d), atLeast(f.Diameter/2+t.Diameter/2+margin), ErrObstacle)
			}
		}
		for _, k := range panel.KeepOuts {
			want := keepClear(k, t.Diameter, p.l.Input.Machine.Foot, margin)
			if d, at := q.toBox(k); d < want {
				return p.blocked(path, at, fmt.Sprintf("keep-out %s, %.3f mm off the path", k.Name, d), atLeast(want), ErrObstacle)
			}
		}
		if b := q.box(); !panel.Bound().Contains(b.Min) || !panel.Bound().Contains(b.Max) {
			return p.blocked(path, q.a, "a path off the panel", "the cutter's centre on it", ErrOffPanel)
		}
	}
	return nil
}

func atLeast(mm float64) string { return fmt.Sprintf("at least %.3f mm", mm) }

func (p *planner) blocked(path *Path, at orb.Point, found, expected string, err error) error {
	if o := p.l.lineOf(path); o != nil {
		return p.l.openFault(o, at, found, expected, err)
	}
	e := &BoardError{Board: path.Board, Other: -1, At: at, Found: found, Expected: expected, Err: err}
	switch {
	case path.Hole:
		e.Source = p.l.Input.Holes[path.Loop].Source
	case path.Board >= 0:
		e.Loop, e.Source = path.Loop, p.l.Input.Boards[p.l.Input.Panel.Boards[path.Board].Board].Source
	}
	return e
}

// keepClear is how far in mm a path keeps from a keep-out: the cutter's radius,
// or the foot's where the keep-out stands above the entry, and the margin.
func keepClear(k tooling.KeepOut, cutter, foot, margin float64) float64 {
	if k.Height > 0 {
		return max(cutter, foot)/2 + margin
	}
	return cutter/2 + margin
}

// toBox is the distance of a piece from a keep-out's box, 0 inside it.
func (p *piece) toBox(k tooling.KeepOut) (float64, orb.Point) {
	if k.Bound().Contains(p.a) {
		return 0, p.a
	}
	best, at := math.Inf(1), p.a
	for _, q := range pieces(rectangle(k.Bound())) {
		if d, f := p.between(&q); d < best {
			best, at = d, f
		}
	}
	return best, at
}
