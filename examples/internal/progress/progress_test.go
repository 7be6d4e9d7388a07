package progress

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// On a terminal the line is rewritten in its place and cleared at the end.
func TestLine(t *testing.T) {
	for _, c := range []struct {
		name     string
		done, of int
		n        int64
		want     string
	}{
		{"nothing yet", 0, 8, 0, "ordering plated    [                        ] 0 of 8, 0 hits"},
		{"a third", 1, 3, 48, "ordering plated    [========                ] 1 of 3, 48 hits"},
		{"all", 8, 8, 3305, "ordering plated    [========================] 8 of 8, 3305 hits"},
		{"none to do", 0, 0, 0, "ordering plated    [                        ] 0 of 0, 0 hits"},
		{"more than all", 9, 8, 1, "ordering plated    [========================] 9 of 8, 1 hits"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var shown strings.Builder
			l := Line{out: &shown}
			l.Pass("ordering", "hits")("plated", c.done, c.of, c.n)
			require.Equal(t, "\r\x1b[K"+c.want, shown.String())
			shown.Reset()
			l.Done()
			require.Equal(t, "\r\x1b[K", shown.String())
		})
	}
}

// Into a file or a pipe, as in a shop's own log, nothing is written.
func TestSilentUnlessOnATerminal(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "log"))
	require.NoError(t, err)
	defer file.Close()
	read, write, err := os.Pipe()
	require.NoError(t, err)
	defer read.Close()
	for _, f := range []*os.File{file, write, nil} {
		l := New(f)
		l.Say("reading %s", "job.json")
		l.Pass("ordering", "hits")("plated", 1, 2, 3)
		l.Done()
	}
	written, err := os.ReadFile(file.Name())
	require.NoError(t, err)
	require.Empty(t, written)
	require.NoError(t, write.Close())
	n, err := read.Read(make([]byte, 1))
	require.Zero(t, n, "read %v", err)
}

func TestATerminalIsWrittenTo(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	require.NoError(t, err)
	defer null.Close()
	require.NotNil(t, New(null).out, "a character device")
}
