package tooling_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

func TestNumbers(t *testing.T) {
	for want, list := range map[string][]int{
		"no tool":                {},
		"tool T4":                {4, 4},
		"tools T1 to T2":         {2, 1},
		"tools T1 to T4, T9":     {4, 2, 1, 3, 9},
		"tools T3, T7, T9":       {9, 3, 7},
		"tools T1, T2, T5":       {1, 2, 5},
		"tools T1 to T3, T6, T8": {8, 6, 1, 2, 3},
	} {
		require.Equal(t, want, tooling.Numbers("tool", "T", list))
	}
}
