package stack_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// best tries everything and returns the least value of the objective; set-ups
// and tiers are independent of each other where nothing is shared.
func (q oracle) best() (value float64, ok bool) {
	for _, works := range q.p.SetUps {
		least := math.Inf(1)
		for _, tiers := range q.splits(works) {
			sum := 0.0
			for _, tier := range tiers {
				one := math.Inf(1)
				for _, t := range q.trials(tier) {
					one = min(one, q.value(t))
				}
				sum += one
			}
			least = min(least, sum)
		}
		value += least
	}
	return value, !math.IsInf(value, 1)
}

func (q oracle) value(t trial) float64 {
	if q.o.Objective == stack.LeastTime {
		return t.seconds
	}
	return t.cost + q.o.HourPrice*t.seconds/3600
}

func value(c stack.Cost, o stack.Options) float64 {
	if o.Objective == stack.LeastTime {
		return c.LotTime.Seconds()
	}
	return c.Total + o.HourPrice*c.LotTime.Hours()
}

// near is 1e-9 relative, and the rounding of cost to billionths below 1.
func near(t *testing.T, want, got float64, format string, args ...any) {
	t.Helper()
	if math.Abs(want-got) > 1e-9*max(math.Abs(want), 10) {
		t.Errorf(format+": got %.12g, want %.12g", append(args, got, want)...)
	}
}

// agree solves and compares with everything tried.
func agree(t *testing.T, seed uint64, p stack.Problem, o stack.Options) (feasible bool) {
	t.Helper()
	want, ok := oracle{p, o}.best()
	got, err := stack.Solve(context.Background(), p, o)
	if !ok {
		var none *stack.InfeasibleError
		if !errors.As(err, &none) || len(none.Refused) == 0 {
			t.Errorf("seed %d: nothing is feasible, Solve says %v", seed, err)
		}
		return false
	}
	if err != nil {
		t.Errorf("seed %d: %v, want %g", seed, err, want)
		return false
	}
	near(t, want, value(got.Cost, o), "seed %d %+v", seed, o)
	return true
}

func TestSolveIsAsGoodAsTryingEverything(t *testing.T) {
	rounds := uint64(250)
	if testing.Short() {
		rounds = 60
	}
	feasible, tiered := 0, 0
	for seed := range rounds {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 1)), diameters: 8, setUps: 2, heights: 4}
		p := d.problem()
		o := stack.Options{Tiers: d.IntN(10), HourPrice: d.pick(0, 0, 100)}
		if d.IntN(3) == 0 {
			o.Objective = stack.LeastTime
		}
		if d.IntN(2) == 0 {
			o.Mode = stack.Spares
		}
		if d.IntN(6) == 0 {
			o.Policy = stack.Fresh
		}
		if d.IntN(6) == 0 {
			o.Height = 1 + d.IntN(4)
		}
		if agree(t, seed, p, o) {
			feasible++
		}
		if r, err := stack.Solve(context.Background(), p, o); err == nil && len(r.SetUps) > len(p.SetUps) {
			tiered++
		}
	}
	t.Logf("%d of %d feasible, %d in tiers", feasible, rounds, tiered)
	require.Greater(t, feasible, int(rounds)/2, "the draw should mostly make shops that can work")
	require.Greater(t, tiered, int(rounds)/20, "tiers should pay now and then")
}

func TestSolveChoosesSpeedsAsGoodAsTryingEverything(t *testing.T) {
	for seed := range uint64(60) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 2)), diameters: 2, setUps: 2, heights: 3}
		p := d.problem()
		p.Machine.Places = 10_000 // speeds are chosen by price alone
		o := stack.Options{Taylor: tooling.Taylor{N: d.between(0.1, 0.5), C: 200}, Speeds: []float64{1, 0.9, 0.75, 0.5}, HourPrice: d.pick(0, 40)}
		if d.IntN(3) == 0 {
			o.Objective = stack.LeastTime
		}
		agree(t, seed, p, o)
	}
}

// whole is a complete plan of the oracle.
type whole struct {
	cost, seconds float64
	bought        map[string]int
}

// plans lists all complete plans, for small problems.
func (q oracle) plans() []whole {
	all := []whole{{}}
	add := func(to []whole, tier []stack.Work) (out []whole) {
		trials := q.trials(tier)
		for _, a := range to {
			for _, t := range trials {
				w := whole{a.cost + t.cost, a.seconds + t.seconds, map[string]int{}}
				for _, m := range []map[string]int{a.bought, t.bought} {
					for id, n := range m {
						w.bought[id] += n
					}
				}
				out = append(out, w)
			}
		}
		return out
	}
	for _, works := range q.p.SetUps {
		var next []whole
		for _, tiers := range q.splits(works) {
			part := all
			for _, tier := range tiers {
				part = add(part, tier)
			}
			next = append(next, part...)
		}
		all = next
	}
	return all
}

func TestSolveKeepsSharedLimits(t *testing.T) {
	keepsLimits(t, 3, func(d draw) (stack.Problem, stack.Options) {
		p := d.problem()
		p.Machine.Rate, p.Machine.Spindles = d.pick(1, 60), 1+d.IntN(2) // every pair of ways to run two set-ups is tried
		return p, stack.Options{Tiers: d.IntN(3), Mode: stack.Spares}
	})
}

// Speeds are mixed as well as by trying every mix where a due time, a stock or
// the magazine binds them together.
func TestSolveMixesSpeedsWithinSharedLimits(t *testing.T) {
	keepsLimits(t, 4, func(d draw) (stack.Problem, stack.Options) {
		d.heights = 2
		p := d.problem()
		p.Machine.Rate, p.Machine.Spindles = d.pick(1, 20, 60), 1
		p.Machine.Places = 2 + d.IntN(8)
		o := stack.Options{Tiers: d.IntN(2), Taylor: tooling.Taylor{N: d.between(0.1, 0.5), C: 200}, Speeds: []float64{1, 0.8, 0.5}}
		return p, o
	})
}

// The magazine alone may ask for slower bits than their price does.
func TestSolveMixesSpeedsWithinTheMagazine(t *testing.T) {
	bound := 0
	for seed := range uint64(150) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 6)), diameters: 3, setUps: 1, heights: 2}
		p := d.problem()
		p.Machine.Rate = d.pick(60, 200)
		for i := range p.SetUps[0] { // several bits a load
			if w := &p.SetUps[0][i]; w.Tool.Kind == tooling.Bit {
				w.Hits, w.Pieces = 4*w.Hits, nil
			}
		}
		o := stack.Options{Tiers: d.IntN(3), Taylor: tooling.Taylor{N: d.between(0.2, 0.5), C: 200}, Speeds: []float64{1, 0.8, 0.6}}
		p.Machine.Places = 10_000
		free, err := stack.Solve(context.Background(), p, o)
		if err != nil {
			continue
		}
		places := 0
		for _, u := range free.SetUps {
			n := 0
			for _, s := range u.Tools {
				n += s.PerLoad
			}
			places = max(places, n)
		}
		p.Machine.Places = max(1, places-1-d.IntN(3))
		if agree(t, seed, p, o) {
			bound++
			r, err := stack.Solve(context.Background(), p, o)
			require.NoError(t, err)
			require.False(t, r.Thinned)
		}
	}
	t.Logf("%d lots bound by the magazine", bound)
	require.Greater(t, bound, 40)
}

func keepsLimits(t *testing.T, stream uint64, make func(draw) (stack.Problem, stack.Options)) {
	met, missed := 0, 0
	for seed := range uint64(240) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, stream)), diameters: 2, setUps: 2, heights: 3}
		p, o := make(d)
		plans := oracle{p, o}.plans()
		if len(plans) == 0 {
			continue
		}
		some := plans[d.IntN(len(plans))] // a plan that meets the limits, if not the cheapest
		limits := d.IntN(3)               // a due time, a stock, or both
		if limits != 1 {
			o.Due = time.Duration(some.seconds*1e9) + time.Millisecond
		}
		if limits != 0 {
			o.StockOnly = true
			stock := map[string]int{}
			for s := range p.SetUps {
				for i := range p.SetUps[s] {
					tool := &p.SetUps[s][i].Tool
					if _, ok := stock[tool.ID]; !ok {
						stock[tool.ID] = max(1, some.bought[tool.ID]-d.IntN(2))
					}
					tool.Stock = stock[tool.ID]
				}
			}
		}
		want := math.Inf(1)
		for _, w := range (oracle{p, o}).plans() {
			if o.Due > 0 && w.seconds > o.Due.Seconds() {
				continue
			}
			within := true
			for s := range p.SetUps {
				for _, one := range p.SetUps[s] {
					within = within && (!o.StockOnly || w.bought[one.Tool.ID] <= one.Tool.Stock)
				}
			}
			if within {
				want = min(want, w.cost)
			}
		}
		got, err := stack.Solve(context.Background(), p, o)
		if math.IsInf(want, 1) {
			missed++
			var none *stack.InfeasibleError
			require.ErrorAs(t, err, &none, "seed %d", seed)
			continue
		}
		met++
		require.NoError(t, err, "seed %d", seed)
		near(t, want, got.Cost.Total, "seed %d", seed)
	}
	t.Logf("limits met %d times, missed %d times", met, missed)
	require.Greater(t, met, 40)
	require.Greater(t, missed, 5)
}
