package drill_test

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// saved is a pass with all that a saved pass can hold: the rest after a stop,
// with a slot cut, a hole left out, spindles parked and a worn bit.
func saved(t testing.TB) (drill.Input, drill.Pass) {
	t.Helper()
	in := resumable()
	in.Holes = []drill.Hole{
		drill.Round(orb.Point{30, 30}, component), drill.Round(orb.Point{40, 30}, component), drill.Round(orb.Point{50, 30}, component),
		drill.Round(orb.Point{60, 30}, component), drill.Slot(orb.Point{40, 50}, orb.Point{42, 50}, supply),
	}
	p := plan(t, in)[0]
	got, err := stack.Solve(context.Background(), stack.Problem{Lot: 3, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine, SetUps: [][]stack.Work{p.Work()}}, stack.Options{Height: 1})
	require.NoError(t, err)
	got.SetUps[0].Spindles = 3
	p, err = p.Mount(got.SetUps[0], in.Machine)
	require.NoError(t, err)
	rest, err := drill.Resume(context.Background(), in, p, drill.Stop{Run: 1, Hit: 1, Last: 3, Spindles: []int{2}, Fragments: []int{2}}, quick)
	require.NoError(t, err)
	return in, rest
}

func TestSavedPassGolden(t *testing.T) {
	const file = "testdata/pass/rest.json"
	in, p := saved(t)
	got, err := json.MarshalIndent(p, "", " ")
	require.NoError(t, err)
	got = append(got, '\n')
	if *update {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), string(got)), "-want +got")
	read, err := drill.DecodePass(want, file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(p, read), "-saved +read")
	assert.Equal(t, textOf(t, p, nc.WriteOptions{}), textOf(t, read, nc.WriteOptions{}))
	assert.NoError(t, drill.Check(in, read, parse(t, textOf(t, read, nc.WriteOptions{}))).Err())
	at := drill.Stop{Run: p.Runs[0].Number, Hit: 1}
	a, err := drill.Resume(context.Background(), in, p, at, quick)
	require.NoError(t, err)
	b, err := drill.Resume(context.Background(), in, read, at, quick)
	require.NoError(t, err)
	assert.Empty(t, cmp.Diff(a, b), "the rest of what was saved is another")
}

func TestSavedSamplesComeBack(t *testing.T) {
	for _, name := range planned() {
		_, passes := mountedSample(t, name)
		for _, p := range passes {
			src, err := json.Marshal(p)
			require.NoError(t, err)
			read, err := drill.DecodePass(src, "pass.json")
			require.NoError(t, err, name)
			again, err := json.Marshal(read)
			require.NoError(t, err)
			require.True(t, string(src) == string(again), name)
		}
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
		{"unknown key in the set-up", "it may matter", `"height":1,`, `"height":1,"tilt":3,`, tooling.ErrSyntax, "tilt"},
		{"other case", "not the key", `"name":`, `"Name":`, tooling.ErrSyntax, "Name"},
		{"no name", "which pass?", `"name":"plated"`, `"name":""`, tooling.ErrMissing, "name"},
		{"stage", "none of the two", `"stage":"before_plating","operation"`, `"stage":"later","operation"`, tooling.ErrValue, "stage"},
		{"a rout pass", "another package's", `"operation":"drill","set_up"`, `"operation":"rout","set_up"`, tooling.ErrValue, "operation"},
		{"far away", "no length", `"runs":[{"number":1,`, `"fit":{"shift_mm":[1e300,0]},"runs":[{"number":1,`, tooling.ErrValue, "fit.shift_mm"},
		{"a fit that folds", "cannot be undone", `"runs":[{"number":1,`, `"fit":{"kind":"affine"},"runs":[{"number":1,`, tooling.ErrValue, "fit.map"},
		{"a fit of no kind", "unknown", `"runs":[{"number":1,`, `"fit":{"kind":"wild","map":[1,0,0,1]},"runs":[{"number":1,`, tooling.ErrValue, "fit.kind"},
		{"frame", "five quarters", `"runs":[{"number":1,`, `"frame":{"quarters":5},"runs":[{"number":1,`, tooling.ErrValue, "frame"},
		{"run number", "counted from 1", `"runs":[{"number":1,`, `"runs":[{"number":0,`, tooling.ErrValue, "runs[0].number"},
		{"bit's first", "a hit is made by none", `"first":0`, `"first":1`, tooling.ErrValue, "runs[0].bits[0].first"},
		{"bit's place", "no place", `"place":1,"first"`, `"place":0,"first"`, tooling.ErrValue, "runs[0].bits[0].place"},
		{"worn", "below 0", `"worn":3`, `"worn":-3`, tooling.ErrValue, "runs[0].bits[0].worn"},
		{"again", "more than the run has", `"again":1`, `"again":99`, tooling.ErrValue, "runs[0].again"},
		{"kind of a hit", "unknown", `"kind":"finish"`, `"kind":"half"`, tooling.ErrValue, "kind"},
		{"hole", "an index", `"hole":`, `"hole":-`, tooling.ErrValue, "hole"},
		{"why", "unknown", `"why":"fragment"`, `"why":"luck"`, tooling.ErrValue, "rest.left_out[0].why"},
		{"nobody parked", "who makes the first hits?", `"spindles":[2]`, `"spindles":[]`, tooling.ErrValue, "again"},
		{"not mounted", "a rest is", `"height":1`, `"height":0`, tooling.ErrValue, "bits"},
		{"cut off", "half a pass", `"runs":`, ``, tooling.ErrSyntax, ""},
	} {
		require.True(t, strings.Contains(string(src), c.old), "%s: %s is not in %s", c.name, c.old, src)
		bad := strings.Replace(string(src), c.old, c.new, 1)
		if c.name == "cut off" {
			bad = string(src[:len(src)/2])
		}
		_, err := drill.DecodePass([]byte(bad), "pass.json")
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
	type record struct{ Passes []drill.Pass }
	var read record
	require.NoError(t, json.Unmarshal([]byte(`{"Passes":[`+string(src)+`]}`), &read))
	assert.Empty(t, cmp.Diff([]drill.Pass{p}, read.Passes))
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
		_, want := drill.DecodePass([]byte(bad), "")
		got := drill.Pass{Name: "kept"}
		err := json.Unmarshal([]byte(bad), &got)
		require.ErrorIs(t, err, c.err, c.name)
		require.Equal(t, want, err, c.name)
		require.Equal(t, drill.Pass{Name: "kept"}, got, c.name)
	}
	var none drill.Pass
	require.ErrorIs(t, json.Unmarshal([]byte("null"), &none), tooling.ErrMissing)
}

// FuzzDecodePass: what is decoded saves to what it was read from, and nothing
// that is asked of it panics.
func FuzzDecodePass(f *testing.F) {
	in, p := saved(f)
	for _, q := range []drill.Pass{p, plan(f, in)[0]} { // short ones: every find is made shorter still, which takes its time
		q.Runs, q.SetUp.Tools = q.Runs[:1], nil
		src, err := json.Marshal(q)
		require.NoError(f, err)
		f.Add(src)
	}
	f.Add([]byte(`{"schema":1,"name":"plated","stage":"before_plating","operation":"drill","runs":[]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := drill.DecodePass(src, "pass.json")
		if err != nil {
			return
		}
		first, err := json.Marshal(p)
		require.NoError(t, err)
		again, err := drill.DecodePass(first, "pass.json")
		require.NoError(t, err)
		second, err := json.Marshal(again)
		require.NoError(t, err)
		require.Equal(t, string(first), string(second))
		if _, err := p.Estimate(in.Machine); err != nil {
			require.ErrorIs(t, err, drill.ErrUnmounted)
		}
		if program, err := p.Program(nc.WriteOptions{}); err == nil {
			drill.Check(in, p, program)
		}
		for _, r := range p.Runs {
			if rest, err := drill.Resume(context.Background(), in, p, drill.Stop{Run: r.Number, Hit: len(r.Hits) / 2}, quick); err == nil {
				_, _ = rest.Program(nc.WriteOptions{})
			}
		}
	})
}
