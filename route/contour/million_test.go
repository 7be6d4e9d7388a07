package contour_test

import (
	"math"
	"runtime"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

// A million vertices end, in memory that grows with them alone, and are right: a
// wavy outline, one so dense that hundreds of vertices lie under the cutter at once,
// and, of as many as cost the same, teeth finer than the cutter.
func TestMillionVertices(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	const n, r = 1_000_000, 1.2
	for _, c := range []struct {
		name string
		of   contour.Contour
	}{
		{"wavy", wavy(n, 9000, 1.5, 10_000)},
		{"dense", wavy(n, 300, 0.5, 100)},
		{"toothed", toothed(n/4, 9000, 2)},
	} {
		t.Run(c.name, func(t *testing.T) {
			region := []contour.Contour{c.of}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			o, err := contour.Offset(region, r)
			runtime.ReadMemStats(&after)
			require.NoError(t, err)
			assert.Less(t, float64(after.TotalAlloc-before.TotalAlloc)/float64(len(c.of.Moves)), 2000.0, "bytes a vertex")
			require.Len(t, o.Loops, 1)
			source := contour.NewIndex(region)
			moves := o.Loops[0].Moves
			for k := 0; k < len(moves); k += max(1, len(moves)/1000) {
				assert.InDelta(t, r, source.Distance(moves[k].To), micrometre)
			}
		})
	}
}

// Values that no geometry can be done with are refused, in a contour of any size, and
// the fault names its place.
func TestMillionthVertexBad(t *testing.T) {
	if testing.Short() {
		t.Skip("a second")
	}
	const n = 1_000_000
	for _, bad := range []struct {
		value float64
		want  error
	}{{math.NaN(), contour.ErrNotFinite}, {math.Inf(-1), contour.ErrNotFinite}, {1e300, contour.ErrRange}} {
		c := wavy(n, 300, 0.5, 100)
		c.Moves[n-2].To = orb.Point{bad.value, 0}
		_, err := contour.Offset([]contour.Contour{c}, 1.2)
		require.ErrorIs(t, err, bad.want)
		var e *contour.ContourError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, n-2, e.Move)
	}
	// 1e-300 is next to nothing, and no fault.
	c := contour.FromRing(orb.Ring{{0, 0}, {1e-300, 0}, {10, 1e-300}, {10, 10}, {1e-300, 10}})
	o, err := contour.Offset([]contour.Contour{c}, -1.2)
	require.NoError(t, err)
	require.Len(t, o.Loops, 1)
	assert.InDelta(t, 7.6*7.6, o.Loops[0].Area(), 1e-8)
}
