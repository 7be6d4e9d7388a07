//go:build shared

package nc_test

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stripped takes statements out of a file.
var stripped = []struct {
	name string
	re   *regexp.Regexp
	with string
}{
	{"zeros", regexp.MustCompile(`(?m)^((INCH|METRIC),)(LZ|TZ)`), "$2"},
	{"digits in the header", regexp.MustCompile(`(?m),0+\.0+`), ""},
	{"format comments", regexp.MustCompile(`(?m)^;.*FORMAT.*$`), ";"},
	{"units", regexp.MustCompile(`(?m)^(INCH|METRIC|M71|M72).*$`), ";"},
}

// TestStrippedBoardsAreNeverMisread takes every statement of form out of the
// published boards, one kind after another and all sixteen combinations: what
// is left is read as before or refused as ambiguous, never read otherwise.
func TestStrippedBoardsAreNeverMisread(t *testing.T) {
	dir := sharedDir(t)
	names, err := filepath.Glob(filepath.Join(dir, "board-*"))
	require.NoError(t, err)
	require.Len(t, names, 14)
	read, refused, wrong := 0, 0, 0
	for _, name := range names {
		src, err := os.ReadFile(name)
		require.NoError(t, err)
		p, err := nc.Parse(src, nc.ReadOptions{})
		require.NoError(t, err)
		want, err := p.Summary()
		require.NoError(t, err)
		for mask := 1; mask < 1<<len(stripped); mask++ {
			cut, what := src, ""
			for k, s := range stripped {
				if mask&(1<<k) != 0 {
					cut = s.re.ReplaceAll(cut, []byte(s.with))
					what += " " + s.name
				}
			}
			if string(cut) == string(src) {
				continue
			}
			q, err := nc.Parse(cut, nc.ReadOptions{})
			if err != nil {
				var ae *nc.AmbiguousError
				if !errors.As(err, &ae) {
					require.ErrorIs(t, err, nc.ErrUnits, "%s without%s", filepath.Base(name), what)
				}
				refused++
				t.Logf("%s without%s is refused: %.300v", filepath.Base(name), what, err)
				continue
			}
			got, err := q.Summary()
			require.NoError(t, err)
			if !assert.Equal(t, want.Box, got.Box, "%s without%s is misread as %v %v %v: %v", filepath.Base(name), what, q.Units, q.Zeros, q.Digits, q.Notes) {
				wrong++
				continue
			}
			read++
		}
	}
	t.Logf("%d variants read as before, %d refused, %d misread", read, refused, wrong)
	assert.Greater(t, read, refused, "judging must be worth its while")
}
