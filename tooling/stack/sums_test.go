package stack_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

// solvable calls f with plans of invented shops.
func solvable(t *testing.T, stream uint64, rounds int, options func(draw) stack.Options, f func(seed uint64, p stack.Problem, o stack.Options, r stack.Result)) {
	t.Helper()
	solved := 0
	for seed := range uint64(rounds) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, stream)), diameters: 5, setUps: 3, heights: 6}
		p := d.problem()
		o := options(d)
		r, err := stack.Solve(context.Background(), p, o)
		if err != nil {
			require.ErrorIs(t, err, stack.ErrInfeasible, "seed %d", seed)
			continue
		}
		solved++
		f(seed, p, o, r)
		if t.Failed() {
			t.Fatalf("seed %d, stream %d, %+v", seed, stream, o)
		}
	}
	require.Greater(t, solved, rounds/3)
}

func anyOptions(d draw) stack.Options {
	o := stack.Options{Tiers: d.IntN(4), Front: d.IntN(4) == 0}
	if d.IntN(2) == 0 {
		o.Mode = stack.Spares
	}
	if d.IntN(3) == 0 {
		o.Objective = stack.LeastTime
	}
	return o
}

func TestTotalsAreSumsOfTheirParts(t *testing.T) {
	const grain = 2e-8 // a few billionths of money, printed as floats
	solvable(t, 11, 150, anyOptions, func(_ uint64, p stack.Problem, _ stack.Options, r stack.Result) {
		var sum stack.Cost
		for k, s := range r.SetUps {
			assert.Equal(t, k+1, s.Number)
			assert.Equal(t, s.Times.Travel+s.Times.Stroke+s.Times.Change+s.Times.Rout, s.LoadTime)
			assert.Equal(t, time.Duration(s.Loads)*(s.LoadTime+s.Handling)+s.Carried, s.Cost.LotTime)
			tools := 0.0
			for _, x := range s.Tools {
				assert.InDelta(t, float64(x.Bought)*x.Each, x.Cost, grain)
				tools += x.Cost
			}
			c := s.Cost
			assert.InDelta(t, c.Tools, tools, grain)
			assert.InDelta(t, c.Machine+c.Tools+c.Sheets+c.SetUp, c.Total, grain)
			assert.InDelta(t, c.LotTime.Hours()*p.Machine.Rate, c.Machine, grain)
			assert.InDelta(t, float64(s.Stacks)*(p.Rules.Stack.EntryPrice+p.Rules.Stack.BackupPrice), c.Sheets, grain)
			assert.InDelta(t, p.Rules.Stack.SetUpLabour+float64(s.Stacks)*p.Rules.Stack.StackLabour, c.SetUp, grain)
			assert.GreaterOrEqual(t, s.Partial, -1e-6)

			full := s.Stacks
			if s.Short > 0 {
				full--
			}
			assert.Equal(t, p.Lot, full*s.Height+s.Short, "panels in stacks")
			assert.Less(t, s.Short, s.Height)
			assert.Equal(t, s.Stacks, (s.Loads-1)*s.Spindles+s.Last, "stacks at spindles")
			assert.LessOrEqual(t, s.Last, s.Spindles)
			assert.LessOrEqual(t, s.Spindles, p.Machine.Spindles)

			sum.Machine += c.Machine
			sum.Tools += c.Tools
			sum.Sheets += c.Sheets
			sum.SetUp += c.SetUp
			sum.LotTime += c.LotTime
		}
		assert.InDelta(t, sum.Machine, r.Cost.Machine, grain)
		assert.InDelta(t, sum.Tools, r.Cost.Tools, grain)
		assert.InDelta(t, sum.Sheets, r.Cost.Sheets, grain)
		assert.InDelta(t, sum.SetUp, r.Cost.SetUp, grain)
		assert.InDelta(t, sum.Machine+sum.Tools+sum.Sheets+sum.SetUp, r.Cost.Total, grain)
		assert.InDelta(t, r.Cost.Total, r.Cost.PerPanel*float64(p.Lot), grain)
		assert.Equal(t, sum.LotTime, r.Cost.LotTime)
	})
}

func TestEveryHitOfTheLotHasALife(t *testing.T) {
	solvable(t, 12, 100, anyOptions, func(_ uint64, p stack.Problem, _ stack.Options, r stack.Result) {
		for _, s := range r.SetUps {
			places := 0
			for _, x := range s.Tools {
				places += x.PerLoad
				demand := 0.0
				for _, w := range p.SetUps[s.From-1] {
					if w.Pass == x.Pass && w.Place == x.Place {
						demand += float64(w.Hits) + w.Cut
					}
				}
				assert.LessOrEqual(t, demand*float64(s.Stacks), float64(x.Bought)*x.Life+0.1, "lot: %+v", x)
				assert.LessOrEqual(t, demand, float64(x.PerLoad)*x.Life+0.1, "load: %+v", x)
				assert.LessOrEqual(t, demand*float64(x.Keep), x.Life+0.1, "kept: %+v", x)
				assert.LessOrEqual(t, x.Keep, s.Loads, "kept: %+v", x)
			}
			assert.LessOrEqual(t, places, p.Machine.Places)
		}
	})
}

func TestCurveAndRefusalsCoverEveryHeight(t *testing.T) {
	plain := func(draw) stack.Options { return stack.Options{} }
	solvable(t, 13, 60, plain, func(seed uint64, p stack.Problem, _ stack.Options, r stack.Result) {
		seen := map[[2]int]int{}
		best := map[int]float64{}
		for _, c := range r.Curve {
			seen[[2]int{c.SetUp, c.Height}]++
			if b, ok := best[c.SetUp]; !ok || c.Cost < b {
				best[c.SetUp] = c.Cost
			}
		}
		for _, f := range r.Refused {
			seen[[2]int{f.SetUp, f.Height}]++
			assert.NotEmpty(t, f.Rule)
			assert.NotEmpty(t, f.Detail)
		}
		for k, s := range r.SetUps {
			for h := 1; h <= p.Rules.Stack.MaxHeight; h++ {
				assert.Equal(t, 1, seen[[2]int{k + 1, h}], "set-up %d, %d high", k+1, h)
			}
			assert.InDelta(t, best[k+1], s.Cost.Total, 1e-9, "the chosen height is the lowest of its curve")
		}
		for _, c := range r.Curve {
			one := p
			one.SetUps = p.SetUps[c.SetUp-1 : c.SetUp]
			forced, err := stack.Solve(context.Background(), one, stack.Options{Height: c.Height})
			require.NoError(t, err)
			assert.Equal(t, c.Height, forced.SetUps[0].Height)
			assert.InDelta(t, c.Cost, forced.Cost.Total, 1e-9)
			assert.Equal(t, c.Time, forced.Cost.LotTime)
			assert.Equal(t, c.Loads, forced.SetUps[0].Loads)
			bought := 0
			for _, x := range forced.SetUps[0].Tools {
				bought += x.Bought
			}
			assert.Equal(t, c.Tools, bought)
		}
		for _, f := range r.Refused {
			if f.Rule == stack.RuleLot {
				continue
			}
			one := p
			one.SetUps = p.SetUps[f.SetUp-1 : f.SetUp]
			_, err := stack.Solve(context.Background(), one, stack.Options{Height: f.Height})
			require.ErrorIs(t, err, stack.ErrInfeasible, "seed %d: %d high was refused: %s", seed, f.Height, f.Detail)
		}
	})
}

func TestLargerLotsCostNoMoreAPieceWhereLoadsAreFull(t *testing.T) {
	checked := 0
	for seed := range uint64(120) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 14)), diameters: 4, setUps: 2, heights: 4}
		p := d.problem()
		p.Lot = p.Machine.Spindles * 12 * (1 + d.IntN(3)) // full loads at 1, 2, 3 and 4 high
		o := anyOptions(d)
		o.Objective = stack.LeastCost
		one, err := stack.Solve(context.Background(), p, o)
		if err != nil || slices.ContainsFunc(one.SetUps, func(s stack.SetUp) bool { return s.Short > 0 || s.Last < s.Spindles }) {
			continue
		}
		for _, k := range []int{2, 3, 7} {
			q := p
			q.Lot = k * p.Lot
			many, err := stack.Solve(context.Background(), q, o)
			require.NoError(t, err, "seed %d", seed)
			// A tool carried on past what was the end of a lot may be changed in
			// mid load there, once a lot and tool; else nothing is lost.
			carried := 0.0
			if o.Mode == stack.Spares {
				for _, works := range p.SetUps {
					for _, w := range works {
						carried += float64(k-1) * (p.Machine.Change + p.Machine.SpinUp + w.Trip).Hours() * p.Machine.Rate
					}
				}
			}
			if many.Cost.Total > float64(k)*one.Cost.Total+carried+1e-6 {
				t.Errorf("seed %d: %d lots of %d cost %.6f, one %d times as large %.6f", seed, k, p.Lot, float64(k)*one.Cost.Total, k, many.Cost.Total)
			}
			checked++
		}
	}
	require.Greater(t, checked, 150)
}
