package stack_test

import (
	"context"
	"testing"
	"time"

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
