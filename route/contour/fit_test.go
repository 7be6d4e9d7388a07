package contour_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

// rounded is a rectangle with rounded corners.
func rounded(w, h, r float64) contour.Contour {
	return contour.Contour{Start: orb.Point{r, 0}, Moves: []contour.Move{
		{To: orb.Point{w - r, 0}}, {To: orb.Point{w, r}, Center: orb.Point{w - r, r}, Turn: 1},
		{To: orb.Point{w, h - r}}, {To: orb.Point{w - r, h}, Center: orb.Point{w - r, h - r}, Turn: 1},
		{To: orb.Point{r, h}}, {To: orb.Point{0, h - r}, Center: orb.Point{r, h - r}, Turn: 1},
		{To: orb.Point{0, r}}, {To: orb.Point{r, 0}, Center: orb.Point{r, r}, Turn: 1},
	}}
}

// wave is a strip with a wavy upper side, arcs that turn left and right by turns.
func wave(n int, r float64) contour.Contour {
	c := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{0, -10}}, {To: orb.Point{2 * r * float64(n), -10}}, {To: orb.Point{2 * r * float64(n), 0}}}}
	x := 2 * r * float64(n)
	for i := range n {
		turn := int8(1)
		if i%2 == 1 {
			turn = -1
		}
		c.Moves = append(c.Moves, contour.Move{To: orb.Point{x - 2*r, 0}, Center: orb.Point{x - r, 0}, Turn: turn})
		x -= 2 * r
	}
	c.Moves[len(c.Moves)-1].To = c.Start
	return c
}

// rounding puts every point on a grid.
func rounding(g orb.Ring, grid float64) orb.Ring {
	out := make(orb.Ring, len(g))
	for i, p := range g {
		out[i] = orb.Point{math.Round(p[0]/grid) * grid, math.Round(p[1]/grid) * grid}
	}
	return out
}

// apart is the largest distance from points of a to b.
func apart(a, b contour.Contour) float64 {
	x := contour.NewIndex([]contour.Contour{b})
	var worst float64
	from := a.Start
	for _, m := range a.Moves {
		part := contour.Contour{Start: from, Moves: []contour.Move{m}}
		l := part.Length()
		for k := range 9 {
			p, _ := part.At(l * float64(k) / 8)
			worst = max(worst, x.Distance(p))
		}
		from = m.To
	}
	return worst
}

func TestFitArcs(t *testing.T) {
	tests := []struct {
		name   string
		reason string
		ideal  contour.Contour
		chord  float64
		grid   float64
		tol    float64
		moves  int
	}{
		{"circle", "one full circle", contour.Circle(orb.Point{3, 4}, 10), 1e-3, 1e-6, 2e-3, 1},
		{"circle in micrometres", "one full circle", contour.Circle(orb.Point{3, 4}, 10), 1e-3, 1e-3, 3e-3, 1},
		{"rounded rectangle", "four lines and four arcs", rounded(40, 25, 3), 1e-3, 1e-6, 2e-3, 8},
		{"rounded rectangle in micrometres", "coordinates as files have them", rounded(40, 25, 3), 1e-3, 1e-3, 3e-3, 8},
		{"very fine chords", "micrometre chords", rounded(40, 25, 0.5), 1e-7, 1e-6, 1e-3, 8},
		{"slot", "half circles between parallel lines", obround(12, 1.5), 1e-3, 1e-6, 2e-3, 4},
		{"wave", "arcs that touch each other", wave(6, 2), 1e-3, 1e-6, 2e-3, 9},
		{"rectangle", "no arc", rect(0, 0, 3, 4), 1e-3, 1e-6, 2e-3, 4},
		{"hexagon", "too coarse for an arc", regular(6, 5), 1e-3, 1e-6, 2e-3, 6},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := contour.FromRing(rounding(tt.ideal.AppendRing(nil, tt.chord), tt.grid))
			got, err := contour.FitArcs(in, tt.tol)
			require.NoError(t, err)
			require.NoError(t, got.Validate())
			assert.True(t, got.Closed())
			assert.Len(t, got.Moves, tt.moves, tt.reason)
			assert.LessOrEqual(t, apart(in, got), tt.tol*1.0001)
			assert.LessOrEqual(t, apart(got, in), tt.tol*1.0001)
			// And the offset is as simple as that of the ideal contour.
			for _, d := range [2]float64{1.2, -0.3} {
				ideal, err := contour.Offset([]contour.Contour{tt.ideal}, d)
				require.NoError(t, err)
				fitted, err := contour.Offset([]contour.Contour{got}, d)
				require.NoError(t, err)
				require.Len(t, fitted.Loops, len(ideal.Loops))
				for i := range ideal.Loops {
					assert.LessOrEqual(t, float64(len(fitted.Loops[i].Moves)), 1.2*float64(len(ideal.Loops[i].Moves)), "offset by %g", d)
				}
			}
		})
	}
}

// Whatever is fitted, both contours stay within the tolerance of each other.
func TestFitArcsProperty(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 11))
		s := shapes[int(seed)%len(shapes)]
		c := s.make(rng)[0]
		if c.Validate() != nil {
			continue
		}
		in := contour.FromRing(rounding(c.AppendRing(nil, uniform(rng, 1e-4, 3e-3)), 1e-6))
		tol := uniform(rng, 5e-4, 2e-2)
		got, err := contour.FitArcs(in, tol)
		require.NoError(t, err, "seed %d", seed)
		require.True(t, got.Closed(), "seed %d", seed)
		require.LessOrEqual(t, apart(in, got), tol*1.0001, "seed %d %s", seed, s.name)
		require.LessOrEqual(t, apart(got, in), tol*1.0001, "seed %d %s", seed, s.name)
	}
}

func TestFitRefusesATolerance(t *testing.T) {
	for _, tol := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := contour.FitArcs(contour.Contour{}, tol); !errors.Is(err, contour.ErrTolerance) {
			t.Errorf("tolerance %v: %v", tol, err)
		}
	}
}

// Where the longest line ends a stretch surely, the fit starts there: it is the same
// wherever a ring was begun, and no arc is cut in two by its start. Of lines as long as
// each other but for rounding the first is taken.
func TestFitArcsStart(t *testing.T) {
	ring := obround(20, 3).AppendRing(nil, 1e-4)
	ring = ring[:len(ring)-1]
	for shift := range ring {
		g := append(append(orb.Ring{}, ring[shift:]...), ring[:shift]...)
		g[1][0] += 1e-7
		fit, err := contour.FitArcs(contour.FromRing(g), 1e-3)
		require.NoError(t, err)
		require.Len(t, fit.Moves, 4, "begun at point %d", shift)
		// The first of the two long lines ends at the start of the result.
		var want orb.Point
		for k := 1; k <= len(g); k++ {
			if dist(g[k-1], g[k%len(g)]) > 19 {
				want = g[k%len(g)]
				break
			}
		}
		require.Equal(t, want, fit.Start, "begun at point %d", shift)
	}
	// An arc is no line, however far its ends are apart.
	half := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{
		{To: orb.Point{3, 0}}, {To: orb.Point{3, 8}, Center: orb.Point{3, 4}, Turn: 1}, {To: orb.Point{0, 8}}, {To: orb.Point{0, 0}}}}
	fit, err := contour.FitArcs(half, 1e-3)
	require.NoError(t, err)
	require.Equal(t, orb.Point{0, 0}, fit.Start)
	half.Moves[3] = contour.Move{To: orb.Point{0, 0}, Center: orb.Point{0, 4}, Turn: 1}
	fit, err = contour.FitArcs(half, 1e-3)
	require.NoError(t, err)
	require.Equal(t, orb.Point{3, 0}, fit.Start)
}
