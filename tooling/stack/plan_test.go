package stack_test

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// TestCostByHand works out one lot on paper: 100 panels of 1.6 mm, a 1.0 mm
// bit with 600 hits a load, one spindle, two high.
func TestCostByHand(t *testing.T) {
	m, ok := machine.Preset("worked")
	require.True(t, ok)
	m.Rate = 36 // a hundredth a second
	p := stack.Problem{
		Lot: 100, Panel: tooling.Panel{Thickness: 1.6, Material: tooling.FR4}, Rules: tooling.DefaultRules(), Machine: m,
		SetUps: [][]stack.Work{{{
			Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Place: 1, Hits: 600, Travel: 60 * time.Second, Changes: 1,
			Tool: tooling.Tool{ID: "B1", Kind: tooling.Bit, Diameter: 1, Flute: 10.5, Price: 1.2},
		}}},
	}
	r, err := stack.Solve(context.Background(), p, stack.Options{Height: 2})
	require.NoError(t, err)
	s := r.SetUps[0]
	// 50 stacks on one spindle are 50 loads. Depth: 0.15 + 3.2 + 0.434 (point
	// 0.2332 at 130 deg and 0.2, up to a micrometre) under 1.5 of clearance is
	// 5.284 mm: down at 48,000 x 0.048 = 2304 mm/min in 137.604 ms, up at 25
	// m/min in 12.682 ms, no ramps.
	assert.Equal(t, 50, s.Loads)
	assert.InDelta(t, 5.284, s.Tools[0].Depth.Travel(), 1e-9)
	assert.InDelta(t, 600*(0.137604+0.012682), s.Times.Stroke.Seconds(), 0.001)
	// 60 + 90.17 + 10 s a load and 240 s of loading: 50 x 400.17 s.
	assert.InDelta(t, 50*(60+90.1712+10+240), s.Cost.LotTime.Seconds(), 0.1)
	assert.InDelta(t, 200.0856, s.Cost.Machine, 0.001)
	// 3000 hits of life last five loads: ten bits at 1.20.
	assert.Equal(t, 5, s.Tools[0].Keep)
	assert.Equal(t, 10, s.Tools[0].Bought)
	assert.InDelta(t, 12, s.Cost.Tools, 1e-9)
	// 50 stacks at 0.80 + 1.60 of sheets; 12 for the set-up and 1.50 a stack.
	assert.InDelta(t, 120, s.Cost.Sheets, 1e-9)
	assert.InDelta(t, 87, s.Cost.SetUp, 1e-9)
	assert.InDelta(t, 4.190856, r.Cost.PerPanel, 0.00001)
	assert.InDelta(t, 0, s.Partial, 1e-6, "every load is full and every bit worn to its end")
}

// TestFewerSpindlesMaySaveBits deals 13 stacks to six spindles: three loads
// either way, but five spindles wear one set of bits less. Where the machine
// costs little and bits much, fewer still are cheaper.
func TestFewerSpindlesMaySaveBits(t *testing.T) {
	p := greenhouse(t)
	p.SetUps = [][]stack.Work{{p.SetUps[0][1]}}
	p.SetUps[0][0].Hits = 1000 // three loads a bit
	p.Lot = 13
	p.Machine.Rate = 100
	deal := func(o stack.Options) []int {
		o.Height = 1
		r, err := stack.Solve(context.Background(), p, o)
		require.NoError(t, err)
		s := r.SetUps[0]
		return []int{s.Stacks, s.Loads, s.Spindles, s.Last, s.Tools[0].Bought}
	}
	assert.Equal(t, []int{13, 3, 5, 3, 5}, deal(stack.Options{}))
	p.Lot = 12
	assert.Equal(t, []int{12, 2, 6, 6, 6}, deal(stack.Options{}))
	p.Machine.Rate = 0.1
	assert.Equal(t, []int{12, 3, 4, 4, 4}, deal(stack.Options{}), "each bit to its end")
	assert.Equal(t, []int{12, 2, 6, 6, 6}, deal(stack.Options{Objective: stack.LeastTime}))
}

func TestPoliciesOfOneTool(t *testing.T) {
	for _, tc := range []struct {
		name    string
		reason  string
		o       stack.Options
		hits    int
		bought  int
		perLoad int
		keep    int
		carried int
	}{
		{"fresh", "a bit for each of 40 loads", stack.Options{Policy: stack.Fresh}, 700, 40, 1, 1, 0},
		{"whole loads", "2000 hits are two loads of 700 and waste", stack.Options{}, 700, 20, 1, 2, 0},
		{"carry on", "40 x 700 hits are 14 bits; 13 changes, of which load 20 ends one", stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}, 700, 14, 2, 0, 12},
		{"more than a life a load", "4500 hits take three bits", stack.Options{}, 4500, 120, 3, 0, 0},
		{"more than a life a load, carried on", "180,000 hits are 90 bits; every fourth load ends with its bit", stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}, 4500, 90, 3, 0, 80},
		{"exactly a life", "no bit is left over", stack.Options{}, 2000, 40, 1, 1, 0},
		{"nothing to do", "a tool that is only changed to", stack.Options{}, 0, 0, 0, 0, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := greenhouse(t)
			p.Machine.Spindles, p.Lot = 1, 40
			p.SetUps = [][]stack.Work{{p.SetUps[0][0]}}
			p.SetUps[0][0].Hits = tc.hits
			tc.o.Height = 1
			r, err := stack.Solve(context.Background(), p, tc.o)
			require.NoError(t, err)
			x := r.SetUps[0].Tools[0]
			require.Equal(t, 2000.0, x.Life)
			assert.Equal(t, tc.bought, x.Bought, tc.reason)
			assert.Equal(t, tc.perLoad, x.PerLoad, tc.reason)
			assert.Equal(t, tc.keep, x.Keep, tc.reason)
			assert.Equal(t, time.Duration(tc.carried)*(p.Machine.Change+time.Second), r.SetUps[0].Carried, tc.reason)
		})
	}
}

func TestPiecesAreNeverShared(t *testing.T) {
	p := greenhouse(t)
	p.SetUps = [][]stack.Work{{p.SetUps[0][0]}}
	w := &p.SetUps[0][0]
	w.Hits = 3600
	w.Pieces = []float64{1200, 1200, 1200} // 2000 hits of life: one slot a bit
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 3, r.SetUps[0].Tools[0].PerLoad)
	w.Pieces = nil
	r, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, r.SetUps[0].Tools[0].PerLoad)
}

func TestRunsOfOnePlaceAreOneTool(t *testing.T) {
	p := greenhouse(t)
	p.SetUps = p.SetUps[:1]
	whole, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	w := p.SetUps[0][0]
	a, b := w, w
	a.Hits, a.Travel = 800, 50*time.Second
	b.Hits, b.Travel, b.Changes = 1000, 60*time.Second, 0
	p.SetUps[0] = []stack.Work{a, p.SetUps[0][1], p.SetUps[0][2], b}
	parts, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Empty(t, cmp.Diff(whole, parts))

	a.Pieces = []float64{400, 400}
	b.Tolerance = 0.08
	p.SetUps[0] = []stack.Work{a, b}
	parts, err = stack.Solve(context.Background(), p, stack.Options{Tiers: 2})
	require.NoError(t, err)
	assert.Equal(t, 1, parts.SetUps[0].Tools[0].PerLoad, "400 + 400 + 1000 hits of 2000")
}

func TestTiersKeepTightHolesInOnePinning(t *testing.T) {
	p := greenhouse(t)
	p.Machine.Load = 0 // a shop that pins for next to nothing
	p.Rules.Stack.EntryPrice, p.Rules.Stack.BackupPrice, p.Rules.Stack.StackLabour, p.Rules.Stack.SetUpLabour = 0, 0, 0, 0
	o := stack.Options{Tiers: 3}
	r, err := stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	require.Greater(t, len(r.SetUps), 2, "0.35 mm two high, the others higher")
	for _, s := range r.SetUps[:len(r.SetUps)-1] {
		assert.Equal(t, 1, s.From)
	}
	last := r.SetUps[len(r.SetUps)-1]
	_, ok := last.Share("rout", 2)
	assert.True(t, ok, "rout joins the last set-up")

	p.SetUps[0][1].Tolerance = 0.05
	r, err = stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	assert.Len(t, r.SetUps, 2)
	k := slices.IndexFunc(r.Refused, func(f stack.Refusal) bool { return f.Rule == stack.RuleSecond })
	require.GreaterOrEqual(t, k, 0)
	assert.Contains(t, r.Refused[k].Detail, "0.050 mm")

	o.SecondPass = 0.04 // a shop that pins better
	r, err = stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	assert.Greater(t, len(r.SetUps), 2)
}

func TestLimitsSayWhatKeepsATool(t *testing.T) {
	p := greenhouse(t)
	p.Panel.Thickness = 1.6
	p.SetUps = [][]stack.Work{{p.SetUps[0][0]}}
	p.SetUps[0][0].Tool = crib(t, "B0.25")[0]
	p.SetUps[0][0].Tool.Flute = 4.4
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	require.Len(t, r.Limits, 1)
	assert.Equal(t, 2, r.Limits[0].Height)
	assert.Contains(t, r.Limits[0].Detail, "0.250 mm: 1 high in one stroke, pecked 2; ")
	assert.Contains(t, r.Limits[0].Detail, "flute of 4.40 mm")
	pecked, plain := r.Curve[1], r.Curve[0]
	assert.Equal(t, 2, pecked.Height)
	assert.Greater(t, pecked.Time.Seconds()/float64(pecked.Loads), plain.Time.Seconds()/float64(plain.Loads))
}

func TestWanderRefusesTallStacksForTightHoles(t *testing.T) {
	p := greenhouse(t)
	p.SetUps[0][0].Tolerance = 0.030 // at 3.2 mm a 0.35 mm bit ends 0.020 + 0.020 x 0.914^3 = 0.035 mm off
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 1, r.SetUps[0].Height)
	k := slices.IndexFunc(r.Refused, func(f stack.Refusal) bool { return f.SetUp == 1 && f.Height == 2 })
	require.GreaterOrEqual(t, k, 0)
	assert.Equal(t, stack.RuleWander, r.Refused[k].Rule)
	assert.Contains(t, r.Refused[k].Detail, "about 0.035 mm")
	r, err = stack.Solve(context.Background(), p, stack.Options{Wander: -1})
	require.NoError(t, err)
	assert.Equal(t, 2, r.SetUps[0].Height)
}

func TestRunnerUpIsTheSecondBest(t *testing.T) {
	differs := 0
	for seed := range uint64(80) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 4)), diameters: 3, setUps: 1, heights: 3}
		p := d.problem()
		o := stack.Options{Tiers: d.IntN(4)}
		if d.IntN(3) == 0 {
			o.Objective = stack.LeastTime
		}
		q := oracle{p, o}
		// The best value of each way to cut and pin: tiers and their heights.
		var all []float64
		for _, tiers := range q.splits(p.SetUps[0]) {
			sums := []float64{0}
			for _, tier := range tiers {
				best := map[int]float64{}
				for _, t := range q.trials(tier) {
					if b, ok := best[t.height]; !ok || q.value(t) < b {
						best[t.height] = q.value(t)
					}
				}
				var next []float64
				for _, s := range sums {
					for _, b := range best {
						next = append(next, s+b)
					}
				}
				sums = next
			}
			all = append(all, sums...)
		}
		slices.Sort(all)
		r, err := stack.Solve(context.Background(), p, o)
		switch {
		case len(all) == 0:
			require.ErrorIs(t, err, stack.ErrInfeasible)
		case len(all) == 1:
			require.NoError(t, err)
			assert.Nil(t, r.RunnerUp, "seed %d", seed)
		default:
			require.NoError(t, err)
			require.NotNil(t, r.RunnerUp, "seed %d", seed)
			near(t, all[1], value(r.RunnerUp.Cost, o), "seed %d", seed)
			assert.NotEmpty(t, r.RunnerUp.WhyNot)
			differs++
		}
	}
	require.Greater(t, differs, 20)
}

func TestSensitivityBracketsThePlan(t *testing.T) {
	solvable(t, 15, 60, func(d draw) stack.Options { return stack.Options{Tiers: d.IntN(4)} }, func(_ uint64, p stack.Problem, o stack.Options, r stack.Result) {
		for _, s := range r.Sensitivity {
			if s.Kept != nil {
				assert.GreaterOrEqual(t, s.Kept.Total, s.Cost.Total-1e-9, "the best for such tools is no dearer than the kept heights")
			}
			if s.Life < 1 {
				assert.GreaterOrEqual(t, s.Cost.Tools+s.Cost.Machine+s.Cost.Sheets+s.Cost.SetUp, r.Cost.Total-1e-9, "shorter lives never save money")
			} else {
				assert.LessOrEqual(t, s.Cost.Total, r.Cost.Total+1e-9, "longer lives never cost money")
			}
		}
	})
	r, err := stack.Solve(context.Background(), greenhouse(t), stack.Options{})
	require.NoError(t, err)
	require.Len(t, r.Sensitivity, 2)
	// 1400 hits are less than a load's 1800: two bits a stack instead of one.
	assert.Equal(t, []float64{0.7, 1.3}, []float64{r.Sensitivity[0].Life, r.Sensitivity[1].Life})
	assert.Greater(t, r.Sensitivity[0].Kept.Tools, r.Cost.Tools+100)
}

func TestFrontRunsFromCheapestToFastest(t *testing.T) {
	p := greenhouse(t)
	free, err := stack.Solve(context.Background(), p, stack.Options{Front: true, Tiers: 3, Mode: stack.Spares})
	require.NoError(t, err)
	fast, err := stack.Solve(context.Background(), p, stack.Options{Objective: stack.LeastTime, Tiers: 3, Mode: stack.Spares})
	require.NoError(t, err)
	require.NotEmpty(t, free.Front)
	first, last := free.Front[0], free.Front[len(free.Front)-1]
	assert.InDelta(t, free.Cost.Total, first.Cost, 1e-9)
	assert.Equal(t, free.Cost.LotTime, first.Time)
	assert.Equal(t, fast.Cost.LotTime, last.Time)
	assert.InDelta(t, fast.Cost.Total, last.Cost, 1e-9)
	for i, f := range free.Front[1:] {
		assert.Greater(t, f.Cost, free.Front[i].Cost)
		assert.Less(t, f.Time, free.Front[i].Time)
	}
	for _, f := range free.Front { // each is the cheapest for its own due time
		r, err := stack.Solve(context.Background(), p, stack.Options{Due: f.Time, Tiers: 3, Mode: stack.Spares})
		require.NoError(t, err)
		assert.InDelta(t, f.Cost, r.Cost.Total, 1e-9)
	}
}

func TestForcedHeightIsTheLotAtMost(t *testing.T) {
	p := greenhouse(t)
	p.Lot = 1
	r, err := stack.Solve(context.Background(), p, stack.Options{Height: 2})
	require.NoError(t, err)
	assert.Equal(t, 1, r.SetUps[0].Height)
	assert.Equal(t, 1, r.SetUps[0].Spindles)
	assert.Nil(t, r.RunnerUp)
}

func TestSameInputSameBytes(t *testing.T) {
	solvable(t, 16, 30, anyOptions, func(_ uint64, p stack.Problem, o stack.Options, r stack.Result) {
		before, err := json.Marshal(p.SetUps)
		require.NoError(t, err)
		again, err := stack.Solve(context.Background(), p, o)
		require.NoError(t, err)
		a, err := json.Marshal(r)
		require.NoError(t, err)
		b, err := json.Marshal(again)
		require.NoError(t, err)
		assert.Equal(t, string(a), string(b))
		after, err := json.Marshal(p.SetUps)
		require.NoError(t, err)
		assert.Equal(t, string(before), string(after), "the problem is not touched")

		var back stack.Result
		require.NoError(t, json.Unmarshal(a, &back))
		assert.Empty(t, cmp.Diff(r, back), "JSON holds the whole result")
	})
}

func TestOrderOfTheWorkDoesNotMatter(t *testing.T) {
	solvable(t, 17, 40, anyOptions, func(seed uint64, p stack.Problem, o stack.Options, r stack.Result) {
		rng := rand.New(rand.NewPCG(seed, 18))
		q := p
		q.SetUps = nil
		for _, works := range p.SetUps {
			w := slices.Clone(works)
			rng.Shuffle(len(w), func(i, j int) { w[i], w[j] = w[j], w[i] })
			q.SetUps = append(q.SetUps, w)
		}
		other, err := stack.Solve(context.Background(), q, o)
		require.NoError(t, err)
		assert.Empty(t, cmp.Diff(r.Cost, other.Cost))
	})
}

func TestZeroValues(t *testing.T) {
	_, err := stack.Solve(context.Background(), stack.Problem{}, stack.Options{})
	var list tooling.InputErrors
	require.ErrorAs(t, err, &list)
	assert.NoError(t, stack.Options{}.Validate())
	_, ok := stack.SetUp{}.Share("plated", 1)
	assert.False(t, ok)
	assert.Equal(t, 0, stack.SetUp{}.FirstPlace("plated", 1))
	assert.Equal(t, "stack: no height is feasible", (&stack.InfeasibleError{}).Error())
	text, err := json.Marshal(stack.SetUp{})
	require.NoError(t, err)
	assert.Contains(t, string(text), `"load_seconds":0,`)
}

func TestPlacesCountThroughTheSetUp(t *testing.T) {
	p := greenhouse(t)
	p.SetUps[0][0].Hits = 4500 // three bits a load
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	var got []int
	for place := 1; place <= 3; place++ {
		got = append(got, r.SetUps[0].FirstPlace("plated", place))
	}
	assert.Equal(t, []int{1, 4, 5}, got)
}

func FuzzSetUpJSON(f *testing.F) {
	f.Add([]byte(`{"number":1,"load_seconds":12.5,"cost":{"lot_seconds":0.000000001},"load_times":{"rout_seconds":3}}`))
	f.Add([]byte(`{"load_seconds":1e3}`))
	f.Add([]byte(`{"load_seconds":-0.25,"handling_seconds":9e99}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		var s stack.SetUp
		if json.Unmarshal(src, &s) != nil {
			return
		}
		text, err := json.Marshal(s)
		require.NoError(t, err)
		var back stack.SetUp
		require.NoError(t, json.Unmarshal(text, &back), "%s", text)
		assert.Empty(t, cmp.Diff(s, back))
	})
}

func TestSecondsAreExact(t *testing.T) {
	for _, d := range []time.Duration{0, 1, -1, time.Second, 90 * time.Minute, math.MaxInt64, math.MinInt64 + 1, 1_234_567_890_123_456_789} {
		text, err := json.Marshal(stack.Point{Time: d})
		require.NoError(t, err)
		var back stack.Point
		require.NoError(t, json.Unmarshal(text, &back), "%s", text)
		assert.Equal(t, d, back.Time, "%s", text)
	}
	var p stack.Point
	for _, bad := range []string{`{"seconds":"x"}`, `{"seconds":1e99}`, `{"seconds":[]}`} {
		assert.Error(t, json.Unmarshal([]byte(bad), &p), bad)
	}
}

func TestSlowStrokesAndPlainCuts(t *testing.T) {
	p := greenhouse(t)
	whole, err := stack.Solve(context.Background(), p, stack.Options{Height: 2})
	require.NoError(t, err)
	p.SetUps[0][1].Infeed = 0.5 // short slots: down at half the infeed, up as fast as ever
	p.SetUps[1][1].Fixed = 0    // 5200 mm as one straight line at the cutter's feed
	slow, err := stack.Solve(context.Background(), p, stack.Options{Height: 2})
	require.NoError(t, err)
	x := slow.SetUps[0].Tools[1]
	assert.Equal(t, whole.SetUps[0].Tools[1].Feed, x.Feed, "the share shows the table's feed")
	m := p.Machine
	half := x.Feed.Infeed / 2
	want := 600 * (m.StrokeTime(x.Depth.Travel(), half, x.Feed.Retract, 1) - m.StrokeTime(x.Depth.Travel(), x.Feed.Infeed, x.Feed.Retract, 1))
	assert.Equal(t, want, slow.SetUps[0].LoadTime-whole.SetUps[0].LoadTime)

	cutter := slow.SetUps[1].Tools[1]
	line := slow.SetUps[1].Times.Rout - (whole.SetUps[1].Times.Rout - 320*time.Second)
	assert.InDelta(t, 5200/(cutter.Feed.Infeed/60), line.Seconds(), 0.1, "5200 mm at the feed, and one ramp")
}
