package route_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

func TestOptionsPass(t *testing.T) {
	dropping := samples()["sharp inside corners"]
	dropping.NoTabs = true
	tests := []struct {
		name, reason string
		o            route.Options
		in           route.Input
		roles        []route.Role // that must be met
	}{
		{"rough then finish", "0.15 mm left first", route.Options{Rough: 0.15}, samples()["one board"], []route.Role{route.Rough, route.Finish}},
		{"rough in shared channels", "no room for it there", route.Options{Rough: 0.15}, grid(2, 1, 3, 2.4), []route.Role{route.Rough, route.Finish}},
		{"everything cleared", "no slug of any size", route.Options{ClearBelow: 50}, samples()["one board"], []route.Role{route.Clear, route.Finish}},
		{"corners cleaned up", "a smaller cutter in sharp corners", route.Options{CleanUp: 0.8}, samples()["sharp inside corners"], []route.Role{route.CleanUp, route.Finish}},
		{"corners cleaned up before boards drop", "nothing holds them afterwards", route.Options{CleanUp: 0.8}, dropping, []route.Role{route.CleanUp, route.Finish}},
		{"nothing cleared", "asked for", route.Options{ClearBelow: -1}, samples()["routed holes"], []route.Role{route.Finish}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := lay(t, tt.in)
			p := mounted(t, l, tt.o)
			if err := route.Check(l, p, parse(t, text(t, p))).Err(); err != nil {
				t.Errorf("%v: %s", err, tt.reason)
			}
			var got []route.Role
			for _, r := range p.Runs {
				for _, q := range r.Paths {
					got = append(got, q.Role)
				}
			}
			for _, want := range tt.roles {
				if !slices.Contains(got, want) {
					t.Errorf("no %s path among %v: %s", want, got, tt.reason)
				}
			}
		})
	}
}

func TestPlatedComesFirst(t *testing.T) {
	in := samples()["one board"]
	in.Holes = []drill.Hole{
		drill.Round(orb.Point{40, 40}, finished(8, false)), drill.Round(orb.Point{80, 40}, finished(8, true)),
		drill.Slot(orb.Point{40, 60}, orb.Point{46, 60}, finished(7, true)),
		drill.Round(orb.Point{80, 60}, finished(1, true)), drill.Slot(orb.Point{70, 60}, orb.Point{73, 60}, finished(1, true)),
	}
	l := lay(t, in)
	passes := plan(t, l, route.Options{})
	if len(passes) != 2 || passes[0].Name != route.PlatedRout || passes[0].Stage != tooling.BeforePlating || passes[1].Name != route.Rout || passes[1].Stage != tooling.AfterPlating {
		t.Fatalf("got %d passes", len(passes))
	}
	holes := func(p route.Pass) map[int]bool {
		out := map[int]bool{}
		for _, r := range p.Runs {
			for _, q := range r.Paths {
				if q.Hole {
					out[q.Loop] = true
				}
			}
		}
		return out
	}
	if d := cmp.Diff(map[int]bool{1: true, 2: true}, holes(passes[0])); d != "" {
		t.Errorf("plated holes (-want +got):\n%s", d)
	}
	if d := cmp.Diff(map[int]bool{0: true}, holes(passes[1])); d != "" {
		t.Errorf("unplated holes (-want +got):\n%s", d)
	}
	// Each pass refuses to be checked as the other: its edges are not cut there.
	a, err := passes[0].Mount(setUp(t, in, passes[0], 1), in.Machine)
	if err != nil {
		t.Fatal(err)
	}
	if err := route.Check(l, a, parse(t, text(t, a))).Err(); err != nil {
		t.Error(err)
	}
}

// TestRoutedHoleSize measures what the written circle leaves: the drilled
// diameter of the allowance.
func TestRoutedHoleSize(t *testing.T) {
	in := samples()["one board"]
	in.Holes = []drill.Hole{drill.Round(orb.Point{40, 40}, finished(8, true))}
	p := plan(t, lay(t, in), route.Options{})[0]
	want := 8 + in.Rules.Allowance.Component
	far := 0.0
	for _, q := range p.Runs[0].Paths {
		for _, m := range q.Line.Moves {
			far = max(far, math.Hypot(m.To[0]-40, m.To[1]-40))
		}
	}
	if got := 2*far + p.Runs[0].Tool.Diameter; math.Abs(got-want) > 0.002 {
		t.Errorf("the hole comes out %v mm, want %v", got, want)
	}
}

func TestCutOutsComeBeforeTheirOutline(t *testing.T) {
	in := input(sensor(), panel(300, 200, orb.Point{20, 20}, orb.Point{100, 20}, orb.Point{180, 20}, orb.Point{20, 100}, orb.Point{100, 100}, orb.Point{180, 100}))
	for _, p := range plan(t, lay(t, in), route.Options{}) {
		done := map[int]bool{} // boards whose outline has begun
		for _, r := range p.Runs {
			for _, q := range r.Paths {
				if q.Loop == 0 {
					done[q.Board] = true
				} else if done[q.Board] {
					t.Errorf("board %d: cut-out after its outline", q.Board)
				}
			}
		}
	}
}

// TestCleanUpReaches compares the edge that is left in sharp inside corners: a
// cutter of radius r leaves 2 r of edge at a right angle [calc].
func TestCleanUpReaches(t *testing.T) {
	l := lay(t, samples()["sharp inside corners"])
	left := func(o route.Options) float64 {
		p := mounted(t, l, o)
		for _, f := range route.Check(l, p, parse(t, text(t, p))) {
			if f.Rule == "unreachable" {
				return f.Value
			}
		}
		return 0
	}
	corners := 2 + 4 // of the outline's notch and of the cut-out
	r := l.Cutter.Diameter / 2
	if got, want := left(route.Options{}), float64(corners)*2*r; math.Abs(got-want) > 0.1*float64(2*corners) {
		t.Errorf("the first cutter leaves %v mm, want %v", got, want)
	}
	if got, want := left(route.Options{CleanUp: 0.8}), float64(corners)*2*0.4; math.Abs(got-want) > 0.1*float64(2*corners) {
		t.Errorf("the smaller cutter leaves %v mm, want %v", got, want)
	}
}

func TestSameBytes(t *testing.T) {
	in := grid(3, 2, 3, 2.4)
	var want []byte
	for round, procs := range []int{1, 2, 8, 1} {
		old := runtime.GOMAXPROCS(procs)
		passes := plan(t, lay(t, in), route.Options{})
		runtime.GOMAXPROCS(old)
		got, err := json.Marshal(passes)
		if err != nil {
			t.Fatal(err)
		}
		if round > 0 && !bytes.Equal(got, want) {
			t.Fatalf("round %d on %d cores differs", round, procs)
		}
		want = got
	}
}

// TestMoved plans the same board shifted, turned and with its contour begun
// elsewhere or run the other way: the cut stays the same to the grid.
func TestMoved(t *testing.T) {
	base := input(sensor(), panel(200, 200, orb.Point{60, 60}))
	cut := func(in route.Input) (length float64, tabs, paths int) {
		l := lay(t, in)
		for _, r := range plan(t, l, route.Options{})[0].Runs {
			length += r.Cut
			paths += len(r.Paths)
		}
		return length, len(l.Tabs), paths
	}
	length, tabs, paths := cut(base)
	variants := map[string]func(*route.Input){
		"shifted":  func(in *route.Input) { in.Panel.Boards[0].Offset = orb.Point{71, 83} },
		"turned":   func(in *route.Input) { in.Panel.Boards[0] = tooling.Placement{Offset: orb.Point{120, 60}, Quarters: 1} },
		"reversed": func(in *route.Input) { in.Boards[0].Outline = in.Boards[0].Outline.Reverse() },
		"begun elsewhere": func(in *route.Input) {
			c := in.Boards[0].CutOuts[0]
			in.Boards[0].CutOuts[0] = contour.Contour{Start: c.Moves[2].To, Moves: slices.Concat(c.Moves[3:], c.Moves[:3])}
		},
	}
	for name, change := range variants {
		in := input(sensor(), panel(200, 200, orb.Point{60, 60}))
		change(&in)
		l, n, k := cut(in)
		if math.Abs(l-length) > 0.05 || n != tabs || k != paths {
			t.Errorf("%s: %v mm, %d tabs, %d paths; as it was %v, %d, %d", name, l, n, k, length, tabs, paths)
		}
	}
}

func TestPlanRefuses(t *testing.T) {
	tests := []struct {
		name, reason string
		in           func() route.Input
		o            route.Options
		want         error
		says         string
	}{
		{"cut-out narrower than any cutter", "nothing fits into it", func() route.Input {
			b := sensor()
			b.CutOuts[0] = rounded(20, 0.6, 0).Translate(20, 15)
			return input(b, panel(120, 100, orb.Point{30, 30}))
		}, route.Options{}, route.ErrNoCutter, "20.000 x 0.600"},
		{"foot on a clamp beside the channel", "the foot is wider than the channel", func() route.Input {
			in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
			in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: orb.Point{0, 40}, Max: orb.Point{25, 50}, Height: 1}}
			return in
		}, route.Options{}, route.ErrObstacle, "clamp"},
		{"pin nearer than the margin", "0.5 mm is kept", func() route.Input {
			in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
			in.Rules.Rout.Cutter = 2.4
			in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{28.333, 28.333}, Diameter: 2}}
			return in
		}, route.Options{}, route.ErrObstacle, "X28.333 Y28.333"},
		{"no row for the material", "no feed", func() route.Input {
			in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
			in.Panel.Material = "slate"
			return in
		}, route.Options{}, tooling.ErrNoRow, "slate"},
		{"NaN option", "no number", func() route.Input { return samples()["one board"] }, route.Options{Margin: math.NaN()}, tooling.ErrValue, "margin"},
		{"rough beyond reason", "no rough path leaves 5 mm", func() route.Input { return samples()["one board"] }, route.Options{Rough: 5}, tooling.ErrValue, "rough"},
		{"no way round a clamp", "it parts the panel", func() route.Input {
			in := input(sensor(), panel(120, 120, orb.Point{30, 50}))
			in.Panel.KeepOuts = []tooling.KeepOut{{Name: "bar", Min: orb.Point{0, 20}, Max: orb.Point{120, 25}, Height: 9}}
			return in
		}, route.Options{}, route.ErrObstacle, "no way"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			passes, err := route.Plan(context.Background(), lay(t, tt.in()), tt.o)
			if !errors.Is(err, tt.want) || passes != nil {
				t.Fatalf("got %v, want %v: %s", err, tt.want, tt.reason)
			}
			if !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %q, want it to say %q", err, tt.says)
			}
		})
	}
}

func TestPlanCancelled(t *testing.T) {
	l := lay(t, samples()["one board"])
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if passes, err := route.Plan(ctx, l, route.Options{}); !errors.Is(err, context.Canceled) || passes != nil {
		t.Errorf("got %v", err)
	}
}

// Each run is told of once, with the paths so far; a log of one run says so too.
func TestPlanProgress(t *testing.T) {
	var calls []string
	o := route.Options{Progress: func(pass string, done, of int, n int64) {
		calls = append(calls, fmt.Sprintf("%s %d of %d, %d", pass, done, of, n))
	}}
	in := gauge()
	in.Boards[0].Open = []route.OpenPath{{Line: contour.FromLine(orb.LineString{{10, 8}, {10, 22}}), Side: route.Centre, Width: 1}}
	layout, err := route.Lay(in)
	require.NoError(t, err)
	passes, err := route.Plan(context.Background(), layout, o)
	require.NoError(t, err)
	paths := 0
	var want []string
	for i, r := range passes[0].Runs {
		paths += len(r.Paths)
		want = append(want, fmt.Sprintf("rout %d of %d, %d", i+1, len(passes[0].Runs), paths))
	}
	require.Len(t, want, 2)
	require.Equal(t, want, calls)
}
