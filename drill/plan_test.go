package drill_test

import (
	"context"
	"encoding/json"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// runLine is what a run is made with and how much it does.
type runLine struct {
	Tool  string
	Slow  bool
	Hits  int
	Holes int
}

func lines(p drill.Pass) []runLine {
	var out []runLine
	for _, r := range p.Runs {
		l := runLine{Tool: r.Tool.ID, Slow: r.Slow, Hits: len(r.Hits)}
		for _, h := range r.Hits {
			if h.Kind == drill.Finish {
				l.Holes++
			}
		}
		out = append(out, l)
	}
	return out
}

// Pilots, small to large, slots, large ones: counted out by hand for the small
// panel.
func TestPlanOrderOfRuns(t *testing.T) {
	passes := plan(t, small())
	require.Len(t, passes, 2)
	p, u := passes[0], passes[1]
	assert.Equal(t, "plated", p.Name)
	assert.Equal(t, tooling.BeforePlating, p.Stage)
	assert.Equal(t, "unplated", u.Name)
	assert.Equal(t, tooling.AfterPlating, u.Stage)
	assert.Equal(t, drill.Schema, p.Schema)
	assert.Equal(t, tooling.Drilling, u.Operation)
	assert.False(t, p.Mounted())

	want := []runLine{
		// Short slots, 0.95 mm wide drilled: pilots of (L + D)/2 - 0.1 = 0.675 and
		// 0.658 mm, the next smaller bit is 0.65. The stud's pilot is 1.50.
		{"B0.65", false, 4, 0},
		{"B1.50", false, 1, 0},
		{"B0.40", false, 24, 24},
		{"B1.05", false, 9, 9},
		{"B3.20", false, 3, 3},
		// Bumps of 12.7 um at 0.95 mm: pitch 0.218. L 0.6: one gap, halved twice, 5
		// hits; L 0.566 likewise.
		{"S0.95", true, 10, 2},
		// 1.15 mm: pitch 0.240. L 3: two gaps, halved 3 times, 17 hits; L 4: three
		// gaps, halved 3 times, 25 hits.
		{"S1.15", false, 42, 2},
		{"B4.40", false, 1, 1}, // 4.35 lies between two bits: the larger for a plated hole
	}
	if diff := cmp.Diff(want, lines(p)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	want = []runLine{
		{"B1.50", false, 1, 0},
		{"B3.20", false, 2, 2},
		{"S2.00", false, 17, 1}, // pitch 0.318, L 5: two gaps, halved 3 times
		{"B5.00", false, 1, 1},
	}
	if diff := cmp.Diff(want, lines(u)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	assert.Equal(t, 94, p.Hits())
	assert.Equal(t, 41, p.Holes())
	for _, q := range passes {
		for i, r := range q.Runs {
			assert.Equal(t, i+1, r.Number)
		}
	}
}

// Every distinct hole gets one finishing stroke, in its stage, by the bit
// nearest to its drilled size; what is routed gets none.
func TestPlanFinishesEveryHoleOnce(t *testing.T) {
	count := func(in drill.Input, passes []drill.Pass) {
		finish := make([]int, len(in.Holes))
		for _, p := range passes {
			for _, r := range p.Runs {
				sizes := 0
				for _, h := range r.Hits {
					hole := in.Holes[h.Hole]
					require.Equal(t, p.Stage, hole.Stage())
					if h.Kind != drill.Finish {
						continue
					}
					finish[h.Hole]++
					if !hole.IsSlot() {
						require.LessOrEqual(t, distance(hole.At, h.At), 0.00072) // snapped to the writing grid
					}
					require.InDelta(t, in.Rules.Allowance.Target(hole.Size), r.Tool.Diameter, 0.051)
				}
				for _, u := range r.Sizes {
					sizes += u.Holes
					require.InDelta(t, u.Size.Diameter, u.Finished, 0.1)
				}
				holes := slices.DeleteFunc(slices.Clone(r.Hits), func(h drill.Hit) bool { return h.Kind != drill.Finish })
				require.Len(t, holes, sizes)
			}
		}
		routed := in.Routed()
		for i, n := range finish {
			want := 1
			if slices.Contains(routed, i) {
				want = 0
			}
			require.Equal(t, want, n, "hole %d", i)
		}
	}
	in := small()
	count(in, plan(t, in))
	for _, name := range planned() {
		count(mountedSample(t, name))
	}
}

func first(in drill.Input, _ sampleJob, _ tooling.Report) drill.Input { return in }

func TestPlanClosePairs(t *testing.T) {
	in := small()
	in.Rules.ClosePair = 0.25
	at := func(x, y float64, s tooling.Size) drill.Hole { return drill.Round(orb.Point{x, y}, s) }
	in.Holes = []drill.Hole{
		at(20, 60, via), at(20.6, 60, via), // alike, 0.2 mm of web
		at(30, 60, via), at(30.9, 60, component), // the larger first: 0.175 mm of web
		at(40, 60, via), at(41, 60, via), // 0.6 mm: apart
		at(50, 60, component), at(51.2, 60, component), at(52.4, 60, component), // a chain
	}
	p := plan(t, in)[0]
	got := lines(p)
	want := []runLine{{"B0.40", false, 3, 3}, {"B1.05", false, 3, 3}, {"B0.40", false, 2, 2}, {"B1.05", false, 1, 1}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatalf("(-want +got)\n%s", diff)
	}
	second := map[int32]bool{}
	for _, r := range p.Runs[2:] {
		for _, h := range r.Hits {
			second[h.Hole] = true
		}
	}
	assert.True(t, second[2], "the via beside the component hole comes later")
	assert.True(t, second[0] != second[1], "one of two alike comes later")
	assert.True(t, second[7], "the middle of a chain, or its ends")
	in.Rules.ClosePair = 0
	assert.Len(t, plan(t, in)[0].Runs, 2)
}

func TestPlanNothing(t *testing.T) {
	in := small()
	in.Holes = nil
	passes, err := drill.Plan(context.Background(), in, drill.Options{})
	require.NoError(t, err)
	assert.Empty(t, passes)
	in.Holes = []drill.Hole{drill.Round(orb.Point{60, 60}, mount)}
	passes = plan(t, in)
	require.Len(t, passes, 1)
	assert.Equal(t, "unplated", passes[0].Name)
}

func TestPlanCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	passes, err := drill.Plan(ctx, small(), quick)
	require.ErrorIs(t, err, context.Canceled)
	assert.Nil(t, passes)
}

func TestPlanProgress(t *testing.T) {
	type call struct {
		pass     string
		done, of int
		hits     int64
	}
	var calls []call
	o := quick
	o.Progress = func(pass string, done, of int, hits int64) { calls = append(calls, call{pass, done, of, hits}) }
	passes, err := drill.Plan(context.Background(), small(), o)
	require.NoError(t, err)
	require.Len(t, calls, 12)
	assert.Equal(t, call{"plated", 8, 8, int64(passes[0].Hits())}, calls[7])
	assert.Equal(t, call{"unplated", 4, 4, int64(passes[1].Hits())}, calls[11])
}

func TestPlanLeavesItsInputAlone(t *testing.T) {
	in := small()
	before, err := json.Marshal(in.Holes)
	require.NoError(t, err)
	plan(t, in)
	after, err := json.Marshal(in.Holes)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}

// The same passes, byte for byte, on one core and on two, also where the tours
// are searched for.
func TestPlanOnAnyNumberOfCores(t *testing.T) {
	in := first(sample(t, "greenhouse-sensor"))
	var texts []string
	for _, procs := range []int{1, 2} {
		before := runtime.GOMAXPROCS(procs)
		passes, err := drill.Plan(context.Background(), in, drill.Options{Tour: tour.Options{Kicks: 0.2, Seed: 3}})
		runtime.GOMAXPROCS(before)
		require.NoError(t, err)
		b, err := json.Marshal(passes)
		require.NoError(t, err)
		texts = append(texts, string(b))
	}
	assert.Equal(t, texts[0], texts[1])
}

// A bound is below the travel, slots included, and above what the ways within
// the slots take.
func TestPlanBound(t *testing.T) {
	in := small()
	passes, err := drill.Plan(context.Background(), in, drill.Options{Tour: tour.Options{Bound: true}})
	require.NoError(t, err)
	for _, p := range passes {
		for _, r := range p.Runs {
			assert.Positive(t, r.Bound, "%s run %d", p.Name, r.Number)
			assert.LessOrEqual(t, r.Bound, r.Travel, "%s run %d", p.Name, r.Number)
		}
	}
	in.Machine.Overlap = in.Machine.Settle * 2 // moves less their overlap break the triangle inequality
	passes, err = drill.Plan(context.Background(), in, drill.Options{Tour: tour.Options{Bound: true}})
	require.NoError(t, err)
	for _, p := range passes {
		for _, r := range p.Runs {
			assert.LessOrEqual(t, r.Bound, r.Travel, "%s run %d", p.Name, r.Number)
		}
	}
}

func TestPlanInterleaved(t *testing.T) {
	in := first(sample(t, "greenhouse-sensor"))
	plainPasses := plan(t, in)
	o := quick
	o.Interleave = 4
	passes, err := drill.Plan(context.Background(), in, o)
	require.NoError(t, err)
	near := func(p drill.Pass) (n int) { // moves to a hole within 2 mm
		for _, r := range p.Runs {
			for k := 1; k < len(r.Hits); k++ {
				if a, b := r.Hits[k-1], r.Hits[k]; a.Hole != b.Hole && distance(a.At, b.At) < 2 {
					n++
				}
			}
		}
		return n
	}
	for i := range passes {
		assert.Equal(t, lines(plainPasses[i]), lines(passes[i]))
	}
	assert.Less(t, near(passes[0]), near(plainPasses[0])/2)
}

func TestWork(t *testing.T) {
	p := plan(t, small())[0]
	work := p.Work()
	require.Len(t, work, len(p.Runs))
	for i, w := range work {
		r := p.Runs[i]
		assert.Equal(t, r.Tool, w.Tool)
		assert.Equal(t, len(r.Hits), w.Hits)
		assert.Equal(t, r.Number, w.Place)
		assert.Equal(t, 1, w.Changes)
		assert.InDelta(t, r.Travel, w.Travel.Seconds(), 1e-9)
		assert.InDelta(t, r.Trip, w.Trip.Seconds(), 1e-9)
	}
	assert.Nil(t, work[2].Pieces, "round holes: cut anywhere")
	assert.Equal(t, 0.0, work[2].Infeed)
	assert.Equal(t, []float64{5, 5}, work[5].Pieces, "slots stay whole")
	assert.Equal(t, 0.5, work[5].Infeed, "short slots run slow")
	assert.ElementsMatch(t, []float64{17, 25}, work[6].Pieces)
	assert.Zero(t, work[7].Trip, "one hit cannot be cut")
	assert.Positive(t, work[2].Trip)

	res, err := stack.Solve(context.Background(), stack.Problem{
		Lot: 20, Panel: small().Panel, Rules: small().Rules, Machine: small().Machine, SetUps: [][]stack.Work{work},
	}, stack.Options{})
	require.NoError(t, err)
	m, err := p.Mount(res.SetUps[0], small().Machine)
	require.NoError(t, err)
	e, err := m.Estimate(small().Machine)
	require.NoError(t, err)
	// The stack planner's load, from work alone, is the clock's.
	assert.Equal(t, e.Total(), res.SetUps[0].LoadTime)
}
