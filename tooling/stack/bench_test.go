package stack_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// wide is an invented lot of one set-up that drills n diameters, thin panels
// so that many heights are open.
func wide(tb testing.TB, n, heights int) stack.Problem {
	tb.Helper()
	m, ok := machine.Preset("ball screw")
	require.True(tb, ok)
	p := stack.Problem{
		Lot: 500, Panel: tooling.Panel{Thickness: 0.5, Material: tooling.FR4}, Rules: tooling.DefaultRules(), Machine: m,
		SetUps: make([][]stack.Work, 1),
	}
	p.Rules.Stack.MaxHeight = heights
	bits := 0
	for _, t := range tooling.DefaultCrib().Tools {
		if t.Kind != tooling.Bit || t.Diameter < 0.25 || bits == n {
			continue
		}
		p.SetUps[0] = append(p.SetUps[0], stack.Work{
			Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Tool: t, Place: bits + 1,
			Hits: 200 + 137*bits%2400, Travel: time.Duration(20+bits) * time.Second, Changes: 1, Trip: time.Second,
		})
		bits++
	}
	require.Equal(tb, n, bits)
	return p
}

// between is a due time half way from the fastest to the cheapest plan.
func between(tb testing.TB, p stack.Problem, o stack.Options) time.Duration {
	tb.Helper()
	o.Due = 0
	cheap, err := stack.Solve(context.Background(), p, o)
	require.NoError(tb, err)
	o.Objective = stack.LeastTime
	fast, err := stack.Solve(context.Background(), p, o)
	require.NoError(tb, err)
	return (cheap.Cost.LotTime + fast.Cost.LotTime) / 2
}

// Past some hundred mixes of speeds the plan still keeps its limits, is no
// dearer than any single speed allows, and says that it may not be the best.
func TestTooManyMixesOfSpeedsAreSaid(t *testing.T) {
	p := wide(t, 36, 6)
	o := stack.Options{Taylor: tooling.Taylor{N: 0.25, C: 200}, Speeds: []float64{1, 0.93, 0.86, 0.8}}
	free, err := stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	require.False(t, free.Thinned, "no limit binds the tools together")
	o.Due = between(t, p, o)
	r, err := stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	require.True(t, r.Thinned)
	require.LessOrEqual(t, r.Cost.LotTime, o.Due)
	require.GreaterOrEqual(t, r.Cost.Total, free.Cost.Total)
	one := o
	one.Speeds = nil
	plain, err := stack.Solve(context.Background(), p, one)
	require.NoError(t, err)
	require.LessOrEqual(t, r.Cost.Total, plain.Cost.Total)

	// A few tools: every mix that may be best is kept.
	p = wide(t, 12, 6)
	o.Due = 0
	o.Due = between(t, p, o)
	r, err = stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	require.False(t, r.Thinned)
}

func BenchmarkSolve(b *testing.B) {
	ctx := context.Background()
	for _, o := range []struct {
		name    string
		options stack.Options
	}{
		{"split", stack.Options{}},
		{"spares", stack.Options{Mode: stack.Spares}},
		{"tiers", stack.Options{Tiers: 40}},
		{"tiers=3", stack.Options{Tiers: 3}},
		{"tiers-spares", stack.Options{Tiers: 40, Mode: stack.Spares}},
		{"front", stack.Options{Front: true}},
		{"front-tiers=3", stack.Options{Front: true, Tiers: 3}},
		{"speeds", stack.Options{Taylor: tooling.Taylor{N: 0.25, C: 200}, Speeds: []float64{1, 0.9, 0.8}}},
		{"speeds-due", stack.Options{Taylor: tooling.Taylor{N: 0.25, C: 200}, Speeds: []float64{1, 0.9, 0.8}, Due: 1}},
	} {
		for _, n := range []int{10, 40} {
			b.Run(fmt.Sprintf("%s/n=%d", o.name, n), func(b *testing.B) {
				p := wide(b, n, 10)
				if o.options.Due > 0 {
					o.options.Due = between(b, p, o.options)
				}
				b.ReportAllocs()
				var r stack.Result
				for b.Loop() {
					var err error
					if r, err = stack.Solve(ctx, p, o.options); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(r.Cost.PerPanel, "cost/panel")
				b.ReportMetric(r.Cost.LotTime.Seconds(), "job-s")
			})
		}
	}
}
