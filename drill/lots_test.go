package drill_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// solved mounts the passes in the set-ups of a lot, tiers one after another.
func solved(t *testing.T, in drill.Input, lot int, o stack.Options) [][]drill.Pass {
	t.Helper()
	passes := plan(t, in)
	p := stack.Problem{Lot: lot, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine}
	for _, q := range passes {
		p.SetUps = append(p.SetUps, q.Work())
	}
	r, err := stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	out := make([][]drill.Pass, len(passes))
	for i, q := range passes {
		for _, s := range r.SetUps {
			if !s.Has(q.Name) {
				continue
			}
			m, err := q.Mount(s, in.Machine)
			require.NoError(t, err)
			out[i] = append(out[i], m)
		}
	}
	return out
}

// Bits that the control counts carry their wear from load to load; the loads
// together take what the lot takes, and the text is what was planned.
func TestSparesCarryWearFromLoadToLoad(t *testing.T) {
	in := small()
	for _, tiers := range solved(t, in, 240, stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}) {
		p := tiers[0]
		require.True(t, drill.Check(in, p, parse(t, textOf(t, p, nc.WriteOptions{}))).OK())
		var sum time.Duration
		for n := 1; n <= p.SetUp.Loads; n++ {
			load, err := p.Load(n)
			require.NoError(t, err)
			for i, r := range load.Runs {
				made := 0
				for k, b := range r.Bits {
					made += b.Hits
					require.True(t, r.Limit == 0 || b.Worn+b.Hits <= r.Limit, "load %d run %d bit %d: %d worn, %d hits, limit %d", n, i+1, k, b.Worn, b.Hits, r.Limit)
				}
				require.Equal(t, len(r.Hits), made, "load %d run %d", n, i+1)
			}
			e, err := load.Estimate(in.Machine)
			require.NoError(t, err)
			sum += e.Total()
		}
		lot, err := p.Lot(in.Machine)
		require.NoError(t, err)
		require.InDelta(t, lot.Total().Seconds(), sum.Seconds(), 1e-3*sum.Seconds())
		_, err = p.Load(p.SetUp.Loads + 1)
		require.ErrorIs(t, err, drill.ErrSetUp)
	}
	_, err := drill.Pass{}.Load(1)
	require.ErrorIs(t, err, drill.ErrUnmounted)
}

// Tiers make every hole once over all of them; one left out is found.
func TestTiersAreCheckedTogether(t *testing.T) {
	in := small()
	in.Machine.Load = 0
	s := &in.Rules.Stack
	s.EntryPrice, s.BackupPrice, s.SetUpLabour, s.StackLabour = 0, 0, 0, 0
	cut := 0
	for _, tiers := range solved(t, in, 240, stack.Options{Tiers: 3}) {
		var texts []*nc.Program
		for _, p := range tiers {
			texts = append(texts, parse(t, textOf(t, p, nc.WriteOptions{})))
		}
		report := drill.CheckTiers(in, tiers, texts)
		require.NoError(t, report.Err())
		require.Error(t, drill.CheckTiers(in, tiers, texts[:len(texts)-1]).Err())
		if len(tiers) > 1 {
			cut++
			swapped := append([]*nc.Program{texts[len(texts)-1]}, texts[:len(texts)-1]...)
			require.Error(t, drill.CheckTiers(in, tiers, swapped).Err(), "each program belongs to its tier")
		}
	}
	require.Positive(t, cut, "no pass was cut into tiers")
}
