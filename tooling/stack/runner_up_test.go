package stack_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

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
	dearer := 0
	solvable(t, 15, 60, func(d draw) stack.Options { return stack.Options{Tiers: d.IntN(4)} }, func(_ uint64, p stack.Problem, o stack.Options, r stack.Result) {
		for _, s := range r.Sensitivity {
			if s.Kept != nil && s.Kept.Total > s.Cost.Total+0.01 {
				dearer++
			}
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
	assert.Greater(t, dearer, 0, "now and then other heights would be better")
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
