package array

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// bored takes out the cut-outs that no cutter comes into and that are as long as
// wide or slots: a bit makes them, unplated, when the outlines are routed.
func (in Input) bored(report *tooling.Report) (rest []contour.Contour, holes []drill.Hole) {
	least := in.Rules.Rout.Cutter // 0: the smallest of the crib
	for _, t := range in.Crib.Tools {
		if t.Kind == tooling.Cutter && in.Rules.Rout.Cutter == 0 && (least == 0 || t.Diameter < least) {
			least = t.Diameter
		}
	}
	for _, c := range in.Board.CutOuts {
		s, ok := slotOf(c)
		h := drill.Slot(micrometre(s.from), micrometre(s.to), tooling.Size{Diameter: micrometres(s.width), Basis: tooling.Drilled})
		// A slot of just the cutter's width is its way there; a circle is no way.
		if w := h.Size.Diameter; !ok || w > least || w == least && h.IsSlot() {
			rest = append(rest, c)
			continue
		}
		h.Source.File = in.Board.Source.File
		holes = append(holes, h)
		detail := "a round cut-out no larger than any cutter: drilled, unplated, mm"
		switch {
		case s.square:
			detail = "a slot narrower than any cutter: drilled, unplated, its corners keep the bit's radius, mm"
		case h.IsSlot():
			detail = "a slot narrower than any cutter: drilled, unplated, mm"
		}
		report.Note("cut-out-bored", "", detail, h.Size.Diameter, least, h.At)
	}
	return rest, holes
}

// slot is a cut-out that a bit makes.
type slot struct {
	from, to orb.Point // centres of its ends, mm
	width    float64   // mm
	square   bool      // it is drawn with corners
}

// slotOf recognises circles, slots with round ends and rectangles.
func slotOf(c contour.Contour) (slot, bool) {
	if fitted, err := contour.FitArcs(c, slotWithin); err == nil {
		c = fitted
	}
	area := abs(c.Area())
	if len(c.Moves) == 4 && !slices.ContainsFunc(c.Moves, func(m contour.Move) bool { return m.Turn != 0 }) {
		return rectangle(c, area)
	}
	var centres []orb.Point
	r, n, from := 0.0, 0.0, c.Start
	for _, m := range c.Moves {
		if m.Turn != 0 {
			if !slices.ContainsFunc(centres, func(p orb.Point) bool { return apart(p, m.Center) <= slotWithin }) {
				centres = append(centres, m.Center)
			}
			r, n = r+apart(from, m.Center), n+1
		}
		from = m.To
	}
	if len(centres) == 0 || len(centres) > 2 {
		return slot{}, false
	}
	s := slot{from: centres[0], to: centres[len(centres)-1], width: 2 * r / n}
	full := float64(math.Pi*s.width*s.width/4) + float64(apart(s.from, s.to)*s.width)
	return s, s.fills(c) && abs(full-area) <= slotWithin*c.Length()
}

// rectangle is the slot of four sides.
func rectangle(c contour.Contour, area float64) (slot, bool) {
	p := [4]orb.Point{c.Start, c.Moves[0].To, c.Moves[1].To, c.Moves[2].To}
	a, b := apart(p[0], p[1]), apart(p[1], p[2])
	if a > b { // the ends are the short sides
		p, a, b = [4]orb.Point{p[1], p[2], p[3], p[0]}, b, a
	}
	if abs(float64(a*b)-area) > slotWithin*a || abs(a-apart(p[2], p[3])) > slotWithin || abs(b-apart(p[3], p[0])) > slotWithin {
		return slot{}, false
	}
	middle := func(p, q orb.Point) orb.Point { return orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2} }
	from, to := middle(p[0], p[1]), middle(p[2], p[3])
	in := a / 2 / b
	return slot{
		from:  orb.Point{from[0] + float64((to[0]-from[0])*in), from[1] + float64((to[1]-from[1])*in)},
		to:    orb.Point{to[0] + float64((from[0]-to[0])*in), to[1] + float64((from[1]-to[1])*in)},
		width: a, square: true,
	}, true
}

// slotWithin is how far in mm a cut-out may lie from the slot that it is taken for: a fifth
// of the finest usual tolerance of a routed edge (house rule).
const slotWithin = 0.02

// fills reports whether the contour lies within the slot.
func (s slot) fills(c contour.Contour) bool {
	h := drill.Slot(s.from, s.to, tooling.Size{Diameter: s.width})
	for _, p := range c.AppendRing(nil, slotWithin/10) {
		if from(h, p) > s.width/2+slotWithin {
			return false
		}
	}
	return true
}

func apart(p, q orb.Point) float64 {
	x, y := p[0]-q[0], p[1]-q[1]
	return math.Sqrt(float64(x*x) + float64(y*y))
}

// micrometre is a place on the grid of written programs.
func micrometre(p orb.Point) orb.Point { return orb.Point{micrometres(p[0]), micrometres(p[1])} }

func micrometres(v float64) float64 { return math.Round(v*1000) / 1000 }
