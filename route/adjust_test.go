package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

func TestFramedRoutChecksInItsFrame(t *testing.T) {
	l, p := bench(t, func(*route.Input) {})
	plain := text(t, p)
	for _, frame := range []tooling.Frame{
		{Datum: orb.Point{60, 50}},
		{Datum: orb.Point{3, 4}, Quarters: 1},
		{Quarters: 2},
		{Datum: orb.Point{120, 0}, FaceDown: true},
		{Datum: orb.Point{60, 50}, FaceDown: true, Quarters: 3},
	} {
		q := p
		q.Frame = frame
		src := text(t, q)
		require.Contains(t, src, "; "+frame.String())
		require.NoError(t, route.Check(l, q, parse(t, src)).Err(), "%v", frame)
		require.False(t, route.Check(l, q, parse(t, plain)).OK(), "%v: a program in other coordinates", frame)
	}
}

func TestAdjustedRoutGoesWhereThePanelIs(t *testing.T) {
	l, p := bench(t, func(*route.Input) {})
	nominal := []orb.Point{{10, 10}, {110, 12}, {108, 90}, {12, 88}}
	var measured []orb.Point
	for _, at := range nominal {
		measured = append(measured, orb.Point{at[0]*1.0003 - at[1]*0.0002 + 0.051, at[1]*1.0003 + at[0]*0.0002 - 0.033})
	}
	fit, err := tooling.FitSimilarity(nominal, measured)
	require.NoError(t, err)
	q, err := p.Adjust(fit, 0.05)
	require.NoError(t, err)
	src := text(t, q)
	require.Contains(t, src, "; similarity fit: shift X")
	require.NoError(t, route.Check(l, q, parse(t, src)).Err())
	require.False(t, route.Check(l, p, parse(t, src)).OK(), "the moved program is not that of a panel that stayed")

	affine, err := tooling.FitAffine(nominal, measured)
	require.NoError(t, err)
	_, err = p.Adjust(affine, 0)
	require.ErrorIs(t, err, tooling.ErrTargets, "an affine fit would bend arcs")
	for _, c := range []struct {
		worst, limit float64
		ok           bool
	}{{1, 0.05, false}, {0.05, 0.05, true}, {0.051, 0.05, false}, {1, 0, true}} {
		fit.Worst = c.worst
		_, err = p.Adjust(fit, c.limit)
		require.Equal(t, c.ok, err == nil, "%v", c)
		if !c.ok {
			require.ErrorIs(t, err, tooling.ErrTargets)
		}
	}
}
