package stack_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

// An empty mode is split, and a set-up holds the passes it was asked for.
func TestTheZeroModeIsSplit(t *testing.T) {
	p := greenhouse(t)
	require.NoError(t, p.Validate())
	zero, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	named, err := stack.Solve(context.Background(), p, stack.Options{Mode: stack.Split})
	require.NoError(t, err)
	require.Equal(t, named.Cost, zero.Cost)
	for k, s := range zero.SetUps {
		for _, w := range p.SetUps[k] {
			require.True(t, s.Has(w.Pass), w.Pass)
		}
		require.False(t, s.Has("no such pass"))
	}
	p.Lot = 0
	require.Error(t, p.Validate())
}
