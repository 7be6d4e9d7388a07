package tooling_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

// What was saved by a sound pass is let through, one figure out of bounds is not.
func TestSavedFigures(t *testing.T) {
	fit := tooling.Fit{Kind: "similarity", Map: [4]float64{1, 0, 0, 1}}
	feed := tooling.Feed{Speed: 60_000, Infeed: 1500, Retract: 20_000}
	depth := tooling.Depth{IntoBackup: 0.4, AboveTable: 2, Down: 4, Clearance: 1.5, Pecks: 1}
	for _, c := range []struct {
		name string
		ask  func(*tooling.Validation)
		path string // of the fault; "": none
	}{
		{"fit", func(v *tooling.Validation) { v.Fit("fit", fit, "similarity", "affine") }, ""},
		{"no fit", func(v *tooling.Validation) { v.Fit("fit", tooling.Fit{}, "similarity") }, ""},
		{"another kind", func(v *tooling.Validation) { v.Fit("fit", fit, "affine") }, "fit.kind"},
		{"flat", func(v *tooling.Validation) { f := fit; f.Map[3] = 0; v.Fit("fit", f, "similarity") }, "fit.map"},
		{"huge", func(v *tooling.Validation) { f := fit; f.Map[1] = 11; v.Fit("fit", f, "similarity") }, "fit.map[1]"},
		{"far", func(v *tooling.Validation) { f := fit; f.Shift[0] = 1e9; v.Fit("fit", f, "similarity") }, "fit.shift_mm"},
		{"feed", func(v *tooling.Validation) { v.Feed("feed", feed) }, ""},
		{"speed", func(v *tooling.Validation) { f := feed; f.Speed = -1; v.Feed("feed", f) }, "feed.rev_per_min"},
		{"plunge", func(v *tooling.Validation) { f := feed; f.Plunge = math.NaN(); v.Feed("feed", f) }, "feed.plunge_mm_per_min"},
		{"depth", func(v *tooling.Validation) { v.Depth("depth", depth) }, ""},
		{"pecks", func(v *tooling.Validation) { d := depth; d.Pecks = 101; v.Depth("depth", d) }, "depth.pecks"},
		{"above", func(v *tooling.Validation) { d := depth; d.AboveTable = -0.1; v.Depth("depth", d) }, "depth.above_table_mm"},
		{"most", func(v *tooling.Validation) { v.Figure("x", tooling.MostFigure) }, ""},
		{"more", func(v *tooling.Validation) { v.Figure("x", 2*tooling.MostFigure) }, "x"},
	} {
		v := tooling.Validation{File: "pass.json"}
		c.ask(&v)
		if c.path == "" {
			require.NoError(t, v.Err(), c.name)
			continue
		}
		require.ErrorContains(t, v.Err(), c.path, c.name)
	}
}

func TestSpindlesAndAreas(t *testing.T) {
	require.Equal(t, "STOP: park all spindles but 2 and 5", tooling.ParkAllBut([]int{2, 5}))
	require.Contains(t, tooling.AllSpindles, "STOP")
	for _, c := range []struct {
		list  []int
		found string
	}{{nil, ""}, {[]int{1, 6}, ""}, {[]int{0}, "spindle 0"}, {[]int{7}, "spindle 7"}, {[]int{2, 3, 2}, "spindle 2 twice"}} {
		found, expected := tooling.CheckSpindles(c.list, 6)
		require.Equal(t, c.found, found)
		require.Equal(t, found == "", expected == "")
	}
	require.Empty(t, tooling.CheckArea(orb.Bound{Max: orb.Point{1, 1}}))
	require.NotEmpty(t, tooling.CheckArea(orb.Bound{Min: orb.Point{2, 0}, Max: orb.Point{1, 1}}))
	require.NotEmpty(t, tooling.CheckArea(orb.Bound{Max: orb.Point{math.NaN(), 1}}))
}
