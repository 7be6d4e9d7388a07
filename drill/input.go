package drill

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Input is everything a drill plan is made from.
type Input struct {
	Holes   []Hole // on the panel, distinct: see [Place] and [Distinct]
	Panel   tooling.Panel
	Crib    tooling.Crib
	Rules   tooling.Rules
	Machine machine.Machine
}

// Validate reports the first fault: [tooling.InputErrors] of panel, crib,
// rules or machine with JSON paths, or a [*HoleError] for a hole that is
// given twice, off the panel, in a keep-out or under a pin.
func (in Input) Validate() error {
	for _, v := range []interface{ Validate() error }{in.Panel, in.Crib, in.Rules, in.Machine} {
		if err := v.Validate(); err != nil {
			return err
		}
	}
	for i := range in.Holes {
		if err := in.validateHole(i); err != nil {
			return err
		}
	}
	if d, ok := firstDouble(in.Holes); ok {
		return in.fault(d[1], ErrDuplicate, fmt.Sprintf("hole %d at the same place", d[0]), "distinct holes")
	}
	return nil
}

func (in Input) validateHole(i int) error {
	h := in.Holes[i]
	for _, p := range [2]orb.Point{h.At, h.To} {
		if !tooling.InRange(p[0]) || !tooling.InRange(p[1]) {
			return in.fault(i, ErrCoord, fmt.Sprintf("X%g Y%g", p[0], p[1]), "finite coordinates within 10 m")
		}
	}
	d := h.Size.Diameter
	if !(d > 0) || !tooling.InRange(d) {
		return in.fault(i, ErrTool, fmt.Sprintf("diameter %g mm", d), "a diameter above 0")
	}
	if !(h.Position >= 0 && h.Position <= 100) {
		return in.fault(i, tooling.ErrValue, fmt.Sprintf("position tolerance %g mm", h.Position), "0 to 100 mm")
	}
	if h.Size.Basis != tooling.Finished && h.Size.Basis != tooling.Drilled {
		return in.fault(i, ErrSizes, fmt.Sprintf("basis %q", h.Size.Basis), "finished or drilled")
	}
	r := in.Rules.Allowance.Target(h.Size) / 2
	b := orb.MultiPoint{h.At, h.To}.Bound().Pad(r)
	p := in.Panel.Bound()
	if !p.Contains(b.Min) || !p.Contains(b.Max) {
		return in.fault(i, ErrOffPanel, fmt.Sprintf("X%.3f to %.3f, Y%.3f to %.3f", b.Min[0], b.Max[0], b.Min[1], b.Max[1]),
			fmt.Sprintf("the panel, %.3f x %.3f mm", in.Panel.Width, in.Panel.Height))
	}
	for _, k := range in.Panel.KeepOuts {
		if toBox(k.Bound(), h.At, h.To) < r {
			return in.fault(i, ErrKeepOut, "keep-out "+k.Name, "a place clear of it")
		}
	}
	for _, f := range in.Panel.Pins(setUpOf(h.Stage())) {
		if gap := toSegment(f.At, h.At, h.To) - f.Diameter/2 - r; gap < 0 {
			return in.fault(i, ErrKeepOut, fmt.Sprintf("a pin at X%.3f Y%.3f", f.At[0], f.At[1]), "a place clear of it")
		}
	}
	return nil
}

func (in Input) fault(i int, err error, found, expected string) error {
	h := in.Holes[i]
	return &HoleError{Index: i, At: h.At, Source: h.Source, Found: found, Expected: expected, Err: err}
}

// setUpOf is the set-up in which the holes of a stage are drilled: the first
// before plating, the second after.
func setUpOf(s tooling.Stage) int {
	if s == tooling.BeforePlating {
		return 1
	}
	return 2
}

// toSegment is the distance from p to the segment a-b, in mm.
func toSegment(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	l2 := float64(dx*dx) + float64(dy*dy)
	t := 0.0
	if l2 > 0 {
		t = min(1, max(0, (float64((p[0]-a[0])*dx)+float64((p[1]-a[1])*dy))/l2))
	}
	ex, ey := p[0]-a[0]-float64(t*dx), p[1]-a[1]-float64(t*dy)
	return math.Sqrt(float64(ex*ex) + float64(ey*ey))
}

// toBox is the distance in mm between a box and the segment a-b, 0 where they
// meet.
func toBox(box orb.Bound, a, b orb.Point) float64 {
	if box.Contains(a) || box.Contains(b) {
		return 0
	}
	corners := [4]orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}}
	best := math.Inf(1)
	for k, c := range corners {
		next := corners[(k+1)%4]
		if crosses(a, b, c, next) {
			return 0
		}
		best = min(best, toSegment(c, a, b), toSegment(a, c, next), toSegment(b, c, next))
	}
	return best
}

func crosses(a, b, c, d orb.Point) bool {
	side := func(p, q, r orb.Point) float64 {
		return float64((q[0]-p[0])*(r[1]-p[1])) - float64((q[1]-p[1])*(r[0]-p[0]))
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
