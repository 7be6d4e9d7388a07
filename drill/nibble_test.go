package drill_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
)

const bump = 0.0127 // mm, 0.0005 in: the bump limit of the canned slot

func distance(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

// The pitches that the scallop formula gives at the bump limit, worked out by
// hand from plane geometry, to the micrometre.
func TestPitchAtTheBumpLimit(t *testing.T) {
	for d, want := range map[float64]float64{0.5: 0.157, 0.8: 0.200, 1.0: 0.224, 1.5: 0.275, 2.0: 0.318} {
		assert.InDelta(t, want, drill.Pitch(d, bump), 0.0005, "%g mm", d)
	}
}

// Two circles of diameter d whose centres lie p apart meet at the height
// sqrt(d^2 - p^2)/2 above the line of centres: what they leave of the edge is
// the bump.
func TestPitchLeavesTheBump(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	for range 1000 {
		d := 0.2 + 6*rng.Float64()
		h := d / 2 * rng.Float64()
		p := drill.Pitch(d, h)
		assert.InDelta(t, h, (d-math.Sqrt(d*d-p*p))/2, 1e-9, "d %g h %g", d, h)
	}
	assert.Equal(t, 0.0, drill.Pitch(1, 0))
	assert.Equal(t, 0.0, drill.Pitch(1, -1))
	assert.Equal(t, 1.0, drill.Pitch(1, 0.5))
	assert.Equal(t, 1.0, drill.Pitch(1, 3))
}

func TestNibbleByHand(t *testing.T) {
	// 2 mm long, 1 mm wide, bumps of 0.1 mm: pitch 0.6, two gaps of 1, halved
	// once. Both ends, back over the whole diameters, then the middles from a to b.
	got := drill.Nibble(orb.Point{0, 0}, orb.Point{2, 0}, 1, 0.1)
	assert.Equal(t, []orb.Point{{0, 0}, {2, 0}, {1, 0}, {0.5, 0}, {1.5, 0}}, got)

	// Nothing to halve: the far end comes last.
	got = drill.Nibble(orb.Point{0, 0}, orb.Point{0, 3}, 1, 0.5)
	assert.Equal(t, []orb.Point{{0, 0}, {0, 1}, {0, 2}, {0, 3}}, got)
}

func TestNibbleWhatIsNoSlot(t *testing.T) {
	a := orb.Point{1, 2}
	for name, hits := range map[string][]orb.Point{
		"no length":    drill.Nibble(a, a, 1, bump),
		"no width":     drill.Nibble(a, orb.Point{2, 2}, 0, bump),
		"NaN":          drill.Nibble(a, orb.Point{math.NaN(), 2}, 1, bump),
		"infinite":     drill.Nibble(a, orb.Point{math.Inf(1), 2}, 1, bump),
		"beyond 10 m":  drill.Nibble(a, orb.Point{1e300, 2}, 1, bump),
		"NaN width":    drill.Nibble(a, orb.Point{2, 2}, math.NaN(), bump),
		"under a grid": drill.Nibble(a, orb.Point{1.0000001, 2}, 1, bump),
	} {
		assert.Equal(t, []orb.Point{a}, hits, name)
	}
	assert.LessOrEqual(t, len(drill.Nibble(orb.Point{0, 0}, orb.Point{100, 0}, 1, 0)), 1<<20+1, "no bump allowed: bounded")
}

func TestNibbleCoversEverySlot(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	for n := range 2000 {
		a := orb.Point{math.Round(1e5*rng.Float64()) / 1e3, math.Round(1e5*rng.Float64()) / 1e3}
		l, angle, d := 0.05+15*rng.Float64(), 2*math.Pi*rng.Float64(), 0.3+2*rng.Float64()
		b := orb.Point{math.Round(1e3*(a[0]+l*math.Cos(angle))) / 1e3, math.Round(1e3*(a[1]+l*math.Sin(angle))) / 1e3}
		l = distance(a, b)
		hits := drill.Nibble(a, b, d, bump)
		require.Equal(t, a, hits[0], "case %d", n)
		require.Equal(t, b, hits[1:][slices.Index(hits[1:], b)], "case %d", n)

		// Coverage: end to end, no gap above the pitch, none twice, all on the line.
		along := make([]float64, len(hits))
		for k, p := range hits {
			along[k] = ((p[0]-a[0])*(b[0]-a[0]) + (p[1]-a[1])*(b[1]-a[1])) / l
			off := math.Abs((p[0]-a[0])*(b[1]-a[1])-(p[1]-a[1])*(b[0]-a[0])) / l
			require.Less(t, off, 0.00072, "case %d: beside the line", n) // half a grid step on each axis
		}
		sorted := slices.Sorted(slices.Values(along))
		pitch := drill.Pitch(d, bump)
		for k := 1; k < len(sorted); k++ {
			gap := sorted[k] - sorted[k-1]
			require.LessOrEqual(t, gap, pitch+0.0015, "case %d", n)
			require.Greater(t, gap, 0.0, "case %d: a hit twice", n)
		}
		// No more hits than twice the plain minimum: gaps are halved, no finer.
		least := math.Ceil(l/pitch) + 1
		require.LessOrEqual(t, float64(len(hits)), 2*least, "case %d", n)
		// The bit leaves within a pitch of the far end.
		require.LessOrEqual(t, distance(hits[len(hits)-1], b), pitch+0.0015, "case %d", n)
		// Symmetry: every hit has its mirror image, to the grid.
		for k := range sorted {
			require.InDelta(t, l-sorted[k], sorted[len(sorted)-1-k], 0.0022, "case %d", n)
		}
	}
}

// Each level's hits cut on both sides alike: the nearest hits made before lie
// equally far on either side, so that the bit is not pushed.
func TestNibbleIsLoadedEvenly(t *testing.T) {
	hits := drill.Nibble(orb.Point{0, 0}, orb.Point{5, 0}, 1, bump)
	for k := 6; k < len(hits); k++ { // after the ends and the whole diameters
		left, right := math.Inf(1), math.Inf(1)
		for _, p := range hits[:k] {
			if d := hits[k][0] - p[0]; d > 0 {
				left = min(left, d)
			} else {
				right = min(right, -d)
			}
		}
		assert.InDelta(t, left, right, 0.0011, "hit %d", k)
	}
}
