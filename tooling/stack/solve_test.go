package stack_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

func TestSolvePlansTheGreenhousePanel(t *testing.T) {
	r, err := stack.Solve(context.Background(), greenhouse(t), stack.Options{})
	require.NoError(t, err)
	require.Len(t, r.SetUps, 2)
	one, two := r.SetUps[0], r.SetUps[1]
	// 0.35 mm with 5.5 mm of flute: 0.15 + 2 x 1.6 + 0.28 + 0.5 fits, one more panel does not.
	assert.Equal(t, 2, one.Height)
	assert.Equal(t, 20, one.Loads)
	assert.Equal(t, 120, one.Stacks)
	assert.Equal(t, 4, two.Height)
	bit, ok := one.Share("plated", 1)
	require.True(t, ok)
	// 2000 hits of life, 1800 a load: a bit a stack.
	assert.Equal(t, 120, bit.Bought)
	_, ok = one.Share("plated", 9)
	assert.False(t, ok)
	require.NotNil(t, r.RunnerUp)
	assert.Greater(t, r.RunnerUp.Cost.Total, r.Cost.Total)
}
