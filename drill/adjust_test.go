package drill_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// text writes a pass and reads it back.
func text(t *testing.T, p drill.Pass) (string, *nc.Program) {
	t.Helper()
	src := textOf(t, p, nc.WriteOptions{})
	return src, parse(t, src)
}

func hits(t *testing.T, p *nc.Program) []orb.Point {
	t.Helper()
	var out []orb.Point
	for op, err := range p.Ops() {
		require.NoError(t, err)
		if op.Kind == nc.OpHit {
			out = append(out, op.To)
		}
	}
	return out
}

func TestAdjustedPassGoesWhereThePanelIs(t *testing.T) {
	in := small()
	nominal := []orb.Point{{10, 10}, {110, 12}, {108, 90}, {12, 88}}
	var measured []orb.Point
	for _, p := range nominal {
		measured = append(measured, orb.Point{p[0]*1.0004 + p[1]*0.0002 + 0.051, p[1]*1.0006 - p[0]*0.0001 - 0.033})
	}
	fit, err := tooling.FitAffine(nominal, measured)
	require.NoError(t, err)
	for _, p := range mountAll(t, in, 10) {
		_, plain := text(t, p)
		q, err := p.Adjust(fit, 0.05)
		require.NoError(t, err)
		src, back := text(t, q)
		require.Contains(t, src, "; affine fit: shift X")
		require.NoError(t, drill.Check(in, q, back).Err())
		was, is := hits(t, plain), hits(t, back)
		require.Len(t, is, len(was))
		for i := range was {
			want := fit.Apply(was[i])
			require.InDelta(t, want[0], is[i][0], 0.00051)
			require.InDelta(t, want[1], is[i][1], 0.00051)
		}
		require.False(t, drill.Check(in, q, plain).OK(), "the plain program is not that of the moved panel")
		require.False(t, drill.Check(in, p, back).OK(), "nor the other way round")
	}
	fit.Worst = 0.2
	_, err = drill.Pass{}.Adjust(fit, 0.05)
	require.ErrorIs(t, err, tooling.ErrTargets)
}

func TestFramedPassChecksInItsFrame(t *testing.T) {
	in := small()
	for _, p := range mountAll(t, in, 10) {
		_, plain := text(t, p)
		for _, frame := range []tooling.Frame{
			{Datum: orb.Point{60, 50}},
			{Datum: orb.Point{3, 4}, Quarters: 1},
			{Quarters: 2},
			{Datum: orb.Point{120, 0}, FaceDown: true},
			{Datum: orb.Point{60, 50}, FaceDown: true, Quarters: 3},
		} {
			q := p
			q.Frame = frame
			src, back := text(t, q)
			require.Contains(t, src, "; "+frame.String())
			require.NoError(t, drill.Check(in, q, back).Err(), "%v", frame)
			require.False(t, drill.Check(in, q, plain).OK(), "%v: a program in other coordinates", frame)
			for i, at := range hits(t, back) {
				require.Equal(t, hits(t, plain)[i], frame.Undo(at))
			}
		}
	}
}
