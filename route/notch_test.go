package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// bay is a board of 60 x 40 mm with a bay 20 mm deep in its upper side.
func bay(width float64) contour.Contour {
	x := 30 - width/2
	return contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 40}, {x + width, 40}, {x + width, 20}, {x, 20}, {x, 40}, {0, 40}, {0, 0}})
}

// The largest cutter of the crib that comes into a bay is chosen, also one exactly
// as wide as the bay, which runs up and down its middle. Where none comes
// in, what stays is a finding with its place, and Check tells of it, too.
func TestNotches(t *testing.T) {
	crib := tooling.DefaultCrib()
	for _, c := range []struct {
		name   string
		width  float64
		cutter float64 // mm
		left   bool
	}{
		{"none", 0, 3.175, false},
		{"wide", 10, 3.175, false},
		{"a little wider than a cutter", 2.45, 2.4, false},
		{"as wide as a cutter", 2.4, 2.4, false},
		{"narrower than the largest", 2.3, 2, false},
		{"as wide as the smallest", 0.8, 0.8, false},
		{"too narrow for every cutter", 0.5, 3.175, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			outline := bay(c.width)
			if c.width == 0 {
				outline = contour.FromBound(orb.Bound{Max: orb.Point{60, 40}})
			}
			in := samples()["a pocket behind a neck"]
			in.Boards, in.Rules.Rout.Cutter = []route.Board{{Outline: outline}}, 0
			fit, err := route.FitCutter(in.Boards[0], crib, 10, 0)
			require.NoError(t, err)
			require.Equal(t, c.cutter, fit.Diameter)
			l := lay(t, in)
			require.Equal(t, c.cutter, l.Cutter.Diameter)
			p := mounted(t, l, route.Options{})
			require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
			left := 0
			for _, f := range p.Report {
				if f.Rule == "notch-left" {
					left += f.Count
					require.InDelta(t, 20, f.Value, 0.6, "as deep as the bay, less what the cutter's round reaches into it")
					require.InDelta(t, 50, f.Places[0][1], 0.1, "at the bottom of the bay")
				}
			}
			require.Equal(t, c.left, left == 1)
		})
	}
	none, err := route.FitCutter(route.Board{Outline: bay(10)}, tooling.Crib{}, 10, 0)
	require.NoError(t, err)
	require.Zero(t, none)
}

// A keyhole: a cut-out whose neck asks for a smaller cutter than its body.
func TestNotchOfACutOut(t *testing.T) {
	in := samples()["a pocket behind a neck"]
	hole := contour.FromRing(orb.Ring{{20, 10}, {40, 10}, {40, 30}, {31, 30}, {31, 36}, {29, 36}, {29, 30}, {20, 30}, {20, 10}})
	in.Boards, in.Rules.Rout.Cutter = []route.Board{{Outline: contour.FromBound(orb.Bound{Max: orb.Point{60, 40}}), CutOuts: []contour.Contour{hole}}}, 0
	for _, r := range plan(t, lay(t, in), route.Options{})[0].Runs {
		for _, p := range r.Paths {
			if p.Loop == 1 {
				require.Equal(t, 2.0, r.Tool.Diameter, "the neck is 2 mm wide")
			} else {
				require.Equal(t, 3.175, r.Tool.Diameter)
			}
		}
	}
}

// A corner, however sharp, is no notch: every cutter keeps its radius there, and no
// smaller one is taken for it.
func TestASharpCornerIsNoNotch(t *testing.T) {
	in := samples()["a pocket behind a neck"]
	wedge := contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 40}, {38, 40}, {30, 15}, {22, 40}, {0, 40}, {0, 0}})
	in.Boards, in.Rules.Rout.Cutter = []route.Board{{Outline: wedge}}, 0
	l := lay(t, in)
	require.Equal(t, 3.175, l.Cutter.Diameter)
	corners := 0
	for _, f := range plan(t, l, route.Options{})[0].Report {
		require.NotEqual(t, "notch-left", f.Rule)
		if f.Rule == "unreachable" {
			corners += f.Count
		}
	}
	require.Equal(t, 1, corners)
}
