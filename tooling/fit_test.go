package tooling_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

func corners() []orb.Point { return []orb.Point{{10, 10}, {290, 12}, {288, 210}, {12, 208}} }

func move(ps []orb.Point, f func(orb.Point) orb.Point) []orb.Point {
	out := make([]orb.Point, len(ps))
	for i, p := range ps {
		out[i] = f(p)
	}
	return out
}

func TestFitsComeBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 500 {
		scale, angle := 1+(r.Float64()-0.5)/500, (r.Float64()-0.5)/100
		dx, dy := r.Float64()-0.5, r.Float64()-0.5
		shear := (r.Float64() - 0.5) / 1000
		similar := func(p orb.Point) orb.Point {
			s, c := math.Sincos(angle)
			return orb.Point{scale*(c*p[0]-s*p[1]) + dx, scale*(s*p[0]+c*p[1]) + dy}
		}
		sheared := func(p orb.Point) orb.Point { q := similar(p); return orb.Point{q[0] + shear*q[1], q[1]} }

		f, err := tooling.FitSimilarity(corners(), move(corners(), similar))
		require.NoError(t, err)
		g, err := tooling.FitAffine(corners(), move(corners(), sheared))
		require.NoError(t, err)
		require.LessOrEqual(t, f.Worst, 3e-6)
		require.LessOrEqual(t, g.Worst, 3e-6)
		for range 10 {
			p := orb.Point{300 * r.Float64(), 220 * r.Float64()}
			near(t, similar(p), f.Apply(p))
			near(t, sheared(p), g.Apply(p))
			near(t, p, f.Undo(f.Apply(p)))
			near(t, p, g.Undo(g.Apply(p)))
		}
	}
}

func near(t *testing.T, want, got orb.Point) {
	t.Helper()
	require.InDelta(t, want[0], got[0], 5e-6)
	require.InDelta(t, want[1], got[1], 5e-6)
}

// Least squares: no small change of the map comes nearer to noisy targets.
func TestFitIsLeastSquares(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	measured := move(corners(), func(p orb.Point) orb.Point {
		return orb.Point{p[0] + 0.1*r.NormFloat64(), p[1] + 0.1*r.NormFloat64()}
	})
	sum := func(f tooling.Fit) float64 {
		s := 0.0
		for i, p := range corners() {
			q := f.Apply(p)
			s += math.Pow(q[0]-measured[i][0], 2) + math.Pow(q[1]-measured[i][1], 2)
		}
		return s
	}
	for _, fit := range []func(a, b []orb.Point) (tooling.Fit, error){tooling.FitSimilarity, tooling.FitAffine} {
		f, err := fit(corners(), measured)
		require.NoError(t, err)
		best := sum(f)
		require.InDelta(t, f.Rms, math.Sqrt(best/4), 1e-6)
		for range 200 {
			g := f
			turn, grow := 1e-4*r.NormFloat64(), 1e-4*r.NormFloat64()
			g.Map[0] += grow
			g.Map[3] += grow
			g.Map[1] -= turn
			g.Map[2] += turn
			g.Shift[0] += 1e-3 * r.NormFloat64()
			require.GreaterOrEqual(t, sum(g), best-1e-9)
		}
	}
}

func TestFitRefusesWhatDoesNotFixThePanel(t *testing.T) {
	line := []orb.Point{{0, 0}, {100, 50}, {200, 100}}
	for _, c := range []struct {
		name, reason      string
		fit               func(a, b []orb.Point) (tooling.Fit, error)
		nominal, measured []orb.Point
	}{
		{"none", "nothing to go by", tooling.FitSimilarity, nil, nil},
		{"one", "a shift is no fit", tooling.FitSimilarity, line[:1], line[:1]},
		{"two for affine", "six unknowns want six numbers", tooling.FitAffine, line[:2], line[:2]},
		{"collinear", "across the line nothing is known", tooling.FitAffine, line, line},
		{"unequal", "which belongs to which?", tooling.FitAffine, line, line[:2]},
		{"all at one place", "no turn can be seen", tooling.FitSimilarity, []orb.Point{{1, 1}, {1, 1}}, []orb.Point{{1, 1}, {1, 1}}},
		{"NaN", "no number", tooling.FitSimilarity, line, []orb.Point{{0, 0}, {math.NaN(), 1}, {2, 2}}},
		{"mirrored", "a flipped panel is not a stretched one", tooling.FitAffine, corners(), move(corners(), func(p orb.Point) orb.Point { return orb.Point{300 - p[0], p[1]} })},
		{"mixed up", "the second target was measured first", tooling.FitSimilarity, corners(), []orb.Point{{290, 12}, {10, 10}, {288, 210}, {12, 208}}},
	} {
		_, err := c.fit(c.nominal, c.measured)
		require.ErrorIs(t, err, tooling.ErrTargets, "%s: %s", c.name, c.reason)
	}
}

func TestFrameUndoesItself(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 1000 {
		f := tooling.Frame{Datum: tooling.SnapPoint(orb.Point{300 * r.Float64(), 200 * r.Float64()}), FaceDown: r.IntN(2) == 1, Quarters: r.IntN(4)}
		p := tooling.SnapPoint(orb.Point{300 * r.Float64(), 200 * r.Float64()})
		require.Equal(t, p, f.Undo(f.Apply(p)), "%+v", f)
	}
	require.Error(t, tooling.Frame{Quarters: 4}.Validate())
	require.Error(t, tooling.Frame{Datum: orb.Point{math.NaN(), 0}}.Validate())
	require.NoError(t, tooling.Frame{}.Validate())
}

func ExampleFrame() {
	// A panel of 300 x 200 mm, counted from its centre and laid across.
	f := tooling.Frame{Datum: orb.Point{150, 100}, Quarters: 1}
	fmt.Println(f.Apply(orb.Point{300, 100}))
	fmt.Println(f)
	// Output:
	// [0 150]
	// origin at panel X150.000 Y100.000, turned 90 degrees, face up
}

func ExampleFitSimilarity() {
	nominal := []orb.Point{{10, 10}, {290, 10}, {290, 210}, {10, 210}}
	measured := []orb.Point{{10.05, 10.02}, {290.19, 10.02}, {290.19, 210.12}, {10.05, 210.12}}
	f, err := tooling.FitSimilarity(nominal, measured)
	fmt.Println(f, err)
	fmt.Println(f.Apply(orb.Point{150, 110}))
	// Output:
	// similarity fit: shift X+120 Y+70 um, turn +0.000 mrad, scale X+500 Y+500 ppm, worst residual 0 um <nil>
	// [150.12 110.07]
}
