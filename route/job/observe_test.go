package job_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// Nothing is logged but through the handler that the caller gave; the plan is
// the same with and without; what planning took is in none of it.
func TestLogAndStatisticsAreTheCallersOwn(t *testing.T) {
	var own, foreign strings.Builder
	handler := func(b *strings.Builder) *slog.Logger {
		return slog.New(slog.NewTextHandler(b, &slog.HandlerOptions{Level: slog.LevelDebug}))
	}
	usual := slog.Default()
	slog.SetDefault(handler(&foreign))
	defer slog.SetDefault(usual)
	j := load(t, newSmall())
	silent := plan(t, j)
	var took tooling.Statistics
	told, err := job.Make(context.Background(), j, job.Options{Log: handler(&own), Stats: &took})
	require.NoError(t, err)
	require.Empty(t, foreign.String(), "the library logs to nobody")

	a, err := json.Marshal(silent)
	require.NoError(t, err)
	b, err := json.Marshal(told)
	require.NoError(t, err)
	require.Equal(t, string(a), string(b), "the plan hangs on who listens")

	stages := map[string]tooling.Spent{}
	for _, e := range took.Stages {
		stages[e.Stage] = e
		require.Contains(t, own.String(), "stage="+e.Stage)
	}
	for _, want := range []string{"lay", "rout", "rout/rout/1", "drill", "drill/plated/1", "drill/unplated/1", "stack"} {
		require.Contains(t, stages, want)
		require.Positive(t, stages[want].Time, want)
		require.Positive(t, stages[want].Items, want)
	}
	hits := 0
	for _, d := range told.Drill {
		hits += d.Hits()
	}
	require.Equal(t, hits, stages["drill"].Items)
	require.Positive(t, stages["rout"].Moves)
	require.Equal(t, stages["rout/rout/1"].Moves, stages["rout"].Moves)
	require.Equal(t, len(took.Stages), strings.Count(own.String(), "\n"))
	sum := tooling.Spent{}
	for name, e := range stages {
		if strings.HasPrefix(name, "drill/") {
			sum.Kicks, sum.Moves = sum.Kicks+e.Kicks, sum.Moves+e.Moves
		}
	}
	require.Positive(t, sum.Moves)
	require.Equal(t, sum.Kicks, stages["drill"].Kicks, "parts and whole")
	require.Equal(t, sum.Moves, stages["drill"].Moves, "parts and whole")

	writingIsWatched(t, told)

	before := own.Len()
	_, err = told.For(context.Background(), 20)
	require.NoError(t, err)
	require.Equal(t, before, own.Len(), "a plan keeps no log")

	var rest, tours tooling.Statistics
	_, err = drill.Resume(context.Background(), told.Job.Drill, told.Drill[0], drill.Stop{Run: 1, Hit: 1}, drill.Options{Stats: &rest, Tour: tour.Options{Stats: &tours}})
	require.NoError(t, err)
	_, err = route.Resume(context.Background(), told.Layout, told.Rout[0], route.Stop{Run: 1, Path: 1}, route.Options{Stats: &rest})
	require.NoError(t, err)
	require.Len(t, rest.Stages, 2)
	require.Equal(t, "resume", rest.Stages[0].Stage)
	require.NotEmpty(t, tours.Stages)
	require.Equal(t, "tour", tours.Stages[0].Stage)
	require.Equal(t, rest.Stages[0].Kicks, tours.Total().Kicks)
}

// What writing and checking took goes to the caller of these, and each pass is
// told of once it is checked; the programs are the same with and without.
func writingIsWatched(t *testing.T, p job.Plan) {
	t.Helper()
	silent, _, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	var own strings.Builder
	var took tooling.Statistics
	var calls []string
	o := job.WriteOptions{
		Progress: func(pass string, done, of int, n int64) {
			calls = append(calls, fmt.Sprintf("%s %d of %d, %d", pass, done, of, n))
		},
		Log: slog.New(slog.NewTextHandler(&own, &slog.HandlerOptions{Level: slog.LevelDebug})), Stats: &took,
	}
	told, report, err := p.Programs(context.Background(), o)
	require.NoError(t, err)
	require.Equal(t, silent, told)
	require.Equal(t, []string{"plated 1 of 3, 1", "unplated 2 of 3, 2", "rout 3 of 3, 3"}, calls)
	stages := map[string]tooling.Spent{}
	for _, e := range took.Stages {
		stages[e.Stage] = e
		require.Positive(t, e.Time, e.Stage)
		require.Contains(t, own.String(), "stage="+e.Stage)
	}
	require.Len(t, stages, 2+2*3)
	require.Equal(t, 3, stages["write"].Items, "programs")
	require.Equal(t, len(report), stages["check"].Items, "findings")
	require.Equal(t, stages["check"].Time, stages["check/plated"].Time+stages["check/unplated"].Time+stages["check/rout"].Time)

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, _, err = p.Programs(ctx, job.WriteOptions{})
	require.ErrorIs(t, err, context.Canceled)
	dir := filepath.Join(t.TempDir(), "none")
	_, _, err = p.Write(ctx, dir, job.WriteOptions{})
	require.ErrorIs(t, err, context.Canceled)
	require.NoDirExists(t, dir)
}
