package job_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// fault is one refusal of a job file, every field of it but the file's name.
type fault struct {
	path, found, expected string
	err                   error
}

// faults lists why a job file is refused; none: it is accepted.
func faults(t *testing.T, f job.File) (out []fault) {
	t.Helper()
	_, err := f.Encode()
	if err == nil {
		return nil
	}
	var list tooling.InputErrors
	require.True(t, errors.As(err, &list), "%T: %v", err, err)
	for _, e := range list {
		out = append(out, fault{e.Source.Path, e.Found, e.Expected, e.Err})
	}
	return out
}

// smallFile is the small job's file with something changed.
func smallFile(t *testing.T, change func(*job.File)) job.File {
	t.Helper()
	var f job.File
	require.NoError(t, tooling.Decode([]byte(newSmall().job), "job.json", &f))
	change(&f)
	return f
}

// Every key of the job file with bounds is accepted at both of them, and one step
// beyond is refused under its key with what was found and what is allowed.
func TestLimitsOfAJobFile(t *testing.T) {
	const hair = 1e-9
	whole := func(path string, lo, hi int, set func(*job.File, int)) {
		for n, ok := range map[int]bool{lo - 1: false, lo: true, hi: true, hi + 1: false} {
			var want []fault
			if !ok {
				want = []fault{{path, fmt.Sprint(n), fmt.Sprintf("%d to %d", lo, hi), tooling.ErrValue}}
			}
			require.Equal(t, want, faults(t, smallFile(t, func(f *job.File) { set(f, n) })), "%s %d", path, n)
		}
	}
	whole("panels", 1, 10_000_000, func(f *job.File, n int) { f.Panels = n })
	whole("height", 0, 50, func(f *job.File, n int) { f.Height = n })
	whole("stack.tiers", 0, 1000, func(f *job.File, n int) { f.Stack.Tiers = n })
	whole("boards[0].drill[1].digits", 0, 8, func(f *job.File, n int) { f.Boards[0].Drill[1].Digits[0] = n })
	whole("boards[0].drill[1].digits", 0, 8, func(f *job.File, n int) { f.Boards[0].Drill[1].Digits[1] = n })
	whole("placements[0].quarters", 0, 3, func(f *job.File, n int) { f.Placements[0].Quarters = n })
	whole("writing.digits[0]", 0, 6, func(f *job.File, n int) { f.Writing.Digits = [2]int{n, 3} })
	whole("writing.digits[1]", 0, 6, func(f *job.File, n int) { f.Writing.Digits = [2]int{min(max(n, 0), 3), n} }) // 0:0 is the usual
	whole("writing.max_bytes", 0, 1<<30, func(f *job.File, n int) { f.Writing.MaxBytes = n })
	whole("writing.frames[0].set_up", 1, 10_000, func(f *job.File, n int) { f.Writing.Frames = []job.FrameFile{{SetUp: n}} })
	whole("writing.frames[0].quarters", 0, 3, func(f *job.File, n int) { f.Writing.Frames = []job.FrameFile{{SetUp: 1, Quarters: n}} })

	length := func(path string, lo, hi float64, unit string, set func(*job.File, float64)) {
		for _, x := range []float64{lo - hair, lo, hi, hi + 1e-6, math.NaN(), math.Inf(1)} {
			var want []fault
			if !(x >= lo && x <= hi) {
				want = []fault{{path, fmt.Sprintf("%.6g", x), fmt.Sprintf("%.6g to %.6g %s", lo, hi, unit), tooling.ErrValue}}
			}
			require.Equal(t, want, faults(t, smallFile(t, func(f *job.File) { set(f, x) })), "%s %v", path, x)
		}
	}
	length("stack.due_s", 0, 1e9, "s", func(f *job.File, x float64) { f.Stack.Due = x })
	length("stack.hour_price", 0, 1e6, "money/h", func(f *job.File, x float64) { f.Stack.HourPrice = x })
	length("stack.second_pass_mm", 0, 10, "mm", func(f *job.File, x float64) { f.Stack.SecondPass = x })
	length("stack.speeds[1]", 0.1, 1, "of the table's speed", func(f *job.File, x float64) {
		f.Stack.Speeds, f.Stack.Taylor = []float64{1, x}, tooling.Taylor{N: 0.3, C: 300}
	})
	length("stack.taylor.n", 0.01, 0.99, "", func(f *job.File, x float64) { f.Stack.Taylor = tooling.Taylor{N: x, C: 300} })
	length("stack.taylor.c_m_per_min", 0.1, 1e6, "m/min", func(f *job.File, x float64) { f.Stack.Taylor = tooling.Taylor{N: 0.3, C: x} })
	length("rout.rough_mm", 0, 2, "mm", func(f *job.File, x float64) { f.Rout.Rough = x })
	length("rout.clean_up_mm", 0, 50, "mm", func(f *job.File, x float64) { f.Rout.CleanUp = x })
	length("rout.enter_below_mm", 0, 50, "mm", func(f *job.File, x float64) { f.Rout.EnterBelow = x })
	length("boards[0].drill[0].position_mm", 0, 100, "mm", func(f *job.File, x float64) { f.Boards[0].Drill[0].Position = x })
	length("boards[0].drill[1].tools[1].position_mm", 0, 100, "mm", func(f *job.File, x float64) {
		f.Boards[0].Drill[1].Tools = []job.ToolFile{{Tool: 1}, {Tool: 2, Position: x}}
	})

	for path, set := range map[string]func(*job.File, float64){
		"rout.clear_below_mm": func(f *job.File, x float64) { f.Rout.ClearBelow = x },
		"rout.margin_mm":      func(f *job.File, x float64) { f.Rout.Margin = x },
	} {
		for _, x := range []float64{-1e300, 0, tooling.MaxLength, tooling.MaxLength + 1e-6, math.NaN()} {
			var want []fault
			if !(x <= tooling.MaxLength) {
				want = []fault{{path, fmt.Sprint(x), "a length in mm", tooling.ErrValue}}
			}
			require.Equal(t, want, faults(t, smallFile(t, func(f *job.File) { set(f, x) })), "%s %v", path, x)
		}
	}

	for path, set := range map[string]func(*job.File, orb.Point){
		"placements[0].at_mm":        func(f *job.File, p orb.Point) { f.Placements[0] = job.PlacementFile{Board: "a", At: p} },
		"placements[0].step_mm":      func(f *job.File, p orb.Point) { f.Placements[0] = job.PlacementFile{Board: "a", Step: p} },
		"writing.frames[0].datum_mm": func(f *job.File, p orb.Point) { f.Writing.Frames = []job.FrameFile{{SetUp: 1, Datum: p}} },
	} {
		for _, p := range []orb.Point{{1e4, -1e4}, {-1e4, 1e4}, {10001, 0}, {0, -10001}, {math.NaN(), 0}, {0, math.Inf(1)}} {
			var want []fault
			if !tooling.InRange(p[0]) || !tooling.InRange(p[1]) {
				want = []fault{{path, fmt.Sprintf("%.6g, %.6g", p[0], p[1]), "coordinates within 10 m", tooling.ErrValue}}
			}
			require.Equal(t, want, faults(t, smallFile(t, func(f *job.File) { set(f, p) })), "%s %v", path, p)
		}
	}
}

// How many boards a job lists, and how many it places, is bounded; a billion
// places are refused without being counted one by one, and so is a step that
// leads off the 10 m.
func TestBoardsAndPlacesAreBounded(t *testing.T) {
	boards := func(n int) job.File {
		return smallFile(t, func(f *job.File) {
			for i := range n - 1 {
				f.Boards = append(f.Boards, job.BoardFile{Name: fmt.Sprint(i), Outline: "outline.rte"})
			}
		})
	}
	require.Empty(t, faults(t, boards(10_000)))
	require.Equal(t, []fault{{"boards", "10001", "1 to 10000", tooling.ErrValue}}, faults(t, boards(10_001)))
	require.Contains(t, faults(t, smallFile(t, func(f *job.File) { f.Boards = nil })), fault{"boards", "0", "1 to 10000", tooling.ErrValue})

	many := func(path, found string) fault { return fault{path, found, "1 to 10000", tooling.ErrValue} }
	counted := func(path, found string) fault { return fault{path, found, "0 to 10000", tooling.ErrValue} }
	for _, c := range []struct {
		name   string
		places []job.PlacementFile
		want   []fault
	}{
		{"none", nil, []fault{many("placements", "0")}},
		{"once", []job.PlacementFile{{Board: "a"}}, nil},
		{"all in a row", []job.PlacementFile{{Board: "a", Columns: 10_000, Step: orb.Point{1, 0}}}, nil},
		{"all in a column", []job.PlacementFile{{Board: "a", Rows: 10_000, Step: orb.Point{0, 1}}}, nil},
		{"a field", []job.PlacementFile{{Board: "a", Columns: 100, Rows: 100, Step: orb.Point{1, 1}}}, nil},
		{"one more", []job.PlacementFile{{Board: "a", Columns: 100, Rows: 100, Step: orb.Point{1, 1}}, {Board: "a"}}, []fault{many("placements", "10001")}},
		{"a row too long", []job.PlacementFile{{Board: "a", Columns: 10_001}}, []fault{counted("placements[0].columns", "10001"), many("placements", "10001")}},
		{"a column too long", []job.PlacementFile{{Board: "a", Rows: 10_001}}, []fault{counted("placements[0].rows", "10001"), many("placements", "10001")}},
		{"beyond counting", []job.PlacementFile{{Board: "a", Columns: math.MaxInt, Rows: math.MaxInt}},
			[]fault{counted("placements[0].columns", fmt.Sprint(math.MaxInt)), counted("placements[0].rows", fmt.Sprint(math.MaxInt)), many("placements", fmt.Sprint(10_001*10_001))}},
		{"fewer than none", []job.PlacementFile{{Board: "a", Columns: -1, Rows: -1}}, []fault{counted("placements[0].columns", "-1"), counted("placements[0].rows", "-1")}},
		{"a board there is not", []job.PlacementFile{{Board: "b"}}, []fault{{"placements[0].board", `"b"`, "the name of one of the boards", tooling.ErrValue}}},
		{"the last at 10 m", []job.PlacementFile{{Board: "a", Columns: 101, Rows: 51, At: orb.Point{0, 5000}, Step: orb.Point{100, 100}}}, nil},
		{"the last beyond", []job.PlacementFile{{Board: "a", Columns: 102, Rows: 2, Step: orb.Point{100, 7}}}, []fault{{"placements[0].step_mm", "10100, 7", "coordinates within 10 m", tooling.ErrValue}}},
		{"the last row beyond", []job.PlacementFile{{Board: "a"}, {Board: "a", Columns: 2, Rows: 4, At: orb.Point{0, -9800}, Step: orb.Point{5, -100}}}, []fault{{"placements[1].step_mm", "5, -10100", "coordinates within 10 m", tooling.ErrValue}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := faults(t, smallFile(t, func(f *job.File) { f.Placements = c.places }))
			if d := cmp.Diff(c.want, got, cmp.AllowUnexported(fault{}), cmp.Comparer(func(a, b error) bool { return errors.Is(a, b) })); d != "" {
				t.Error(d)
			}
		})
	}
}

// Job and revision name files: no character between the ranges of letters and
// digits may pass, nor a name longer than 60 or one that begins with a dot.
func TestNamesOfAJobFile(t *testing.T) {
	for name, ok := range map[string]bool{
		"a": true, "z": true, "A": true, "Z": true, "0": true, "9": true, "-": true, "_": true, "a.b": true, "a.": true,
		"": false, ".": false, ".a": false, "`": false, "{": false, "@": false, "[": false, "/": false, ":": false, " ": false, "a\n": false, "\u00e9": false, "\u0430": false,
		strings.Repeat("x", 60): true, strings.Repeat("x", 61): false, strings.Repeat("\u00e9", 30): false,
	} {
		for path, set := range map[string]func(*job.File){
			"job":      func(f *job.File) { f.Job = name },
			"revision": func(f *job.File) { f.Revision = name },
		} {
			var want []fault
			if !ok {
				want = []fault{{path, fmt.Sprintf("%q", name), "1 to 60 letters, digits, dots, dashes or underscores: it names files", tooling.ErrValue}}
			}
			require.Equal(t, want, faults(t, smallFile(t, set)), "%s %q", path, name)
		}
	}
}

// What a key may say is listed where it says something else, and all that is wrong
// with a file is told at once.
func TestWordsOfAJobFile(t *testing.T) {
	presets := make([]string, 0, 8)
	for _, m := range machine.Presets() {
		presets = append(presets, m.Name)
	}
	for _, c := range []struct {
		set  func(*job.File, string)
		path string
		err  error
		says string   // what is expected
		ok   []string // what may stand there, "" apart
	}{
		{func(f *job.File, s string) { f.Machine = s }, "machine", tooling.ErrValue, "a preset: " + strings.Join(presets, ", "), presets},
		{func(f *job.File, s string) { f.Objective = s }, "objective", tooling.ErrValue, "cost or time", []string{"", "cost", "time"}},
		{func(f *job.File, s string) { f.Stack.Mode = stack.Mode(s) }, "stack.bit_mode", tooling.ErrValue, "split or spares", []string{"", "split", "spares"}},
		{func(f *job.File, s string) { f.Stack.Policy, f.Stack.Mode = stack.Policy(s), "spares" }, "stack.policy", tooling.ErrValue, "fresh, whole-loads or carry-on", []string{"", "fresh", "whole-loads", "carry-on"}},
		{func(f *job.File, s string) { f.Boards[0].Drill[0].Sizes = tooling.Basis(s) }, "boards[0].drill[0].sizes", tooling.ErrValue, "finished, drilled", []string{"", "finished", "drilled"}},
		{func(f *job.File, s string) { f.Boards[0].Drill[1].Plating = drill.Plating(s) }, "boards[0].drill[1].plating", tooling.ErrValue, "plated, unplated", []string{"", "plated", "unplated"}},
		{func(f *job.File, s string) { f.Boards[0].Drill[0].Class = tooling.Class(s) }, "boards[0].drill[0].class", tooling.ErrValue, "via, component, press-fit, mechanical", []string{"", "via", "component", "press-fit", "mechanical"}},
		{func(f *job.File, s string) { f.Boards[0].Drill[0].Units = s }, "boards[0].drill[0].units", tooling.ErrValue, "mm, inch", []string{"", "mm", "inch"}},
		{func(f *job.File, s string) { f.Boards[0].Drill[0].Zeros = s }, "boards[0].drill[0].zeros", tooling.ErrValue, "LZ, TZ", []string{"", "LZ", "TZ"}},
		{func(f *job.File, s string) { f.Writing.Units = s }, "writing.units", tooling.ErrValue, "mm, inch", []string{"", "mm", "inch"}},
		{func(f *job.File, s string) { f.Writing.Zeros = s }, "writing.zeros", tooling.ErrValue, "decimal, LZ, TZ", []string{"", "decimal", "LZ", "TZ"}},
		{func(f *job.File, s string) { f.Writing.FeedUnit = s }, "writing.feed_unit", tooling.ErrValue, "m/min, mm/min, mm/s, inch/min", []string{"", "m/min", "mm/min", "mm/s"}},
		{func(f *job.File, s string) { f.Writing.FeedUnit, f.Writing.Units = s, "inch" }, "writing.feed_unit", tooling.ErrValue, "m/min, mm/min, mm/s, inch/min", []string{"", "inch/min"}},
		{func(f *job.File, s string) { f.Writing.Slots = s }, "writing.slots", tooling.ErrValue, "hits, G85, rout", []string{"", "hits", "G85", "rout"}},
		{func(f *job.File, s string) { f.Writing.ToolOrder = s }, "writing.tool_order", tooling.ErrValue, "use, number, diameter", []string{"", "use", "number", "diameter"}},
		{func(f *job.File, s string) { f.Writing.End = s }, "writing.end", tooling.ErrValue, "M30, M00", []string{"", "M30", "M00"}},
		{func(f *job.File, s string) { f.Writing.Frames = []job.FrameFile{{SetUp: 1, Origin: s}} }, "writing.frames[0].origin", tooling.ErrValue, "pin, centre, corner", []string{"", "pin", "centre", "corner"}},
	} {
		for _, word := range append(c.ok, "slate") {
			var want []fault
			if word == "slate" {
				want = []fault{{c.path, `"slate"`, c.says, c.err}}
			}
			require.Equal(t, want, faults(t, smallFile(t, func(f *job.File) { c.set(f, word) })), "%s %q", c.path, word)
		}
	}

	for name, c := range map[string]struct {
		change func(*job.File)
		want   []fault
	}{
		"schema before": {func(f *job.File) { f.Schema = 0 }, []fault{{"schema", "0", "1, the form this version reads", tooling.ErrValue}}},
		"schema after":  {func(f *job.File) { f.Schema = 2 }, []fault{{"schema", "2", "1, the form this version reads", tooling.ErrValue}}},
		"boards on the panel": {func(f *job.File) { f.Panel.Boards = []tooling.Placement{{}} },
			[]fault{{"panel.boards", "boards on the panel", "none: the job's placements put them there", tooling.ErrConflict}}},
		"a board without a name": {func(f *job.File) { f.Boards[0].Name, f.Placements[0].Board = "", "" },
			[]fault{{"boards[0].name", "nothing", "a name for the board", tooling.ErrMissing}}},
		"a name for two": {func(f *job.File) {
			f.Boards = append(f.Boards, job.BoardFile{Name: "b", Outline: "o"}, job.BoardFile{Name: "b", Outline: "o"})
		},
			[]fault{{"boards[2].name", `"b"`, "a name not used by boards[1]", tooling.ErrDuplicate}}},
		"an outline for one of two": {func(f *job.File) { f.Boards = append(f.Boards, job.BoardFile{Name: "b"}) },
			[]fault{{"boards[1].outline", "nothing", "an outline, as the other boards have one", tooling.ErrMissing}}},
		"an open path without a file": {func(f *job.File) { f.Boards[0].Open = []job.OpenFile{{File: "slits.rte"}, {}} },
			[]fault{{"boards[0].open_paths[1].file", "nothing", "a file name", tooling.ErrMissing}}},
		"open paths without an outline": {func(f *job.File) { f.Boards[0].Open, f.Boards[0].Outline = []job.OpenFile{{File: "slits.rte"}}, "" },
			[]fault{{"boards[0].outline", "open paths", "an outline: they are routed with it", tooling.ErrMissing}}},
		"a drill file without a name": {func(f *job.File) { f.Boards[0].Drill[1].File = "" },
			[]fault{{"boards[0].drill[1].file", "nothing", "a file name", tooling.ErrMissing}}},
		"no decimals": {func(f *job.File) { f.Writing.Digits = [2]int{3, 0} },
			[]fault{{"writing", "digits 3:0: at most 6 on a side, at least one decimal", "what the writer can write", tooling.ErrConflict}}},
		"a frame twice": {func(f *job.File) { f.Writing.Frames = []job.FrameFile{{SetUp: 2}, {SetUp: 1}, {SetUp: 2}} },
			[]fault{{"writing.frames[2].set_up", "2", "a set-up not named by frames[0]", tooling.ErrDuplicate}}},
		"a frame from a pin that is not there": {func(f *job.File) { f.Writing.Frames = []job.FrameFile{{SetUp: 3, Origin: "pin"}} },
			[]fault{{"writing.frames[0].origin", "no pin in set-up 3", "a pin of the panel to count from", tooling.ErrMissing}}},
		"a frame from two origins": {func(f *job.File) {
			f.Writing.Frames = []job.FrameFile{{SetUp: 1, Origin: "corner", Datum: orb.Point{0, 1}}}
		},
			[]fault{{"writing.frames[0].datum_mm", "a datum beside the origin corner", "one of them", tooling.ErrConflict}}},
		"carrying on without counting": {func(f *job.File) { f.Stack.Policy = stack.CarryOn },
			[]fault{{"stack.policy", "carry-on without spares", "mode spares: only a control that counts can carry on", tooling.ErrConflict}}},
		"a panel of no width": {func(f *job.File) { f.Panel.Width, f.Panel.Features = 0, nil }, []fault{{"panel.width_mm", "0", "1 to 10000 mm", tooling.ErrValue}}},
		"a feature off the panel": {func(f *job.File) { f.Panel.Features[1].At = orb.Point{119, 95} },
			[]fault{{"panel.features[1].at_mm", "X119.000 Y95.000", "a place on the panel", tooling.ErrValue}}},
		"all at once": {func(f *job.File) { f.Schema, f.Panels, f.Placements[0].Quarters, f.Writing.End = 3, 0, 4, "M02" }, []fault{
			{"schema", "3", "1, the form this version reads", tooling.ErrValue}, {"panels", "0", "1 to 10000000", tooling.ErrValue},
			{"placements[0].quarters", "4", "0 to 3", tooling.ErrValue}, {"writing.end", `"M02"`, "M30, M00", tooling.ErrValue}}},
	} {
		require.Equal(t, c.want, faults(t, smallFile(t, c.change)), name)
	}
}

// A fault of the panel in a job file is named by file and key, as all others are.
func TestFaultsOfThePanelNameTheFile(t *testing.T) {
	s := newSmall()
	s.job = strings.Replace(s.job, `"width_mm": 120`, `"width_mm": 0.5`, 1)
	_, err := job.Load(s.files(), "job.json")
	var list tooling.InputErrors
	require.ErrorAs(t, err, &list)
	require.Equal(t, tooling.Source{File: "job.json", Path: "panel.width_mm"}, list[0].Source)
}

// The clean-up cutter is one of the crib, to the nanometre, and a bit is none.
func TestCleanUpCutterIsOfTheCrib(t *testing.T) {
	for _, c := range []struct {
		mm float64
		ok bool
	}{{0, true}, {2, true}, {2.0000001, true}, {2.000001, false}, {1.999999, false}, {3, false}} { // 3 mm is a bit's
		r := routed{cutOuts: box(20, 10, 40, 30), patch: fmt.Sprintf(`{"crib": "crib.json", "rout": {"clean_up_mm": %v}}`, c.mm)}
		_, err := job.Load(r.files(t), "job.json")
		if c.ok {
			require.NoError(t, err, "%v", c.mm)
			continue
		}
		var bad *tooling.InputError
		require.ErrorAs(t, err, &bad)
		require.Equal(t, tooling.InputError{Source: tooling.Source{File: "job.json", Path: "rout.clean_up_mm"}, Err: route.ErrNoCutter,
			Found: fmt.Sprintf("%.3f mm", c.mm), Expected: "the diameter of a cutter of the crib"}, *bad)
	}
}
