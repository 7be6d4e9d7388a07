package nc_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// differences renders notes without their places.
func differences(t *testing.T, a, b string, tol float64) []string {
	t.Helper()
	notes, err := nc.Compare(parse(t, a), parse(t, b), tol)
	require.NoError(t, err)
	out := []string{}
	for _, n := range notes {
		out = append(out, fmt.Sprintf("%s T%d x%d: %s", n.Rule, n.Tool, n.Count, n.Detail))
	}
	return out
}

// A hundred thousand hits on one place take no longer than elsewhere: pairing
// each with each would hang.
func TestCompareOfHitsOnOnePlace(t *testing.T) {
	a, b := body("T1", "X1.0Y1.0", "R99999X0.0"), body("T1", "X1.0Y1.0", "R99998X0.0", "X1.005")
	require.Empty(t, differences(t, a, a, 0.01))
	require.Empty(t, differences(t, a, b, 0.01))
	require.Equal(t, []string{"missing T1 x1: hit of 0.8000 mm at 1.0000, 1.0000", "extra T1 x1: hit of 0.8000 mm at 1.0050, 1.0000"}, differences(t, a, b, 0.001))
}

func TestCompare(t *testing.T) {
	path := func(s ...string) string { return body(append(append([]string{"T2"}, s...), "M16", "G05")...) }
	square := path("G00X0.0Y0.0", "M15", "G01X10.0Y0.0", "G01X10.0Y10.0", "G01X0.0Y10.0", "G01X0.0Y0.0")
	cases := []struct {
		name, a, b string
		tol        float64
		want       []string
	}{
		{name: "the same in another order", a: body("T1", "X1.0Y1.0", "X2.0Y1.0"), b: body("T1", "X2.0Y1.0", "X1.0Y1.0")},
		{name: "a repeat for hits", a: body("T1", "X1.0Y1.0", "X2.0Y1.0", "X3.0Y1.0"), b: body("T1", "X1.0Y1.0", "R2X1.0")},
		{name: "other tool numbers", a: body("T1", "X1.0Y1.0"), b: "M48\nMETRIC\nT7C0.800\n%\nT7\nX1.0Y1.0\nM30\n"},
		{name: "another unit", a: body("T1", "X25.4Y50.8"), b: "M48\nINCH\nT1C0.031496\n%\nT1\nX1.0Y2.0\nM30\n"},
		{name: "a hit lost", a: body("T1", "X1.0Y1.0", "X2.0Y1.0"), b: body("T1", "X1.0Y1.0"),
			want: []string{"missing T1 x1: hit of 0.8000 mm at 2.0000, 1.0000"}},
		{name: "a hit doubled", a: body("T1", "X1.0Y1.0"), b: body("T1", "X1.0Y1.0", "X1.0Y1.0"),
			want: []string{"extra T1 x1: hit of 0.8000 mm at 1.0000, 1.0000"}},
		{name: "a hit moved within the tolerance", a: body("T1", "X1.0Y1.0"), b: body("T1", "X1.005Y1.0"), tol: 0.01},
		{name: "a hit moved beyond it", a: body("T1", "X1.0Y1.0"), b: body("T1", "X1.02Y1.0"), tol: 0.01,
			want: []string{"missing T1 x1: hit of 0.8000 mm at 1.0000, 1.0000", "extra T1 x1: hit of 0.8000 mm at 1.0200, 1.0000"}},
		{name: "another bit", a: body("T1", "X1.0Y1.0"), b: body("T2", "X1.0Y1.0"),
			want: []string{"missing T1 x1: hit of 0.8000 mm at 1.0000, 1.0000", "extra T2 x1: hit of 1.6000 mm at 1.0000, 1.0000"}},
		{name: "a slot turned round", a: body("T1", "X1.0Y1.0G85X3.0Y1.0"), b: body("T1", "X3.0Y1.0G85X1.0Y1.0")},
		{name: "a slot shortened", a: body("T1", "X1.0Y1.0G85X3.0Y1.0"), b: body("T1", "X1.0Y1.0G85X2.9Y1.0"), tol: 0.01,
			want: []string{"missing T1 x1: slot of 0.8000 mm at 2.0000, 1.0000", "extra T1 x1: slot of 0.8000 mm at 1.9500, 1.0000"}},
		{name: "a circle of another size", a: body("T1", "X5.0Y5.0G84X3.0"), b: body("T1", "X5.0Y5.0G84X3.5"),
			want: []string{"missing T1 x1: circle of 0.8000 mm at 5.0000, 5.0000", "extra T1 x1: circle of 0.8000 mm at 5.0000, 5.0000"}},
		{name: "a path the other way and from another corner", a: square,
			b: path("G00X10.0Y10.0", "M15", "G01X10.0Y0.0", "G01X0.0Y0.0", "G01X0.0Y10.0", "G01X10.0Y10.0")},
		{name: "a path from the middle of a side", a: square,
			b: path("G00X5.0Y0.0", "M15", "G01X10.0Y0.0", "G01X10.0Y10.0", "G01X0.0Y10.0", "G01X0.0Y0.0", "G01X5.0Y0.0")},
		{name: "a side cut in two blocks", a: square,
			b: path("G00X0.0Y0.0", "M15", "G01X4.0Y0.0", "G01X10.0Y0.0", "G01X10.0Y10.0", "G01X0.0Y10.0", "G01X0.0Y0.0")},
		{name: "an upright side cut in two blocks", a: square,
			b: path("G00X0.0Y0.0", "M15", "G01X10.0Y0.0", "G01X10.0Y3.0", "G01X10.0Y10.0", "G01X0.0Y10.0", "G01X0.0Y0.0")},
		{name: "a corner cut", a: square,
			b:    path("G00X0.0Y0.0", "M15", "G01X10.0Y0.0", "G01X10.0Y9.0", "G01X9.0Y10.0", "G01X0.0Y10.0", "G01X0.0Y0.0"),
			want: []string{"missing T2 x2: line of 1.6000 mm at 10.0000, 5.0000", "extra T2 x3: line of 1.6000 mm at 10.0000, 4.5000"}},
		{name: "an arc in one block and in two", a: path("G00X5.0Y0.0", "M15", "G03X-5.0Y0.0A5.0"), tol: 0.001,
			b: path("G00X5.0Y0.0", "M15", "G03X0.0Y5.0A5.0", "G03X-5.0Y0.0A5.0")},
		{name: "an arc on the other side", a: path("G00X5.0Y0.0", "M15", "G03X-5.0Y0.0A5.0"), b: path("G00X5.0Y0.0", "M15", "G02X-5.0Y0.0A5.0"), tol: 0.001,
			want: []string{"missing T2 x1: arc of 1.6000 mm at 0.0000, 5.0000", "extra T2 x1: arc of 1.6000 mm at 0.0000, -5.0000"}},
		{name: "a full circle from another start", a: path("G00X5.0Y0.0", "M15", "G03X5.0Y0.0I-5.0"), tol: 0.001,
			b: path("G00X0.0Y5.0", "M15", "G02X5.0Y0.0A5.0", "G02X0.0Y-5.0A5.0", "G02X-5.0Y0.0A5.0", "G02X0.0Y5.0A5.0")},
		{name: "a plunge without a cut", a: path("G00X5.0Y0.0", "M15"), b: path("G00X5.0Y0.0"),
			want: []string{"missing T2 x1: plunge of 1.6000 mm at 5.0000, 0.0000"}},
		{name: "compensation by the control", a: square, b: strings.Replace(square, "G00X0.0Y0.0", "G41\nG00X0.0Y0.0", 1),
			want: []string{"missing T2 x4: line of 1.6000 mm at 5.0000, 0.0000", "extra T2 x4: line of 1.6000 mm at 5.0000, 0.0000"}},
		{name: "an unknown word", a: body("T1", "G82X1.0Y1.0"), b: body("T1"), want: []string{`missing T1 x1: word "G82X1.0Y1.0"`}},
		{name: "comments, messages and stops do not count", a: body("T1", ";note", "M47,STOP", "M06", "X1.0Y1.0"), b: body("T1", "X1.0Y1.0")},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.want == nil {
				c.want = []string{}
			}
			if diff := cmp.Diff(c.want, differences(t, c.a, c.b, c.tol)); diff != "" {
				t.Errorf("differences (-want +got):\n%s", diff)
			}
			back := differences(t, c.b, c.a, c.tol)
			assert.Len(t, back, len(c.want), "a comparison the other way finds as much")
		})
	}
	p := parse(t, square)
	for _, tol := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := nc.Compare(p, p, tol)
		assert.Error(t, err)
	}
}

func TestCompareGroups(t *testing.T) {
	var a strings.Builder
	for i := range 500 {
		fmt.Fprintf(&a, "X%d.0Y%d.0\n", i, i%7)
	}
	notes, err := nc.Compare(parse(t, body("T1", a.String())), parse(t, body("T1")), 0.001)
	require.NoError(t, err)
	require.Len(t, notes, 1)
	assert.Equal(t, 500, notes[0].Count)
	assert.Equal(t, []int{7, 8, 9}, notes[0].Lines)
}

// TestCompareShuffled reorders random programs, writes them in other forms and
// finds no difference; one hit moved by 20 um is found in each of them.
func TestCompareShuffled(t *testing.T) {
	tools := tableOf(3)
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 5))
		in := random(rng, tools, 150, 0.001)
		a, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		require.NoError(t, err)
		// Split at the selections: each part begins with its tool.
		var parts [][]nc.Op
		for _, op := range in {
			if op.Kind == nc.OpTool {
				parts = append(parts, nil)
			}
			parts[len(parts)-1] = append(parts[len(parts)-1], op)
		}
		rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		shuffled := slices.Concat(parts...)
		b, err := nc.Build(slices.Values(shuffled), tools, nc.WriteOptions{Rows: true, Units: nc.Inches, Digits: nc.Digits{Int: 3, Dec: 6}})
		require.NoError(t, err)
		notes, err := nc.Compare(a, b, 0.002)
		require.NoError(t, err)
		require.Empty(t, notes, "seed %d", seed)

		k := slices.IndexFunc(shuffled, func(op nc.Op) bool { return op.Kind == nc.OpHit })
		if k < 0 {
			continue
		}
		moved := slices.Clone(shuffled)
		moved[k].To = orb.Point{moved[k].To[0] + 0.02, moved[k].To[1]}
		c, err := nc.Build(slices.Values(moved), tools, nc.WriteOptions{})
		require.NoError(t, err)
		notes, err = nc.Compare(a, c, 0.002)
		require.NoError(t, err)
		require.Len(t, notes, 2, "seed %d: one hit missing, one extra: %+v", seed, notes)
		require.Equal(t, 1, notes[0].Count+notes[1].Count-1)
	}
}

func ExampleCompare() {
	before, _ := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\n%\nT1\nX10.0Y10.0\nX20.0Y10.0\nM30\n"), nc.ReadOptions{})
	after, _ := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\n%\nT1\nX20.0Y10.05\nX10.0Y10.0\nM30\n"), nc.ReadOptions{})
	notes, err := nc.Compare(before, after, 0.01)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range notes {
		fmt.Printf("%s, line %d: %s\n", n.Rule, n.Line, n.Detail)
	}
	// Output:
	// missing, line 7: hit of 0.8000 mm at 20.0000, 10.0000
	// extra, line 6: hit of 0.8000 mm at 20.0000, 10.0500
}
