package tour_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/pinstack/drill/tour"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// uniform makes n points in a square of the given side.
func uniform(r *rand.Rand, n int, side float64) []orb.Point {
	ps := make([]orb.Point, n)
	for i := range ps {
		ps[i] = orb.Point{r.Float64() * side, r.Float64() * side}
	}
	return ps
}

func TestSameOrderOnAnyNumberOfCores(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 0))
	from := orb.Point{0, 0}
	for _, c := range []struct {
		name   string
		reason string
		p      tour.Problem
		kicks  float64
	}{
		{"closed", "a pool of tours and two rounds of crossing", tour.Problem{Items: tour.Points(uniform(r, 300, 100)), Closed: true}, 8},
		{"machine", "ties, slots and fixed ends", tour.Problem{Items: scatter(r, 150, false, true), Start: &from, End: &from, Metric: metrics()["machine"]}, 9},
		{"cut short", "the budget ends inside a part", tour.Problem{Items: tour.Points(uniform(r, 200, 100)), Closed: true, Metric: tour.Rounded()}, 1.77},
	} {
		t.Run(c.name, func(t *testing.T) {
			var first tour.Result
			for _, procs := range []int{1, 2, 8} {
				got, err := tour.Solve(context.Background(), c.p, tour.Options{Kicks: c.kicks, Seed: 3, Procs: procs})
				require.NoError(t, err)
				if procs == 1 {
					first = got
				} else if diff := cmp.Diff(got, first); diff != "" {
					t.Errorf("%d procs differ from 1 (%s) (-got +want):\n%s", procs, c.reason, diff)
				}
			}
		})
	}
}

// A run that the clock ended reports its kicks; the same kicks without a clock
// give the same order.
func TestReportedKicksReproduce(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 0))
	for _, n := range []int{200, 700} {
		p := tour.Problem{Items: tour.Points(uniform(r, n, 100)), Closed: true}
		for _, d := range []time.Duration{20 * time.Millisecond, 90 * time.Millisecond} {
			timed, err := tour.Solve(context.Background(), p, tour.Options{Time: d, Seed: 9, Procs: 2})
			require.NoError(t, err)
			require.Equal(t, tour.TimedOut, timed.Status)
			if timed.Kicks == 0 {
				continue // the machine was too busy for a single step
			}
			again, err := tour.Solve(context.Background(), p, tour.Options{Kicks: timed.Kicks, Seed: 9, Procs: 1})
			require.NoError(t, err)
			require.Equal(t, timed.Kicks, again.Kicks)
			if diff := cmp.Diff(again.Order, timed.Order); diff != "" {
				t.Errorf("n=%d after %v: %v kicks give another order (-again +timed):\n%s", n, d, timed.Kicks, diff)
			}
		}
	}
}

// counting is a context that cancels itself after a number of polls.
type counting struct {
	context.Context
	polls, after int
}

func (c *counting) Err() error {
	if c.polls++; c.polls > c.after {
		return context.Canceled
	}
	return nil
}

// Every phase polls, and no phase goes on for long after a yes: few polls come
// after it, and those only from the phases' own exits.
func TestCancelled(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 0))
	p := tour.Problem{Items: tour.Points(uniform(r, 120, 100)), Closed: true}
	full := &counting{Context: context.Background(), after: math.MaxInt}
	_, err := tour.Solve(full, p, tour.Options{Kicks: 10, Procs: 1, Bound: true})
	require.NoError(t, err)
	require.Greater(t, full.polls, 1000, "a search of 1,200 kicks must poll at least as often")
	for after := 0; after < full.polls; after += 1 + full.polls/16 {
		ctx := &counting{Context: context.Background(), after: after}
		got, err := tour.Solve(ctx, p, tour.Options{Kicks: 10, Procs: 1, Bound: true})
		require.ErrorIs(t, err, context.Canceled, "after %d polls", after)
		require.Equal(t, tour.Cancelled, got.Status)
		require.LessOrEqual(t, ctx.polls-after, 4, "polls after the cancel at %d", after)
		checkPermutation(t, p, got)
		if after == 0 {
			for i, v := range got.Order {
				require.EqualValues(t, i, v, "before a tour exists the answer is the input order")
			}
		}
	}
}

// Moving, mirroring or turning the board does not change what the order is worth.
func TestLengthSurvivesSymmetries(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 0))
	sizes := []int{5, 9, 12, 60, 250}
	if testing.Short() {
		sizes = sizes[:4]
	}
	for _, n := range sizes {
		for _, name := range []string{"euclid", "chebyshev", "alike"} {
			base := make([]orb.Point, n)
			for i := range base {
				base[i] = orb.Point{float64(r.IntN(4000)) / 8, float64(r.IntN(3000)) / 8}
			}
			length := func(f func(orb.Point) orb.Point) float64 {
				ps := make([]orb.Point, n)
				for i, q := range base {
					ps[i] = f(q)
				}
				got, err := tour.Solve(context.Background(), tour.Problem{Items: tour.Points(ps), Closed: true, Metric: metrics()[name]}, tour.Options{Kicks: 12})
				require.NoError(t, err)
				return got.Length
			}
			want := length(func(q orb.Point) orb.Point { return q })
			for how, f := range map[string]func(orb.Point) orb.Point{
				"moved":    func(q orb.Point) orb.Point { return orb.Point{q[0] + 64, q[1] - 256} },
				"mirrored": func(q orb.Point) orb.Point { return orb.Point{-q[0], q[1]} },
				"swapped":  func(q orb.Point) orb.Point { return orb.Point{q[1], q[0]} },
			} {
				got := length(f)
				if n <= 12 {
					require.Equal(t, want, got, "%d points, %s, %s", n, name, how)
				} else {
					require.InEpsilon(t, want, got, 0.01, "%d points, %s, %s", n, name, how)
				}
			}
		}
	}
}

// The length of a best closed tour over uniform points tends to
// 0.7124 sqrt(N A) (1 + 0.33/N) on the torus and to 0.7124 sqrt(N A) (1 + 0.8/sqrt(N))
// in a square, within a percent or so at this size (D. S. Johnson, L. A.
// McGeoch, E. E. Rothberg, Asymptotic experimental analysis for the Held-Karp
// traveling salesman bound, 1996, for the constant; the boundary term is fitted
// to the optima of the DIMACS challenge).
func TestUniformConstant(t *testing.T) {
	if testing.Short() {
		t.Skip("three thousand points; the short run has d493")
	}
	const n, side = 1000, 1000.0
	r := rand.New(rand.NewPCG(8, 0))
	var mean float64
	for range 3 {
		got, err := tour.Solve(context.Background(), tour.Problem{Items: tour.Points(uniform(r, n, side)), Closed: true}, tour.Options{Kicks: 3})
		require.NoError(t, err)
		mean += got.Length / 3
	}
	want := 0.7124 * math.Sqrt(n*side*side) * (1 + 0.8/math.Sqrt(n))
	require.InEpsilon(t, want, mean, 0.02, fmt.Sprintf("mean %.0f", mean))
}

func TestZeroValue(t *testing.T) {
	got, err := tour.Solve(context.Background(), tour.Problem{}, tour.Options{})
	require.NoError(t, err)
	require.Empty(t, got.Order)
	require.Zero(t, got.Length)
	require.Equal(t, tour.Optimal, got.Status)
	require.Zero(t, tour.Result{}.Gap())
	require.Equal(t, tour.Euclid(), tour.Metric{})
}

func TestRefused(t *testing.T) {
	nan := orb.Point{math.NaN(), 0}
	for _, c := range []struct {
		name string
		p    tour.Problem
		want string
	}{
		{"nan", tour.Problem{Items: []tour.Item{tour.Point(orb.Point{}), tour.Point(nan)}}, "item 1"},
		{"infinite", tour.Problem{Items: []tour.Item{{B: orb.Point{0, math.Inf(1)}}}}, "item 0"},
		{"huge", tour.Problem{Start: &orb.Point{1e300, 0}}, "the start"},
		{"end", tour.Problem{End: &nan}, "the end"},
	} {
		_, err := tour.Solve(context.Background(), c.p, tour.Options{})
		var at *tour.PointError
		require.ErrorAs(t, err, &at, c.name)
		require.ErrorContains(t, err, c.want, c.name)
	}
	_, err := tour.Solve(context.Background(), tour.Problem{Closed: true, End: &orb.Point{}}, tour.Options{})
	require.ErrorIs(t, err, tour.ErrClosedEnd)
	_, err = tour.Solve(context.Background(), tour.Problem{}, tour.Options{Kicks: math.NaN()})
	require.ErrorIs(t, err, tour.ErrOptions)
}

func TestProgress(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 0))
	p := tour.Problem{Items: tour.Points(uniform(r, 200, 100)), Closed: true}
	var seen []tour.Progress
	got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: 5, Progress: func(q tour.Progress) { seen = append(seen, q) }})
	require.NoError(t, err)
	require.NotEmpty(t, seen)
	for i := 1; i < len(seen); i++ {
		require.LessOrEqual(t, seen[i].Length, seen[i-1].Length)
		require.GreaterOrEqual(t, seen[i].Kicks, seen[i-1].Kicks)
	}
	require.InEpsilon(t, got.Length, seen[len(seen)-1].Length, 1e-9)
}

func TestStatusNames(t *testing.T) {
	for s, want := range map[tour.Status]string{
		tour.Done: "done", tour.Optimal: "optimal", tour.TimedOut: "timed out", tour.Cancelled: "cancelled", 77: "status 77",
	} {
		require.Equal(t, want, s.String())
	}
}
