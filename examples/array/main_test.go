package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

const files = "../../testdata/boards/tide-float/"

func float(dir string) options {
	return options{
		json: true, outline: files + "outline.gbr", plated: files + "plated.drl", unplated: files + "unplated.drl", sizes: "finished",
		panels: "200x150,150x250", quantity: 50, thickness: 1.6, out: dir,
	}
}

// The board's files become a job that loads, plans and passes every check as it
// stands, with the holes of as many boards as were said.
func TestBoardBecomesAJob(t *testing.T) {
	dir := t.TempDir()
	var text bytes.Buffer
	require.NoError(t, run(t.Context(), &text, float(dir)))
	var said struct {
		Schema int
		Board  struct {
			Area     float64    `json:"area_mm2"`
			Box      [4]float64 `json:"box_mm"`
			Outlines int
			CutOuts  int `json:"cut_outs"`
			Holes    int
		}
		Panel struct {
			Width  float64 `json:"width_mm"`
			Height float64 `json:"height_mm"`
			Boards int
		}
		Panels int `json:"panels_per_lot"`
	}
	require.NoError(t, json.Unmarshal(text.Bytes(), &said))
	// The area of rectangles less that of their corners: (4 - pi) r2.
	require.InDelta(t, 52*34-0.8584073464*9-(12*6-0.8584073464*1.5*1.5), said.Board.Area, 1e-6)
	require.Equal(t, [4]float64{10, 20, 62, 54}, said.Board.Box)
	require.Equal(t, []int{1, 1, 1, 47}, []int{said.Schema, said.Board.Outlines, said.Board.CutOuts, said.Board.Holes})
	require.GreaterOrEqual(t, said.Panel.Boards*said.Panels, 50)

	j, err := job.Load(os.DirFS(dir), "job.json")
	require.NoError(t, err)
	require.Equal(t, said.Panels, j.Lot)
	require.Equal(t, [2]float64{said.Panel.Width, said.Panel.Height}, [2]float64{j.Drill.Panel.Width, j.Drill.Panel.Height})
	p, err := job.Make(t.Context(), j, job.Options{Drill: drill.Options{Tour: tour.Options{Kicks: 0.1}}})
	require.NoError(t, err)
	require.NoError(t, p.Report.Err())
	_, report, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	drilled := 0
	for _, pass := range p.Drill {
		drilled += pass.Holes()
	}
	require.GreaterOrEqual(t, drilled, 47*said.Panel.Boards)
}

// Small boards scored both ways leave pins and holes of the panel little room between
// the lines: what is written is still a job that passes every check, and whose stacks
// fit one way only.
func TestSmallScoredBoardsBecomeAJob(t *testing.T) {
	for _, size := range [][2]float64{{5, 5}, {5, 4}, {10, 3}} {
		in := t.TempDir()
		o := options{outline: filepath.Join(in, "outline.gbr"), plated: filepath.Join(in, "plated.drl"), sizes: "finished",
			panels: "400x300,457x610", gap: "score", quantity: 2000, thickness: 1.6, out: filepath.Join(in, "out")}
		x, y := int(size[0]*1e6), int(size[1]*1e6)
		outline := fmt.Sprintf("%%FSLAX46Y46*%%\n%%MOMM*%%\n%%ADD10C,0.1*%%\nD10*\nX0Y0D02*\nG01X%dY0D01*\nX%dY%dD01*\nX0Y%dD01*\nX0Y0D01*\nM02*\n", x, x, y, y)
		require.NoError(t, os.WriteFile(o.outline, []byte(outline), 0o644))
		require.NoError(t, os.WriteFile(o.plated, []byte(fmt.Sprintf("M48\nMETRIC,TZ\nT1C0.800\n%%\nT1\nX%.3fY%.3f\nM30\n", size[0]/2, size[1]/2)), 0o644))
		require.NoError(t, run(t.Context(), &bytes.Buffer{}, o), "%v", size)

		j, err := job.Load(os.DirFS(o.out), "job.json")
		require.NoError(t, err)
		p, err := job.Make(t.Context(), j, job.Options{Drill: drill.Options{Tour: tour.Options{Kicks: -1}}, Route: route.Options{Kicks: -1}})
		require.NoError(t, err, "%v", size)
		for _, f := range p.Report {
			require.False(t, strings.HasPrefix(f.Rule, "stack-fits"), "%v: %v", size, f)
		}
		_, report, err := p.Programs(context.Background(), job.WriteOptions{})
		require.NoError(t, err)
		require.NoError(t, report.Err(), "%v", size)
	}
}

// The same files give the same bytes.
func TestSameJobEachTime(t *testing.T) {
	var made [2]map[string]string
	for i := range made {
		dir := t.TempDir()
		require.NoError(t, run(t.Context(), &bytes.Buffer{}, float(dir)))
		made[i] = map[string]string{}
		for _, name := range []string{"job.json", "crib.json", "outline.rte", "array.svg"} {
			text, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			made[i][name] = string(text)
		}
	}
	if d := cmp.Diff(made[0], made[1]); d != "" {
		t.Error(d)
	}
}

// The keys are those that are promised, and no others.
func TestKeys(t *testing.T) {
	var text bytes.Buffer
	require.NoError(t, run(t.Context(), &text, float(t.TempDir())))
	var said map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(text.Bytes(), &said))
	want := map[string][]string{
		"":      {"board", "cost_per_board", "findings", "panel", "panels_per_lot", "runner_up", "schema"},
		"board": {"area_mm2", "box_mm", "cut_outs", "holes", "join_tolerance_mm", "outlines"},
		"panel": {"boards", "columns", "height_mm", "rows", "turned", "use", "width_mm"},
	}
	got := map[string][]string{"": keys(said)}
	for _, k := range []string{"board", "panel"} {
		var in map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(said[k], &in))
		got[k] = keys(in)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

func keys(m map[string]json.RawMessage) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Inches taken for millimetres crowd all holes at the origin, one of them in the
// edge: that is no half hole but a wrong unit.
func TestCrowdedHolesAreNoHalfHoles(t *testing.T) {
	dir := t.TempDir()
	outline := filepath.Join(dir, "outline.gbr")
	require.NoError(t, os.WriteFile(outline, []byte("%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,0.1*%\nD10*\nX0Y0D02*\nG01X60000000Y0D01*\nX60000000Y40000000D01*\nX0Y40000000D01*\nX0Y0D01*\nM02*\n"), 0o644))
	inch := filepath.Join(dir, "inch.drl")
	require.NoError(t, os.WriteFile(inch, []byte("M48\nMETRIC,TZ\nT1C3.200\nT2C0.600\n%\nT1\nX0.2Y1.4\nT2\nX1.2Y1.4\nX2.0Y0.7\nX1.2Y0.8\nM30\n"), 0o644))
	o := float(filepath.Join(dir, "out"))
	o.outline, o.plated, o.unplated = outline, inch, ""
	require.ErrorIs(t, run(t.Context(), &bytes.Buffer{}, o), route.ErrRegistration)
	require.NoDirExists(t, o.out)
}

// What cannot be laid out is refused with its reason and leaves nothing behind.
func TestRefused(t *testing.T) {
	other := filepath.Join(t.TempDir(), "far.drl")
	require.NoError(t, os.WriteFile(other, []byte("M48\nMETRIC,TZ\nT1C3.200\n%\nT1\nX500.0Y500.0\nX520.0Y500.0\nX500.0Y510.0\nM30\n"), 0o644))
	for _, c := range []struct {
		name   string
		change func(*options)
		reason string
	}{
		{"no outline", func(o *options) { o.outline = "" }, "nothing to lay out"},
		{"no such file", func(o *options) { o.plated = files + "none.drl" }, "not there"},
		{"not artwork", func(o *options) { o.outline = files + "plated.drl" }, "a drill file"},
		{"panel too small", func(o *options) { o.panels = "60x40" }, "no room for a border"},
		{"panel in words", func(o *options) { o.panels = "large" }, "no size"},
		{"gap in words", func(o *options) { o.gap = "wide" }, "no gap"},
		{"negative gap", func(o *options) { o.gap = "-1" }, "no gap"},
		{"no boards", func(o *options) { o.quantity = 0 }, "nothing to make"},
		{"sizes in words", func(o *options) { o.sizes = "big" }, "no kind of size"},
		{"holes elsewhere", func(o *options) { o.unplated = other }, "half a metre beside the board"},
		{"scored round corners", func(o *options) { o.gap = "score" }, "no straight side to score"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			o := float(dir)
			c.change(&o)
			var text bytes.Buffer
			err := run(t.Context(), &text, o)
			require.Error(t, err, c.reason)
			require.Empty(t, text.String())
			require.NoDirExists(t, dir)
			var input *tooling.InputError
			if errors.As(err, &input) {
				require.NotEmpty(t, input.Expected, "what was expected")
			}
			var shown bytes.Buffer
			printError(&shown, err)
			var said struct{ Error string }
			require.NoError(t, json.Unmarshal(shown.Bytes(), &said))
			require.NotEmpty(t, said.Error)
		})
	}
}

// Round boards have no straight edge for a tab. Drawn as a circle or in chords,
// fine or coarse, they get tabs on their rim, and what was made of the chords is
// told.
func TestRoundBoards(t *testing.T) {
	for _, chords := range []int{0, 360, 72} {
		var b strings.Builder
		b.WriteString("%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,0.1*%\nG75*\nG01*\nD10*\nX25000000Y0D02*\n")
		if chords == 0 {
			b.WriteString("G03*\nX25000000Y0I-25000000J0D01*\n")
		}
		for k := range chords {
			s, c := math.Sincos(2 * math.Pi * float64(k+1) / float64(chords))
			fmt.Fprintf(&b, "X%.0fY%.0fD01*\n", 25e6*c, 25e6*s)
		}
		b.WriteString("M02*\n")
		dir := t.TempDir()
		o := float(filepath.Join(dir, "out"))
		o.outline, o.plated, o.unplated, o.score = filepath.Join(dir, "round.gbr"), "", "", ""
		require.NoError(t, os.WriteFile(o.outline, []byte(b.String()), 0o600))
		var text bytes.Buffer
		require.NoError(t, run(t.Context(), &text, o), "%d chords", chords)
		var said struct {
			Board struct {
				Area float64 `json:"area_mm2"`
			}
			Findings []tooling.Finding
		}
		require.NoError(t, json.Unmarshal(text.Bytes(), &said))
		want := math.Pi * 625
		if n := float64(chords); n > 0 { // a regular polygon: what is drawn counts, not what is cut
			want = n / 2 * 625 * math.Sin(2*math.Pi/n)
		}
		require.InDelta(t, want, said.Board.Area, 1e-3)
		fitted := slices.ContainsFunc(said.Findings, func(f tooling.Finding) bool { return f.Rule == "arcs-fitted" })
		require.Equal(t, chords > 0, fitted)
	}
}

// Cut-outs too narrow for a cutter come with the job as a drill file of their own.
func TestNarrowCutOutsGoWithTheJob(t *testing.T) {
	o := float(t.TempDir())
	o.outline = filepath.Join(t.TempDir(), "narrow.gbr")
	o.plated, o.unplated, o.mixed = "", "", ""
	const board = `%FSLAX33Y33*%
%MOMM*%
%ADD10C,0.1*%
D10*
X0Y0D02*
G01*
X50000D01*
Y30000D01*
X0D01*
Y0D01*
X20000Y20000D02*
X25000D01*
Y20600D01*
X20000D01*
Y20000D01*
M02*
`
	require.NoError(t, os.WriteFile(o.outline, []byte(board), 0o644))
	var text bytes.Buffer
	require.NoError(t, run(t.Context(), &text, o))
	require.Contains(t, text.String(), `"cut_outs": 1`)
	require.Contains(t, text.String(), `"holes": 0`, "holes are those of the drill files")
	j, err := job.Load(os.DirFS(o.out), "job.json")
	require.NoError(t, err)
	slots := 0
	for _, h := range j.Drill.Holes {
		if h.IsSlot() {
			slots++
			require.Equal(t, tooling.AfterPlating, h.Stage())
			require.InDelta(t, 4.4, h.Length(), 1e-9)
		}
	}
	require.Equal(t, len(j.Drill.Panel.Boards), slots)
	p, err := job.Make(t.Context(), j, job.Options{Drill: drill.Options{Tour: tour.Options{Kicks: 0.1}}})
	require.NoError(t, err)
	require.NoError(t, p.Report.Err())
}
