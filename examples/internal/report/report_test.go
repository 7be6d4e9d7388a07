package report_test

import (
	"bytes"
	"context"
	"flag"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/examples/internal/report"
	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/picture"
)

// plan plans a sample with the least effort.
func plan(t *testing.T, name string) job.Plan {
	t.Helper()
	j, err := job.Load(os.DirFS("../../../testdata/panels/"+name), "job.json")
	require.NoError(t, err)
	p, err := job.Make(context.Background(), j, job.Options{})
	require.NoError(t, err)
	return p
}

func TestSceneSaysWhereHitsAndPathsComeFrom(t *testing.T) {
	p := plan(t, "greenhouse-sensor")
	s := report.Scene(p)
	require.NoError(t, s.Validate())
	line := regexp.MustCompile(`^(plated|unplated)\.drl:\d+$`)
	hits, paths, others := 0, 0, map[string]int{}
	for _, l := range s.Layers {
		for _, m := range l.Marks {
			switch l.Kind {
			case picture.Hits:
				hits++
				if !line.MatchString(m.Source) {
					others[m.Source]++
				}
			case picture.Path:
				require.Regexp(t, `^outline\.rte(:\d+)?$`, m.Source)
				paths++
			}
		}
	}
	require.Equal(t, 2909+396, hits)
	require.NotZero(t, paths)
	require.Equal(t, map[string]int{"tab perforation": 300, "panel tooling hole": 2, "panel target hole": 1, "panel coupon hole": 2}, others, "holes that no file gives")
}

// The player takes a run from its start in the scene to that of the next one, or
// to the end of the pass; the table takes its own seconds.
func TestRunsTakeTheSameTimeInSceneAndTable(t *testing.T) {
	samples := []string{"greenhouse-sensor", "tide-logger", "pump-backplane"}
	if testing.Short() {
		samples = samples[:1]
	}
	for _, name := range samples {
		p := plan(t, name)
		s, err := report.Sheet(p, nil, nil)
		require.NoError(t, err)
		scene := report.Scene(p)
		start := func(pass sheet.Pass, run int) float64 {
			for _, l := range scene.Layers {
				if (l.Kind == picture.Hits || l.Kind == picture.Path) && l.Pass == pass.Name && l.SetUp == pass.SetUp && l.Run == run {
					return l.Start
				}
			}
			return pass.LoadSeconds
		}
		runs := 0
		for _, pass := range s.Passes {
			for _, r := range pass.Runs {
				require.InDelta(t, r.Seconds, start(pass, r.Number+1)-start(pass, r.Number), 1e-6, "%s, pass %s, run %d", name, pass.Name, r.Number)
				runs++
			}
		}
		require.NotZero(t, runs)
		t.Logf("%s: %d runs take the same time", name, runs)
	}
}

func TestScenePinsBelongToTheirSetUp(t *testing.T) {
	s := report.Scene(plan(t, "greenhouse-sensor"))
	for setUp := 1; setUp <= 2; setUp++ {
		n := 0
		for _, l := range s.Pass("none", setUp).Layers {
			if l.Kind == picture.Pin {
				n += len(l.Marks)
			}
		}
		require.Equal(t, 2, n, "pins of set-up %d", setUp)
	}
}

func TestSheetNamesTheProgramOfEachPass(t *testing.T) {
	p := plan(t, "tide-logger")
	programs, checks, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	s, err := report.Sheet(p, programs, checks)
	require.NoError(t, err)
	require.Len(t, s.Passes, len(programs))
	for _, pass := range s.Passes {
		require.Regexp(t, `^tide-logger-A-\d-`+pass.Name+`\.nc$`, pass.Program)
	}
	for _, l := range report.Scene(p).Layers {
		if l.Kind == picture.Score {
			require.Len(t, l.Marks, len(s.Scores))
			require.Equal(t, "S1: 0.33 mm each face, web 0.34 mm, 30°", l.Marks[0].Label)
		}
	}
}

var update = flag.Bool("update", false, "rewrite the picture")

// The README shows this picture of the panel.
func TestPictureOfThePanel(t *testing.T) {
	const file = "../../../testdata/pictures/greenhouse-sensor.svg"
	s := report.Scene(plan(t, "greenhouse-sensor"))
	s.Title = "greenhouse-sensor, revision C (invented): 12 boards on a panel of 460 x 306 mm"
	var b bytes.Buffer
	require.NoError(t, s.WriteSVG(&b))
	if *update {
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.True(t, bytes.Equal(want, b.Bytes()), "the picture has changed: go test ./examples/internal/report -update, and look at it")
}

// A pass cut into tiers is drawn, listed and printed once for each set-up.
func TestTiersAreToldApart(t *testing.T) {
	p := plan(t, "greenhouse-sensor")
	p.Job.Stack.Tiers = 3
	p.Job.Drill.Machine.Load = 0
	r := &p.Job.Drill.Rules.Stack
	r.EntryPrice, r.BackupPrice, r.SetUpLabour, r.StackLabour = 0, 0, 0, 0
	p, err := p.For(context.Background(), p.Job.Lot)
	require.NoError(t, err)
	require.Greater(t, len(p.Stack.SetUps), 2, "tiers pay where pinning costs nothing")
	programs, checks, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	s, err := report.Sheet(p, programs, checks)
	require.NoError(t, err)
	scene := report.Scene(p)
	require.NoError(t, scene.Validate())
	hits := map[int]int{} // by set-up
	for _, l := range scene.Layers {
		if l.Kind == picture.Hits {
			hits[l.SetUp] += len(l.Marks)
		}
	}
	names := map[string]bool{}
	for _, pass := range s.Passes {
		if pass.Operation == "drill" {
			require.Equal(t, pass.Hits, hits[pass.SetUp], "set-up %d", pass.SetUp)
		}
		names[pass.Program] = true
	}
	require.Len(t, names, len(s.Passes), "each has a program of its own")
	var b bytes.Buffer
	require.NoError(t, s.WriteHTML(&b, scene))
	require.Equal(t, len(s.Passes), bytes.Count(b.Bytes(), []byte(`<figure class="paper">`)))
}
