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
// parts of at most 90 degrees, every end and every radius on the grid, each
// arc's centre moved so that both its ends lie on it. What is timed, drawn and
// checked is then what the text says. A line or an arc that rounds to nothing
// vanishes; it never becomes a full circle.
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
			n.Center, n.Turn = about(at, to, m.Center, m.Turn), m.Turn
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

// about is the centre of the arc of at most 90 degrees from a to b, on the
// grid, about the place nearest to c from which a radius on the grid reaches
// both: the radius rounds, and is raised where it would not reach or the turn
// would be more than 90 degrees.
func about(a, b, c orb.Point, turn int8) orb.Point {
	um := func(mm float64) float64 { return math.Round(mm / writingGrid) }
	dx, dy := um(b[0]-a[0]), um(b[1]-a[1])
	quarter := math.Ceil(math.Sqrt((float64(dx*dx) + float64(dy*dy)) / 2))
	r := max(um(gap(a, recentre(a, b, c))), quarter)
	half := math.Sqrt(float64(dx*dx)+float64(dy*dy)) / 2
	h := math.Copysign(math.Sqrt(float64((r-half)*(r+half)))*writingGrid, float64(turn))
	return along(scale(add(a, b), 0.5), left(unit(sub(b, a))), h)
}
