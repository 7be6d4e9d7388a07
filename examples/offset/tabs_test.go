package main

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

// Tabs leave what was asked: every gap between two swept ends is the web's
// width, the webs stand on straight edges, and nothing else is left.
func TestTabsLeaveWhatWasAsked(t *testing.T) {
	board := contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 40}, {0, 40}})
	hole := contour.FromRing(orb.Ring{{20, 15}, {40, 15}, {40, 25}, {20, 25}})
	region := []contour.Contour{board, hole}
	const cutter, web = 2.4, 3.0
	o, err := contour.Offset(region, cutter/2)
	require.NoError(t, err)
	for n := 1; n <= 6; n++ {
		paths, tabs, err := leaveTabs(o.Loops, n, web, cutter, true)
		require.NoError(t, err)
		require.Len(t, tabs, n)
		var open []contour.Contour
		for _, p := range paths {
			if !p.Closed() {
				open = append(open, p)
			}
		}
		require.Len(t, open, n)
		for k := range open {
			end, start := open[k].End(), open[(k+1)%n].Start
			require.InDelta(t, web+cutter, math.Hypot(end[0]-start[0], end[1]-start[1]), 1e-6)
		}
		for _, b := range tabs {
			require.InDelta(t, 0, board.Distance(b.at), 1e-6, "a tab stands on the edge")
		}
		c := measure(region, contour.Offsets{Loops: paths, Unreachable: o.Unreachable}, cutter/2, tabs)
		require.Less(t, float64(c.Gouge), 1e-9)
		require.Zero(t, c.Uncut)
		lost := measure(region, contour.Offsets{Loops: paths, Unreachable: o.Unreachable}, cutter/2, nil)
		require.InDelta(t, web+cutter, float64(lost.Uncut), 0.5, "without the tabs the gap is seen")
	}
	_, _, err = leaveTabs(o.Loops, 40, web, cutter, true)
	require.ErrorContains(t, err, "do not fit")
	round, err := contour.Offset([]contour.Contour{contour.Circle(orb.Point{0, 0}, 20)}, 1.2)
	require.NoError(t, err)
	_, _, err = leaveTabs(round.Loops, 3, web, cutter, true)
	require.Error(t, err, "no tab on an arc")
}
