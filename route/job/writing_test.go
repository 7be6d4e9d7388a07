package job_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
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
			wrote, report, err := p.Write(context.Background(), dir, job.WriteOptions{Program: c.o})
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
	_, _, err := p.Write(context.Background(), t.TempDir(), job.WriteOptions{Program: nc.WriteOptions{Compensated: true}})
	require.ErrorIs(t, err, route.ErrCompensation, "its cut-out has sharp corners")
	_, _, err = p.Write(context.Background(), t.TempDir(), job.WriteOptions{Program: nc.WriteOptions{MaxBytes: 1000}})
	require.ErrorIs(t, err, nc.ErrLimit, "the work of one bit alone is longer")
}

// The shop's map of its magazine gives the T numbers, and what it lacks is
// refused before anything is written.
func TestToolsStandInTheirPlaces(t *testing.T) {
	s := newSmall()
	plain := plan(t, load(t, s))
	var shelf []string
	number := 60 // high places first, so that no number is one of its own accord
	for _, d := range plain.Drill {
		for _, r := range d.Runs {
			for range r.Bits {
				shelf = append(shelf, fmt.Sprintf(`{"place": %d, "tool": %q}`, number, r.Tool.ID))
				number--
			}
		}
	}
	short := s
	short.job = strings.Replace(s.job, `"boards":`, `"magazine": [`+strings.Join(shelf, ", ")+`], "boards":`, 1)
	_, err := job.Make(context.Background(), load(t, short), job.Options{})
	var me *machine.MagazineError
	require.ErrorAs(t, err, &me, "there is no cutter in it")
	require.ErrorIs(t, err, machine.ErrMagazine)
	for _, r := range plain.Rout[0].Runs {
		for range r.Cutters {
			shelf = append(shelf, fmt.Sprintf(`{"place": %d, "tool": %q}`, number, r.Tool.ID))
			number--
		}
	}
	s.job = strings.Replace(s.job, `"boards":`, `"magazine": [`+strings.Join(shelf, ", ")+`], "boards":`, 1)
	p := plan(t, load(t, s))
	wrote := programs(t, p)
	for i, f := range wrote {
		back, err := nc.Parse(f.Text, nc.ReadOptions{})
		require.NoError(t, err)
		for _, def := range back.Tools {
			require.Greater(t, def.Number, number)
		}
		old, err := nc.Parse(programs(t, plain)[i].Text, nc.ReadOptions{})
		require.NoError(t, err)
		notes, err := nc.Compare(old, back, 1e-6)
		require.NoError(t, err)
		require.Empty(t, notes, "other numbers, the same holes")
	}
	require.Contains(t, string(wrote[0].Text), "tools T5")
	bad := newSmall()
	bad.job = strings.Replace(bad.job, `"boards":`, `"magazine": [{"place": 0, "tool": "x"}], "boards":`, 1)
	_, err = job.Load(bad.files(), "job.json")
	require.ErrorIs(t, err, tooling.ErrValue)
	require.ErrorContains(t, err, "magazine[0].place")
}
