package stack_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

func TestTiersKeepTightHolesInOnePinning(t *testing.T) {
	p := greenhouse(t)
	p.Machine.Load = 0 // a shop that pins for next to nothing
	p.Rules.Stack.EntryPrice, p.Rules.Stack.BackupPrice, p.Rules.Stack.StackLabour, p.Rules.Stack.SetUpLabour = 0, 0, 0, 0
	o := stack.Options{Tiers: 3}
	r, err := stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	require.Greater(t, len(r.SetUps), 2, "0.35 mm two high, the others higher")
	for _, s := range r.SetUps[:len(r.SetUps)-1] {
		assert.Equal(t, 1, s.From)
	}
	last := r.SetUps[len(r.SetUps)-1]
	_, ok := last.Share("rout", 2)
	assert.True(t, ok, "rout joins the last set-up")

	p.SetUps[0][1].Tolerance = 0.05
	r, err = stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	assert.Len(t, r.SetUps, 2)
	k := slices.IndexFunc(r.Refused, func(f stack.Refusal) bool { return f.Rule == stack.RuleSecond })
	require.GreaterOrEqual(t, k, 0)
	assert.Contains(t, r.Refused[k].Detail, "0.050 mm")

	o.SecondPass = 0.04 // a shop that pins better
	r, err = stack.Solve(context.Background(), p, o)
	require.NoError(t, err)
	assert.Greater(t, len(r.SetUps), 2)
}

func TestTiersThatSaveNothingAreNotCut(t *testing.T) {
	p := greenhouse(t)
	p.SetUps = p.SetUps[:1]
	p.Machine.Load, p.Machine.Rate, p.Machine.Spindles = 0, 0, 1
	p.Rules.Stack.EntryPrice, p.Rules.Stack.BackupPrice, p.Rules.Stack.StackLabour, p.Rules.Stack.SetUpLabour = 0, 0, 0, 0
	p.Rules.Stack.MaxHeight = 1
	r, err := stack.Solve(context.Background(), p, stack.Options{Tiers: 3})
	require.NoError(t, err)
	assert.Len(t, r.SetUps, 1, "three tiers cost and take the same")
	require.NotNil(t, r.RunnerUp)
	assert.InDelta(t, r.Cost.Total, r.RunnerUp.Cost.Total, 1e-9)
}
