package route_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

// What is written reads back as the same contours, to the bit where arcs are at
// most half a turn.
func TestOutlinesReadBack(t *testing.T) {
	stadium := contour.Contour{Start: orb.Point{100.000001, -80.123457}, Moves: []contour.Move{
		{To: orb.Point{120.000001, -80.123457}},
		{To: orb.Point{120.000001, -70.123457}, Center: orb.Point{120.000001, -75.123457}, Turn: 1},
		{To: orb.Point{100.000001, -70.123457}},
		{To: orb.Point{100.000001, -80.123457}, Center: orb.Point{100.000001, -75.123457}, Turn: 1},
	}}
	slot := contour.FromBound(orb.Bound{Min: orb.Point{105, -77}, Max: orb.Point{106, -73}}).Reverse()
	want := []contour.Contour{stadium, slot}
	p, err := nc.Parse(route.Outlines(want, "tide gauge,\ninvented"), nc.ReadOptions{File: "outline.rte"})
	require.NoError(t, err)
	got, report, err := route.Read(p, "outline.rte")
	require.NoError(t, err)
	require.Empty(t, report)
	require.Empty(t, cmp.Diff(want, got), "-want +got")

	// A full circle falls into quarters about the same centre.
	circle := contour.Circle(orb.Point{3, 4}, 2.5)
	p, err = nc.Parse(route.Outlines([]contour.Contour{circle}), nc.ReadOptions{})
	require.NoError(t, err)
	got, _, err = route.Read(p, "")
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.Len(t, got[0].Moves, 4)
	require.InEpsilon(t, math.Pi*2.5*2.5, got[0].Area(), 1e-9)
}
