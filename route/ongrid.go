package route

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// writingGrid is the step of written coordinates in mm.
const writingGrid = 0.001

func gridPoint(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]/writingGrid) / 1000, math.Round(p[1]/writingGrid) / 1000}
}

// onGrid brings a path onto the writing grid as it will be written: arcs in
// parts of at most 90 degrees, every end on the grid, each arc's centre moved
// the least so that both its ends lie on it. A line or an arc that rounds to
// nothing vanishes; it never becomes a full circle.
//
// A point of the path moves by at most 0.71 um, half the grid's diagonal, and
// by as much again where an arc's centre moved.
func onGrid(c contour.Contour) contour.Contour {
	c = c.Split(math.Pi / 2)
	out := contour.Contour{Start: gridPoint(c.Start), Moves: make([]contour.Move, 0, len(c.Moves))}
	at := out.Start
	for _, m := range c.Moves {
		to := gridPoint(m.To)
		if to == at {
			continue
		}
		n := contour.Move{To: to}
		if m.Turn != 0 {
			n.Center, n.Turn = recentre(at, to, m.Center), m.Turn
		}
		out.Moves = append(out.Moves, n)
		at = to
	}
	return out
}

// recentre is the point nearest to c from which a and b are equally far.
func recentre(a, b, c orb.Point) orb.Point {
	mid := scale(add(a, b), 0.5)
	n := left(unit(sub(b, a)))
	return along(mid, n, dot(sub(c, mid), n))
}
