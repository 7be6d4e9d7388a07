package main

import (
	"strconv"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// What is printed lies on a grid of a nanometre. Paths are put on it before they are
// measured, so that the check is one of what the reader gets.

// fixed prints with six decimals and never a minus zero.
type fixed float64

// MarshalJSON prints the number.
func (f fixed) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, tooling.Snap(float64(f)), 'f', 6, 64), nil
}

type point [2]fixed

func toPoint(p orb.Point) point {
	p = tooling.SnapPoint(p)
	return point{fixed(p[0]), fixed(p[1])}
}

// shortest is the shortest arc that a control runs, mm.
const shortest = 1e-4

// rounded puts a contour on the grid. A move that ends where it starts once rounded
// goes, so that no short arc turns into a full circle; what a tab leaves of an arc,
// where it is shorter than the shortest, becomes a line.
func rounded(c contour.Contour) contour.Contour {
	out := contour.Contour{Start: tooling.SnapPoint(c.Start), Moves: make([]contour.Move, 0, len(c.Moves))}
	for _, m := range c.Moves {
		m.To = tooling.SnapPoint(m.To)
		if m.To == out.End() && len(c.Moves) > 1 {
			continue
		}
		if m.Turn != 0 {
			m.Center = tooling.SnapPoint(m.Center)
			if (contour.Contour{Start: out.End(), Moves: []contour.Move{m}}).Length() < shortest {
				m = contour.Move{To: m.To}
			}
		}
		out.Moves = append(out.Moves, m)
	}
	return out
}
