package calibrate_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/machine/calibrate"
)

func TestLoadLog(t *testing.T) {
	rows, err := calibrate.LoadLog([]byte(`kind,dx_mm,dy_mm,depth_mm,infeed_mm_per_min,retract_mm_per_min,count,changes,loads,seconds
move,2.5,-1,,,,10,,,0.47
stroke,,,5.35,2500,20000,,,,0.15
change,,,,,,2,,,21.5
load,,,,,,,,,240
pass,2.5,,5.35,2500,20000,1000,3,1,500
`), "log.csv")
	if err != nil {
		t.Fatal(err)
	}
	at := func(i int) tooling.Source {
		return tooling.Source{File: "log.csv", Line: i + 2, Path: fmt.Sprintf("rows[%d]", i)}
	}
	want := []calibrate.Row{
		{Kind: calibrate.Move, DX: 2.5, DY: -1, Count: 10, Seconds: 0.47, Source: at(0)},
		{Kind: calibrate.Stroke, Depth: 5.35, Feed: 2500, Retract: 20_000, Seconds: 0.15, Source: at(1)},
		{Kind: calibrate.Change, Count: 2, Seconds: 21.5, Source: at(2)},
		{Kind: calibrate.Load, Seconds: 240, Source: at(3)},
		{Kind: calibrate.Pass, DX: 2.5, Depth: 5.35, Feed: 2500, Retract: 20_000, Count: 1000, Changes: 3, Loads: 1, Seconds: 500, Source: at(4)},
	}
	if diff := cmp.Diff(want, rows); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestLoadLogRefuses(t *testing.T) {
	const head = "kind,dx_mm,dy_mm,depth_mm,infeed_mm_per_min,retract_mm_per_min,count,changes,seconds\nmove,1,,,,,,,1\n"
	for _, row := range []struct {
		name, line, path string
		want             error
	}{
		{"no time", "move,1,,,,,,,0", "rows[1].seconds", tooling.ErrValue},
		{"NaN", "move,1,,,,,,,NaN", "rows[1].seconds", tooling.ErrSyntax},
		{"1e300", "move,1e300,,,,,,,1", "rows[1].dx_mm", tooling.ErrValue},
		{"far", "move,,10001,,,,,,1", "rows[1].dy_mm", tooling.ErrValue},
		{"half a count", "move,1,,,,,0.5,,1", "rows[1].count", tooling.ErrSyntax},
		{"count", "move,1,,,,,-1,,1", "rows[1].count", tooling.ErrValue},
		{"unknown kind", "hop,1,,,,,,,1", "rows[1].kind", tooling.ErrValue},
		{"move nowhere", "move,,,,,,,,1", "rows[1].kind", tooling.ErrMissing},
		{"move with a depth", "move,1,,5,100,100,,,1", "rows[1].kind", tooling.ErrConflict},
		{"move with changes", "move,1,,,,,,1,1", "rows[1].kind", tooling.ErrConflict},
		{"stroke of none", "stroke,,,,,,,,1", "rows[1].kind", tooling.ErrMissing},
		{"stroke without a feed", "stroke,,,5,,100,,,1", "rows[1].infeed_mm_per_min", tooling.ErrValue},
		{"stroke without a retract", "stroke,,,5,100,,,,1", "rows[1].retract_mm_per_min", tooling.ErrValue},
		{"feed without a depth", "stroke,,,,100,100,,,1", "rows[1].depth_mm", tooling.ErrValue},
		{"stroke with a distance", "stroke,1,,5,100,100,,,1", "rows[1].kind", tooling.ErrConflict},
		{"change with a depth", "change,,,5,100,100,,,1", "rows[1].kind", tooling.ErrConflict},
		{"change with changes", "change,,,,,,,2,1", "rows[1].kind", tooling.ErrConflict},
		{"empty pass", "pass,,,,,,,,1", "rows[1].kind", tooling.ErrMissing},
	} {
		_, err := calibrate.LoadLog([]byte(head+row.line+"\n"), "log.csv")
		var e *tooling.InputError
		if !errors.As(err, &e) || !errors.Is(err, row.want) || e.Source.Path != row.path || e.Source.Line != 3 || e.Source.File != "log.csv" {
			t.Errorf("%s: got %v, want %v at %s, line 3", row.name, err, row.want, row.path)
		}
	}
	var few *calibrate.DataError
	if _, err := calibrate.LoadLog([]byte("kind,seconds\n"), "log.csv"); !errors.As(err, &few) || !errors.Is(err, calibrate.ErrTooFew) || few.Got != 0 {
		t.Errorf("empty log: got %v", err)
	}
	if _, err := calibrate.LoadLog(nil, "log.csv"); !errors.Is(err, tooling.ErrSyntax) {
		t.Errorf("no header: got %v", err)
	}
}

func TestRowsInGoAreValidatedToo(t *testing.T) {
	hops := []calibrate.Hop{{DX: math.NaN(), Count: 1}, {Depth: -1, Count: 0}}
	for _, row := range []struct {
		row  calibrate.Row
		path string
		want error
	}{
		{calibrate.Row{Kind: calibrate.Move, DX: math.Inf(1), Seconds: 1}, "rows[0].dx_mm", tooling.ErrValue},
		{calibrate.Row{Kind: calibrate.Pass, Hops: hops, Seconds: 1}, "rows[0].hops[0]", tooling.ErrValue},
		{calibrate.Row{Kind: calibrate.Pass, Hops: hops[:1], Count: 3, Seconds: 1}, "rows[0].kind", tooling.ErrConflict},
		{calibrate.Row{Kind: calibrate.Move, DX: 1, Hops: []calibrate.Hop{{DX: 1, Count: 1}}, Seconds: 1}, "rows[0].kind", tooling.ErrConflict},
	} {
		_, err := calibrate.Fit(context.Background(), []calibrate.Row{row.row}, calibrate.Options{})
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.Path != row.path || !errors.Is(err, row.want) {
			t.Errorf("%+v: got %v, want %v at %s", row.row, err, row.want, row.path)
		}
	}
}

// A pass row made of steps predicts what the clock says of them.
func TestFromSteps(t *testing.T) {
	m, _ := machine.Preset("older")
	steps := []machine.Step{{Kind: machine.Change, To: orb.Point{-5, 0}, Tool: 1}}
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 300 {
		steps = append(steps,
			machine.Step{Kind: machine.Move, To: orb.Point{float64(i%20) * 2.54, float64(rng.IntN(40))}},
			machine.Step{Kind: machine.Stroke, Depth: 5.35, Feed: 2500, Retract: 20_000, Pecks: 1 + i%2})
	}
	steps = append(steps, machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: 2}, machine.Step{Kind: machine.Reload}, machine.Step{Kind: machine.Pause, Time: time.Hour})
	e := m.Time(slices.Values(steps))
	row, err := calibrate.FromSteps(m, slices.Values(steps), 1)
	if err != nil {
		t.Fatal(err)
	}
	if row.Changes != 2 || row.Loads != 1 || len(row.Hops) > 200 {
		t.Errorf("got %d changes, %d loads, %d hops", row.Changes, row.Loads, len(row.Hops))
	}
	// Twenty equal passes and the moves of the log: the residual of each pass
	// against its own machine is the 1 s it was said to take.
	row.Seconds = (e.Total() - e.Pause).Seconds()
	rows := []calibrate.Row{}
	for range 30 {
		rows = append(rows, row)
	}
	r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{Base: m})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range r.Residuals {
		if math.Abs(x.Relative) > 1e-6 {
			t.Fatalf("the clock and the model disagree: %+v", x)
		}
	}
	// One pass over and over tells one number: no parameter, and some together.
	for _, p := range r.Parameters {
		if p.Status == calibrate.Known {
			t.Errorf("one number cannot tell %+v", p)
		}
	}
	cut := []machine.Step{{Kind: machine.Line, To: orb.Point{1, 1}, Feed: 600}}
	if _, err := calibrate.FromSteps(m, slices.Values(cut), 1); !errors.Is(err, tooling.ErrValue) {
		t.Errorf("a rout step: got %v", err)
	}
}

// FuzzLoadLog: no text panics, errors are typed, rows that pass can be fitted
// or are too few.
func FuzzLoadLog(f *testing.F) {
	f.Add([]byte("kind,dx_mm,seconds\nmove,1,0.1\n"))
	f.Add([]byte("kind,depth_mm,infeed_mm_per_min,retract_mm_per_min,pecks,seconds\nstroke,1,100,100,3,2\n"))
	f.Add([]byte("kind,changes,loads,seconds\npass,1,1,2\n" + strings.Repeat("pass,1,1,2\n", 30)))
	f.Add([]byte("seconds\n\"1\n2\"\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		rows, err := calibrate.LoadLog(src, "log.csv")
		if err == nil && len(rows) < 100 {
			_, err = calibrate.Fit(context.Background(), rows, calibrate.Options{})
		}
		var bad *tooling.InputError
		var few *calibrate.DataError
		if err != nil && !errors.As(err, &bad) && !errors.As(err, &few) {
			t.Fatalf("untyped error %T: %v", err, err)
		}
	})
}

func ExampleLoadLog() {
	_, err := calibrate.LoadLog([]byte("kind,dx_mm,seconds\nmove,2.5,0.047\nmove,0,0.021\n"), "log.csv")
	fmt.Println(err)
	// Output: log.csv:3 rows[1].kind: tooling: value missing: found "move" without a distance, expected a distance
}

func ExampleFromSteps() {
	m, _ := machine.Preset("ball screw")
	steps := []machine.Step{
		{Kind: machine.Change, To: m.ChangeAt, Tool: 1},
		{Kind: machine.Move, To: orb.Point{2.5, 0}},
		{Kind: machine.Stroke, Depth: 5.35, Feed: 2500, Retract: 20_000},
		{Kind: machine.Move, To: orb.Point{5, 0}},
		{Kind: machine.Stroke, Depth: 5.35, Feed: 2500, Retract: 20_000},
	}
	row, err := calibrate.FromSteps(m, slices.Values(steps), 10.4)
	fmt.Println(row.Changes, row.Hops[0].Count, row.Hops[1].Count, err)
	// Output: 1 2 2 <nil>
}
