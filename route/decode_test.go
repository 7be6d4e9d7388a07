package route_test

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// saved is a pass with all that a saved pass can hold: the rest after a stop,
// with a path left out, spindles parked and a worn cutter.
func saved(t testing.TB) (route.Layout, route.Pass) {
	t.Helper()
	l, p := stoppable(t, 400)
	rest, err := route.Resume(context.Background(), l, p, route.Stop{Run: 1, Path: 2, Last: 4, Spindles: []int{2}, Fragments: []int{4}}, route.Options{})
	require.NoError(t, err)
	return l, rest
}

func TestSavedPassGolden(t *testing.T) {
	const file = "testdata/pass/rest.json"
	l, p := saved(t)
	got, err := json.MarshalIndent(p, "", " ")
	require.NoError(t, err)
	got = append(got, '\n')
	if *update {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), string(got)), "-want +got")
	read, err := route.DecodePass(want, file)
	require.NoError(t, err)
	require.Equal(t, text(t, p), text(t, read))
	require.NoError(t, route.Check(l, read, parse(t, text(t, read))).Err())
	at := route.Stop{Run: 1, Path: 1}
	a, err := route.Resume(context.Background(), l, p, at, route.Options{})
	require.NoError(t, err)
	b, err := route.Resume(context.Background(), l, read, at, route.Options{})
	require.NoError(t, err)
	assert.Equal(t, text(t, a), text(t, b), "the rest of what was saved is another")
}

func TestSavedSamplesComeBack(t *testing.T) {
	for name, in := range samples() {
		l := lay(t, in)
		src, err := json.Marshal(mounted(t, l, route.Options{}))
		require.NoError(t, err)
		read, err := route.DecodePass(src, "pass.json")
		require.NoError(t, err, name)
		again, err := json.Marshal(read)
		require.NoError(t, err)
		require.True(t, string(src) == string(again), name)
	}
}

func TestDecodePassRefuses(t *testing.T) {
	_, p := saved(t)
	src, err := json.Marshal(p)
	require.NoError(t, err)
	for _, c := range []struct {
		name, reason, old, new string
		err                    error
		path                   string
	}{
		{"newer", "made by another version", `"schema":1`, `"schema":2`, tooling.ErrSchema, "schema"},
		{"no version", "never guessed", `"schema":1,`, ``, tooling.ErrMissing, "schema"},
		{"unknown key", "it may matter", `"name":`, `"colour":"red","name":`, tooling.ErrSyntax, "colour"},
		{"no name", "which pass?", `"name":"rout"`, `"name":""`, tooling.ErrMissing, "name"},
		{"stage", "none of the two", `"stage":"after_plating","operation"`, `"stage":"later","operation"`, tooling.ErrValue, "stage"},
		{"a drill pass", "another package's", `"operation":"rout","set_up"`, `"operation":"drill","set_up"`, tooling.ErrValue, "operation"},
		{"fit", "arcs would not stay arcs", `"runs":[{"number":1,`, `"fit":{"kind":"affine","map":[1,0,0,1]},"runs":[{"number":1,`, tooling.ErrValue, "fit.kind"},
		{"fit that folds", "cannot be undone", `"runs":[{"number":1,`, `"fit":{"kind":"similarity"},"runs":[{"number":1,`, tooling.ErrValue, "fit.map"},
		{"frame", "five quarters", `"runs":[{"number":1,`, `"frame":{"quarters":5},"runs":[{"number":1,`, tooling.ErrValue, "frame"},
		{"run number", "counted from 1", `"runs":[{"number":1,`, `"runs":[{"number":0,`, tooling.ErrValue, "runs[0].number"},
		{"cutter's first", "a path is cut by none", `"first":0`, `"first":1`, tooling.ErrValue, "runs[0].cutters[0].first"},
		{"cutter's place", "no place", `"place":1,"first"`, `"place":0,"first"`, tooling.ErrValue, "runs[0].cutters[0].place"},
		{"worn", "below 0", `"worn_mm":`, `"worn_mm":-`, tooling.ErrValue, "runs[0].cutters[0].worn_mm"},
		{"again", "more than the run has", `"again":1`, `"again":99`, tooling.ErrValue, "runs[0].again"},
		{"role", "unknown", `"role":"finish"`, `"role":"nice"`, tooling.ErrValue, "role"},
		{"far away", "no length", `"start":[`, `"start":[1e300,`, tooling.ErrSyntax, "start"},
		{"turn", "neither way", `"turn":-1`, `"turn":-7`, tooling.ErrValue, "turn"},
		{"why", "unknown", `"why":"fragment"`, `"why":"luck"`, tooling.ErrValue, "rest.left_out[0].why"},
		{"nobody parked", "who cuts the first paths?", `"spindles":[2]`, `"spindles":[]`, tooling.ErrValue, "again"},
		{"not mounted", "a rest is", `"height":1`, `"height":0`, tooling.ErrValue, "cutters"},
	} {
		require.True(t, strings.Contains(string(src), c.old), "%s: %s is not there", c.name, c.old)
		_, err := route.DecodePass([]byte(strings.Replace(string(src), c.old, c.new, 1)), "pass.json")
		require.ErrorIs(t, err, c.err, "%s: %s", c.name, c.reason)
		var one *tooling.InputError
		require.True(t, errors.As(err, &one), c.name)
		assert.Equal(t, "pass.json", one.Source.File, c.name)
		assert.Contains(t, one.Source.Path, c.path, c.name)
	}
}

// A pass within other JSON is read as DecodePass reads it: what that refuses is
// refused with the same error, and nothing is changed.
func TestUnmarshalPass(t *testing.T) {
	_, p := saved(t)
	src, err := json.Marshal(p)
	require.NoError(t, err)
	type record struct{ Passes []route.Pass }
	var read record
	require.NoError(t, json.Unmarshal([]byte(`{"Passes":[`+string(src)+`]}`), &read))
	assert.Empty(t, cmp.Diff([]route.Pass{p}, read.Passes))
	for _, c := range []struct {
		name, old, new string
		err            error
	}{
		{"newer", `"schema":1`, `"schema":2`, tooling.ErrSchema},
		{"no version", `"schema":1,`, ``, tooling.ErrMissing},
		{"unknown key", `"name":`, `"colour":"red","name":`, tooling.ErrSyntax},
		{"no name", `"name":"` + p.Name + `"`, `"name":""`, tooling.ErrMissing},
	} {
		bad := strings.Replace(string(src), c.old, c.new, 1)
		_, want := route.DecodePass([]byte(bad), "")
		got := route.Pass{Name: "kept"}
		err := json.Unmarshal([]byte(bad), &got)
		require.ErrorIs(t, err, c.err, c.name)
		require.Equal(t, want, err, c.name)
		require.Equal(t, route.Pass{Name: "kept"}, got, c.name)
	}
	var none route.Pass
	require.ErrorIs(t, json.Unmarshal([]byte("null"), &none), tooling.ErrMissing)
}

// FuzzDecodePass: what is decoded saves to what it was read from, and nothing
// that is asked of it panics.
func FuzzDecodePass(f *testing.F) {
	l, p := saved(f)
	p.Runs, p.SetUp.Tools, p.Rest.Done = p.Runs[:1], nil, nil // short: every find is made shorter still, which takes its time
	p.Runs[0].Paths, p.Runs[0].Cutters, p.Runs[0].Again = p.Runs[0].Paths[:1], []route.Cutter{{Place: 1, Paths: 1}}, 0
	src, err := json.Marshal(p)
	require.NoError(f, err)
	f.Add(src)
	f.Add([]byte(`{"schema":1,"name":"rout","stage":"after_plating","operation":"rout","runs":[],"panel_mm":{"Min":[0,0],"Max":[9,9]},"drop_from_mm":6}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := route.DecodePass(src, "pass.json")
		if err != nil {
			return
		}
		first, err := json.Marshal(p)
		require.NoError(t, err)
		again, err := route.DecodePass(first, "pass.json")
		require.NoError(t, err)
		second, err := json.Marshal(again)
		require.NoError(t, err)
		require.Equal(t, string(first), string(second))
		if _, err := p.Estimate(l.Input.Machine); err != nil {
			require.ErrorIs(t, err, route.ErrUnmounted)
		}
		if program, err := p.Program(nc.WriteOptions{}); err == nil {
			route.Check(l, p, program)
		}
		for _, r := range p.Runs {
			if rest, err := route.Resume(context.Background(), l, p, route.Stop{Run: r.Number, Path: len(r.Paths) / 2}, route.Options{}); err == nil {
				_, _ = rest.Program(nc.WriteOptions{})
			}
		}
	})
}
