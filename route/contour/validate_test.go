package contour_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

func TestValidate(t *testing.T) {
	arc := func(x, y, cx, cy float64, turn int8) contour.Move {
		return contour.Move{To: orb.Point{x, y}, Center: orb.Point{cx, cy}, Turn: turn}
	}
	with := func(start orb.Point, m ...contour.Move) []contour.Contour {
		return []contour.Contour{{Start: start, Moves: m}}
	}
	square := rect(0, 0, 10, 10)
	tests := []struct {
		name   string
		reason string
		region []contour.Contour
		want   error
		index  int
		move   int
		at     orb.Point
	}{
		{"square", "fine", []contour.Contour{square}, nil, 0, 0, orb.Point{}},
		{"repeated points", "moves of no length do no harm", with(orb.Point{}, contour.Move{}, contour.Move{To: orb.Point{1, 0}}, contour.Move{To: orb.Point{1, 0}}, contour.Move{To: orb.Point{1, 1}}, contour.Move{}), nil, 0, 0, orb.Point{}},
		{"half disc", "two neighbours share both ends", with(orb.Point{5, 0}, arc(-5, 0, 0, 0, 1), contour.Move{To: orb.Point{5, 0}}), nil, 0, 0, orb.Point{}},
		{"lens", "two arcs that share both ends", with(orb.Point{4, 0}, arc(-4, 0, 0, -3, 1), arc(4, 0, 0, 3, 1)), nil, 0, 0, orb.Point{}},
		{"teardrop", "tangents meet in a cusp of no angle", with(orb.Point{}, arc(0, 6, 0, 3, 1), arc(0, 0, 0, 3, 1)), nil, 0, 0, orb.Point{}},
		{"crescent", "two circles that touch from inside", []contour.Contour{contour.Circle(orb.Point{}, 5), contour.Circle(orb.Point{2, 0}, 3)}, nil, 0, 0, orb.Point{}},
		{"sharp spike", "a needle 1 um wide", []contour.Contour{ring(0, 0, 10, 0, 10, 5, 30, 5.0005, 10, 5.001, 10, 10, 0, 10)}, nil, 0, 0, orb.Point{}},
		{"hole", "", []contour.Contour{square, rect(2, 2, 3, 3)}, nil, 0, 0, orb.Point{}},
		{"hole touching a side", "single points may touch", []contour.Contour{square, ring(0, 5, 3, 3, 3, 7)}, nil, 0, 0, orb.Point{}},
		{"hole touching a corner", "single points may touch", []contour.Contour{square, ring(0, 0, 5, 1, 1, 5)}, nil, 0, 0, orb.Point{}},
		{"circle touching a side", "smooth touch", []contour.Contour{square, contour.Circle(orb.Point{3, 5}, 3)}, nil, 0, 0, orb.Point{}},
		{"squares touching at corners", "two parts of one region", []contour.Contour{square, rect(10, 10, 20, 20)}, nil, 0, 0, orb.Point{}},

		{"nothing", "no moves", with(orb.Point{1, 2}), contour.ErrEmpty, 0, -1, orb.Point{1, 2}},
		{"no length", "", with(orb.Point{1, 2}, contour.Move{To: orb.Point{1, 2}}), contour.ErrEmpty, 0, -1, orb.Point{1, 2}},
		{"NaN", "", with(orb.Point{}, contour.Move{To: orb.Point{1, math.NaN()}}), contour.ErrNotFinite, 0, 0, orb.Point{}},
		{"infinite start", "", with(orb.Point{math.Inf(1), 0}, contour.Move{To: orb.Point{1, 0}}), contour.ErrNotFinite, 0, -1, orb.Point{}},
		{"infinite centre", "", with(orb.Point{}, arc(1, 0, math.Inf(-1), 0, 1)), contour.ErrNotFinite, 0, 0, orb.Point{}},
		{"1e300", "", []contour.Contour{square, ring(0, 0, 1e300, 0, 0, 1)}, contour.ErrRange, 1, 0, orb.Point{1e300, 0}},
		{"1e300 radius", "", with(orb.Point{}, arc(1, 0, 0, 1e300, 1)), contour.ErrRange, 0, 0, orb.Point{}},
		{"11 m", "", []contour.Contour{rect(0, 0, 11000, 1)}, contour.ErrRange, 0, 0, orb.Point{11000, 0}},
		{"open", "", with(orb.Point{}, contour.Move{To: orb.Point{1, 0}}, contour.Move{To: orb.Point{1, 1}}), contour.ErrOpen, 0, 1, orb.Point{1, 1}},
		{"radii", "the ends of an arc differ", with(orb.Point{}, arc(2, 0, 0.9, 0, 1), contour.Move{}), contour.ErrRadius, 0, 0, orb.Point{}},
		{"no radius", "", with(orb.Point{}, arc(0, 0, 0, 0, 1)), contour.ErrRadius, 0, 0, orb.Point{}},
		{"turn", "", with(orb.Point{}, arc(2, 0, 1, 0, 2)), contour.ErrRadius, 0, 0, orb.Point{}},
		{"bow tie", "", []contour.Contour{ring(0, 0, 10, 10, 10, 0, 0, 10)}, contour.ErrCrossing, 0, 0, orb.Point{5, 5}},
		{"there and back", "encloses nothing", []contour.Contour{ring(0, 0, 10, 0)}, contour.ErrEmpty, 0, -1, orb.Point{}},
		{"spike of no width", "runs back over itself", []contour.Contour{ring(0, 0, 10, 0, 10, 5, 20, 5, 10, 5, 10, 10, 0, 10)}, contour.ErrCrossing, 0, 1, orb.Point{10, 5}},
		{"touching itself", "a point twice", []contour.Contour{ring(0, 0, 10, 0, 5, 5, 10, 10, 0, 10, 5, 5)}, contour.ErrCrossing, 0, 1, orb.Point{5, 5}},
		{"circle in between", "it comes through its start twice", with(orb.Point{5, 0}, arc(5, 0, 0, 0, 1), arc(5, 0, 2, 0, -1)), contour.ErrCrossing, 0, 0, orb.Point{5, 0}},
		{"arc through a line", "", with(orb.Point{}, contour.Move{To: orb.Point{10, 0}}, contour.Move{To: orb.Point{10, 5}}, arc(0, 5, 5, 5, -1), contour.Move{To: orb.Point{2, -3}}, contour.Move{}), contour.ErrCrossing, 0, 0, orb.Point{5, 0}},
		{"arc through an arc", "", with(orb.Point{-4, 0}, arc(4, 0, 0, 0, 1), arc(-4, 2, 0, 1, -1), contour.Move{To: orb.Point{-4, 0}}), contour.ErrCrossing, 0, 0, orb.Point{}},
		{"crossing contours", "", []contour.Contour{square, rect(5, 5, 15, 8)}, contour.ErrCrossing, 0, 1, orb.Point{10, 5}},
		{"crossing through a corner", "both meet in points that are corners of one", []contour.Contour{square, ring(10, 0, 20, 5, 5, 5)}, contour.ErrCrossing, 0, 1, orb.Point{10, 0}},
		{"common side", "", []contour.Contour{square, rect(10, 2, 15, 8)}, contour.ErrCrossing, 0, 1, orb.Point{10, 2}},
		{"twice the same", "", []contour.Contour{square, square}, contour.ErrCrossing, 0, 0, orb.Point{}},
		{"twice the same circle", "", []contour.Contour{contour.Circle(orb.Point{}, 3), contour.Circle(orb.Point{}, 3)}, contour.ErrCrossing, 0, 0, orb.Point{3, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := contour.ValidateRegion(tt.region)
			if tt.want == nil {
				require.NoError(t, err, tt.reason)
				_, err = contour.Offset(tt.region, 0.7)
				require.NoError(t, err)
				got, err := contour.Offset(tt.region, -0.7)
				require.NoError(t, err)
				require.Empty(t, offsetFault(tt.region, -0.7, got))
				return
			}
			require.ErrorIs(t, err, tt.want, tt.reason)
			var e *contour.ContourError
			require.True(t, errors.As(err, &e))
			assert.Equal(t, tt.index, e.Index)
			if tt.name != "crossing through a corner" && !strings.HasPrefix(tt.name, "twice") {
				assert.Equal(t, tt.move, e.Move)
			}
			if (tt.at != orb.Point{}) && !strings.HasPrefix(tt.name, "crossing") && !strings.HasPrefix(tt.name, "common") && !strings.HasPrefix(tt.name, "twice") {
				assert.InDelta(t, 0, dist(tt.at, e.At), 1e-9, "at %v", e.At)
			}
			assert.Contains(t, err.Error(), tt.want.Error())
			_, err = contour.Offset(tt.region, 1)
			require.ErrorIs(t, err, tt.want)
		})
	}
}

func TestOffsetDistance(t *testing.T) {
	square := []contour.Contour{rect(0, 0, 10, 10).Reverse()}
	for _, d := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := contour.Offset(square, d)
		require.ErrorIs(t, err, contour.ErrNotFinite)
	}
	for _, d := range []float64{1e300, -10001} {
		_, err := contour.Offset(square, d)
		require.ErrorIs(t, err, contour.ErrRange)
	}
	got, err := contour.Offset(square, 0)
	require.NoError(t, err)
	assert.InDelta(t, 100, got.Loops[0].Area(), 1e-12, "turned so that the region is on its left")
	got, err = contour.Offset(square, 1e-300)
	require.NoError(t, err)
	assert.InDelta(t, 100, areaOf(got.Loops), 1e-9)
	got, err = contour.Offset(square, 9999)
	require.NoError(t, err)
	assert.InEpsilon(t, 100+40*9999+math.Pi*9999*9999, areaOf(got.Loops), 1e-9)
}

// A cut-out may touch an edge of a micrometre in four places, its ends among them:
// each one is looked at nearer than the next.
func TestTouchingWithinAMicrometre(t *testing.T) {
	outline := ring(0, 0, 10, 0, 10.001, 0, 20, 0, 20, 20, 0, 20)
	teeth := ring(5, 10, 10, 0, 10.00015, 0.001, 10.0003, 0, 10.0006, 0.001, 10.00095, 0, 10.00097, 0.001, 10.001, 0, 15, 10)
	assert.NoError(t, contour.ValidateRegion([]contour.Contour{outline, teeth}))
	// One that passes through the edge does not touch it.
	through := ring(5, 10, 10, 0, 10.00015, 0.001, 10.0003, -0.001, 10.0006, 0.001, 10.00095, 0, 10.00097, 0.001, 10.001, 0, 15, 10)
	assert.ErrorIs(t, contour.ValidateRegion([]contour.Contour{outline, through}), contour.ErrCrossing)
}
