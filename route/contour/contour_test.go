package contour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

func TestZeroContour(t *testing.T) {
	var c contour.Contour
	assert.False(t, c.Closed())
	assert.Zero(t, c.Length())
	assert.Zero(t, c.Area())
	assert.True(t, math.IsInf(c.Distance(orb.Point{1, 1}), 1))
	assert.False(t, c.Contains(orb.Point{}))
	assert.Equal(t, orb.Bound{}, c.Bound())
	assert.Empty(t, c.Reverse().Moves)
	assert.Empty(t, c.Cut(0, 1).Moves)
	assert.Empty(t, c.Split(1).Moves)
	p, d := c.At(3)
	assert.Equal(t, orb.Point{}, p)
	assert.Equal(t, orb.Point{}, d)
	require.ErrorIs(t, c.Validate(), contour.ErrEmpty)
	var x contour.Index
	assert.Equal(t, contour.Foot{Contour: -1, Move: -1}, x.Nearest(orb.Point{}))
	assert.True(t, math.IsInf(x.Distance(orb.Point{}), 1))
	assert.False(t, x.Contains(orb.Point{}))
	assert.Equal(t, contour.Foot{Contour: -1, Move: -1}, contour.NewIndex(nil).Nearest(orb.Point{}))
	one := contour.NewIndex([]contour.Contour{contour.Circle(orb.Point{}, 1)})
	assert.Equal(t, contour.Foot{Contour: -1, Move: -1}, one.Nearest(orb.Point{math.NaN(), 0}))
	got, err := contour.Offset(nil, 1)
	require.NoError(t, err)
	assert.Empty(t, got.Loops)
	assert.Empty(t, contour.FromRing(nil).Moves)
}

func TestMeasures(t *testing.T) {
	tests := []struct {
		name         string
		c            contour.Contour
		length, area float64
		bound        orb.Bound
	}{
		{"rectangle", rect(1, 2, 4, 6), 14, 12, orb.Bound{Min: orb.Point{1, 2}, Max: orb.Point{4, 6}}},
		{"circle", contour.Circle(orb.Point{1, 2}, 3), 6 * math.Pi, 9 * math.Pi, orb.Bound{Min: orb.Point{-2, -1}, Max: orb.Point{4, 5}}},
		{"circle far away", contour.Circle(orb.Point{9000, -9000}, 3), 6 * math.Pi, 9 * math.Pi, orb.Bound{Min: orb.Point{8997, -9003}, Max: orb.Point{9003, -8997}}},
		{"obround", obround(10, 2), 20 + 4*math.Pi, 40 + 4*math.Pi, orb.Bound{Min: orb.Point{-2, -2}, Max: orb.Point{12, 2}}},
		{"upper half of a circle", contour.Contour{Start: orb.Point{5, 0}, Moves: []contour.Move{{To: orb.Point{-5, 0}, Turn: 1}, {To: orb.Point{5, 0}}}},
			5*math.Pi + 10, 12.5 * math.Pi, orb.Bound{Min: orb.Point{-5, 0}, Max: orb.Point{5, 5}}},
		{"three quarters of a circle", contour.Contour{Start: orb.Point{5, 0}, Moves: []contour.Move{{To: orb.Point{0, -5}, Turn: 1}, {To: orb.Point{}}, {To: orb.Point{5, 0}}}},
			7.5*math.Pi + 10, 75 * math.Pi / 4, orb.Bound{Min: orb.Point{-5, -5}, Max: orb.Point{5, 5}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.NoError(t, tt.c.Validate())
			assert.InEpsilon(t, tt.length, tt.c.Length(), 1e-12)
			assert.InEpsilon(t, tt.area, tt.c.Area(), 1e-12)
			assert.InEpsilon(t, -tt.area, tt.c.Reverse().Area(), 1e-12)
			b := tt.c.Bound()
			for k := range 2 {
				assert.InDelta(t, tt.bound.Min[k], b.Min[k], 1e-9)
				assert.InDelta(t, tt.bound.Max[k], b.Max[k], 1e-9)
			}
		})
	}
}

// A flat arc's area must not drown in the cancellation of a - sin a.
func TestAreaOfFlatArc(t *testing.T) {
	const r, half = 9000.0, 0.5
	sag := r - math.Sqrt(r*r-half*half)
	c := contour.Contour{Start: orb.Point{-half, 0}, Moves: []contour.Move{
		{To: orb.Point{half, 0}},
		{To: orb.Point{-half, 0}, Center: orb.Point{0, -math.Sqrt(r*r - half*half)}, Turn: 1},
	}}
	// A parabola's segment to the first order: two thirds of chord times height.
	assert.InEpsilon(t, 2.0/3*2*half*sag, c.Area(), 1e-6)
}

func TestTransforms(t *testing.T) {
	c := obround(10, 2)
	assert.Empty(t, cmp.Diff(c, c.Rotate(1).Rotate(3)))
	assert.Empty(t, cmp.Diff(c, c.Rotate(-5).Rotate(1).Rotate(4)))
	assert.Empty(t, cmp.Diff(c, c.Mirror().Mirror()))
	assert.Empty(t, cmp.Diff(c, c.Reverse().Reverse()))
	assert.Empty(t, cmp.Diff(c, c.Translate(3, 4).Translate(-3, -4)))
	assert.Equal(t, orb.Point{2, 0}, c.Rotate(1).Start, "a quarter turn takes (0, -2) to (2, 0)")
	assert.InDelta(t, -c.Area(), c.Mirror().Area(), 1e-12)
	for q := range 4 {
		require.NoError(t, c.Rotate(q).Validate())
		assert.InDelta(t, c.Area(), c.Rotate(q).Area(), 1e-12)
	}
	before := obround(10, 2)
	c.Rotate(1)
	c.Reverse()
	assert.Empty(t, cmp.Diff(before, c), "methods leave the contour alone")
}

func TestAt(t *testing.T) {
	c := obround(10, 2)
	half := 2 * math.Pi
	tests := []struct {
		s          float64
		x, y, u, v float64
	}{
		{0, 0, -2, 1, 0},
		{5, 5, -2, 1, 0},
		{10 + half/2, 12, 0, 0, 1},
		{10 + half + 4, 6, 2, -1, 0},
		{20 + 2*half + 5, 5, -2, 1, 0},
		{-half / 2, -2, 0, 0, -1},
	}
	for _, tt := range tests {
		p, d := c.At(tt.s)
		assert.InDeltaSlice(t, []float64{tt.x, tt.y, tt.u, tt.v}, []float64{p[0], p[1], d[0], d[1]}, 1e-12, "at %g", tt.s)
	}
	open := contour.FromLine(orb.LineString{{0, 0}, {3, 0}})
	p, _ := open.At(99)
	assert.Equal(t, orb.Point{3, 0}, p, "an open contour stops at its end")
	p, _ = open.At(math.NaN())
	assert.Equal(t, orb.Point{}, p)
}

func TestCut(t *testing.T) {
	circle := contour.Circle(orb.Point{}, 5)
	half := circle.Cut(0, 5*math.Pi)
	require.Len(t, half.Moves, 1)
	assert.InDelta(t, -5, half.End()[0], 1e-12)
	assert.InDelta(t, 5*math.Pi, half.Length(), 1e-12)
	whole := circle.Cut(5*math.Pi, 5*math.Pi)
	assert.InDelta(t, 10*math.Pi, whole.Length(), 1e-9)
	assert.InDelta(t, 25*math.Pi, whole.Area(), 1e-9)
	assert.Empty(t, cmp.Diff(circle, circle.Cut(0, circle.Length())))

	rng := rand.New(rand.NewPCG(5, 5))
	for range 500 {
		c := shapes[rng.IntN(len(shapes))].make(rng)[0]
		if c.Validate() != nil {
			continue
		}
		l := c.Length()
		s0, s1 := uniform(rng, 0, l), uniform(rng, 0, l)
		want := s1 - s0
		if want < 0 {
			want += l
		}
		a, b := c.Cut(s0, s1), c.Cut(s1, s0)
		assert.InDelta(t, want, a.Length(), 1e-7)
		assert.InDelta(t, l, a.Length()+b.Length(), 1e-7)
		assert.InDelta(t, 0, dist(a.End(), b.Start), 1e-9)
		assert.InDelta(t, 0, dist(b.End(), a.Start), 1e-9)
		p, _ := c.At(s0)
		assert.InDelta(t, 0, dist(p, a.Start), 1e-9)
	}
	open := contour.FromLine(orb.LineString{{0, 0}, {3, 0}, {3, 4}})
	assert.Empty(t, cmp.Diff(contour.FromLine(orb.LineString{{1, 0}, {3, 0}, {3, 1}}), open.Cut(1, 4)))
	assert.Empty(t, open.Cut(4, 1).Moves)
}

func TestSplit(t *testing.T) {
	c := obround(10, 2)
	s := c.Split(math.Pi / 2)
	require.Len(t, s.Moves, 6, "half circles of two quarters each")
	assert.InDelta(t, c.Length(), s.Length(), 1e-12)
	assert.InDelta(t, c.Area(), s.Area(), 1e-12)
	assert.Len(t, contour.Circle(orb.Point{}, 1).Split(7).Moves, 2, "no full circle is left")
	assert.Len(t, contour.Circle(orb.Point{}, 1).Split(math.Pi/2).Moves, 4)
	assert.Len(t, contour.Circle(orb.Point{}, 1).Split(math.NaN()).Moves, 6284)
}

func TestRings(t *testing.T) {
	c := obround(10, 2)
	for _, chord := range []float64{1, 0.1, 1e-3, 1e-5} {
		g := c.AppendRing(nil, chord)
		require.Equal(t, g[0], g[len(g)-1])
		back := contour.FromRing(g)
		require.NoError(t, back.Validate())
		assert.LessOrEqual(t, apart(c, back), chord*1.000001)
		assert.LessOrEqual(t, apart(back, c), chord*1.000001)
	}
	for _, none := range []float64{0, -1, math.NaN()} {
		assert.Len(t, contour.Circle(orb.Point{}, 1).AppendRing(nil, none), 10_001)
	}
	// However high a chord may be, it goes over no more than a third of a turn.
	for _, any := range []float64{2, 10, math.Inf(1)} {
		assert.Len(t, contour.Circle(orb.Point{}, 1).AppendRing(nil, any), 4)
		assert.Len(t, obround(5, 1).AppendRing(nil, any), 7)
	}
	assert.Len(t, contour.FromRing(orb.Ring{{0, 0}, {0, 0}, {1, 0}, {1, 0}, {1, 1}}).Moves, 3, "repeated points left out, ring closed")
	cs := contour.FromPolygon(orb.Polygon{{{0, 0}, {9, 0}, {9, 9}, {0, 0}}, {{5, 1}, {6, 1}, {6, 2}, {5, 1}}})
	require.Len(t, cs, 2)
	assert.Equal(t, orb.Point{5, 1}, cs[1].Start)
}

// The index agrees with the plain loops over all moves.
func TestIndex(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		region := shapes[rng.IntN(len(shapes))].make(rng)
		if contour.ValidateRegion(region) != nil {
			continue
		}
		x := contour.NewIndex(region)
		for range 20 {
			p := orb.Point{uniform(rng, -30, 40), uniform(rng, -30, 40)}
			want, inside := math.Inf(1), false
			for _, c := range region {
				want = min(want, c.Distance(p))
				inside = inside != c.Contains(p)
			}
			f := x.Nearest(p)
			assert.InDelta(t, want, f.Distance, 1e-9)
			assert.InDelta(t, want, dist(f.At, p), 1e-9)
			at, _ := region[f.Contour].At(f.Along)
			assert.InDelta(t, 0, dist(at, f.At), 1e-8)
			assert.InDelta(t, want, x.Distance(p), 1e-9)
			assert.Equal(t, inside, x.Contains(p))
		}
	}
}

// Containment of points at the heights of ends and extremes, where rays graze.
func TestContainsGrazing(t *testing.T) {
	shapes := map[string]contour.Contour{
		"circle":  contour.Circle(orb.Point{}, 5),
		"obround": obround(10, 2),
		"diamond": ring(5, 0, 0, 5, -5, 0, 0, -5),
		"tooth":   ring(0, 0, 4, 0, 4, 4, 3, 4, 3, 2, 1, 2, 1, 4, 0, 4),
	}
	for name, c := range shapes {
		for _, s := range []contour.Contour{c, c.Reverse(), c.Mirror(), c.Rotate(1), c.Rotate(2), c.Rotate(3)} {
			for i := -12; i <= 30; i++ {
				for j := -12; j <= 12; j++ {
					p := orb.Point{float64(i) / 2, float64(j) / 2}
					if s.Distance(p) < 1e-9 {
						continue
					}
					// The winding of a fine ring about the point.
					var w float64
					g := s.AppendRing(nil, 1e-4)
					for k := 1; k < len(g); k++ {
						a, b := orb.Point{g[k-1][0] - p[0], g[k-1][1] - p[1]}, orb.Point{g[k][0] - p[0], g[k][1] - p[1]}
						w += math.Atan2(a[0]*b[1]-a[1]*b[0], a[0]*b[0]+a[1]*b[1])
					}
					require.Equal(t, math.Abs(w) > 3, s.Contains(p), "%s at %v", name, p)
				}
			}
		}
	}
}
