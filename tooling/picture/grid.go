package picture

import (
	"math"

	"github.com/paulmach/orb"
)

// All drawing is done in whole micrometres: once a coordinate is rounded, sums
// and differences are exact, and no fused multiply-add can tell one processor's
// picture from another's.

// um is a place in whole micrometres with Y down, as SVG wants it.
type um struct{ x, y int64 }

func (a um) sub(b um) um { return um{a.x - b.x, a.y - b.y} }
func (a um) add(b um) um { return um{a.x + b.x, a.y + b.y} }

// micro rounds millimetres to micrometres, halves away from zero.
func micro(mm float64) int64 { return int64(math.Round(mm * 1000)) }

// frame turns scene coordinates (mm, Y up) into picture coordinates.
type frame struct{ left, base int64 } // where the panel's origin lies in the picture

func (f frame) at(p orb.Point) um { return um{f.left + micro(p[0]), f.base - micro(p[1])} }

// length returns the length of a vector, rounded. The sum of squares is exact
// within the reach of a scene (2 x (2e7)^2 < 2^53), and a square root rounds
// correctly everywhere.
func (a um) length() int64 { return int64(math.Round(math.Sqrt(float64(a.x*a.x + a.y*a.y)))) }

// scaled returns a vector of the given length in the direction of a; the zero
// vector gives zero.
func (a um) scaled(length int64) um {
	n := math.Sqrt(float64(a.x*a.x + a.y*a.y))
	if n == 0 {
		return um{}
	}
	return um{
		int64(math.Round(float64(a.x) * float64(length) / n)),
		int64(math.Round(float64(a.y) * float64(length) / n)),
	}
}

// arc is a round move in picture coordinates.
type arc struct {
	from, to, centre um
	radius           int64
	clockwise        bool // as seen with Y up; the same on the finished picture
}

func (f frame) arc(m *Mark) arc {
	a := arc{from: f.at(m.Points[0]), to: f.at(m.Points[1]), centre: f.at(m.Center), clockwise: m.Clockwise}
	a.radius = a.from.sub(a.centre).length()
	return a
}

// full reports whether the arc is a full circle: its ends are one place.
func (a arc) full() bool { return a.from == a.to }

// large reports whether the arc turns by more than half a circle.
func (a arc) large() bool {
	s, e := a.from.sub(a.centre), a.to.sub(a.centre)
	cross := s.x*e.y - s.y*e.x // above 0: e lies clockwise of s on a picture with Y down
	if a.clockwise {
		return cross < 0
	}
	return cross > 0
}

// middle returns the place half way along the arc and the direction there.
func (a arc) middle() (at, along um) {
	if a.full() {
		s := a.from.sub(a.centre)
		along = um{s.y, -s.x} // against the clock half a turn on, Y down
		if !a.clockwise {
			along = um{-s.y, s.x}
		}
		return a.centre.sub(s), along
	}
	// An arc with the clock lies to the left of its chord as it is walked, one
	// against the clock to the right, whether it is more or less than half a turn.
	along = a.to.sub(a.from)
	side := um{-along.y, along.x} // to the right, Y down
	if a.clockwise {
		side = um{along.y, -along.x}
	}
	return a.centre.add(side.scaled(a.radius)), along
}
