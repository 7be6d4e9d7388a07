package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const panel = "../../testdata/panels/greenhouse-sensor/job.json"

// oneBoard is the panel with one board in place of twelve: a quote of it has all that one
// of the panel has, and takes a tenth of the time.
func oneBoard(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Dir(panel))))
	name := filepath.Join(dir, filepath.Base(panel))
	src, err := os.ReadFile(name)
	require.NoError(t, err)
	const twelve = `"columns": 4, "rows": 3, "step_mm": [106, 90]`
	require.Contains(t, string(src), twelve)
	require.NoError(t, os.WriteFile(name, bytes.Replace(src, []byte(", "+twelve), nil, 1), 0o644))
	return name
}

func printed(t *testing.T, job string, objective stack.Objective, asJSON bool, lots ...int) (string, []byte) {
	t.Helper()
	chart := filepath.Join(t.TempDir(), "out", "quote.svg")
	var out bytes.Buffer
	require.NoError(t, run(context.Background(), &out, job, options{lots, objective, chart, asJSON}))
	svg, err := os.ReadFile(chart)
	require.NoError(t, err)
	return out.String(), svg
}

func TestQuoteIsPrinted(t *testing.T) {
	text, svg := printed(t, panel, stack.LeastCost, false, 1, 5, 10, 50, 240, 1000)
	require.Contains(t, string(svg), "<svg")
	const golden = "testdata/quote.txt"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(text), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), text), "-want +got")
}

func TestQuoteAddsUp(t *testing.T) {
	job := oneBoard(t)
	text, svg := printed(t, job, stack.LeastTime, true, 1, 7, 60)
	again, same := printed(t, job, stack.LeastTime, true, 1, 7, 60)
	require.True(t, text == again && bytes.Equal(svg, same), "the same bytes twice")
	var q quote
	require.NoError(t, json.Unmarshal([]byte(text), &q))
	require.Equal(t, "greenhouse-sensor", q.Job)
	require.False(t, q.Calibrated, "a preset is not")
	require.Len(t, q.Rows, 3)
	for _, r := range q.Rows {
		require.InDelta(t, r.Cost, r.Split.Machine+r.Split.Tools+r.Split.Sheets+r.Split.SetUp, 1e-9)
		require.GreaterOrEqual(t, r.FloorRatio, 1.0)
		require.InDelta(t, r.FloorRatio, r.Seconds/r.Floor, 1e-5)
		require.InDelta(t, r.Planned, r.Seconds, r.Seconds/100, "planned and mounted")
		require.Positive(t, r.HitsMinute)
		require.Len(t, r.Sensitivity, 2)
		require.Positive(t, r.Tools)
		passes := 0
		for _, u := range r.SetUps {
			passes += len(u.Passes)
		}
		require.Equal(t, 3, passes)
	}
	for _, b := range q.Breaks {
		require.NotEqual(t, b.Before, b.Heights)
	}
}

// One quantity alone has a chart, too.
func TestOneQuantity(t *testing.T) {
	text, svg := printed(t, oneBoard(t), stack.LeastCost, false, 1)
	require.Contains(t, text, "greenhouse-sensor")
	require.Contains(t, string(svg), "<svg")
}

func TestBadQuantitiesAndJobs(t *testing.T) {
	for _, bad := range []string{"", "0", "-3", "1,x", "1.5", "1000000000", "1e3", "NaN", "7,,8", "99999999999999999999"} {
		_, err := parse(bad)
		var typed *tooling.InputError
		require.ErrorAs(t, err, &typed, bad)
		require.Contains(t, typed.Source.Path, "quantities[")
	}
	lots, err := parse("10, 1,10")
	require.NoError(t, err)
	require.Equal(t, []int{1, 10}, lots)
	require.Error(t, run(context.Background(), &bytes.Buffer{}, "no-such-job", options{lots: []int{1}, objective: stack.LeastCost}))
	require.Error(t, run(context.Background(), &bytes.Buffer{}, panel, options{lots: []int{1}, objective: "beauty"}))
}
