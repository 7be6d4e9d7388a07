package drill_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// quick asks for the start tour only: what is tested here is not how short the
// tours are.
var quick = drill.Options{Tour: tour.Options{Kicks: -1}}

var (
	via       = tooling.Size{Diameter: 0.3, Basis: tooling.Finished, Class: tooling.Via, Plated: true}
	component = tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Class: tooling.Component, Plated: true}
	supply    = tooling.Size{Diameter: 1.0, Basis: tooling.Finished, Class: tooling.Component, Plated: true}
	shield    = tooling.Size{Diameter: 0.8, Basis: tooling.Finished, Class: tooling.Component, Plated: true}
	stud      = tooling.Size{Diameter: 4.2, Basis: tooling.Finished, Class: tooling.Component, Plated: true}
	mount     = tooling.Size{Diameter: 3.2, Basis: tooling.Finished, Class: tooling.Mechanical}
	gland     = tooling.Size{Diameter: 5, Basis: tooling.Finished, Class: tooling.Mechanical}
	wide      = tooling.Size{Diameter: 8, Basis: tooling.Finished, Class: tooling.Mechanical}
	gauge     = tooling.Size{Diameter: 2, Basis: tooling.Finished, Class: tooling.Mechanical}
)

func ballScrew(change orb.Point) machine.Machine {
	m, _ := machine.Preset("ball screw")
	m.ChangeAt = change
	return m
}

// small is a panel with one of everything: vias, component holes, slots long
// and short, holes that want pilots, a tented and a half hole, one to be routed.
func small() drill.Input {
	in := drill.Input{
		Panel: tooling.Panel{
			Width: 120, Height: 90, Thickness: 1.6, Material: tooling.FR4,
			Features: []tooling.Feature{
				{Role: tooling.Pin, At: orb.Point{8, 41}, Diameter: 3.175, SetUp: 1},
				{Role: tooling.Pin, At: orb.Point{110, 41}, Diameter: 3.175, SetUp: 1},
				{Role: tooling.ToolingHole, At: orb.Point{8, 20}, Diameter: 3.2},
				{Role: tooling.ToolingHole, At: orb.Point{110, 64}, Diameter: 3.2},
				{Role: tooling.Pin, At: orb.Point{8, 20}, Diameter: 3.175, SetUp: 2},
				{Role: tooling.Pin, At: orb.Point{110, 64}, Diameter: 3.175, SetUp: 2},
			},
			KeepOuts: []tooling.KeepOut{{Name: "clamp", Min: orb.Point{50, 0}, Max: orb.Point{60, 5}, Height: 1.2}},
		},
		Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: ballScrew(orb.Point{-20, -20}),
	}
	for x := range 6 {
		for y := range 4 {
			in.Holes = append(in.Holes, drill.Round(orb.Point{30 + 1.27*float64(x), 30 + 1.27*float64(y)}, via))
		}
	}
	for x := range 8 {
		in.Holes = append(in.Holes, drill.Round(orb.Point{60 + 2.54*float64(x), 30}, component))
	}
	half := drill.Round(orb.Point{90, 20}, component)
	half.Half = true
	tented := drill.Round(orb.Point{90, 60}, mount)
	tented.Tented = true
	in.Holes = append(in.Holes,
		drill.Slot(orb.Point{40, 50}, orb.Point{43, 50}, supply),
		drill.Slot(orb.Point{50, 54}, orb.Point{50, 50}, supply),
		drill.Slot(orb.Point{60, 50}, orb.Point{60.6, 50}, shield),
		drill.Slot(orb.Point{70, 50}, orb.Point{70.4, 50.4}, shield),
		drill.Round(orb.Point{80, 50}, stud),
		half, tented,
		drill.Round(orb.Point{25, 20}, mount), drill.Round(orb.Point{95, 70}, mount),
		drill.Round(orb.Point{60, 70}, gland),
		drill.Slot(orb.Point{30, 70}, orb.Point{34, 73}, gauge),
		drill.Round(orb.Point{80, 75}, wide),
	)
	in.Holes = append(in.Holes, drill.Place(nil, in.Panel)...)
	return in
}

func plan(t testing.TB, in drill.Input) []drill.Pass {
	t.Helper()
	passes, err := drill.Plan(context.Background(), in, quick)
	require.NoError(t, err)
	return passes
}

// planned are the samples that are planned in a test: with -short only the
// first.
func planned() []string {
	if testing.Short() {
		return sampleNames[:1]
	}
	return sampleNames
}

// mountedSample is a sample with its mounted passes, made once for all tests:
// none of them changes it.
func mountedSample(t testing.TB, name string) (drill.Input, []drill.Pass) {
	t.Helper()
	m, ok := mountedSamples[name]
	if !ok {
		m.in, _, _ = sample(t, name)
		m.passes = mountAll(t, m.in, 24)
		mountedSamples[name] = m
	}
	return m.in, m.passes
}

var mountedSamples = map[string]struct {
	in     drill.Input
	passes []drill.Pass
}{}

// mountAll plans, finds the heights for a lot and mounts every pass.
func mountAll(t testing.TB, in drill.Input, lot int) []drill.Pass {
	t.Helper()
	return mountPasses(t, in, plan(t, in), lot)
}

// mountPasses finds the heights for a lot and mounts every pass.
func mountPasses(t testing.TB, in drill.Input, passes []drill.Pass, lot int) []drill.Pass {
	t.Helper()
	p := stack.Problem{Lot: lot, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine}
	for _, q := range passes {
		p.SetUps = append(p.SetUps, q.Work())
	}
	res, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	for i := range passes {
		passes[i], err = passes[i].Mount(res.SetUps[i], in.Machine)
		require.NoError(t, err)
	}
	return passes
}

func textOf(t testing.TB, p drill.Pass, o nc.WriteOptions) string {
	t.Helper()
	prog, err := p.Program(o)
	require.NoError(t, err)
	var b bytes.Buffer
	_, err = prog.WriteTo(&b)
	require.NoError(t, err)
	return b.String()
}

func parse(t testing.TB, text string) *nc.Program {
	t.Helper()
	p, err := nc.Parse([]byte(text), nc.ReadOptions{})
	require.NoError(t, err)
	return p
}

// refused lists the rules that refuse, in the order of the report, each once.
func refused(r tooling.Report) []string {
	var out []string
	seen := map[string]bool{}
	for _, f := range r {
		if !f.OK && !seen[f.Rule] {
			seen[f.Rule] = true
			out = append(out, f.Rule)
		}
	}
	return out
}
