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
		got, err := leaveTabs(region, o.Loops, false, n, web, cutter)
		require.NoError(t, err)
		paths, tabs := got.paths, got.tabs
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
		m := ruling{given: region, source: region, paths: paths, r: cutter / 2}
		c := m.measure(o.Unreachable, tabs)
		require.Less(t, float64(c.Gouge), 1e-9)
		require.Zero(t, c.Uncut)
		lost := m.measure(o.Unreachable, nil)
		require.InDelta(t, web+cutter, float64(lost.Uncut), 0.5, "without the tabs the gap is seen")
	}
	_, err = leaveTabs(region, o.Loops, false, 40, web, cutter)
	require.ErrorContains(t, err, "do not fit")
}

// On a bent edge, too, the swept ends are the web's width apart.
func TestTabsOnACircle(t *testing.T) {
	circle := []contour.Contour{contour.Circle(orb.Point{0, 0}, 20)}
	o, err := contour.Offset(circle, 1.2)
	require.NoError(t, err)
	got, err := leaveTabs(circle, o.Loops, false, 3, 3, 2.4)
	require.NoError(t, err)
	paths, tabs := got.paths, got.tabs
	require.Len(t, paths, 3)
	for k, b := range tabs {
		require.InDelta(t, 3, b.width, 1e-9)
		end, start := paths[(k+2)%3].End(), paths[k].Start
		require.InDelta(t, 3+2.4, math.Hypot(end[0]-start[0], end[1]-start[1]), 1e-9)
		require.InDelta(t, 20, math.Hypot(b.at[0], b.at[1]), 1e-9)
	}
	require.Zero(t, ruling{given: circle, source: circle, paths: paths, r: 1.2}.measure(o.Unreachable, tabs).Uncut)
}

// Under a dovetail the cutter comes nearer on its way to the gap than at its ends:
// no tab stands there.
func TestTabsKeepOutOfDovetails(t *testing.T) {
	tail := []contour.Contour{contour.FromRing(orb.Ring{{0, 0}, {10, 0}, {4, 9}, {24, 9}, {18, 0}, {28, 0}, {28, 12}, {0, 12}})}
	o, err := contour.Offset(tail, 1.2)
	require.NoError(t, err)
	for n := 1; n <= 3; n++ {
		got, err := leaveTabs(tail, o.Loops, false, n, 8, 2.4)
		require.NoError(t, err)
		for _, b := range got.tabs {
			require.False(t, b.at[1] == 9, "a tab of 8 mm at %v would be 3 mm at its neck", b.at)
		}
	}
}
