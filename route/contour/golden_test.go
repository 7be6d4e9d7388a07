package contour_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

var update = flag.Bool("update", false, "write testdata/golden/contours.json, the input of the reference")

// A goldenCase is one offset to compare; the reference program reads it as it is.
type goldenCase struct {
	Name     string
	Distance float64
	Region   []contour.Contour
}

// A goldenResult is what the reference made of it.
type goldenResult struct {
	Name   string      `json:"name"`
	Area   float64     `json:"area"`
	Length float64     `json:"length"`
	Loops  int         `json:"loops"`
	Box    [4]float64  `json:"box"`
	Points []orb.Point `json:"points"`
}

// goldenCases makes the contours: every family of the random tests and every shape
// that outlines of boards have trouble with.
func goldenCases() (out []goldenCase) {
	add := func(name string, region []contour.Contour, distances ...float64) {
		for _, d := range distances {
			out = append(out, goldenCase{fmt.Sprintf("%s by %g", name, d), d, region})
		}
	}
	one := func(c contour.Contour) []contour.Contour { return []contour.Contour{c} }
	add("rectangle", one(rect(0, 0, 30, 20)), 1.2, -1.2)
	add("rounded rectangle", one(rounded(40, 25, 3)), 1.2, -1.2, -4)
	add("small radius", one(rounded(40, 25, 0.5)), -1.2)
	add("stadium", one(obround(20, 3)), 0.8, -0.8)
	add("wave", one(wave(6, 2)), 1.2, -1.2, -2.5)
	add("circles in a plate", []contour.Contour{rect(0, 0, 40, 40), contour.Circle(orb.Point{10, 10}, 5), contour.Circle(orb.Point{21, 10}, 5), contour.Circle(orb.Point{30, 30}, 1)}, 1.2, -0.8)
	add("island in a hole", []contour.Contour{rect(-20, -20, 20, 20), rect(-10, -10, 10, 10), contour.Circle(orb.Point{}, 5)}, 1.2, -1.2, 3)
	add("L", one(ring(0, 0, 30, 0, 30, 10, 10, 10, 10, 30, 0, 30)), 1.2, -1.2)
	add("dumbbell", one(ring(0, 0, 10, 0, 10, 4, 20, 4, 20, 0, 30, 0, 30, 10, 20, 10, 20, 6, 10, 6, 10, 10, 0, 10)), 0.8, -0.8, -1.2)
	add("comb", one(ring(0, 0, 40, 0, 40, 20, 36, 20, 36, 5, 34, 5, 34, 20, 30, 20, 30, 5, 27, 5, 27, 20, 10, 20, 10, 5, 8.5, 5, 8.5, 20, 0, 20)), 0.8, -0.8, 1.2)
	add("spike", one(ring(0, 0, 10, 0, 10, 5, 30, 5.005, 10, 5.01, 10, 10, 0, 10)), 1.2, -1.2)
	add("slit", one(ring(0, 0, 30, 0, 30, 10, 15.01, 10, 15, 2, 14.99, 10, 0, 10)), 1.2, -1.2)
	add("collinear points", one(ring(0, 0, 5, 0, 10, 0, 30, 0, 30, 10, 30, 20, 12, 20, 11, 20, 0, 20, 0, 3)), 1.2, -1.2)
	add("teardrop", one(contour.Contour{Start: orb.Point{}, Moves: []contour.Move{{To: orb.Point{0, 6}, Center: orb.Point{0, 3}, Turn: 1}, {Center: orb.Point{0, 3}, Turn: 1}}}), 1.2, -1.2)
	add("three quarters", one(contour.Contour{Start: orb.Point{9, 0}, Moves: []contour.Move{{To: orb.Point{0, -9}, Turn: 1}, {To: orb.Point{}}, {To: orb.Point{9, 0}}}}), 1.2, -1.2)
	add("touching hole", []contour.Contour{rect(0, 0, 20, 20), ring(0, 0, 12, 3, 3, 12)}, 0.7, -0.7)
	for i, s := range shapes {
		for k, found := uint64(1), 0; found < 4; k++ {
			rng := rand.New(rand.NewPCG(k, 1000+uint64(i)))
			region := s.make(rng)
			d := distanceFor(rng)
			if contour.ValidateRegion(region) != nil {
				continue
			}
			found++
			add(fmt.Sprintf("%s %d", s.name, found), region, d)
		}
	}
	return out
}

func readJSON(t *testing.T, name string, v any) {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, v))
}

// Areas, lengths, counts, boxes and points that a general-purpose geometry library
// found from exact pieces; testdata/golden/README.md says how.
func TestOffsetGolden(t *testing.T) {
	if *update {
		b, err := json.Marshal(goldenCases())
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("testdata/golden/contours.json", b, 0o644))
	}
	var cases []goldenCase
	var want []goldenResult
	readJSON(t, "testdata/golden/contours.json", &cases)
	// The kept input is what the generator makes; only sines may differ, in the last
	// digit.
	close := cmpopts.EquateApprox(0, 1e-9)
	require.Empty(t, cmp.Diff(goldenCases(), cases, close), "run reference.py again after -update")
	readJSON(t, "testdata/golden/golden.json", &want)
	require.GreaterOrEqual(t, len(cases), 60)
	require.Len(t, want, len(cases))
	const eps = 2 * micrometre
	for i, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			w := want[i]
			require.Equal(t, c.Name, w.Name)
			got, err := contour.Offset(c.Region, c.Distance)
			require.NoError(t, err)
			require.Len(t, got.Loops, w.Loops)
			length := lengthOf(got.Loops)
			assert.InDelta(t, w.Area, areaOf(got.Loops), eps*length+4*eps*eps)
			// The reference's chords, 1024 to a full circle, are short by 1.6e-6 of
			// their length, and lie up to 5e-6 r inside the corners of the
			// rectangles beside them: each joint adds a notch that deep.
			moves := 0
			for _, l := range got.Loops {
				moves += len(l.Moves)
			}
			assert.InDelta(t, w.Length, length, 1e-5*length+eps+1.2e-5*float64(moves))
			if w.Loops == 0 {
				return
			}
			b := got.Loops[0].Bound()
			for _, l := range got.Loops {
				b = b.Union(l.Bound())
			}
			assert.InDeltaSlice(t, w.Box[:], []float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}, eps)
			x := contour.NewIndex(got.Loops)
			var worst float64
			for _, p := range w.Points {
				worst = math.Max(worst, x.Distance(p))
			}
			assert.LessOrEqual(t, worst, eps)
		})
	}
}
