package route_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/picture"
)

// toldRest writes the rest after a stop, and what its program tells the operator.
func toldRest(t *testing.T, b *strings.Builder, p route.Pass, m machine.Machine) {
	t.Helper()
	r := p.Rest
	fmt.Fprintf(b, " done %d, again %d, parked %v, stacks %d of %d spindles, %d loads\n", len(r.Done), len(r.Again), r.Parked, r.Stacks, p.SetUp.Spindles, p.SetUp.Loads)
	for _, d := range r.Done {
		fmt.Fprintf(b, "  done by %s: %d\n", mm(d.Diameter), len(d.Paths))
	}
	for _, l := range r.LeftOut {
		fmt.Fprintf(b, "  left out by %s from %s: %s\n", mm(l.Diameter), xy(l.Path.Line.Start), l.Why)
	}
	toldPass(b, p)
	var s picture.Scene
	p.Draw(&s, &m)
	estimate, err := p.Estimate(m)
	require.NoError(t, err)
	fmt.Fprintf(b, "  takes %.3f s in %s\n", estimate.Total().Seconds(), stepped(p, m))
	drawn(b, s)
	for line := range strings.Lines(text(t, p)) {
		if strings.Contains(line, "left out") || strings.HasPrefix(line, "M47") {
			fmt.Fprintf(b, "  %s", line)
		}
	}
}

// TestRestsGolden stops a pass at random, again and again, and holds each rest, or
// the refusal of the stop, to what it was.
func TestRestsGolden(t *testing.T) {
	t.Parallel()
	l, whole := stoppable(t, 180)
	c := goldenCases(t, "rests.txt")
	for seed := range uint64(24) {
		c.run(t, fmt.Sprint(seed), func(t *testing.T, b *strings.Builder) {
			rng := rand.New(rand.NewPCG(seed, 41))
			p := whole
			for round := range 3 {
				at := randomStop(rng, l, p)
				fmt.Fprintf(b, "stop %d: %+v\n", round+1, at)
				rest, err := route.Resume(context.Background(), l, p, at, route.Options{})
				if err != nil {
					fmt.Fprintf(b, " refused: %v\n", err)
					break
				}
				toldRest(t, b, rest, l.Input.Machine)
				p = rest
			}
		})
	}
}

// Every stop beside an allowed one is refused, and says what would do.
func TestStopsAtTheirLimits(t *testing.T) {
	l, p := stoppable(t, 180)
	run := p.Runs[0]
	n := len(run.Paths)
	for _, tt := range []struct {
		at   route.Stop
		says string // "": it is taken
	}{
		{route.Stop{Run: 1}, ""},
		{route.Stop{Run: len(p.Runs)}, ""},
		{route.Stop{Run: 0}, fmt.Sprintf("found run 0, expected a run of the pass, one of %v", []int{1, 2})},
		{route.Stop{Run: len(p.Runs) + 1}, fmt.Sprintf("found run %d", len(p.Runs)+1)},
		{route.Stop{Run: 1, Path: -1}, fmt.Sprintf("found path -1, expected 0 to %d", n)},
		{route.Stop{Run: 1, Path: n}, ""},
		{route.Stop{Run: 1, Path: n + 1}, fmt.Sprintf("found path %d, expected 0 to %d", n+1, n)},
		{route.Stop{Run: 1, Path: 2, Last: 2}, ""},
		{route.Stop{Run: 1, Path: 2, Last: 1}, fmt.Sprintf("found last path 1, expected 2 to %d", n)},
		{route.Stop{Run: 1, Path: 2, Last: n}, ""},
		{route.Stop{Run: 1, Path: 2, Last: n + 1}, fmt.Sprintf("found last path %d", n+1)},
		{route.Stop{Run: 1, Path: 1, Last: 3, Fragments: []int{2}}, ""},
		{route.Stop{Run: 1, Path: 1, Last: 3, Fragments: []int{4}}, ""},
		{route.Stop{Run: 1, Path: 1, Last: 3, Fragments: []int{1}}, "found a fragment in path 1, expected a path in doubt or begun, 2 to 4"},
		{route.Stop{Run: 1, Path: 1, Last: 3, Fragments: []int{5}}, "found a fragment in path 5, expected a path in doubt or begun, 2 to 4"},
		{route.Stop{Run: 1, Path: 1, Fragments: []int{3}}, ""},
		{route.Stop{Run: 1, Path: 1, Fragments: []int{1}}, "expected a path in doubt or begun, 2 to 2"},
		{route.Stop{Run: 1, Path: 1, Fragments: []int{0}}, fmt.Sprintf("found a fragment in path 0, expected 1 to %d", n)},
		{route.Stop{Run: 1, Path: 1, Fragments: []int{n + 1}}, fmt.Sprintf("found a fragment in path %d, expected 1 to %d", n+1, n)},
		{route.Stop{Run: 1, Path: 1, Fragments: []int{n}}, ""},
		{route.Stop{Run: 1, Spindles: []int{1, 3}}, ""},
		{route.Stop{Run: 1, Spindles: []int{0}}, "spindle"},
		{route.Stop{Run: 1, Spindles: []int{4}}, "spindle"},
		{route.Stop{Run: 1, Scrapped: []orb.Bound{{Min: orb.Point{1, 2}, Max: orb.Point{1, 2}}}}, ""},
		{route.Stop{Run: 1, Scrapped: []orb.Bound{{Min: orb.Point{1, 2.001}, Max: orb.Point{1, 2}}}}, "found a scrapped area from [1 2.001] to [1 2]"},
	} {
		_, err := route.Resume(context.Background(), l, p, tt.at, route.Options{})
		if tt.says == "" {
			require.NoError(t, err, "%+v", tt.at)
			continue
		}
		var se *route.StopError
		require.ErrorAs(t, err, &se, "%+v", tt.at)
		require.ErrorContains(t, err, tt.says, "%+v", tt.at)
		require.Equal(t, tt.at.Run, se.Stop.Run)
		require.Equal(t, p.Name, se.Pass)
	}
	for _, tt := range []struct {
		name  string
		spoil func(*route.Pass)
		ok    bool
	}{
		{"as it is", func(*route.Pass) {}, true},
		{"a cutter with a path too few", func(p *route.Pass) { p.Runs[0].Cutters[0].Paths-- }, false},
		{"a cutter with a path too many", func(p *route.Pass) { p.Runs[0].Cutters[len(p.Runs[0].Cutters)-1].Paths++ }, false},
		{"a cutter that begins late", func(p *route.Pass) { p.Runs[0].Cutters[0].First++ }, false},
		{"a cutter without paths", func(p *route.Pass) { p.Runs[0].Cutters = slices.Insert(p.Runs[0].Cutters, 0, route.Cutter{}) }, false},
		{"fewer than no paths again", func(p *route.Pass) { p.Runs[0].Again = -1 }, false},
		{"paths again with none parked", func(p *route.Pass) { p.Runs[0].Again = 1 }, false},
		{"more paths again than there are", func(p *route.Pass) { p.Runs[0].Again = n + 1 }, false},
	} {
		q := p
		q.Runs = slices.Clone(p.Runs)
		q.Runs[0].Cutters = slices.Clone(p.Runs[0].Cutters)
		tt.spoil(&q)
		_, err := route.Resume(context.Background(), l, q, route.Stop{Run: 1}, route.Options{})
		if tt.ok {
			require.NoError(t, err, tt.name)
			continue
		}
		require.ErrorIs(t, err, route.ErrSetUp, tt.name)
		require.ErrorContains(t, err, "expected a pass from Mount or Resume", tt.name)
	}
}

// TestResumeAtTheMachinesLimits has the rest just fit another machine, and just
// not.
func TestResumeAtTheMachinesLimits(t *testing.T) {
	l, p := stoppable(t, 180)
	at := route.Stop{Run: 1, Path: 1, Fresh: true}
	cutters := 0
	rest, err := route.Resume(context.Background(), l, p, at, route.Options{})
	require.NoError(t, err)
	high := 0.0
	for _, r := range rest.Runs {
		cutters += len(r.Cutters)
		high = max(high, r.Depth.AboveTable+r.Depth.Down+r.Depth.Clearance)
	}
	for _, tt := range []struct {
		name string
		m    func(*machine.Machine)
		says string
	}{
		{"a place for each cutter", func(m *machine.Machine) { m.Places = cutters }, ""},
		{"a place too few", func(m *machine.Machine) { m.Places = cutters - 1 }, fmt.Sprintf("at most the %d places", cutters-1)},
		{"as high as it opens", func(m *machine.Machine) { m.Opening = tooling.Snap(high) }, ""},
		{"higher than it opens", func(m *machine.Machine) { m.Opening = tooling.Snap(high) - 1e-6 }, "opening"},
		{"any opening", func(m *machine.Machine) { m.Opening = 0 }, ""},
		{"as fast as its slowest", func(m *machine.Machine) { m.MinSpeed = slowest(rest) }, ""},
		{"slower than its slowest", func(m *machine.Machine) { m.MinSpeed = slowest(rest) + 1 }, "rev/min"},
	} {
		other := l
		tt.m(&other.Input.Machine)
		_, err := route.Resume(context.Background(), other, p, at, route.Options{})
		if tt.says == "" {
			require.NoError(t, err, tt.name)
			continue
		}
		require.ErrorIs(t, err, route.ErrSetUp, tt.name)
		require.ErrorContains(t, err, tt.says, tt.name)
	}
}

func slowest(p route.Pass) float64 {
	least := math.Inf(1)
	for _, r := range p.Runs {
		least = min(least, r.Feed.Speed)
	}
	return least
}

// TestToolTableAtItsLimits reads a tool table that is just right, and just not:
// each entry is held against the machine, the cutter, the feed table and the
// backup.
func TestToolTableAtItsLimits(t *testing.T) {
	l, p := bench(t, nil)
	run := p.Runs[0]
	cut := 0.0
	for _, q := range run.Paths {
		cut += q.Length()
	}
	in := l.Input
	floor := in.Rules.Stack.BackupFloor - in.Rules.Stack.Backup
	for _, tt := range []struct {
		name   string
		change func(*nc.ToolDef, *route.Layout, *route.Pass)
		want   []string
	}{
		{"as it is", func(*nc.ToolDef, *route.Layout, *route.Pass) {}, nil},
		{"a turn faster", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Speed++ }, nil},
		{"more than a turn faster", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Speed += 1.01 }, []string{"speed-differs"}},
		{"a turn slower", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Speed-- }, nil},
		{"more than a turn slower", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Speed -= 1.01 }, []string{"speed-differs"}},
		{"the machine's fastest", func(d *nc.ToolDef, l *route.Layout, _ *route.Pass) { l.Input.Machine.MaxSpeed = d.Speed }, nil},
		{"over the machine's fastest", func(d *nc.ToolDef, l *route.Layout, _ *route.Pass) { l.Input.Machine.MaxSpeed = d.Speed - 0.5 }, []string{"speed-limit"}},
		{"the machine's slowest", func(d *nc.ToolDef, l *route.Layout, _ *route.Pass) { l.Input.Machine.MinSpeed = d.Speed }, nil},
		{"under the machine's slowest", func(d *nc.ToolDef, l *route.Layout, _ *route.Pass) { l.Input.Machine.MinSpeed = d.Speed + 0.5 }, []string{"speed-limit"}},
		{"the cutter's fastest", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Tool.MaxSpeed = d.Speed }, nil},
		{"over the cutter's fastest", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Tool.MaxSpeed = d.Speed - 0.5 }, []string{"speed-limit"}},
		{"the cutter's slowest", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Tool.MinSpeed = d.Speed }, nil},
		{"under the cutter's slowest", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Tool.MinSpeed = d.Speed + 0.5 }, []string{"speed-limit"}},
		{"1 mm/min faster", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Feed++ }, nil},
		{"more than 1 mm/min faster", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Feed += 1.01 }, []string{"feed-limit", "speed-differs"}},
		{"1 mm/min slower", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Feed-- }, nil},
		{"more than 1 mm/min slower", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Feed -= 1.01 }, []string{"speed-differs"}},
		{"a material without a row", func(_ *nc.ToolDef, l *route.Layout, _ *route.Pass) { l.Input.Panel.Material = "slate" }, []string{"feed-limit"}},
		{"0.4 um deeper", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Z -= 0.0004 }, nil},
		{"0.6 um deeper", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Z -= 0.0006 }, []string{"depth-differs"}},
		{"0.4 um higher", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Z += 0.0004 }, nil},
		{"0.6 um higher", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Z += 0.0006 }, []string{"depth-differs"}},
		{"to the backup's floor", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) {
			d.Z, p.Runs[0].Depth.IntoBackup = floor-0.0004, -floor
		}, nil},
		{"past the backup's floor", func(d *nc.ToolDef, _ *route.Layout, p *route.Pass) {
			d.Z, p.Runs[0].Depth.IntoBackup = floor-0.0006, -floor+0.0006
		}, []string{"depth-limit"}},
		{"a stack no flute covers", func(_ *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.SetUp.Height = 99 }, []string{"opening-missing", "depth-limit"}},
		{"a life of all its paths", func(_ *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Life = cut }, nil},
		{"1 um less than its paths", func(_ *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Life = cut - 0.0005 }, nil},
		{"a life too short", func(_ *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Life = cut - 0.01 }, []string{"life"}},
		{"no life known", func(_ *nc.ToolDef, _ *route.Layout, p *route.Pass) { p.Runs[0].Life = 0 }, nil},
		{"another diameter by 1 nm", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Diameter += 1e-6 }, []string{"tool-unknown"}},
		{"the same diameter to the nm", func(d *nc.ToolDef, _ *route.Layout, _ *route.Pass) { d.Diameter += 1e-7 }, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			prog := parse(t, text(t, p))
			l, q := l, p
			q.Runs = slices.Clone(p.Runs)
			tt.change(&prog.Tools[0], &l, &q)
			require.ElementsMatch(t, tt.want, slices.Compact(slices.Sorted(slices.Values(broken(route.Check(l, q, prog))))))
		})
	}
	for _, tt := range []struct {
		name   string
		change func(*nc.ToolDef)
		want   []string
	}{
		{"none", func(*nc.ToolDef) {}, nil},
		{"a speed", func(d *nc.ToolDef) { d.Speed = 1 }, []string{"feed-mixed"}},
		{"a feed", func(d *nc.ToolDef) { d.Feed = 1 }, []string{"feed-mixed"}},
		{"a retract", func(d *nc.ToolDef) { d.Retract = 1 }, []string{"feed-mixed"}},
	} {
		o := nc.WriteOptions{NoFeeds: true}
		_, back := written(t, p, o)
		tt.change(&back[0].Tools[0])
		require.ElementsMatch(t, tt.want, broken(route.CheckAs(l, p, back, o)), tt.name)
	}
}

// TestSavedPassAtItsLimits spoils one figure of a saved pass at a time: the last
// value that is read, and the first that is not, with the place that the error
// names.
func TestSavedPassAtItsLimits(t *testing.T) {
	_, p := saved(t)
	n := len(p.Runs[0].Paths)
	for _, tt := range []struct {
		name  string
		spoil func(*route.Pass)
		path  string // "": it is read
	}{
		{"as it is", func(*route.Pass) {}, ""},
		{"after plating", func(p *route.Pass) { p.Stage = tooling.BeforePlating }, ""},
		{"no direction", func(p *route.Pass) { p.Direction = "" }, ""},
		{"climb", func(p *route.Pass) { p.Direction = tooling.Climb }, ""},
		{"another direction", func(p *route.Pass) { p.Direction = "up" }, "direction"},
		{"drops from below 0", func(p *route.Pass) { p.DropFrom = -1 }, "drop_from_mm"},
		{"number as before", func(p *route.Pass) { p.Runs[1].Number = p.Runs[0].Number }, "runs[1].number"},
		{"a later number", func(p *route.Pass) { p.Runs[1].Number = 7 }, ""},
		{"a panel far off", func(p *route.Pass) { p.Panel.Max[1] = 1e5 }, "panel_mm[1]"},
		{"a keep-out far off", func(p *route.Pass) { p.Around[0].Min[0] = -1e5 }, "around[0][0]"},
		{"a cutter of 1 um", func(p *route.Pass) { p.Runs[0].Tool.Diameter = 0.001 }, ""},
		{"a cutter of less", func(p *route.Pass) { p.Runs[0].Tool.Diameter = 0.0009 }, "runs[0].tool.diameter_mm"},
		{"all again", func(p *route.Pass) { p.Runs[0].Again = n }, ""},
		{"more than all again", func(p *route.Pass) { p.Runs[0].Again = n + 1 }, "runs[0].again"},
		{"less than none again", func(p *route.Pass) { p.Runs[0].Again = -1 }, "runs[0].again"},
		{"a travel below 0", func(p *route.Pass) { p.Runs[0].Path = -1 }, "runs[0].travel_mm"},
		{"a travel time below 0", func(p *route.Pass) { p.Runs[0].Travel = -1 }, "runs[0].travel_seconds"},
		{"a cut below 0", func(p *route.Pass) { p.Runs[0].Cut = -1 }, "runs[0].cut_mm"},
		{"a cut time below 0", func(p *route.Pass) { p.Runs[0].Cutting = -1 }, "runs[0].cut_seconds"},
		{"a life below 0", func(p *route.Pass) { p.Runs[0].Life = -1 }, "runs[0].life"},
		{"a place above 0", func(p *route.Pass) { p.Runs[0].Cutters[0].Place = 1 }, ""},
		{"a place of 0", func(p *route.Pass) { p.Runs[0].Cutters[0].Place = 0 }, "runs[0].cutters[0].place"},
		{"a cutter without paths", func(p *route.Pass) { p.Runs[0].Cutters[0].Paths = 0 }, "runs[0].cutters[0].paths"},
		{"a cutter with more than all paths", func(p *route.Pass) { p.Runs[0].Cutters[0].Paths = n + 1 }, "runs[0].cutters[0].paths"},
		{"paths that no cutter cuts", func(p *route.Pass) { p.Runs[0].Cutters = nil }, "runs[0].cutters"},
		{"no moves", func(p *route.Pass) { p.Runs[0].Paths[0].Line.Moves = nil }, "runs[0].paths[0].line_mm.moves"},
		{"waste between boards", func(p *route.Pass) { p.Runs[0].Paths[0].Board = -1 }, ""},
		{"a board below that", func(p *route.Pass) { p.Runs[0].Paths[0].Board = -2 }, "runs[0].paths[0].board"},
		{"the last board of all", func(p *route.Pass) { p.Runs[0].Paths[0].Board = 10_000 }, ""},
		{"one more", func(p *route.Pass) { p.Runs[0].Paths[0].Board = 10_001 }, "runs[0].paths[0].board"},
		{"a loop below 0", func(p *route.Pass) { p.Runs[0].Paths[0].Loop = -1 }, "runs[0].paths[0].loop"},
		{"on the left", func(p *route.Pass) { p.Runs[0].Paths[0].Open = route.Left }, ""},
		{"on the right", func(p *route.Pass) { p.Runs[0].Paths[0].Open = route.Right }, ""},
		{"on centre", func(p *route.Pass) { p.Runs[0].Paths[0].Open = route.Centre }, ""},
		{"on another side", func(p *route.Pass) { p.Runs[0].Paths[0].Open = "above" }, "runs[0].paths[0].open"},
		{"rough", func(p *route.Pass) { p.Runs[0].Paths[0].Role = route.Rough }, ""},
		{"cleared", func(p *route.Pass) { p.Runs[0].Paths[0].Role = route.Clear }, ""},
		{"an allowance below 0", func(p *route.Pass) { p.Runs[0].Paths[0].Allowance = -0.05 }, ""},
		{"an allowance of 10 m", func(p *route.Pass) { p.Runs[0].Paths[0].Allowance = -tooling.MaxLength }, ""},
		{"an allowance beyond", func(p *route.Pass) { p.Runs[0].Paths[0].Allowance = -tooling.MaxLength - 1 }, "runs[0].paths[0].allowance_mm"},
		{"a lead below 0", func(p *route.Pass) { p.Runs[0].Paths[0].LeadIn = -1 }, "runs[0].paths[0].lead_in_mm"},
		{"a lead out below 0", func(p *route.Pass) { p.Runs[0].Paths[0].LeadOut = -1 }, "runs[0].paths[0].lead_out_mm"},
		{"an overlap below 0", func(p *route.Pass) { p.Runs[0].Paths[0].Overlap = -1 }, "runs[0].paths[0].overlap_mm"},
		{"an entry below 0", func(p *route.Pass) { p.Runs[0].Paths[0].Entry = -1 }, "runs[0].paths[0].entry_mm"},
		{"no stacks", func(p *route.Pass) { p.Rest.Stacks = 0 }, "rest.stacks"},
		{"a cutter of nothing before the stop", func(p *route.Pass) { p.Rest.Done[0].Diameter = 0 }, "rest.done[0].diameter_mm"},
		{"a cutter of nothing left out", func(p *route.Pass) { p.Rest.LeftOut[0].Diameter = 0 }, "rest.left_out[0].diameter_mm"},
		{"scrapped", func(p *route.Pass) { p.Rest.LeftOut[0].Why = route.Scrapped }, ""},
		{"beside", func(p *route.Pass) { p.Rest.LeftOut[0].Why = route.Beside }, ""},
		{"all spindles, none parked", func(p *route.Pass) { p.Rest.Stop.Spindles = []int{1, 2, 3} }, "runs[0].again"},
	} {
		src, err := json.Marshal(p)
		require.NoError(t, err)
		var q route.Pass
		require.NoError(t, json.Unmarshal(src, &q))
		tt.spoil(&q)
		src, err = json.Marshal(q)
		require.NoError(t, err)
		_, err = route.DecodePass(src, "pass.json")
		if tt.path == "" {
			require.NoError(t, err, tt.name)
			continue
		}
		var one *tooling.InputError
		require.True(t, errors.As(err, &one), "%s: %v", tt.name, err)
		require.Equal(t, tt.path, one.Source.Path, tt.name)
	}
}
