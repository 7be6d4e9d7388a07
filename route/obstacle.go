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
				return p.blocked(path, at, fmt.Sprintf("the pin at X%.3f Y%.3f, %.3f mm off the path", f.At[0], f.At[1], d), f.Diameter/2+t.Diameter/2+margin)
			}
		}
		for _, k := range panel.KeepOuts {
			want := keepClear(k, t.Diameter, p.l.Input.Machine.Foot, margin)
			if d, at := q.toBox(k); d < want {
				return p.blocked(path, at, fmt.Sprintf("keep-out %s, %.3f mm off the path", k.Name, d), want)
			}
		}
		if b := q.box(); !panel.Bound().Contains(b.Min) || !panel.Bound().Contains(b.Max) {
			return &BoardError{Board: path.Board, Other: -1, At: q.a, Err: ErrOffPanel, Found: "a path off the panel", Expected: "the cutter's centre on it"}
		}
	}
	return nil
}

func (p *planner) blocked(path *Path, at orb.Point, found string, want float64) error {
	e := &BoardError{Board: path.Board, Other: -1, At: at, Found: found, Expected: fmt.Sprintf("at least %.3f mm", want), Err: ErrObstacle}
	switch {
	case path.Open != "":
		e.Found = fmt.Sprintf("open path %d: %s", path.Loop, found)
	case !path.Hole:
		e.Loop = path.Loop
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
