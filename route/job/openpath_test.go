package job_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// slits are two open paths for the small board: one on centre, one whose left
// side the cutter runs on.
const slits = `M48
METRIC
T1C1.000
T2C2.000
%
T1
G00X27.0Y30.0
M15
G01X27.0Y20.0
G03X33.0Y20.0A3.0
M16
T2
G41
G00X10.0Y56.0
M15
G01X28.0Y56.0
M16
G40
M30
`

func withSlits(t *testing.T, plated string) fstest.MapFS {
	t.Helper()
	s := newSmall()
	s.job = strings.Replace(s.job, `"outline": "outline.rte",`, `"outline": "outline.rte", "open_paths": [{"file": "slits.rte"`+plated+`}],`, 1)
	files := s.files()
	files["slits.rte"] = &fstest.MapFile{Data: []byte(slits)}
	return files
}

// TestOpenPathsOfAJob goes from a file of open paths to programs that their
// check lets pass, unplated ones after plating, plated ones before it.
func TestOpenPathsOfAJob(t *testing.T) {
	for _, tt := range []struct {
		plated string
		stage  tooling.Stage
	}{{"", tooling.AfterPlating}, {`, "plated": true`, tooling.BeforePlating}} {
		j, err := job.Load(withSlits(t, tt.plated), "job.json")
		require.NoError(t, err)
		plan, err := job.Make(context.Background(), j, job.Options{})
		require.NoError(t, err)
		programs, report, err := plan.Programs(context.Background(), job.WriteOptions{})
		require.NoError(t, err)
		require.NotEmpty(t, programs)
		require.NoError(t, report.Err())
		count := map[route.Side]int{}
		for _, p := range plan.Rout {
			for _, r := range p.Runs {
				for _, q := range r.Paths {
					if q.Open != "" {
						require.Equal(t, tt.stage, p.Stage)
						count[q.Open]++
					}
				}
			}
		}
		require.Equal(t, map[route.Side]int{route.Centre: 2, route.Left: 2}, count) // on either board
	}
}

func TestOpenPathsAreEncoded(t *testing.T) {
	files := withSlits(t, "")
	var f job.File
	require.NoError(t, json.Unmarshal(files["job.json"].Data, &f))
	require.Equal(t, []job.OpenFile{{File: "slits.rte"}}, f.Boards[0].Open)
	f.Boards[0].Open[0].Plated = true
	src, err := f.Encode()
	require.NoError(t, err)
	files["job.json"].Data = src
	j, err := job.Load(files, "job.json")
	require.NoError(t, err)
	require.Len(t, j.Route.Boards[0].Open, 2)
	require.True(t, j.Route.Boards[0].Open[1].Plated)
	require.Equal(t, tooling.Source{File: "slits.rte", Line: 16, Tool: "T2"}, j.Route.Boards[0].Open[1].Source)
}
