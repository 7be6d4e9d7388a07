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

// mapped applies f to every contour of a region.
func mapped(region []contour.Contour, f func(contour.Contour) contour.Contour) []contour.Contour {
	out := make([]contour.Contour, len(region))
	for i, c := range region {
		out[i] = f(c)
	}
	return out
}

// The same outline put down another way gives the same loops.
func TestOffsetStability(t *testing.T) {
	ways := []struct {
		name string
		f    func(contour.Contour) contour.Contour
	}{
		{"moved", func(c contour.Contour) contour.Contour { return c.Translate(1000, -1000) }},
		{"turned once", func(c contour.Contour) contour.Contour { return c.Rotate(1) }},
		{"turned twice", func(c contour.Contour) contour.Contour { return c.Rotate(2) }},
		{"mirrored", contour.Contour.Mirror},
		{"reversed", contour.Contour.Reverse},
		{"begun elsewhere", func(c contour.Contour) contour.Contour { return c.Cut(c.Length()/3, c.Length()/3) }},
		{"arcs in parts", func(c contour.Contour) contour.Contour { return c.Split(0.3) }},
		{"lines in parts", func(c contour.Contour) contour.Contour {
			out := contour.Contour{Start: c.Start}
			for _, m := range c.Moves {
				if from := out.End(); m.Turn == 0 {
					out.Moves = append(out.Moves, contour.Move{To: orb.Point{(from[0] + m.To[0]) / 2, (from[1] + m.To[1]) / 2}})
				}
				out.Moves = append(out.Moves, m)
			}
			return out
		}},
	}
	for seed := range uint64(160) {
		rng := rand.New(rand.NewPCG(seed, 17))
		s := shapes[int(seed)%len(shapes)]
		region := s.make(rng)
		if contour.ValidateRegion(region) != nil {
			continue
		}
		d := distanceFor(rng)
		want, err := contour.Offset(region, d)
		require.NoError(t, err)
		again, err := contour.Offset(region, d)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(want, again), "the same bytes twice")
		for _, w := range ways {
			moved := mapped(region, w.f)
			if contour.ValidateRegion(moved) != nil {
				// Parts of a tangent contact may touch once rounded.
				continue
			}
			got, err := contour.Offset(moved, d)
			require.NoError(t, err, "seed %d %s", seed, w.name)
			require.Len(t, got.Loops, len(want.Loops), "seed %d %s", seed, w.name)
			length := lengthOf(want.Loops)
			assert.InDelta(t, length, lengthOf(got.Loops), 1e-6*(1+length), "seed %d %s", seed, w.name)
			assert.InDelta(t, areaOf(want.Loops), areaOf(got.Loops), 1e-6*(1+length), "seed %d %s", seed, w.name)
		}
	}
}

func TestUnreachable(t *testing.T) {
	const r = 1.2
	tests := []struct {
		name   string
		reason string
		region []contour.Contour
		d      float64
		want   []contour.Place
	}{
		{"inside corner", "a right angle keeps r of both its sides", []contour.Contour{ring(0, 0, 30, 0, 30, 10, 10, 10, 10, 30, 0, 30)}, r,
			[]contour.Place{{At: orb.Point{10, 10}, Size: 2 * r}}},
		{"small hole", "none of it", []contour.Contour{rect(0, 0, 30, 30), contour.Circle(orb.Point{10, 10}, 1)}, r,
			[]contour.Place{{At: orb.Point{11, 10}, Size: 2 * math.Pi}}},
		{"fillet that fits", "nothing", []contour.Contour{rounded(40, 25, 1.3)}, -r, nil},
		{"fillet a little too tight", "less than a micrometre stays", []contour.Contour{rounded(40, 25, 1.199)}, -r, nil},
		{"notch", "both sides, the bottom, and where the cutter dips in between the corners",
			[]contour.Contour{ring(0, 0, 30, 0, 30, 10, 16, 10, 16, 4, 14, 4, 14, 10, 0, 10)}, r,
			[]contour.Place{{At: orb.Point{15, 4}, Size: 14}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := contour.Offset(tt.region, tt.d)
			require.NoError(t, err)
			require.Len(t, got.Unreachable, len(tt.want), tt.reason)
			for i, w := range tt.want {
				assert.InDelta(t, w.Size, got.Unreachable[i].Size, 1e-6)
				assert.InDelta(t, 0, dist(w.At, got.Unreachable[i].At), 1e-6)
			}
		})
	}
}

// Nothing is lost silently: a point of the contour that the cutter does not touch
// lies in a stretch that is listed.
func TestUnreachableProperty(t *testing.T) {
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 19))
		s := shapes[int(seed)%len(shapes)]
		region := s.make(rng)
		if contour.ValidateRegion(region) != nil {
			continue
		}
		d := distanceFor(rng)
		r := math.Abs(d)
		got, err := contour.Offset(region, d)
		require.NoError(t, err)
		loops, source := contour.NewIndex(got.Loops), contour.NewIndex(region)
		listed := make([][]contour.Foot, len(region))
		size := make([][]float64, len(region))
		for _, p := range got.Unreachable {
			f := source.Nearest(p.At)
			require.Less(t, f.Distance, 1e-6, "seed %d: listed places lie on the contour", seed)
			listed[f.Contour] = append(listed[f.Contour], f)
			size[f.Contour] = append(size[f.Contour], p.Size)
		}
		for i, c := range region {
			l := c.Length()
			for k := range 400 {
				at := l * float64(k) / 400
				p, _ := c.At(at)
				if loops.Distance(p) <= r+2*micrometre {
					continue
				}
				found := false
				for n, f := range listed[i] {
					gap := math.Abs(f.Along - at)
					found = found || min(gap, l-gap) <= size[i][n]/2+1e-6
				}
				require.True(t, found, "seed %d %s by %g: %v is neither touched nor listed", seed, s.name, d, p)
			}
		}
	}
}

// Arcs fitted first: the path keeps its distance from the fitted contour, and from
// the chords but for the tolerance.
func TestOffsetOfFitted(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 23))
		s := shapes[int(seed)%len(shapes)]
		ideal := s.make(rng)[:1]
		if contour.ValidateRegion(ideal) != nil {
			continue
		}
		in := contour.FromRing(rounding(ideal[0].AppendRing(nil, 1e-3), 1e-5))
		tol := 3 * micrometre
		fitted, err := contour.FitArcs(in, tol)
		require.NoError(t, err)
		region := []contour.Contour{fitted}
		if contour.ValidateRegion(region) != nil {
			continue
		}
		d := distanceFor(rng)
		got, err := contour.Offset(region, d)
		require.NoError(t, err)
		require.Empty(t, offsetFault(region, d, got), "seed %d %s by %g", seed, s.name, d)
		chords := contour.NewIndex([]contour.Contour{in})
		for _, c := range got.Loops {
			l := c.Length()
			for k := range 100 {
				p, _ := c.At(l * float64(k) / 100)
				require.InDelta(t, math.Abs(d), chords.Distance(p), tol+micrometre, "seed %d %s by %g at %v", seed, s.name, d, p)
			}
		}
	}
}
