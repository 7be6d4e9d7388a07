package job_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Every way of writing goes from the job's options through the passes to the
// files, each checked as it was asked for.
func TestAJobIsWrittenAsAsked(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	for name, c := range map[string]struct {
		o     nc.WriteOptions
		files int
		has   string
	}{
		"inch":          {nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}}, 3, "\nINCH\n"},
		"without feeds": {nc.WriteOptions{NoFeeds: true}, 3, tooling.NoFeedsText},
		"canned slots":  {nc.WriteOptions{Slots: nc.SlotG85}, 3, "G85"},
		"routed slots":  {nc.WriteOptions{Slots: nc.SlotRout}, 3, "M15"},
		"words, table":  {nc.WriteOptions{Words: []string{"FMAT,2", "ATC,ON"}, Table: nc.TableByDiameter, Index: true}, 3, "\nT0202\n"},
		"rows":          {nc.WriteOptions{Rows: true, Patterns: true}, 3, "M48"},
		"split":         {nc.WriteOptions{MaxBytes: 3000}, 0, "carried on, the same stack stays pinned"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			wrote, report, err := p.Write(dir, c.o)
			require.NoError(t, err)
			require.NoError(t, report.Err())
			if c.files == 0 {
				require.Greater(t, len(wrote), 3, "some pass is split")
				c.files = len(wrote)
			}
			require.Len(t, wrote, c.files)
			seen := false
			for _, f := range wrote {
				if c.o.MaxBytes > 0 {
					require.LessOrEqual(t, len(f.Text), c.o.MaxBytes, f.File)
				}
				seen = seen || strings.Contains(string(f.Text), c.has)
			}
			require.True(t, seen)
			kept, err := os.ReadDir(dir)
			require.NoError(t, err)
			require.Len(t, kept, c.files)
		})
	}
	_, _, err := p.Write(t.TempDir(), nc.WriteOptions{Compensated: true})
	require.ErrorIs(t, err, route.ErrCompensation, "its cut-out has sharp corners")
	_, _, err = p.Write(t.TempDir(), nc.WriteOptions{MaxBytes: 1000})
	require.ErrorIs(t, err, nc.ErrLimit, "the work of one bit alone is longer")
}
