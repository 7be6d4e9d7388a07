package stack_test

import (
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

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
	p.SetUps[0][0].Hits = 2800 // two bits a load, and a trip between them
	whole, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	w := p.SetUps[0][0]
	a, b := w, w
	a.Hits, a.Travel, a.Changes, a.Trip = 800, 50*time.Second, 0, 0
	b.Hits, b.Travel = 2000, 60*time.Second
	p.SetUps[0] = []stack.Work{a, p.SetUps[0][1], p.SetUps[0][2], b}
	parts, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Empty(t, cmp.Diff(whole, parts))

	a.Pieces = []float64{400, 400}
	b.Hits = 1000
	b.Tolerance = 0.08
	p.SetUps[0] = []stack.Work{a, b}
	parts, err = stack.Solve(context.Background(), p, stack.Options{Tiers: 2})
	require.NoError(t, err)
	assert.Equal(t, 1, parts.SetUps[0].Tools[0].PerLoad, "400 + 400 + 1000 hits of 2000")

	a.Hits, a.Pieces = 3800, []float64{1900, 1900}
	b.Hits = 2200
	p.SetUps[0] = []stack.Work{a, b}
	parts, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 4, parts.SetUps[0].Tools[0].PerLoad, "two slots of 1900, then holes: 100 with the second bit, 2000 with the third, 100 with a fourth")
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

func TestPathsAreRoundedUp(t *testing.T) {
	p := greenhouse(t)
	p.SetUps = p.SetUps[1:]
	for _, tc := range []struct {
		cut  float64
		want int
	}{{15_000, 1}, {15_000.0005, 2}} {
		p.SetUps[0][1].Cut = tc.cut
		r, err := stack.Solve(context.Background(), p, stack.Options{})
		require.NoError(t, err)
		require.Equal(t, 15_000.0, r.SetUps[0].Tools[1].Life)
		assert.Equal(t, tc.want, r.SetUps[0].Tools[1].PerLoad, "%.4f mm of a life of 15,000", tc.cut)
	}
}
