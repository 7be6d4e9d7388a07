package contour_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

// Places worked out by hand: chords of circles, sides of a 3-4-5 triangle.
func TestMeetings(t *testing.T) {
	square := contour.FromBound(orb.Bound{Max: orb.Point{10, 10}})
	for _, c := range []struct {
		name string
		a, b contour.Contour
		want []orb.Point
	}{
		{"apart", square, contour.Circle(orb.Point{20, 5}, 9), nil},
		{"one within the other", square, contour.Circle(orb.Point{5, 5}, 3), nil},
		{"a side through a circle", square, contour.Circle(orb.Point{13, 5}, 5), []orb.Point{{10, 1}, {10, 9}}},
		{"two circles, 3-4-5", contour.Circle(orb.Point{0, 0}, 5), contour.Circle(orb.Point{6, 0}, 5), []orb.Point{{3, 4}, {3, -4}}},
		{"a touch", contour.Circle(orb.Point{0, 0}, 2), contour.Circle(orb.Point{5, 0}, 3), []orb.Point{{2, 0}}},
		{"squares at their corners", square, contour.FromBound(orb.Bound{Min: orb.Point{8, 8}, Max: orb.Point{12, 12}}), []orb.Point{{10, 8}, {8, 10}}},
		{"a stretch in common", square, contour.FromBound(orb.Bound{Min: orb.Point{10, 2}, Max: orb.Point{14, 6}}), []orb.Point{{10, 2}, {10, 6}}},
		{"an open line", contour.FromLine(orb.LineString{{-5, 5}, {5, 5}}), square, []orb.Point{{0, 5}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, pair := range [][2]contour.Contour{{c.a, c.b}, {c.b, c.a}} {
				got, err := contour.Meetings(pair[0], pair[1])
				require.NoError(t, err)
				for _, p := range c.want {
					require.True(t, near(got, p), "%v is missing in %v", p, got)
				}
				for _, p := range got {
					require.True(t, near(c.want, p), "%v is none of %v", p, c.want)
				}
			}
		})
	}
	_, err := contour.Meetings(square, contour.Contour{})
	require.ErrorIs(t, err, contour.ErrEmpty)
}

func near(list []orb.Point, p orb.Point) bool {
	for _, q := range list {
		if math.Hypot(p[0]-q[0], p[1]-q[1]) < 1e-6 {
			return true
		}
	}
	return false
}
