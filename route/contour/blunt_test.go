package contour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

// Squares of one radius, set side by side, turned and written with three
// decimals: edges that were one line meet at blunt corners now, and at the inside
// corners four offset pieces meet within half a micrometre. Every piece that ends
// there has to find its next one, and what is made of the gap stays on the offset.
func TestOffsetOfTurnedSquares(t *testing.T) {
	seeds := 150
	if testing.Short() {
		seeds = 30
	}
	offsets := 0
	for seed := range seeds {
		random := rand.New(rand.NewPCG(uint64(seed), 5))
		region := turnedSquares(random)
		if contour.ValidateRegion(region) != nil {
			continue // rounding brought two corners over each other
		}
		for _, distance := range []float64{1, -1} {
			got, err := contour.Offset(region, distance)
			require.NoError(t, err, "seed %d by %g", seed, distance)
			for _, loop := range got.Loops {
				for s := 0.0; s < loop.Length(); s += 0.05 {
					p, _ := loop.At(s)
					require.InDelta(t, 1, nearest(region, p), 1e-5, "seed %d by %g at %v", seed, distance, p)
				}
			}
			offsets++
		}
	}
	require.Greater(t, offsets, seeds)
}

// turnedSquares are unit squares along a random walk on a grid, their union turned
// by a random angle and rounded to a micrometre.
func turnedSquares(random *rand.Rand) []contour.Contour {
	at, filled := [2]int{}, map[[2]int]bool{{}: true}
	for range 3 + random.IntN(60) {
		at[random.IntN(2)] += 2*random.IntN(2) - 1
		filled[at] = true
	}
	// Edges with the squares on their left, by where they start.
	from := map[[2]int][][2]int{}
	var starts [][2]int
	for x := -64; x <= 64; x++ {
		for y := -64; y <= 64; y++ {
			for _, e := range [4][3][2]int{{{0, 0}, {1, 0}, {0, -1}}, {{1, 0}, {1, 1}, {1, 0}}, {{1, 1}, {0, 1}, {0, 1}}, {{0, 1}, {0, 0}, {-1, 0}}} {
				if filled[[2]int{x, y}] && !filled[[2]int{x + e[2][0], y + e[2][1]}] {
					a := [2]int{x + e[0][0], y + e[0][1]}
					from[a] = append(from[a], [2]int{x + e[1][0], y + e[1][1]})
					starts = append(starts, a)
				}
			}
		}
	}
	sin, cos := math.Sincos(random.Float64() * math.Pi / 2)
	if random.IntN(2) == 0 {
		sin, cos = math.Sqrt2/2, math.Sqrt2/2
	}
	micro := func(x float64) float64 { return math.Round(x*1000) / 1000 }
	var out []contour.Contour
	for _, first := range starts {
		if len(from[first]) == 0 {
			continue
		}
		var ring orb.Ring
		a, came := first, [2]int{}
		for len(from[a]) > 0 {
			// Where two squares touch at a corner, turn left and stay with one of them.
			k := 0
			for i, b := range from[a] {
				if came[0]*(b[1]-a[1])-came[1]*(b[0]-a[0]) > 0 {
					k = i
				}
			}
			b := from[a][k]
			from[a] = append(from[a][:k:k], from[a][k+1:]...)
			x, y := float64(a[0]), float64(a[1])
			ring = append(ring, orb.Point{micro(x*cos - y*sin), micro(x*sin + y*cos)})
			a, came = b, [2]int{b[0] - a[0], b[1] - a[1]}
		}
		out = append(out, contour.FromRing(append(ring, ring[0])))
	}
	return out
}

// nearest is the distance from a point to the nearest of the contours.
func nearest(region []contour.Contour, p orb.Point) float64 {
	d := math.Inf(1)
	for _, c := range region {
		d = math.Min(d, c.Distance(p))
	}
	return d
}
