package array

import (
	"math"
)

// side is one side of the board's box.
type side struct {
	axis int // 0: the lower or upper end of X, 1: of Y
	high bool
}

func (s side) String() string {
	return [2][2]string{{"left", "right"}, {"lower", "upper"}}[s.axis][map[bool]int{false: 0, true: 1}[s.high]]
}

// scorable says why the sides that part boards along an axis cannot be scored;
// empty: they can. Both sides must be straight all along, and no half hole may
// lie on them: a score line tears its copper.
func (in Input) scorable(axis int) string {
	if in.Blank.Thickness < thinnest {
		return "the panel is thinner than score lines need"
	}
	for _, high := range []bool{false, true} {
		s := side{axis, high}
		if !in.straight(s) {
			return "the board's " + s.String() + " side is not straight all along"
		}
		v := in.line(s)
		for _, h := range in.Holes {
			r := in.Rules.Allowance.Target(h.Size) / 2
			if min(math.Abs(h.At[axis]-v), math.Abs(h.To[axis]-v)) < r {
				return "a hole lies on the board's " + s.String() + " side"
			}
		}
	}
	return ""
}

// line is the coordinate of a side.
func (in Input) line(s side) float64 {
	b := in.Box()
	if s.high {
		return b.Max[s.axis]
	}
	return b.Min[s.axis]
}

// straight tells whether straight edges of the outline fill a side of its box,
// within the micrometre that route takes for being on a score line.
func (in Input) straight(s side) bool {
	const near = 0.001
	v, other := in.line(s), 1-s.axis
	b := in.Box()
	sum := 0.0
	from := in.Board.Outline.Start
	for _, m := range in.Board.Outline.Moves {
		if m.Turn == 0 && math.Abs(from[s.axis]-v) <= near && math.Abs(m.To[s.axis]-v) <= near {
			sum += math.Abs(m.To[other] - from[other])
		}
		from = m.To
	}
	return math.Abs(sum-(b.Max[other]-b.Min[other])) <= near
}
