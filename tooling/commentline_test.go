package tooling_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

func TestCommentLine(t *testing.T) {
	require.Equal(t, "a b  c d é µ~", tooling.CommentLine("a\nb\r\nc\x7fd é µ~"))
	require.Equal(t, "  ", tooling.CommentLine("\x00\x1f"))
}

func ExampleCommentLine() {
	fmt.Printf("; %s\n", tooling.CommentLine("tide-gauge,\ninvented"))
	// Output:
	// ; tide-gauge, invented
}
