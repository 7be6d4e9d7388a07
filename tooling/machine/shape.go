package machine

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// shape is the length in mm of a cut and its directions in rad.
type shape struct{ length, start, end float64 }

// geometry measures a line or an arc from the present place. Lengths are
// snapped: what atan2 leaves in the last bit differs between processors.
func geometry(from orb.Point, s Step) shape {
	if s.Kind == Line {
		a := math.Atan2(s.To[1]-from[1], s.To[0]-from[0])
		return shape{tooling.Snap(length(from, s.To)), a, a}
	}
	r := length(s.Center, from)
	if r == 0 {
		return shape{}
	}
	a := math.Atan2(from[1]-s.Center[1], from[0]-s.Center[0])
	b := math.Atan2(s.To[1]-s.Center[1], s.To[0]-s.Center[0])
	sweep := b - a
	side := math.Pi / 2
	if s.Clockwise {
		sweep, side = -sweep, -side
	}
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	return shape{tooling.Snap(float64(r * sweep)), a + side, b + side}
}

// turn is the change of direction in rad, to a nanoradian.
func turn(a, b float64) float64 {
	return math.Round(math.Abs(math.Remainder(b-a, 2*math.Pi))*1e9) / 1e9
}

func length(a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}
