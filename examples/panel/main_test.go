package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/examples/internal/sheet"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const panels = "../../testdata/panels/"

// plan runs the program and returns what it printed and wrote, by file name.
func plan(t *testing.T, job string, asJSON bool) map[string]string {
	t.Helper()
	dir := t.TempDir()
	var printed bytes.Buffer
	require.NoError(t, run(context.Background(), &printed, panels+job, options{dir: dir, json: asJSON}))
	out := map[string]string{"": strings.ReplaceAll(printed.String(), dir, "DIR")}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		src, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		out[e.Name()] = string(src)
	}
	return out
}

func TestSameBytesOnOneAndTwoCores(t *testing.T) {
	before := runtime.GOMAXPROCS(1)
	one := plan(t, "greenhouse-sensor/job.json", true)
	runtime.GOMAXPROCS(2)
	two := plan(t, "greenhouse-sensor/job.json", true)
	runtime.GOMAXPROCS(before)
	for name, text := range one {
		require.True(t, text == two[name], "%q differs", name)
	}
	require.Equal(t, slices.Sorted(maps.Keys(one)), slices.Sorted(maps.Keys(two)))
	want := []string{"", "greenhouse-sensor-C-1-plated.nc", "greenhouse-sensor-C-2-rout.nc", "greenhouse-sensor-C-2-unplated.nc", "sheet.html"}
	require.Empty(t, cmp.Diff(want, slices.Sorted(maps.Keys(one))), "-want +got")
}

// The keys of -json stay: programs read them.
func TestJSONKeysStay(t *testing.T) {
	var value any
	require.NoError(t, json.Unmarshal([]byte(plan(t, "greenhouse-sensor/job.json", true)[""]), &value))
	found := map[string]bool{}
	keys(value, "", found)
	got := strings.Join(slices.Sorted(maps.Keys(found)), "\n") + "\n"
	golden(t, "keys.golden", got)
	for _, k := range []string{
		"schema", "job", "panels", "passes[].name", "passes[].set_up", "passes[].stage", "passes[].operation", "passes[].height",
		"passes[].loads", "passes[].load_seconds", "passes[].hits", "passes[].holes", "passes[].cut_mm", "passes[].runs[].tool",
		"passes[].runs[].diameter_mm", "passes[].runs[].hits", "passes[].runs[].tools_per_load", "passes[].runs[].depth_into_backup_mm",
		"passes[].runs[].travel_mm", "passes[].runs[].travel_seconds", "lot_seconds", "cost_per_panel", "cost_split.machine",
		"bits[].diameter_mm", "bits[].kind", "bits[].count", "checks[].rule", "checks[].ok", "checks[].detail", "findings[].rule",
	} {
		require.True(t, found[k], "the key %s is promised", k)
	}
}

func keys(v any, path string, found map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			keys(x, strings.TrimPrefix(path+"."+k, "."), found)
		}
	case []any:
		for _, x := range v {
			keys(x, path+"[]", found)
		}
	default:
		found[path] = true
	}
}

// What the figures say must add up, in every sample.
func TestFiguresAddUp(t *testing.T) {
	for _, job := range samples(t) {
		var s sheet.Sheet
		require.NoError(t, json.Unmarshal([]byte(plan(t, job, true)[""]), &s))
		var lot float64
		for _, p := range s.Passes {
			hits, holes := 0, 0
			for _, r := range p.Runs {
				hits += r.Hits
				holes += r.Holes
			}
			require.Equal(t, p.Hits, hits, p.Name)
			require.Equal(t, p.Holes, holes, p.Name)
			lot += p.LoadSeconds * float64(p.Loads)
		}
		require.InDelta(t, s.LotSeconds, lot+s.LotTime.Load, 1e-3, "passes and loading make the lot")
		require.InDelta(t, s.CostPerPanel, s.CostSplit.Machine+s.CostSplit.Tools+s.CostSplit.Sheets+s.CostSplit.SetUp, 4e-6, "four parts, each rounded to six decimals")
		for _, c := range s.Checks {
			require.True(t, c.OK, c.Rule)
		}
	}
}

// samples lists the jobs a test plans: one with -short.
func samples(t *testing.T) []string {
	if testing.Short() {
		return []string{"greenhouse-sensor/job.json"}
	}
	names, err := filepath.Glob(panels + "*/job.json")
	require.NoError(t, err)
	require.Len(t, names, 3)
	for i := range names {
		names[i] = strings.TrimPrefix(filepath.ToSlash(names[i]), panels)
	}
	return names
}

func TestSheetIsPrinted(t *testing.T) {
	var printed bytes.Buffer
	require.NoError(t, run(context.Background(), &printed, panels+"greenhouse-sensor/job.json", options{dir: t.TempDir(), whole: true}))
	golden(t, "greenhouse-sensor.txt", printed.String())
	for _, want := range []string{"JOB SHEET", "SET-UP 1", "SET-UP 2", "FIRST ARTICLE", "TOOLS TO FETCH", "CAUTIONS"} {
		require.Contains(t, printed.String(), want)
	}
}

func TestSummaryIsPrinted(t *testing.T) {
	out := plan(t, "greenhouse-sensor/job.json", false)
	golden(t, "summary.txt", out[""])
	for name := range out {
		require.Contains(t, out[""], name, "what was written is listed")
	}
	require.Less(t, strings.Index(out[""], "NOTE"), strings.Index(out[""], "SET-UP"), "warnings come first")
	for _, line := range strings.Split(out[""], "\n") {
		require.LessOrEqual(t, len([]rune(line)), 100)
	}
}

// golden compares with a file of testdata, which -update rewrites.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got), "-want +got")
}

func TestBadJobWritesNothing(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "job.json")
	require.NoError(t, os.WriteFile(bad, []byte(`{"schema": 1}`), 0o644))
	out := filepath.Join(dir, "out")
	require.Error(t, run(context.Background(), io.Discard, bad, options{dir: out}))
	require.NoDirExists(t, out)
}

func TestCancelledPlanWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	out := filepath.Join(t.TempDir(), "out")
	require.ErrorIs(t, run(ctx, io.Discard, panels+"greenhouse-sensor/job.json", options{dir: out}), context.Canceled)
	require.NoDirExists(t, out)
}

func BenchmarkSamples(b *testing.B) {
	for _, name := range []string{"greenhouse-sensor", "tide-logger", "pump-backplane"} {
		b.Run(name, func(b *testing.B) {
			if testing.Short() && name != "greenhouse-sensor" {
				b.Skip("the large samples are measured without -short")
			}
			b.ReportAllocs()
			var s sheet.Sheet
			for b.Loop() {
				var printed bytes.Buffer
				if err := run(context.Background(), &printed, fmt.Sprintf("%s%s/job.json", panels, name), options{dir: b.TempDir(), json: true}); err != nil {
					b.Fatal(err)
				}
				if err := json.Unmarshal(printed.Bytes(), &s); err != nil {
					b.Fatal(err)
				}
			}
			hits := 0
			for _, p := range s.Passes {
				hits += p.Hits
			}
			b.ReportMetric(s.LotSeconds, "job-s")
			b.ReportMetric(float64(hits)*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
		})
	}
}
