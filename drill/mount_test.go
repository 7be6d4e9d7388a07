package drill_test

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/picture"
	"example.org/pinstack/tooling/stack"
)

// field is a panel with one dense field of vias, for which one bit is not
// enough.
func field(columns, rows int) drill.Input {
	in := small()
	in.Holes = nil
	for x := range columns {
		for y := range rows {
			in.Holes = append(in.Holes, drill.Round(orb.Point{20 + float64(x), 25 + float64(y)}, via))
		}
	}
	return in
}

// setUpOf is a set-up made by hand: every run gets bits of a life.
func setUpOf(t testing.TB, in drill.Input, p drill.Pass, height, bits int, life float64) stack.SetUp {
	t.Helper()
	s := stack.SetUp{Number: 1, Height: height, Loads: 1}
	for _, r := range p.Runs {
		feed, err := in.Rules.Feed(r.Tool, in.Panel.Material, in.Machine.Speeds())
		require.NoError(t, err)
		depth, err := in.Rules.Stack.Drill(r.Tool, height, in.Panel.Thickness)
		require.NoError(t, err)
		s.Tools = append(s.Tools, stack.Share{Pass: p.Name, Place: r.Number, Tool: r.Tool, Feed: feed, Depth: depth, Life: life, PerLoad: bits})
	}
	return s
}

func TestMountCutsRunsAtTheirLife(t *testing.T) {
	in := field(60, 50)
	p := plan(t, in)[0]
	m, err := p.Mount(setUpOf(t, in, p, 2, 3, 1200), in.Machine)
	require.NoError(t, err)
	assert.True(t, m.Mounted())
	assert.False(t, p.Mounted(), "the plan is left alone")
	assert.Nil(t, p.Runs[0].Bits)
	r := m.Runs[0]
	require.Len(t, r.Bits, 3)
	next := 0
	for k, b := range r.Bits {
		assert.Equal(t, k+1, b.Place)
		assert.Equal(t, next, b.First)
		assert.LessOrEqual(t, b.Hits, 1200)
		next += b.Hits
	}
	assert.Equal(t, 3000, next)
	assert.Equal(t, p.Runs[0].Hits, r.Hits, "the order does not depend on the height")
	assert.Equal(t, 3.2, r.Depth.Stack)
}

func TestMountNumbersPlacesThroughTheSetUp(t *testing.T) {
	in := small()
	p := plan(t, in)[0]
	s := setUpOf(t, in, p, 1, 1, 5000)
	// Another pass of the set-up comes first and takes four places.
	s.Tools = append([]stack.Share{{Pass: "plated-rout", Place: 1, PerLoad: 4}}, s.Tools...)
	m, err := p.Mount(s, in.Machine)
	require.NoError(t, err)
	for i, r := range m.Runs {
		assert.Equal(t, 5+i, r.Bits[0].Place)
	}
	for i, r := range m.Runs {
		if r.Slow {
			assert.Equal(t, float64(int(s.Tools[i+1].Feed.Infeed/2)), r.Feed.Infeed, "short slots at half the infeed")
			assert.Equal(t, s.Tools[i+1].Feed.Speed, r.Feed.Speed)
		} else {
			assert.Equal(t, s.Tools[i+1].Feed, r.Feed)
		}
	}
}

func TestMountRefuses(t *testing.T) {
	in := field(60, 50)
	p := plan(t, in)[0]
	for _, c := range []struct {
		name   string
		change func(*stack.SetUp, *machine.Machine)
	}{
		{"no height", func(s *stack.SetUp, _ *machine.Machine) { s.Height = 0 }},
		{"no share", func(s *stack.SetUp, _ *machine.Machine) { s.Tools = nil }},
		{"another pass's share", func(s *stack.SetUp, _ *machine.Machine) { s.Tools[0].Pass = "unplated" }},
		{"another tool", func(s *stack.SetUp, _ *machine.Machine) { s.Tools[0].Tool.Diameter = 0.35 }},
		{"too few bits", func(s *stack.SetUp, _ *machine.Machine) { s.Tools[0].PerLoad = 2 }},
		{"no bits", func(s *stack.SetUp, _ *machine.Machine) { s.Tools[0].PerLoad = 0 }},
		{"no life", func(s *stack.SetUp, _ *machine.Machine) { s.Tools[0].Life = 0 }},
		{"a small magazine", func(_ *stack.SetUp, m *machine.Machine) { m.Places = 2 }},
	} {
		s, m := setUpOf(t, in, p, 2, 3, 1200), in.Machine
		c.change(&s, &m)
		got, err := p.Mount(s, m)
		require.ErrorIs(t, err, drill.ErrSetUp, c.name)
		assert.Equal(t, drill.Pass{}, got, c.name)
	}
}

func TestUnmounted(t *testing.T) {
	in := small()
	p := plan(t, in)[0]
	_, err := p.Estimate(in.Machine)
	require.ErrorIs(t, err, drill.ErrUnmounted)
	_, err = p.Program(nc.WriteOptions{})
	require.ErrorIs(t, err, drill.ErrUnmounted)
	for range p.Steps(in.Machine) {
		t.Fatal("a pass that is not mounted has no steps")
	}
	assert.Equal(t, []string{"unmounted"}, refused(drill.Check(in, p, &nc.Program{})))
}

// One clock: what the steps take is what the runs say they travel.
func TestStepsAgainstTheRunsTravel(t *testing.T) {
	in := small()
	for _, p := range mountAll(t, in, 12) {
		e, err := p.Estimate(in.Machine)
		require.NoError(t, err)
		travel, settle, path := time.Duration(0), time.Duration(0), 0.0
		for _, r := range p.Runs {
			require.Len(t, r.Bits, 1)
			travel += time.Duration(r.Travel*1e9 + 0.5)
			settle += time.Duration(r.Settle*1e9 + 0.5)
			path += r.Path
		}
		assert.Equal(t, travel, e.Travel+e.Settle, p.Name)
		assert.Equal(t, settle, e.Settle, p.Name)
		assert.InDelta(t, path, e.Path, 0.001*float64(len(p.Runs)), p.Name)
		assert.Equal(t, p.Hits(), e.Hits)
		assert.Equal(t, time.Duration(len(p.Runs))*in.Machine.Change, e.Change)
		p.Runs[0].Bound = 0
		e, err = p.Estimate(in.Machine)
		require.NoError(t, err)
		assert.Zero(t, e.Floor, "a run without a bound: nothing is proven")

		stroke := time.Duration(0)
		for _, r := range p.Runs {
			stroke += time.Duration(len(r.Hits)) * in.Machine.StrokeTime(r.Depth.Travel(), r.Feed.Infeed, r.Feed.Retract, r.Depth.Pecks)
		}
		assert.Equal(t, stroke, e.Stroke, p.Name)
	}
}

func TestEstimateFloor(t *testing.T) {
	in := small()
	p := plan(t, in)[1]
	for i := range p.Runs {
		p.Runs[i].Bound = p.Runs[i].Travel / 2
	}
	m, err := p.Mount(setUpOf(t, in, p, 1, 1, 5000), in.Machine)
	require.NoError(t, err)
	e, err := m.Estimate(in.Machine)
	require.NoError(t, err)
	assert.Positive(t, e.Floor)
	assert.InDelta(t, (e.Stroke + e.Change + (e.Travel+e.Settle)/2).Seconds(), e.Floor.Seconds(), 1e-8)
}

// Bits cut in mid run take their trips through the change position, and the
// steps may be left off anywhere.
func TestStepsOfACutRun(t *testing.T) {
	in := field(20, 20)
	p := plan(t, in)[0]
	m, err := p.Mount(setUpOf(t, in, p, 1, 4, 110), in.Machine)
	require.NoError(t, err)
	kinds := map[machine.StepKind]int{}
	last := machine.Step{}
	count := 0
	for s := range m.Steps(in.Machine) {
		kinds[s.Kind]++
		last = s
		count++
	}
	assert.Equal(t, map[machine.StepKind]int{machine.Change: 4, machine.Move: 401, machine.Stroke: 400}, kinds)
	assert.Equal(t, in.Machine.ChangeAt, last.To)
	e, err := m.Estimate(in.Machine)
	require.NoError(t, err)
	one, err := p.Mount(setUpOf(t, in, p, 1, 1, 400), in.Machine)
	require.NoError(t, err)
	whole, err := one.Estimate(in.Machine)
	require.NoError(t, err)
	extra := (e.Travel + e.Settle - whole.Travel - whole.Settle).Seconds()
	assert.Positive(t, extra)
	assert.LessOrEqual(t, extra, 3*m.Runs[0].Trip, "the cuts are no dearer than average ones")
	require.Len(t, e.Used, 4)
	for k := range count {
		n := 0
		for range m.Steps(in.Machine) {
			if n++; n > k {
				break
			}
		}
	}
}

func TestDraw(t *testing.T) {
	in := small()
	for _, p := range mountAll(t, in, 12) {
		scene := picture.Scene{Width: in.Panel.Width, Height: in.Panel.Height}
		p.Draw(&scene, &in.Machine)
		require.Len(t, scene.Layers, len(p.Runs))
		seconds := 0.0
		for i, l := range scene.Layers {
			r := p.Runs[i]
			require.Len(t, l.Marks, len(r.Hits))
			assert.Equal(t, r.Bits[0].Place, l.Place)
			assert.Equal(t, r.Tool.Diameter, l.Diameter)
			for k, m := range l.Marks {
				assert.Equal(t, r.Hits[k].At, m.Points[0])
				assert.Equal(t, k+1, m.Number)
				assert.Greater(t, m.Seconds, seconds)
				seconds = m.Seconds
			}
		}
		e, err := p.Estimate(in.Machine)
		require.NoError(t, err)
		back := in.Machine.Travel().Between(p.Runs[len(p.Runs)-1].Hits[len(p.Runs[len(p.Runs)-1].Hits)-1].At, in.Machine.ChangeAt)
		assert.InDelta(t, (e.Total() - back).Seconds(), seconds, 1e-8, "the last mark is made a trip before the end")
		require.NoError(t, scene.Validate())
	}
	scene := picture.Scene{}
	p := plan(t, in)[0]
	p.Draw(&scene, nil)
	require.Len(t, scene.Layers, len(p.Runs))
	assert.Len(t, scene.Layers[0].Marks, len(p.Runs[0].Hits))
	assert.Zero(t, scene.Layers[0].Marks[0].Seconds)
	assert.Equal(t, "pilot", scene.Layers[0].Marks[0].Role)
}

func TestInspect(t *testing.T) {
	in := small()
	report, err := drill.Inspect(in)
	require.NoError(t, err)
	require.Len(t, report, 1, "%v", report)
	assert.Equal(t, "short-slot", report[0].Rule)
	assert.Equal(t, 2, report[0].Count)

	// Residual laminate of 0.50 mm between walls, IPC-2221 clause 9.2.7 (quoted
	// second-hand): two vias drilled 0.40, 0.90 apart, keep it; 0.89 apart do not.
	in.Holes = []drill.Hole{drill.Round(orb.Point{30, 30}, via), drill.Round(orb.Point{30.9, 30}, via)}
	report, err = drill.Inspect(in)
	require.NoError(t, err)
	assert.Empty(t, report)
	in.Holes[1] = drill.Round(orb.Point{30.89, 30}, via)
	report, err = drill.Inspect(in)
	require.NoError(t, err)
	require.Len(t, report, 1)
	assert.Equal(t, "thin-web", report[0].Rule)
	assert.InDelta(t, 0.49, report[0].Value, 1e-9)

	// A long slot reaches a large hole far from its own left end; crossed slots
	// and holes in one another overlap.
	in.Holes = []drill.Hole{drill.Slot(orb.Point{30, 60}, orb.Point{44, 60}, supply), drill.Round(orb.Point{48.9, 60}, wide)}
	report, err = drill.Inspect(in)
	require.NoError(t, err)
	require.Len(t, report, 1)
	assert.Equal(t, "thin-web", report[0].Rule)
	assert.InDelta(t, 4.9-0.575-4, report[0].Value, 1e-9)
	in.Holes = []drill.Hole{drill.Slot(orb.Point{30, 60}, orb.Point{40, 60}, supply), drill.Slot(orb.Point{35, 55}, orb.Point{35, 65}, supply)}
	report, err = drill.Inspect(in)
	require.NoError(t, err)
	require.Len(t, report, 1)
	assert.Equal(t, "walls-overlap", report[0].Rule)
	assert.InDelta(t, -1.15, report[0].Value, 1e-9)
	assert.True(t, report.OK())
}

func TestInspectPins(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*tooling.Panel)
		rule   string
		ok     bool
	}{
		{"one pin", func(p *tooling.Panel) { p.Features = p.Features[1:] }, "pins-few", true},
		{"a stack that fits turned", func(p *tooling.Panel) { p.Features[0].At, p.Features[1].At = orb.Point{8, 45}, orb.Point{112, 45} }, "stack-fits-turned", true},
		{"no hole for the second pin", func(p *tooling.Panel) { p.Features[2].At[0]++ }, "pin-without-hole", false},
		{"a hole that does not fit", func(p *tooling.Panel) { p.Features[2].Diameter = 3.1 }, "pin-fit", false},
	} {
		in := small()
		c.change(&in.Panel)
		report, err := drill.Inspect(in)
		require.NoError(t, err, c.name)
		found := false
		for _, f := range report {
			if f.Rule == c.rule {
				found = true
				assert.Equal(t, c.ok, f.OK, c.name)
			}
		}
		assert.True(t, found, "%s: %v", c.name, report)
	}
}
