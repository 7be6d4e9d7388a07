package main

import (
	"iter"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// legs are the moves of a contour one by one, each as a contour of its own: a move
// alone knows only its end.
func legs(c contour.Contour) iter.Seq[contour.Contour] {
	return func(yield func(contour.Contour) bool) {
		from := c.Start
		for _, m := range c.Moves {
			if !yield(contour.Contour{Start: from, Moves: []contour.Move{m}}) {
				return
			}
			from = m.To
		}
	}
}

// isLine tells whether a leg is a line, not an arc.
func isLine(leg contour.Contour) bool { return leg.Moves[0].Turn == 0 }

// at is the point at a length along a contour.
func at(c contour.Contour, l float64) orb.Point {
	p, _ := c.At(l)
	return p
}

// apart is the distance between two points, mm.
func apart(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
