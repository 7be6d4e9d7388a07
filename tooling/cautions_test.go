package tooling_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

// A header has each caution once, whatever its owner put there, and the owner's
// lines stay as they are.
func TestWithCautions(t *testing.T) {
	all := tooling.Cautions()
	require.Equal(t, all, tooling.WithCautions(nil))
	own := slices.Clip([]string{"job tide-gauge", all[3]})
	got := tooling.WithCautions(own)
	require.Equal(t, own, got[:2])
	require.ElementsMatch(t, append([]string{"job tide-gauge"}, all...), got)
	require.Equal(t, got, tooling.WithCautions(got))
	require.Equal(t, []string{"job tide-gauge", all[3]}, own)
}
