package stack_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

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
	assert.Contains(t, r.Limits[0].Detail, "0.250 mm: depth 12:1 allows 1; pecked, the flute allows 2 (")
	assert.Equal(t, stack.RuleFlute, r.Limits[0].Rule)
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
	p.Rules.Stack.Wander = 0
	r, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, r.SetUps[0].Height)
	p = greenhouse(t)
	p.Rules.Stack.Position = 0.030 // of every drilled hole
	r, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 1, r.SetUps[0].Height)
}

func TestOpeningRefusesStacksThatDoNotPass(t *testing.T) {
	p := greenhouse(t)
	p.Machine.Opening = 2.5 + 2*p.Panel.Thickness + 0.15 + 1.5
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, r.SetUps[0].Height)
	p.Machine.Opening -= 0.01
	r, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Equal(t, 1, r.SetUps[0].Height)
	k := slices.IndexFunc(r.Refused, func(f stack.Refusal) bool { return f.SetUp == 1 && f.Height == 2 })
	require.GreaterOrEqual(t, k, 0)
	assert.Equal(t, stack.RuleOpening, r.Refused[k].Rule)
	assert.Contains(t, r.Refused[k].Detail, "7.35 mm from the table to the tip over the entry at 2 high, expected at most the machine's opening of 7.34 mm")
}

func TestPeckedBitsLiveLess(t *testing.T) {
	p := greenhouse(t)
	p.Panel.Thickness = 1.6
	p.SetUps = [][]stack.Work{{p.SetUps[0][0]}}
	p.SetUps[0][0].Tool = crib(t, "B0.25")[0]
	p.SetUps[0][0].Tool.Flute = 4.4
	lives := map[float64]float64{}
	for _, share := range []float64{0, 1, 0.5} {
		p.Rules.Stack.PeckLife = share
		r, err := stack.Solve(context.Background(), p, stack.Options{Height: 2})
		require.NoError(t, err)
		lives[share] = r.SetUps[0].Tools[0].Life
	}
	assert.Equal(t, lives[1], lives[0])
	assert.InDelta(t, lives[1]/2, lives[0.5], 1)
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
