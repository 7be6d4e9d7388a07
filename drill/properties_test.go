package drill_test

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// moved returns the input with every place of panel, holes and machine sent
// through a function; the panel has the size given.
func moved(in drill.Input, width, height float64, f func(orb.Point) orb.Point) drill.Input {
	in.Holes = slices.Clone(in.Holes)
	for i := range in.Holes {
		h := &in.Holes[i]
		h.At, h.To = f(h.At), f(h.To)
	}
	in.Panel.Width, in.Panel.Height = width, height
	in.Panel.Features = slices.Clone(in.Panel.Features)
	for i := range in.Panel.Features {
		in.Panel.Features[i].At = f(in.Panel.Features[i].At)
	}
	in.Panel.KeepOuts = slices.Clone(in.Panel.KeepOuts)
	for i := range in.Panel.KeepOuts {
		k := &in.Panel.KeepOuts[i]
		b := orb.MultiPoint{f(k.Min), f(k.Max)}.Bound()
		k.Min, k.Max = b.Min, b.Max
	}
	in.Panel.Boards, in.Panel.Scores = nil, nil
	in.Machine.ChangeAt = f(in.Machine.ChangeAt)
	return in
}

func mirrored(in drill.Input) drill.Input {
	w := in.Panel.Width
	return moved(in, w, in.Panel.Height, func(p orb.Point) orb.Point { return tooling.SnapPoint(orb.Point{w - p[0], p[1]}) })
}

func swapped(in drill.Input) drill.Input {
	out := moved(in, in.Panel.Height, in.Panel.Width, func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} })
	out.Machine.X, out.Machine.Y = in.Machine.Y, in.Machine.X
	return out
}

// shifted moves everything by whole millimetres on a panel grown to match.
func shifted(in drill.Input, dx, dy float64) drill.Input {
	return moved(in, in.Panel.Width+dx, in.Panel.Height+dy, func(p orb.Point) orb.Point {
		return tooling.SnapPoint(orb.Point{p[0] + dx, p[1] + dy})
	})
}

// summary is what must not change when a panel is turned about: tools, strokes
// and holes by run, depth, feeds and bits.
type summary struct {
	Pass  string
	Lines []runLine
	Bits  [][]int
	Sizes [][]drill.SizeUse
	Depth []tooling.Depth
	Feed  []tooling.Feed
	Rules []string
}

func summaries(t testing.TB, in drill.Input) []summary {
	t.Helper()
	var out []summary
	for _, p := range mountAll(t, in, 40) {
		s := summary{Pass: p.Name, Lines: lines(p)}
		for _, r := range p.Runs {
			bits := []int{len(r.Bits)}
			s.Bits, s.Sizes = append(s.Bits, bits), append(s.Sizes, r.Sizes)
			s.Depth, s.Feed = append(s.Depth, r.Depth), append(s.Feed, r.Feed)
		}
		report := drill.Check(in, p, parse(t, textOf(t, p, nc.WriteOptions{})))
		require.NoError(t, report.Err())
		for _, f := range report {
			s.Rules = append(s.Rules, f.Rule)
		}
		out = append(out, s)
	}
	return out
}

// places are the hits of a pass by tool, sent back to where they came from.
// Hits of slots are left out: they are rounded on the panel they lie on.
func places(in drill.Input, p drill.Pass, f func(orb.Point) orb.Point) []string {
	var out []string
	for _, r := range p.Runs {
		for _, h := range r.Hits {
			if in.Holes[h.Hole].IsSlot() {
				continue
			}
			q := f(h.At)
			b, _ := json.Marshal([]any{r.Tool.ID, tooling.Nanometres(q[0]), tooling.Nanometres(q[1])})
			out = append(out, string(b))
		}
	}
	sort.Strings(out)
	return out
}

func TestWholePlanProperties(t *testing.T) {
	for name, in := range map[string]drill.Input{"small": small(), "greenhouse": first(sample(t, "greenhouse-sensor"))} {
		in := moved(in, in.Panel.Width, in.Panel.Height, func(p orb.Point) orb.Point { return p })
		want := summaries(t, in)
		w := in.Panel.Width
		for how, c := range map[string]struct {
			in   drill.Input
			back func(orb.Point) orb.Point
		}{
			"mirrored":     {mirrored(in), func(p orb.Point) orb.Point { return orb.Point{w - p[0], p[1]} }},
			"axes swapped": {swapped(in), func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }},
			"shifted":      {shifted(in, 13, 7), func(p orb.Point) orb.Point { return orb.Point{p[0] - 13, p[1] - 7} }},
		} {
			if diff := cmp.Diff(want, summaries(t, c.in)); diff != "" {
				t.Errorf("%s %s (-want +got)\n%s", name, how, diff)
			}
			a, b := plan(t, in), plan(t, c.in)
			for i := range a {
				assert.Equal(t, places(in, a[i], func(p orb.Point) orb.Point { return p }), places(in, b[i], c.back), "%s %s", name, how)
			}
		}
	}
}

// The order of the holes in the input does not matter: the same passes, hit for
// hit, once the holes' numbers are traced back.
func TestShuffledInputGivesTheSamePasses(t *testing.T) {
	for _, in := range []drill.Input{small(), first(sample(t, "greenhouse-sensor"))} {
		want := plan(t, in)
		for seed := range uint64(3) {
			rng := rand.New(rand.NewPCG(21, seed))
			order := rng.Perm(len(in.Holes))
			other := in
			other.Holes = make([]drill.Hole, len(order))
			for to, from := range order {
				other.Holes[to] = in.Holes[from]
			}
			got := plan(t, other)
			for i := range got {
				for k := range got[i].Runs {
					hits := got[i].Runs[k].Hits
					for n := range hits {
						hits[n].Hole = int32(order[hits[n].Hole])
					}
				}
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("seed %d (-want +got)\n%s", seed, diff)
			}
		}
	}
}

// Shuffled close pairs too: which of two comes later hangs on their places.
func TestShuffledClosePairs(t *testing.T) {
	in := field(12, 12)
	in.Rules.ClosePair = 0.7
	rng := rand.New(rand.NewPCG(21, 9))
	want := lines(plan(t, in)[0])
	require.Greater(t, len(want), 1)
	rng.Shuffle(len(in.Holes), func(i, j int) { in.Holes[i], in.Holes[j] = in.Holes[j], in.Holes[i] })
	assert.Equal(t, want, lines(plan(t, in)[0]))
}

// A plan is plain data: written as JSON and read back it makes the same
// program.
func TestPassSurvivesJSON(t *testing.T) {
	in := small()
	for _, p := range mountAll(t, in, 12) {
		b, err := json.Marshal(p)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(b), `{"schema":1,"name":"`+p.Name+`"`))
		var q drill.Pass
		require.NoError(t, json.Unmarshal(b, &q))
		assert.Equal(t, textOf(t, p, nc.WriteOptions{}), textOf(t, q, nc.WriteOptions{}))
		require.NoError(t, drill.Check(in, q, parse(t, textOf(t, q, nc.WriteOptions{}))).Err())
	}
}

// Two sizes that come to one bit share a run, plated and unplated never; the
// same input written twice is the same text.
func TestOneBitOneRun(t *testing.T) {
	in := small()
	in.Holes = []drill.Hole{
		drill.Round(orb.Point{30, 30}, tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}),
		drill.Round(orb.Point{40, 30}, tooling.Size{Diameter: 1.05, Basis: tooling.Drilled, Plated: true}),
		drill.Round(orb.Point{50, 30}, tooling.Size{Diameter: 1.05, Basis: tooling.Drilled}),
	}
	passes := plan(t, in)
	require.Len(t, passes, 2)
	require.Len(t, passes[0].Runs, 1)
	assert.Equal(t, []drill.SizeUse{
		{Size: in.Holes[0].Size, Finished: 0.9, Holes: 1}, {Size: in.Holes[1].Size, Finished: 1.05, Holes: 1},
	}, passes[0].Runs[0].Sizes)
	require.Len(t, passes[1].Runs, 1)
	a, b := mountAll(t, in, 9), mountAll(t, in, 9)
	assert.Equal(t, textOf(t, a[0], nc.WriteOptions{}), textOf(t, b[0], nc.WriteOptions{}))
}
