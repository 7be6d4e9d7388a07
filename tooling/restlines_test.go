package tooling_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

func TestRestLines(t *testing.T) {
	stops := []string{"after hit 20 of run 1", "after hit 7 of run 2", "after hit 0 of run 1"}
	require.Equal(t, []string{
		"rest 3 of the pass after hit 0 of run 1 of rest 2, 2 hits made again, 1 hole left out",
		"rest 1 was that after hit 20 of run 1", "rest 2 was that after hit 7 of run 2 of rest 1",
	}, tooling.RestLines(stops, "2 hits made again", "1 hole"))
}

func ExampleRestLines() {
	for _, line := range tooling.RestLines([]string{"after hit 20 of run 1"}, "0 hits made again", "1 hole") {
		fmt.Println(line)
	}
	// Output:
	// rest of the pass after hit 20 of run 1, 0 hits made again, 1 hole left out
}
