package job_test

import (
	"context"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// A panel that has moved, and one that lies turned or face down: the programs
// of the set-up follow, pass their checks, and say so, and so does the report
// that the sheet shows.
func TestTheChangeStandsInProgramAndSheet(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	from := []orb.Point{{5, 5}, {115, 5}, {115, 95}, {5, 95}}
	to := make([]orb.Point, len(from))
	for i, q := range from {
		to[i] = orb.Point{q[0]*1.0002 - q[1]*0.0003 + 0.05, q[1]*1.0002 + q[0]*0.0003 - 0.02}
	}
	fit, err := tooling.FitSimilarity(from, to)
	require.NoError(t, err)
	moved, err := p.Adjust(2, fit, 0.05)
	require.NoError(t, err)
	turned, err := moved.Framed(2, tooling.Frame{Datum: orb.Point{60, 50}, Quarters: 1, FaceDown: true})
	require.NoError(t, err)
	told := func(r tooling.Report, rule string) string {
		for _, f := range r {
			if f.Rule == rule {
				return f.Detail
			}
		}
		return ""
	}
	require.Empty(t, told(p.Report, "panel-moved"), "the plan itself is not changed")
	require.Equal(t, fit.String(), told(turned.Report, "panel-moved"))
	require.Contains(t, told(turned.Report, "frame"), "face down")
	wrote, report, err := turned.Write(context.Background(), t.TempDir(), job.WriteOptions{})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	for i, f := range wrote {
		other := f.SetUp == 2
		require.Equal(t, other, strings.Contains(string(f.Text), fit.String()), f.File)
		require.Equal(t, other, strings.Contains(string(f.Text), "face down, mirrored left to right"), f.File)
		require.Equal(t, other, string(f.Text) != string(programs(t, p)[i].Text))
	}
	_, err = p.Adjust(9, fit, 0)
	require.ErrorIs(t, err, tooling.ErrValue)
	_, err = p.Framed(2, tooling.Frame{Quarters: 7})
	require.Error(t, err)
	fit.Worst = 1
	_, err = p.Adjust(2, fit, 0.05)
	require.ErrorIs(t, err, tooling.ErrTargets)
}
