package stack_test

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

func TestZeroValues(t *testing.T) {
	_, err := stack.Solve(context.Background(), stack.Problem{}, stack.Options{})
	var list tooling.InputErrors
	require.ErrorAs(t, err, &list)
	assert.NoError(t, stack.Options{}.Validate())
	_, ok := stack.SetUp{}.Share("plated", 1)
	assert.False(t, ok)
	assert.Equal(t, 0, stack.SetUp{}.FirstPlace("plated", 1))
	assert.Equal(t, "stack: no height is feasible", (&stack.InfeasibleError{}).Error())
	text, err := json.Marshal(stack.SetUp{})
	require.NoError(t, err)
	assert.Contains(t, string(text), `"load_seconds":0,`)
}
