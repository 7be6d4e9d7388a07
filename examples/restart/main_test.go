package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"html"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const greenhouse = "../../testdata/panels/greenhouse-sensor/job.json"

// whole is the plan of the sample, made once: nothing changes it.
var whole = sync.OnceValue(func() job.Plan {
	p, err := planned(context.Background(), greenhouse)
	if err != nil {
		panic(err)
	}
	return p
})

// restart runs the program on the sample and returns what it printed, and the
// names of the files it wrote.
func restart(t *testing.T, dir string, arguments ...string) (string, []string, error) {
	t.Helper()
	var printed bytes.Buffer
	o, err := parse(append([]string{"-out", dir}, arguments...))
	if err == nil {
		err = carryOn(context.Background(), &printed, whole(), o)
	}
	entries, _ := os.ReadDir(dir)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return strings.ReplaceAll(printed.String(), dir, "DIR"), names, err
}

func asJSON(t *testing.T, arguments ...string) result {
	t.Helper()
	text, _, err := restart(t, t.TempDir(), append(arguments, "-json")...)
	require.NoError(t, err)
	var r result
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	return r
}

// golden compares with a file of testdata, which -update rewrites.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got), "-want +got")
}

func TestPrintedAndWritten(t *testing.T) {
	dir := t.TempDir()
	text, names, err := restart(t, dir, "-pass", "plated", "-run", "1", "-hit", "20", "-last", "24", "-spindles", "2", "-fragments", "22")
	require.NoError(t, err)
	golden(t, "plated.txt", text)
	const base = "greenhouse-sensor-C-1-plated-rest-1-20"
	require.Equal(t, []string{base + ".html", base + ".json", base + ".nc", base + ".txt"}, names)
	page, err := os.ReadFile(filepath.Join(dir, base+".html"))
	require.NoError(t, err)
	for _, want := range append(tooling.Cautions(), "the rest after a stop", "18</b> panels", "made again, as asked, with the other spindles parked", "left out for you to deal with: fragment at X351.000 Y53.000") {
		require.Contains(t, html.UnescapeString(string(page)), want)
	}
	for _, foreign := range []string{"Cost of a panel", "What a panel costs", "whole lot", "First article"} {
		require.NotContains(t, string(page), foreign, "that is of the lot")
	}
	sheet, err := os.ReadFile(filepath.Join(dir, base+".txt"))
	require.NoError(t, err)
	require.Equal(t, text, strings.ReplaceAll(string(sheet), dir, "DIR"))
	program, err := os.ReadFile(filepath.Join(dir, base+".nc"))
	require.NoError(t, err)
	for _, c := range tooling.Cautions() {
		require.Contains(t, string(program), strings.Fields(c)[0])
	}
	require.Contains(t, string(program), "M47,STOP: park all spindles but 2\n")
}

func TestJSONIsGolden(t *testing.T) {
	text, _, err := restart(t, t.TempDir(), "-json", "-pass", "plated", "-run", "1", "-hit", "20")
	require.NoError(t, err)
	golden(t, "plated.json", text)
	var value map[string]any
	require.NoError(t, json.Unmarshal([]byte(text), &value))
	for _, k := range []string{"schema", "remaining_hits", "repeated_hits", "left_out", "tools", "seconds", "seconds_uninterrupted_rest", "checks"} {
		require.Contains(t, slices.Collect(maps.Keys(value)), k, "the key is promised")
	}
}

// Every key of the JSON, the optional ones too, is described where programmers look.
func TestKeysAreDescribed(t *testing.T) {
	readme, err := os.ReadFile("../../testdata/panels/README.md")
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(readme), "## Keys of the rest after a stop")
	require.True(t, ok)
	for _, one := range []reflect.Type{reflect.TypeFor[result](), reflect.TypeFor[leftOut](), reflect.TypeFor[tool](), reflect.TypeFor[check]()} {
		for i := range one.NumField() {
			key, _, _ := strings.Cut(one.Field(i).Tag.Get("json"), ",")
			if one.Field(i).IsExported() {
				require.Contains(t, section, "`"+key+"`", "%s.%s", one, one.Field(i).Name)
			}
		}
	}
}

// The figures of stop and rest must fit those of the whole.
func TestFiguresAddUp(t *testing.T) {
	plated := func(arguments ...string) result {
		return asJSON(t, append([]string{"-pass", "plated", "-run", "1"}, arguments...)...)
	}
	all, later := plated("-hit", "0"), plated("-hit", "20")
	assert.Equal(t, all.RemainingHits-20, later.RemainingHits)
	assert.Equal(t, later.RemainingHits+4, plated("-hit", "16", "-last", "20").RemainingHits)
	assert.Less(t, later.Uninterrupted, all.Uninterrupted)
	assert.InDelta(t, all.Uninterrupted, all.Seconds, 0.01*all.Seconds, "nothing made yet: the rest is the whole")
	left := asJSON(t, "-pass", "plated", "-run", "2", "-hit", "16", "-last", "20", "-fragments", "17,19", "-spindles", "1")
	assert.Len(t, left.LeftOut, 2)
	assert.Equal(t, 2, left.RepeatedHits)
	assert.True(t, left.Parked)
	assert.Positive(t, left.Tools[0].Worn)
	for _, r := range []result{all, later, left} {
		hits := 0
		for _, tool := range r.Tools {
			hits += tool.Hits
			assert.LessOrEqual(t, float64(tool.Hits), tool.Life)
		}
		assert.Equal(t, r.RemainingHits, hits)
		for _, c := range r.Checks {
			assert.True(t, c.OK, c.Rule)
		}
	}
	area := plated("-hit", "0", "-scrapped", "0,0,150,300")
	assert.NotEmpty(t, area.LeftOut)
	for _, l := range area.LeftOut {
		assert.Equal(t, drill.Scrapped, l.Why)
	}
}

func TestAnotherMachineAndASavedPass(t *testing.T) {
	dir := t.TempDir()
	small := filepath.Join(dir, "small.json")
	require.NoError(t, os.WriteFile(small, []byte(`{"spindles": 2, "max_rev_per_min": 60000}`), 0o644))
	out := filepath.Join(dir, "out")
	text, names, err := restart(t, out, "-json", "-pass", "plated", "-run", "1", "-hit", "20", "-machine", small, "-fresh")
	require.NoError(t, err)
	var r result
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	assert.Equal(t, 2, r.Spindles)
	assert.Equal(t, 3, r.Loads, "six stacks on two spindles")
	assert.Greater(t, r.Seconds, 3*r.Uninterrupted)

	saved := filepath.Join(out, names[slices.IndexFunc(names, func(n string) bool { return strings.HasSuffix(n, ".json") })])
	again := asJSON(t, "-pass", "plated", "-from", saved, "-run", "1", "-hit", "5", "-machine", small)
	assert.Equal(t, r.RemainingHits-5, again.RemainingHits)
	assert.Equal(t, 1, again.Loads, "the load that was stopped")

	fast := asJSON(t, "-pass", "plated", "-run", "1", "-hit", "20", "-machine", "linear motor")
	assert.Equal(t, "linear motor", fast.Machine)
}

func TestRoutPass(t *testing.T) {
	dir := t.TempDir()
	text, names, err := restart(t, dir, "-json", "-pass", "rout", "-run", "1", "-path", "1", "-last", "2", "-spindles", "1")
	require.NoError(t, err)
	golden(t, "rout.json", text)
	var r result
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	assert.Equal(t, 1, r.RepeatedPaths)
	assert.Zero(t, r.RemainingHits)
	assert.Positive(t, r.RemainingPaths)
	k := slices.IndexFunc(names, func(n string) bool { return strings.HasSuffix(n, ".json") })
	again := asJSON(t, "-pass", "rout", "-from", filepath.Join(dir, names[k]), "-run", "1", "-path", "3")
	assert.Equal(t, r.RemainingPaths-3, again.RemainingPaths)
}

// A command given again makes what it made before and loses nothing: the rest of a
// rest has a name of its own, and what is saved is never written over by another.
func TestTheSameCommandAgain(t *testing.T) {
	for _, c := range []struct{ pass, good, number, says string }{
		{"plated", "-hit", "100", "rest 2 of the pass after hit 100 of run 2 of rest 1"},
		{"rout", "-path", "3", "rest 2 of the pass after path 3 of run 1 of rest 1"},
	} {
		dir, run := t.TempDir(), "2"
		if c.pass == "rout" {
			run = "1"
		}
		stop := []string{"-json", "-pass", c.pass, "-run", run, c.good, c.number}
		at := func(more ...string) result {
			text, _, err := restart(t, dir, append(slices.Clone(stop), more...)...)
			require.NoError(t, err)
			var r result
			require.NoError(t, json.Unmarshal([]byte(strings.ReplaceAll(text, "DIR", dir)), &r))
			return r
		}
		one := at()
		saved, err := os.ReadFile(one.Saved)
		require.NoError(t, err)
		two, again := at("-from", one.Saved), at("-from", one.Saved)
		require.Equal(t, two, again)
		require.Equal(t, 1, one.Rest)
		require.Equal(t, 2, two.Rest)
		require.Contains(t, filepath.Base(two.Saved), "-rest-"+run+"-"+c.number+"-rest-"+run+"-"+c.number)
		require.Contains(t, one.Opening, "rest after a stop")
		still, err := os.ReadFile(one.Saved)
		require.NoError(t, err)
		require.Equal(t, string(saved), string(still), "what -from goes on from stays")
		program, err := os.ReadFile(two.Program)
		require.NoError(t, err)
		text := strings.Join(strings.Fields(strings.NewReplacer("/", "").Replace(string(program))), " ")
		require.Contains(t, text, c.says)
		require.Contains(t, text, "rest 1 was that after")
		sheet, err := os.ReadFile(two.Sheet)
		require.NoError(t, err)
		require.Contains(t, string(sheet), "of run "+run+" of rest 1 of it")

		before, err := os.ReadFile(one.Program)
		require.NoError(t, err)
		_, _, err = restart(t, dir, append(stop, "-fresh", "-spindles", "2")...)
		require.ErrorIs(t, err, errKept, "another rest of the same name")
		renamed := strings.TrimSuffix(one.Saved, ".json") + "-rest-" + run + "-1.json"
		require.NoError(t, os.WriteFile(renamed, saved, 0o644))
		_, _, err = restart(t, dir, "-pass", c.pass, "-run", run, c.good, "1", "-from", renamed)
		require.ErrorIs(t, err, errKept)
		require.ErrorContains(t, err, "the pass that -from goes on from")
		after, err := os.ReadFile(one.Program)
		require.NoError(t, err)
		require.Equal(t, string(before), string(after))
	}
}

// A piece that stays in a hole is in the way of later passes, and whoever runs them is
// told which path, or which pin: in the JSON, on paper, on the page, in the program.
func TestLaterPassesAndAPieceLeft(t *testing.T) {
	for _, c := range []struct {
		name, job string
		enter     float64 // holes for cutters to enter by, mm
		arguments string
		want      []string
	}{
		{"a hole that a cutter enters by", greenhouse, 3, "-pass unplated -run 4 -hit 2 -last 3 -fragments 3", []string{"of run 1 of pass rout comes to the piece left in the hole at X276.700 Y244.500"}},
		{"a half hole on a routed edge", "../../testdata/panels/tide-logger/job.json", 0, "-pass plated -run 3 -hit 0 -last 1 -fragments 1", []string{"of pass rout comes to the piece left in the hole"}},
		{"tooling holes for pins", greenhouse, 0, "-pass plated -run 6 -hit 0 -last 3 -fragments 1,2,3", []string{"a pin of the set-up after plating is to stand in the hole at X8.000 Y40.000", "in the hole at X448.000 Y262.000"}},
		{"a hole apart", greenhouse, 0, "-pass plated -run 1 -hit 20 -last 24 -fragments 22", nil},
	} {
		j, err := job.Load(os.DirFS(filepath.Dir(c.job)), "job.json")
		require.NoError(t, err)
		j.Rout.EnterBelow = c.enter
		plan, err := job.Make(context.Background(), j, job.Options{})
		require.NoError(t, err)
		o, err := parse(append(strings.Fields(c.arguments), "-json", "-out", t.TempDir()))
		require.NoError(t, err)
		var printed bytes.Buffer
		require.NoError(t, carryOn(context.Background(), &printed, plan, o), c.name)
		var r result
		require.NoError(t, json.Unmarshal(printed.Bytes(), &r))
		if c.want == nil {
			require.Empty(t, r.Later, c.name)
			continue
		}
		var all string
		for _, f := range r.Later {
			all += f.Detail + "\n"
		}
		for _, want := range c.want {
			require.Contains(t, all, want, c.name)
		}
		for _, name := range []string{r.Sheet, r.Page, r.Program} {
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			plain := strings.Join(strings.Fields(strings.NewReplacer("/", "", ";", "").Replace(string(text))), " ")
			for _, f := range r.Later {
				require.Contains(t, plain, strings.NewReplacer("/", "", ";", "").Replace(f.Detail), "%s: %s", c.name, name)
			}
		}
	}
}

// Of a pass in tiers the one that makes the run is meant, unless another is asked for.
func TestTierOfARun(t *testing.T) {
	tier := func(n int, runs ...int) (p drill.Pass) {
		p.Name, p.SetUp.Tier = "plated", n
		for _, r := range runs {
			p.Runs = append(p.Runs, drill.Run{Number: r})
		}
		return p
	}
	passes := []drill.Pass{tier(1, 2), tier(2, 1, 3), tier(3, 6)}
	for _, c := range []struct {
		stop stop
		want int
	}{
		{stop{pass: "plated", run: 1}, 1}, {stop{pass: "plated", run: 6}, 2}, {stop{pass: "plated", run: 9}, 0},
		{stop{pass: "plated", run: 1, tier: 3}, 2}, {stop{pass: "plated", run: 1, tier: 4}, -1}, {stop{pass: "rout", run: 1}, -1},
	} {
		assert.Equal(t, c.want, find(passes, c.stop), "%+v", c.stop)
	}
}

func TestRefusals(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.json")
	require.NoError(t, os.WriteFile(bad, []byte(`{"schema": 9}`), 0o644))
	plated := []string{"-pass", "plated", "-run", "1"}
	for _, c := range []struct {
		name, reason string
		arguments    []string
		is           error
		says         string
	}{
		{"no pass", "which one?", []string{"-run", "1", "-hit", "1"}, nil, "no -pass"},
		{"no hit", "where?", plated, nil, "-hit -1 and -path -1"},
		{"hit and path", "which?", append(plated, "-hit", "1", "-path", "1"), nil, "expected one of them"},
		{"unknown flag", "misspelt", append(plated, "-hits", "1"), nil, "-hits"},
		{"hit in words", "no number", append(plated, "-hit", "one"), nil, `"one"`},
		{"two jobs", "which?", append(plated, "-hit", "1", "one.json", "other.json"), nil, "2 jobs"},
		{"spindles", "no number", append(plated, "-hit", "1", "-spindles", "1,x"), nil, "-spindles"},
		{"fragments", "from 1", append(plated, "-hit", "1", "-fragments", "0"), nil, "-fragments"},
		{"area", "three numbers", append(plated, "-hit", "1", "-scrapped", "1,2,3"), nil, "-scrapped"},
		{"area in words", "no number", append(plated, "-hit", "1", "-scrapped", "1,2,3,wide"), nil, "wide"},
		{"area NaN", "no length", append(plated, "-hit", "1", "-scrapped", "NaN,0,1,1"), drill.ErrCoord, "NaN"},
		{"machine", "neither preset nor file", append(plated, "-hit", "1", "-machine", "steam"), os.ErrNotExist, "steam"},
		{"no such pass", "nothing of that name", []string{"-pass", "golden", "-run", "1", "-hit", "1"}, nil, "golden"},
		{"no such rout pass", "a drill pass", append(plated, "-path", "1"), nil, "expected one of rout, or -hit"},
		{"no such drill pass", "a rout pass", []string{"-pass", "rout", "-run", "1", "-hit", "1"}, nil, "expected one of plated, unplated, or -path"},
		{"no such run", "the pass has fewer", []string{"-pass", "plated", "-run", "99", "-hit", "1"}, drill.ErrStop, "run 99"},
		{"no such hit", "the run has fewer", append(plated, "-hit", "99999"), drill.ErrStop, "hit 99999"},
		{"no such path", "the run has fewer", []string{"-pass", "rout", "-run", "1", "-path", "999"}, route.ErrStop, "path 999"},
		{"no such fragment", "the run has fewer", append(plated, "-hit", "1", "-fragments", "999"), drill.ErrStop, "a fragment in hit 999"},
		{"a fragment known good", "nothing is in doubt", append(plated, "-hit", "20", "-fragments", "5"), drill.ErrStop, "expected none"},
		{"runs of the pass", "named", []string{"-pass", "plated", "-run", "99", "-hit", "1"}, drill.ErrStop, "[1 2 3 4 5 6 7 8]"},
		{"no such tier", "it is made in one", append(plated, "-hit", "1", "-tier", "7"), nil, "tier 7"},
		{"no such spindle", "six are in use", append(plated, "-hit", "1", "-spindles", "7"), drill.ErrStop, "spindle 7"},
		{"other schema", "made by another version", append(plated, "-hit", "1", "-from", bad), tooling.ErrSchema, "version 1"},
		{"another pass", "saved from a plated one", []string{"-pass", "unplated", "-run", "1", "-hit", "1", "-from", "../../drill/testdata/pass/rest.json"}, nil, "expected unplated"},
		{"no such file", "nothing there", append(plated, "-hit", "1", "-from", "nowhere.json"), os.ErrNotExist, "nowhere.json"},
	} {
		dir := filepath.Join(t.TempDir(), "out")
		_, _, err := restart(t, dir, c.arguments...)
		require.Error(t, err, "%s: %s", c.name, c.reason)
		if c.is != nil {
			require.ErrorIs(t, err, c.is, c.name)
		}
		require.Contains(t, err.Error(), c.says, "%s: %s", c.name, c.reason)
		require.NoDirExists(t, dir, "%s: nothing may be written", c.name)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	require.ErrorIs(t, run(ctx, &bytes.Buffer{}, append(plated, "-hit", "1", "-out", "", greenhouse)), context.Canceled)
}

// Where the control counts hits by itself, the operator hears what a stop does to
// that count, on paper, on the page and in the JSON.
func TestTheControlsCountAfterAStop(t *testing.T) {
	plan := whole()
	plan.Job.Stack.Mode = stack.Spares
	plan, err := plan.For(context.Background(), plan.Job.Lot)
	require.NoError(t, err)
	o, err := parse([]string{"-out", t.TempDir(), "-json", "-pass", "plated", "-run", "2", "-hit", "100"})
	require.NoError(t, err)
	var printed bytes.Buffer
	require.NoError(t, carryOn(context.Background(), &printed, plan, o))
	var r result
	require.NoError(t, json.Unmarshal(printed.Bytes(), &r))
	require.Contains(t, r.Counter, "takes a spare after 2000")
	for _, file := range []string{r.Sheet, r.Page} {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Contains(t, string(text), r.Counter)
	}
	program, err := os.ReadFile(r.Program)
	require.NoError(t, err)
	require.Contains(t, string(program), "\nT2C0.400F2.2S100B20.0Z-0.294\n", "the run that was stopped has no limit")
	require.Contains(t, string(program), "H1484", "later runs have theirs")
	require.Empty(t, asJSON(t, "-pass", "plated", "-run", "2", "-hit", "100").Counter)
}

// Without a directory nothing is written, and all is checked as it is with one.
func TestNothingWritten(t *testing.T) {
	var printed bytes.Buffer
	require.NoError(t, run(context.Background(), &printed, []string{"-out", "", "-pass", "unplated", "-run", "1", "-hit", "1", greenhouse}))
	require.Contains(t, printed.String(), "nothing written")
	require.Contains(t, printed.String(), "checks passed")
}
