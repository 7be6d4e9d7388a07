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
	} {
		for _, n := range []int{10, 40} {
			b.Run(fmt.Sprintf("%s/n=%d", o.name, n), func(b *testing.B) {
				p := wide(b, n, 10)
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
