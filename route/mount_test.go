package route_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/picture"
	"example.org/pinstack/tooling/stack"
)

func TestUnmounted(t *testing.T) {
	l := lay(t, samples()["one board"])
	p := plan(t, l, route.Options{})[0]
	if _, err := p.Estimate(ballScrew()); !errors.Is(err, route.ErrUnmounted) {
		t.Errorf("Estimate gives %v", err)
	}
	if _, err := p.Program(nc.WriteOptions{}); !errors.Is(err, route.ErrUnmounted) {
		t.Errorf("Program gives %v", err)
	}
	for range p.Steps(ballScrew()) {
		t.Fatal("an unmounted pass has steps")
	}
	m := mounted(t, l, route.Options{})
	if route.Check(l, p, parse(t, text(t, m))).OK() {
		t.Error("an unmounted pass passes its check")
	}
}

func TestMountRefuses(t *testing.T) {
	in := samples()["one board"]
	p := plan(t, lay(t, in), route.Options{})[0]
	good := setUp(t, in, p, 2)
	with := func(change func(*stack.SetUp)) stack.SetUp {
		s := good
		s.Tools = append([]stack.Share{}, good.Tools...)
		change(&s)
		return s
	}
	few := in.Machine
	few.Places = 1
	tests := []struct {
		name string
		s    stack.SetUp
		m    machine.Machine
		want error
		says string
	}{
		{"no height", stack.SetUp{}, in.Machine, route.ErrSetUp, "stack of 0"},
		{"another pass", with(func(s *stack.SetUp) { s.Tools[0].Pass = "unplated" }), in.Machine, route.ErrSetUp, "no share for run 1"},
		{"a path longer than a life", with(func(s *stack.SetUp) { s.Tools[0].Life = 50 }), in.Machine, route.ErrLife, "at most the life of 50 mm"},
		{"too few cutters", with(func(s *stack.SetUp) { s.Tools[0].Life, s.Tools[0].PerLoad = 130, 1 }), in.Machine, route.ErrSetUp, "1 cutters"},
		{"too few places", with(func(s *stack.SetUp) { s.Tools[0].Life, s.Tools[0].PerLoad = 130, 2 }), few, route.ErrSetUp, "T2"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := p.Mount(tt.s, tt.m)
			var me *route.MountError
			if !errors.Is(err, tt.want) || !errors.As(err, &me) || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %v, want %v that says %q", err, tt.want, tt.says)
			}
		})
	}
}

// TestMountDivides cuts a run at path ends where cutters wear out.
func TestMountDivides(t *testing.T) {
	in := samples()["one board"]
	in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: orb.Point{40, 0}, Max: orb.Point{60, 5}, Height: 9}}
	l := lay(t, in)
	p := plan(t, l, route.Options{})[0]
	s := setUp(t, in, p, 2)
	s.Tools[0].Life, s.Tools[0].PerLoad = 120, 3
	before, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	m, err := p.Mount(s, in.Machine)
	if err != nil {
		t.Fatal(err)
	}
	if after, _ := json.Marshal(p); string(after) != string(before) {
		t.Error("Mount changed the pass it was asked of")
	}
	next, sum := 0, 0.0
	for k, c := range m.Runs[0].Cutters {
		if c.First != next || c.Place != k+1 || c.Cut > 120 || c.Paths < 1 {
			t.Errorf("cutter %d is %+v", k, c)
		}
		next += c.Paths
		sum += c.Cut
	}
	if next != len(m.Runs[0].Paths) || math.Abs(sum-m.Runs[0].Cut) > 0.01 {
		t.Errorf("cutters make %d paths, %v mm; the run has %d, %v", next, sum, len(m.Runs[0].Paths), m.Runs[0].Cut)
	}
	if n := len(m.Runs[0].Cutters); n != 2 && n != 3 {
		t.Errorf("%d cutters of 120 mm for %v mm", n, m.Runs[0].Cut)
	}
	if err := route.Check(l, m, parse(t, text(t, m))).Err(); err != nil {
		t.Error(err)
	}
}

// TestTimesAgree compares what Work promises, what the clock says of the steps
// and the figures of the run.
func TestTimesAgree(t *testing.T) {
	in := samples()["routed holes"]
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	e, err := p.Estimate(in.Machine)
	if err != nil {
		t.Fatal(err)
	}
	var travel, fixed time.Duration
	cut, plunges := 0.0, 0
	for _, w := range p.Work() {
		travel += w.Travel
		fixed += w.Fixed
		cut += w.Cut
		plunges += w.Plunges
		sum := 0.0
		for _, piece := range w.Pieces {
			sum += piece
		}
		if math.Abs(sum-w.Cut) > 0.001*float64(len(w.Pieces)) {
			t.Errorf("pieces sum up to %v of %v mm", sum, w.Cut)
		}
	}
	if got := e.Travel + e.Settle; got != travel {
		t.Errorf("steps travel %v, the work says %v", got, travel)
	}
	if math.Abs(e.Cut-cut) > 0.01 {
		t.Errorf("steps cut %v mm, the work says %v", e.Cut, cut)
	}
	// What is left of the rout time is plunging and retracting, the same for each.
	z := (e.Rout - fixed) / time.Duration(plunges)
	if z < 200*time.Millisecond || z > time.Second {
		t.Errorf("a plunge and retract take %v", z)
	}
	if e.Change != in.Machine.Change*time.Duration(len(p.Runs)) || e.Hits != 0 {
		t.Errorf("got %+v", e)
	}
}

func TestProgramText(t *testing.T) {
	p := mounted(t, lay(t, samples()["one board"]), route.Options{})
	src := text(t, p)
	for _, want := range []string{"; invented sample\n", "; pass rout, after_plating, set-up 2, stack of 2\n", "0.700 mm into the backup, 1.800 mm above the table", "C3.175", "Z-0.700", "G40\n", "M30\n"} {
		if !strings.Contains(src, want) {
			t.Errorf("the program does not say %q:\n%s", want, src)
		}
	}
	if strings.Contains(src, "G41") || strings.Contains(src, "G42") {
		t.Error("the program leaves compensation to the control")
	}
}

// TestPassJSON reads a mounted pass back from JSON: it is plain data.
func TestPassJSON(t *testing.T) {
	p := mounted(t, lay(t, samples()["routed holes"]), route.Options{})
	src, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var back route.Pass
	if err := json.Unmarshal(src, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(p.Runs, back.Runs); d != "" {
		t.Errorf("runs differ (-want +got):\n%s", d)
	}
	if a, b := text(t, p), text(t, back); a != b {
		t.Error("the program of the pass read back differs")
	}
}

func TestDraw(t *testing.T) {
	in := samples()["scored"]
	in.Holes = nil
	for name, in := range map[string]route.Input{"scored": in, "one board": samples()["one board"]} {
		l := lay(t, in)
		p := mounted(t, l, route.Options{})
		s := picture.Scene{Width: in.Panel.Width, Height: in.Panel.Height}
		l.Draw(&s)
		p.Draw(&s, &in.Machine)
		marks, seconds := map[picture.Kind]int{}, 0.0
		for _, layer := range s.Layers {
			marks[layer.Kind] += len(layer.Marks)
			if layer.Kind != picture.Path {
				continue
			}
			for _, m := range layer.Marks {
				if m.Seconds < seconds {
					t.Errorf("%s: time runs backwards at %v", name, m)
				}
				seconds = m.Seconds
			}
		}
		moves := 0
		for _, r := range p.Runs {
			for _, q := range r.Paths {
				moves += len(q.Line.Moves)
			}
		}
		if marks[picture.Path] != moves || marks[picture.Board] == 0 || marks[picture.Tab] != len(l.Tabs) || marks[picture.Score] != len(in.Panel.Scores) {
			t.Errorf("%s: got %v", name, marks)
		}
		e, err := p.Estimate(in.Machine)
		if err != nil {
			t.Fatal(err)
		}
		if total := e.Total().Seconds(); seconds > total || seconds < total/2 {
			t.Errorf("%s: the last cut ends at %v s of %v", name, seconds, total)
		}
		if err := s.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		var plain picture.Scene
		p.Draw(&plain, nil)
		if len(plain.Layers) == 0 || plain.Layers[0].Marks[0].Seconds != 0 {
			t.Errorf("%s: without a machine there are times", name)
		}
	}
}

func TestZeroValues(t *testing.T) {
	var p route.Pass
	if p.Mounted() || len(p.Work()) != 0 {
		t.Error("the zero pass has work")
	}
	var l route.Layout
	if len(l.Perforations()) != 0 {
		t.Error("the zero layout has perforations")
	}
	if _, err := route.Lay(route.Input{}); err == nil {
		t.Error("the zero input is a panel")
	}
	if _, err := route.Plan(t.Context(), l, route.Options{}); !errors.Is(err, route.ErrBoard) {
		t.Errorf("the zero layout is planned: %v", err)
	}
	full := lay(t, samples()["one board"])
	m := mounted(t, full, route.Options{})
	if got := broken(route.Check(l, m, parse(t, text(t, m)))); len(got) != 1 || got[0] != "unlaid" {
		t.Errorf("the zero layout is checked: %v", got)
	}
	if (route.Path{}).Length() != 0 {
		t.Error("the zero path has a length")
	}
}
