package machine_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

func preset(t testing.TB, name string) machine.Machine {
	t.Helper()
	m, ok := machine.Preset(name)
	if !ok {
		t.Fatalf("no preset %q", name)
	}
	return m
}

// What the comment of Presets and the README on job files say there is, there is, and
// nothing else.
func TestDocumentsListThePresets(t *testing.T) {
	var want []string
	for _, m := range machine.Presets() {
		want = append(want, m.Name)
	}
	for file, list := range map[string]string{
		"presets.go":                      `(?s)with the library, by name: (.*?)\.`,
		"../../testdata/panels/README.md": "(?m)^\\| `machine` \\| a preset: (.*) \\|$",
	} {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		said := regexp.MustCompile(list).FindStringSubmatch(strings.ReplaceAll(string(src), "\n// ", " "))
		if said == nil {
			t.Errorf("%s has no list of presets", file)
			continue
		}
		var got []string
		for _, name := range regexp.MustCompile("`([^`]*)`").FindAllStringSubmatch(said[1], -1) {
			got = append(got, name[1])
		}
		slices.Sort(got)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("presets in %s (-there +listed):\n%s", file, diff)
		}
	}
}

func TestPresets(t *testing.T) {
	var names []string
	for _, m := range machine.Presets() {
		names = append(names, m.Name)
		if err := m.Validate(); err != nil {
			t.Errorf("%s: %v", m.Name, err)
		}
		if m.Calibrated {
			t.Errorf("%s: a preset is not calibrated", m.Name)
		}
		src, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		back, err := machine.Decode(src, "m.json", machine.Machine{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(m, back); diff != "" {
			t.Errorf("%s there and back (-want +got):\n%s", m.Name, diff)
		}
	}
	if diff := cmp.Diff([]string{"ball screw", "linear motor", "older", "worked"}, names); diff != "" {
		t.Errorf("sorted by name (-want +got):\n%s", diff)
	}
	if _, ok := machine.Preset("newest"); ok {
		t.Error("an unknown preset was found")
	}
}

func TestMachineJSON(t *testing.T) {
	base := preset(t, "older")
	got, err := machine.Decode([]byte(`{"name": "hall 2", "settle_s": 0.0125, "foot_dwell_s": 0.004, "approach_mm": 1, "spin_up_s": 2, "stop_s": 30, "opening_mm": 12,
		"overlap_s": 0.01, "change_at_mm": [-20, 5], "z": {"speed": 400, "accel": 9000, "jerk": 300000}, "calibrated": true}`), "m.json", base)
	if err != nil {
		t.Fatal(err)
	}
	want := base
	want.Name, want.Settle, want.FootDwell, want.Approach = "hall 2", 12500*time.Microsecond, 4*time.Millisecond, 1
	want.SpinUp, want.Stop, want.Overlap, want.Calibrated = 2*time.Second, 30*time.Second, 10*time.Millisecond, true
	want.Opening, want.ChangeAt, want.Z = 12, orb.Point{-20, 5}, machine.Axis{Speed: 400, Accel: 9000, Jerk: 300_000}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var nested struct{ M machine.Machine }
	src, _ := json.Marshal(struct{ M machine.Machine }{got})
	if err := json.Unmarshal(src, &nested); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(got, nested.M); diff != "" {
		t.Errorf("inside another value (-want +got):\n%s", diff)
	}
	var e *tooling.InputError
	if err := json.Unmarshal([]byte(`{"M": {"settle": 1}}`), &nested); !errors.As(err, &e) || e.Source.Path != "settle" {
		t.Errorf("unknown key inside another value: got %v", err)
	}
}

func TestMachineRefuses(t *testing.T) {
	for _, row := range []struct {
		name, src, path string
		want            error
	}{
		{"speed of none", `{"x": {"speed": 0, "accel": 1}}`, "x.speed", tooling.ErrValue},
		{"1e300", `{"y": {"speed": 1, "accel": 1e300}}`, "y.accel", tooling.ErrValue},
		{"negative jerk", `{"y": {"speed": 1, "accel": 1, "jerk": -1}}`, "y.jerk", tooling.ErrValue},
		{"Z speed", `{"z": {"speed": -1}}`, "z.speed", tooling.ErrValue},
		{"Z acceleration", `{"z": {"speed": 1, "accel": -1}}`, "z.accel", tooling.ErrValue},
		{"Z jerk without a ramp", `{"z": {"speed": 1, "accel": 0, "jerk": 5}}`, "z.accel", tooling.ErrValue},
		{"Z jerk", `{"z": {"speed": 1, "accel": 1, "jerk": 1e300}}`, "z.jerk", tooling.ErrValue},
		{"settle", `{"settle_s": -0.001}`, "settle_s", tooling.ErrValue},
		{"settle 1e300", `{"settle_s": 1e300}`, "settle_s", tooling.ErrValue},
		{"overlap", `{"overlap_s": 61}`, "overlap_s", tooling.ErrValue},
		{"approach", `{"approach_mm": -1}`, "approach_mm", tooling.ErrValue},
		{"foot dwell", `{"foot_dwell_s": -1}`, "foot_dwell_s", tooling.ErrValue},
		{"change", `{"change_s": 1e300}`, "change_s", tooling.ErrValue},
		{"spin-up", `{"spin_up_s": 1e5}`, "spin_up_s", tooling.ErrValue},
		{"load", `{"load_s": -1}`, "load_s", tooling.ErrValue},
		{"stop", `{"stop_s": -1}`, "stop_s", tooling.ErrValue},
		{"no spindle", `{"spindles": 0}`, "spindles", tooling.ErrValue},
		{"no place", `{"places": 0}`, "places", tooling.ErrValue},
		{"no speed", `{"max_rev_per_min": 0, "min_rev_per_min": 0}`, "max_rev_per_min", tooling.ErrValue},
		{"speeds crossed", `{"min_rev_per_min": 200000}`, "min_rev_per_min", tooling.ErrConflict},
		{"foot", `{"foot_mm": -1}`, "foot_mm", tooling.ErrValue},
		{"opening", `{"opening_mm": -1}`, "opening_mm", tooling.ErrValue},
		{"rate", `{"rate_per_hour": 1e300}`, "rate_per_hour", tooling.ErrValue},
		{"change place", `{"change_at_mm": [1e300, 0]}`, "change_at_mm", tooling.ErrValue},
		{"half a place", `{"change_at_mm": [1]}`, "change_at_mm", tooling.ErrSyntax},
		{"key twice", `{"load_s": 1, "load_s": 2}`, "load_s", tooling.ErrDuplicate},
		{"text", `{"load_s": "1 min"}`, "load_s", tooling.ErrSyntax},
		{"unknown key", `{"load": 1}`, "load", tooling.ErrSyntax},
	} {
		_, err := machine.Decode([]byte(row.src), "m.json", preset(t, "ball screw"))
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.Path != row.path || e.Source.File != "m.json" || !errors.Is(err, row.want) {
			t.Errorf("%s: got %v, want %v at %s", row.name, err, row.want, row.path)
		}
	}
	m := preset(t, "older")
	m.Settle, m.Rate = -time.Second, math.NaN()
	var list tooling.InputErrors
	if err := m.Validate(); !errors.As(err, &list) || len(list) != 2 {
		t.Errorf("in Go values: got %v, want two errors", err)
	}
}

func TestMachineZeroValue(t *testing.T) {
	var m machine.Machine
	if err := m.Validate(); !errors.Is(err, tooling.ErrValue) {
		t.Errorf("got %v", err)
	}
	steps := []machine.Step{
		{Kind: machine.Change, To: orb.Point{1, 1}, Tool: 1}, {Kind: machine.Stroke, Depth: 5, Feed: 100, Retract: 100},
		{Kind: machine.Plunge, Depth: 5, Feed: 1}, {Kind: machine.Line, To: orb.Point{3, 3}, Feed: 1}, {Kind: machine.Pause}, {Kind: machine.Reload}, {},
	}
	e := m.Time(values(steps))
	if e.Total() != 0 || e.Hits != 1 {
		t.Errorf("a machine without limits takes no time: got %+v", e)
	}
	var c machine.Clock
	for _, s := range steps {
		if d := c.Tick(s); d != 0 {
			t.Errorf("zero clock, %s: got %v", s.Kind, d)
		}
	}
	if got := (machine.Estimate{}).Add(machine.Estimate{}); got.Total() != 0 || got.Used != nil {
		t.Errorf("zero estimates: got %+v", got)
	}
	if got := m.Speeds(); got != (tooling.SpeedLimits{}) {
		t.Errorf("got %+v", got)
	}
}

func FuzzDecode(f *testing.F) {
	for _, m := range machine.Presets() {
		src, err := json.Marshal(m)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Add([]byte(`{"settle_s": 1e300, "x": {"speed": 1e-300}}`))
	base := preset(f, "ball screw")
	f.Fuzz(func(t *testing.T, src []byte) {
		m, err := machine.Decode(src, "m.json", base)
		var e *tooling.InputError
		if err != nil {
			if !errors.As(err, &e) {
				t.Fatalf("untyped error %T: %v", err, err)
			}
			return
		}
		if err := m.Validate(); err != nil {
			t.Fatalf("accepted, then not: %v", err)
		}
		estimate := m.Time(values([]machine.Step{
			{Kind: machine.Change, To: orb.Point{5, 5}, Tool: 1}, {Kind: machine.Move, To: orb.Point{100, 30}},
			{Kind: machine.Stroke, Depth: 5, Feed: 2000, Retract: 20_000, Pecks: 2}, {Kind: machine.Reload},
		}))
		if estimate.Total() < 0 || estimate.Hits != 1 {
			t.Fatalf("got %+v", estimate)
		}
	})
}

func ExampleDecode() {
	base, _ := machine.Preset("ball screw")
	m, err := machine.Decode([]byte(`{"name": "hall 2", "spindles": 5, "change_s": 12.5}`), "hall2.json", base)
	fmt.Println(m.Name, m.Spindles, m.Change, m.Settle, err)
	_, err = machine.Decode([]byte(`{"spindles": 0}`), "hall2.json", base)
	fmt.Println(err)
	// Output:
	// hall 2 5 12.5s 15ms <nil>
	// hall2.json spindles: tooling: value out of range: found 0, expected 1 to 100
}

func ExamplePreset() {
	m, ok := machine.Preset("linear motor")
	fmt.Println(m.Spindles, m.Change, m.Calibrated, ok)
	// Output: 6 7s false true
}
