package drill_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
)

// Zero options search with the stated effort.
func TestZeroOptionsSearchTheDefaultEffort(t *testing.T) {
	in := small()
	zero, err := drill.Plan(context.Background(), in, drill.Options{})
	require.NoError(t, err)
	named, err := drill.Plan(context.Background(), in, drill.Options{Tour: tour.Options{Kicks: drill.DefaultKicks}})
	require.NoError(t, err)
	require.Equal(t, named, zero)
}
