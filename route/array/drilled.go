package array

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// drilledWithin is how far in mm a cut-out may reach beyond a hole and still be
// the same hole drawn twice, once in each file: half the finest usual tolerance.
const drilledWithin = 0.05

// drilled takes out the cut-outs that a hole of the drill files makes as well:
// round holes and slots are often drawn in the profile, too.
func (in Input) drilled(report *tooling.Report) []contour.Contour {
	var out []contour.Contour
	for _, c := range in.Board.CutOuts {
		if !in.made(c) {
			out = append(out, c)
			continue
		}
		report.Note("cut-out-drilled", "", "a cut-out that a hole of the drill files makes: drilled, not routed", 0, 0, c.Bound().Center())
	}
	return out
}

// made tells whether a hole takes all of a cut-out away.
func (in Input) made(c contour.Contour) bool {
	box := c.Bound()
	ring := c.AppendRing(nil, drilledWithin/10)
	for _, h := range in.Holes {
		r := max(h.Size.Diameter, in.Rules.Allowance.Target(h.Size))/2 + drilledWithin
		reach := (orb.MultiPoint{h.At, h.To}).Bound().Pad(r)
		if !reach.Contains(box.Min) || !reach.Contains(box.Max) {
			continue
		}
		covered := true
		for _, p := range ring {
			covered = covered && from(h, p) <= r
		}
		if covered {
			return true
		}
	}
	return false
}

// from is the distance in mm of a point from a hole's centre line.
func from(h drill.Hole, p orb.Point) float64 {
	dx, dy := h.To[0]-h.At[0], h.To[1]-h.At[1]
	t := 0.0
	if l2 := float64(dx*dx) + float64(dy*dy); l2 > 0 {
		t = min(1, max(0, (float64((p[0]-h.At[0])*dx)+float64((p[1]-h.At[1])*dy))/l2))
	}
	x, y := p[0]-h.At[0]-float64(t*dx), p[1]-h.At[1]-float64(t*dy)
	return math.Sqrt(float64(x*x) + float64(y*y))
}
