package tooling_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

// limit is one key with its bounds: a count has no unit and whole bounds.
type limit[V any] struct {
	path   string
	lo, hi float64
	unit   string
	set    func(*V, float64)
}

// holdLimits wants every key accepted at both its bounds and refused one step beyond,
// under its own path, with what was found and what is allowed.
func holdLimits[V any](t *testing.T, fresh func() V, validate func(V) error, limits []limit[V]) {
	t.Helper()
	for _, c := range limits {
		values := []float64{math.Nextafter(c.lo, math.Inf(-1)), c.lo, c.hi, math.Nextafter(c.hi, math.Inf(1)), math.NaN()}
		expected := fmt.Sprintf("%.6g to %.6g %s", c.lo, c.hi, c.unit)
		if c.unit == "count" {
			values = []float64{c.lo - 1, c.lo, c.hi, c.hi + 1}
			expected = fmt.Sprintf("%.0f to %.0f", c.lo, c.hi)
		}
		for _, x := range values {
			v := fresh()
			c.set(&v, x)
			err := validate(v)
			if x >= c.lo && x <= c.hi {
				require.NoError(t, err, "%s %v", c.path, x)
				continue
			}
			found := fmt.Sprintf("%.6g", x)
			if c.unit == "count" {
				found = fmt.Sprintf("%.0f", x)
			}
			var list tooling.InputErrors
			require.True(t, errors.As(err, &list), "%s %v: %v", c.path, x, err)
			want := tooling.InputError{Source: tooling.Source{Path: c.path}, Found: found, Expected: expected, Err: tooling.ErrValue}
			var own []tooling.InputError
			for _, e := range list {
				if e.Source.Path == c.path {
					own = append(own, *e)
				}
			}
			require.Contains(t, own, want, "%s %v", c.path, x)
		}
	}
}

func TestLimitsOfRules(t *testing.T) {
	type r = tooling.Rules
	holdLimits(t, tooling.DefaultRules, tooling.Rules.Validate, []limit[r]{
		{"feeds.rows[0].rev_per_min", 1, 1e6, "rev/min", func(r *r, x float64) { r.Feeds.Rows[0].Speed = x }},
		{"feeds.rows[0].surface_m_per_min", 0.1, 2000, "m/min", func(r *r, x float64) { r.Feeds.Rows[0].Speed, r.Feeds.Rows[0].Surface = 0, x }},
		{"feeds.rows[0].chip_load_mm", 0.0001, 1, "mm", func(r *r, x float64) { r.Feeds.Rows[0].ChipLoad = x }},
		{"feeds.rows[0].retract_mm_per_min", 1, 1e6, "mm/min", func(r *r, x float64) { r.Feeds.Rows[0].Retract = x }},
		{"feeds.rows[0].plunge_mm_per_min", 1, 1e6, "mm/min", func(r *r, x float64) { r.Feeds.Rows[0].Plunge = x }},
		{"life.fall.factor", 0.01, 1, "", func(r *r, x float64) { r.Life.Fall.Factor = x }},
		{"life.fall.step_mm", 0.01, 100, "mm", func(r *r, x float64) { r.Life.Fall.Step = x }},
		{"life.rows[0].life", 1, 1e9, "hits or mm", func(r *r, x float64) { r.Life.Rows[0].Life = x }},
		{"life.rows[0].depth_mm", 0.01, 100, "mm", func(r *r, x float64) { r.Life.Rows[0].Depth = x }},
		{"life.factors.repoint_factor", 0.1, 1, "", func(r *r, x float64) { r.Life.Factors.Repoint = x }},
		{"life.factors.materials[0].factor", 0.01, 1, "", func(r *r, x float64) {
			r.Life.Factors.Materials = []tooling.MaterialFactor{{Material: "x", Like: "y", Factor: x}}
		}},
		{"life.factors.copper[0].from", 1, 1e5, "", func(r *r, x float64) { r.Life.Factors.Copper = []tooling.Threshold{{From: x, Factor: 1}} }},
		{"life.factors.layers[0].factor", 0.01, 1, "", func(r *r, x float64) { r.Life.Factors.Layers = []tooling.Threshold{{From: 9, Factor: x}} }},
		{"allowance.via_mm", 0, 0.5, "mm", func(r *r, x float64) { r.Allowance.Via = x }},
		{"allowance.component_mm", 0, 0.5, "mm", func(r *r, x float64) { r.Allowance.Component = x }},
		{"allowance.unplated_mm", 0, 0.5, "mm", func(r *r, x float64) { r.Allowance.Unplated = x }},
		{"process_spread_mm", 0, 0.5, "mm", func(r *r, x float64) { r.Spread = x }},
		{"min_web_mm", 0, 10, "mm", func(r *r, x float64) { r.Web = x }},
		{"min_edge_web_mm", 0, 10, "mm", func(r *r, x float64) { r.EdgeWeb = x }},
		{"close_pair_mm", 0, 10, "mm", func(r *r, x float64) { r.ClosePair = x }},
		{"pilot_from_mm", 0, 50, "mm", func(r *r, x float64) { r.PilotFrom = x; r.Pilot = min(1, max(x, 0.1)) }},
		{"pilot_mm", 0.1, 4, "mm", func(r *r, x float64) { r.Pilot = x }},
		{"max_drill_mm", 0.1, 50, "mm", func(r *r, x float64) { r.MaxDrill = x }},
		{"slot_bump_mm", 0.0001, 1, "mm", func(r *r, x float64) { r.Bump = x }},
		{"stack.entry_mm", 0, 5, "mm", func(r *r, x float64) { r.Stack.Entry = x }},
		{"stack.backup_mm", 0.1, 20, "mm", func(r *r, x float64) { r.Stack.Backup, r.Stack.BackupFloor = x, 0 }},
		{"stack.backup_floor_mm", 0, 2.5, "mm", func(r *r, x float64) { r.Stack.BackupFloor = x }},
		{"stack.margin_mm", 0, 5, "mm", func(r *r, x float64) { r.Stack.Margin = x }},
		{"stack.min_depth_mm", 0, 5, "mm", func(r *r, x float64) { r.Stack.MinDepth = x }},
		{"stack.clearance_mm", 0.1, 50, "mm", func(r *r, x float64) { r.Stack.Clearance = x }},
		{"stack.chip_room_mm", 0, 20, "mm", func(r *r, x float64) { r.Stack.ChipRoom = x }},
		{"stack.max_ratio", 1, 40, "", func(r *r, x float64) { r.Stack.Ratio = x }},
		{"stack.max_peck_ratio", 0, 60, "", func(r *r, x float64) { r.Stack.PeckRatio = x }},
		{"stack.peck_life", 0, 1, "", func(r *r, x float64) { r.Stack.PeckLife = x }},
		{"stack.wander_mm", 0, 10, "mm", func(r *r, x float64) { r.Stack.Wander = x }},
		{"stack.position_mm", 0, 100, "mm", func(r *r, x float64) { r.Stack.Position = x }},
		{"stack.max_height", 1, 50, "count", func(r *r, x float64) { r.Stack.MaxHeight = int(x) }},
		{"stack.entry_price", 0, 1e6, "money", func(r *r, x float64) { r.Stack.EntryPrice = x }},
		{"stack.backup_price", 0, 1e6, "money", func(r *r, x float64) { r.Stack.BackupPrice = x }},
		{"stack.set_up_labour", 0, 1e6, "money", func(r *r, x float64) { r.Stack.SetUpLabour = x }},
		{"stack.stack_labour", 0, 1e6, "money", func(r *r, x float64) { r.Stack.StackLabour = x }},
		{"tabs.width_mm", 0.1, 50, "mm", func(r *r, x float64) { r.Tabs.Perforated, r.Tabs.Width = false, x }},
		{"tabs.spacing_mm", 1, 1000, "mm", func(r *r, x float64) { r.Tabs.Spacing = x }},
		{"tabs.per_board", 0, 100, "count", func(r *r, x float64) { r.Tabs.PerBoard = int(x) }},
		{"tabs.per_side", 0, 2, "count", func(r *r, x float64) { r.Tabs.PerSide = int(x) }},
		{"tabs.corner_clear_mm", 0, 100, "mm", func(r *r, x float64) { r.Tabs.CornerClear = x }},
		{"tabs.hole_mm", 0.1, 3, "mm", func(r *r, x float64) { r.Tabs.Hole, r.Tabs.Pitch, r.Tabs.Count = x, 5, 1 }},
		{"tabs.pitch_mm", 0.5, 10, "mm", func(r *r, x float64) { r.Tabs.Pitch, r.Tabs.Count = x, 1 }},
		{"tabs.count", 1, 50, "count", func(r *r, x float64) { r.Tabs.Count, r.Tabs.Width = int(x), 50 }},
		{"tabs.inset_mm", -1, 2, "mm", func(r *r, x float64) { r.Tabs.Inset = x }},
		{"rout.cutter_mm", 0, 50, "mm", func(r *r, x float64) { r.Rout.Cutter = x }},
		{"rout.deflection_mm", 0, 0.5, "mm", func(r *r, x float64) { r.Rout.Deflection = x }},
		{"rout.overlap_mm", 0, 5, "mm", func(r *r, x float64) { r.Rout.Overlap = x }},
		{"rout.lead_in_mm", 0, 10, "mm", func(r *r, x float64) { r.Rout.LeadIn = x }},
		{"rout.depth_mm", 0, 5, "mm", func(r *r, x float64) { r.Rout.Depth = x }},
		{"rout.slug_stop_mm", 0, 1000, "mm", func(r *r, x float64) { r.Rout.SlugStop = x }},
	})

	// A row of perforations as wide as the tab fits, one a nanometre wider does not.
	rules := tooling.DefaultRules()
	rules.Tabs.Count, rules.Tabs.Pitch, rules.Tabs.Hole, rules.Tabs.Width = 5, 0.8, 0.5, 3.7
	require.NoError(t, rules.Validate())
	rules.Tabs.Width = 3.699999
	var list tooling.InputErrors
	require.ErrorAs(t, rules.Validate(), &list)
	require.Equal(t, tooling.InputErrors{{Source: tooling.Source{Path: "tabs.count"}, Found: "5 perforations over 3.7 mm", Expected: "no more than the tab's width of 3.7 mm", Err: tooling.ErrConflict}}, list)
	rules.Tabs.Perforated = false
	require.NoError(t, rules.Validate(), "plain tabs have none")
	rules.PilotFrom, rules.Pilot = 0, -1
	require.NoError(t, rules.Validate(), "no hole has a pilot")

	// Speed and surface speed may differ by one part in a hundred.
	for surface, ok := range map[float64]bool{100: true, 100.99: true, 99.01: true, 101.1: false, 98.9: false} {
		rules := tooling.DefaultRules()
		row := &rules.Feeds.Rows[0]
		row.Surface = surface
		row.Speed = tooling.SpindleSpeed(100, row.Diameter)
		require.Equal(t, ok, rules.Validate() == nil, "%v", surface)
	}
}

func TestLimitsOfACrib(t *testing.T) {
	type c = tooling.Crib
	fresh := func() c {
		return c{Tools: []tooling.Tool{{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 10, MinSpeed: 1, MaxSpeed: 1e6}}}
	}
	holdLimits(t, fresh, tooling.Crib.Validate, []limit[c]{
		{"tools", 1, 10_000, "count", func(c *c, x float64) {
			one := c.Tools[0]
			c.Tools = nil
			for i := range int(x) {
				one.ID = fmt.Sprint(i)
				c.Tools = append(c.Tools, one)
			}
		}},
		{"tools[0].diameter_mm", 0.01, 50, "mm", func(c *c, x float64) { c.Tools[0].Diameter = x }},
		{"tools[0].flute_mm", 0.01, 100, "mm", func(c *c, x float64) { c.Tools[0].Flute = x }},
		{"tools[0].point_deg", 60, 180, "degrees", func(c *c, x float64) { c.Tools[0].PointAngle = x }},
		{"tools[0].min_rev_per_min", 0, 1e6, "rev/min", func(c *c, x float64) { c.Tools[0].MinSpeed = x }},
		{"tools[0].max_rev_per_min", 0, 1e6, "rev/min", func(c *c, x float64) { c.Tools[0].MinSpeed, c.Tools[0].MaxSpeed = 0, x }},
		{"tools[0].price", 0, 1e6, "money", func(c *c, x float64) { c.Tools[0].Price = x }},
		{"tools[0].repoint_price", 0, 1e6, "money", func(c *c, x float64) { c.Tools[0].RepointPrice = x }},
		{"tools[0].stock", 0, 1e6, "count", func(c *c, x float64) { c.Tools[0].Stock = int(x) }},
	})
	for most, ok := range map[float64]bool{2000: true, 1999: false, 0: true} {
		crib := fresh()
		crib.Tools[0].MinSpeed, crib.Tools[0].MaxSpeed = 2000, most
		require.Equal(t, ok, crib.Validate() == nil, "%v", most)
	}
}

func TestLimitsOfAPanel(t *testing.T) {
	type p = tooling.Panel
	holdLimits(t, goodPanel, tooling.Panel.Validate, []limit[p]{
		{"width_mm", 1, 1e4, "mm", func(p *p, x float64) { *p = tooling.Panel{Width: x, Height: 200, Thickness: 1, Material: "m"} }},
		{"height_mm", 1, 1e4, "mm", func(p *p, x float64) { *p = tooling.Panel{Width: 300, Height: x, Thickness: 1, Material: "m"} }},
		{"thickness_mm", 0.05, 20, "mm", func(p *p, x float64) { p.Thickness = x }},
		{"copper_um", 0, 1000, "um", func(p *p, x float64) { p.Copper = x }},
		{"layers", 0, 100, "count", func(p *p, x float64) { p.Layers = int(x) }},
		{"boards[0].quarters", 0, 3, "count", func(p *p, x float64) { p.Boards[0].Quarters = int(x) }},
		{"boards[0].board", 0, 1e5, "count", func(p *p, x float64) { p.Boards[0].Board = int(x) }},
		{"features[0].diameter_mm", 0.05, 50, "mm", func(p *p, x float64) { p.Features[0].Diameter, p.Features[0].At = x, orb.Point{100, 100} }},
		{"features[0].set_up", 0, 100, "count", func(p *p, x float64) { p.Features[0].SetUp = int(x) }},
		{"keep_outs[0].height_mm", 0, 1000, "mm", func(p *p, x float64) { p.KeepOuts[0].Height = x }},
	})
	// A hole may touch the panel's edge on every side, and not pass it by a nanometre.
	for _, c := range []struct {
		at orb.Point
		ok bool
	}{
		{orb.Point{2, 100}, true}, {orb.Point{298, 100}, true}, {orb.Point{100, 2}, true}, {orb.Point{100, 198}, true},
		{orb.Point{1.999999, 100}, false}, {orb.Point{298.000001, 100}, false}, {orb.Point{100, 1.999999}, false}, {orb.Point{100, 198.000001}, false},
	} {
		panel := goodPanel()
		panel.Features[0].At, panel.Features[0].Diameter = c.at, 4
		err := panel.Validate()
		if c.ok {
			require.NoError(t, err, "%v", c.at)
			continue
		}
		var list tooling.InputErrors
		require.ErrorAs(t, err, &list)
		require.Equal(t, tooling.InputErrors{{Source: tooling.Source{Path: "features[0].at_mm"}, Found: fmt.Sprintf("X%.3f Y%.3f", c.at[0], c.at[1]), Expected: "a place on the panel", Err: tooling.ErrValue}}, list)
	}
	for corner, ok := range map[orb.Point]bool{{0, 0}: true, {-0.001, 5}: false, {5, -0.001}: false} {
		panel := goodPanel()
		panel.KeepOuts[0].Max = corner
		require.Equal(t, ok, panel.Validate() == nil, "a keep-out may be a point or a line: %v", corner)
	}
	require.Empty(t, tooling.CheckArea(orb.Bound{Min: orb.Point{1, 1}, Max: orb.Point{1, 1}}))
	require.Equal(t, "the lower left corner first", tooling.CheckArea(orb.Bound{Min: orb.Point{1, 1}, Max: orb.Point{2, 0.5}}))
	require.Equal(t, "the lower left corner first", tooling.CheckArea(orb.Bound{Min: orb.Point{1, 1}, Max: orb.Point{0.5, 2}}))
}

// A stack just as deep as flute, backup or ratio allow is drilled and routed; one
// nanometre more is refused by that rule.
func TestDepthsAtTheirLimits(t *testing.T) {
	rules := tooling.StackRules{Entry: 0.2, Backup: 2, BackupFloor: 1, MinDepth: 1, Clearance: 1, ChipRoom: 0.5, Ratio: 5, PeckRatio: 8}
	bit := tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 1 + 0.2 + 4 + 1, PointAngle: 180}
	rule := func(err error) string {
		if err == nil {
			return ""
		}
		var bad *tooling.InputError
		require.ErrorAs(t, err, &bad)
		require.Equal(t, tooling.Source{Tool: bad.Source.Tool}, bad.Source)
		return bad.Rule
	}
	drill := func(change func(*tooling.StackRules, *tooling.Tool)) string {
		s, b := rules, bit
		change(&s, &b)
		_, err := s.Drill(b, 2, 2)
		return rule(err)
	}
	for _, c := range []struct {
		name   string
		change func(*tooling.StackRules, *tooling.Tool)
		want   string
	}{
		{"just so", func(*tooling.StackRules, *tooling.Tool) {}, ""},
		{"flute", func(_ *tooling.StackRules, b *tooling.Tool) { b.Flute -= 1e-6 }, tooling.RuleFlute},
		{"chips", func(s *tooling.StackRules, _ *tooling.Tool) { s.ChipRoom = 1.000001 }, tooling.RuleFlute},
		{"floor", func(s *tooling.StackRules, _ *tooling.Tool) { s.BackupFloor = 1.000001 }, tooling.RuleBackup},
		{"ratio", func(s *tooling.StackRules, _ *tooling.Tool) { s.Ratio, s.PeckRatio = 4, 0 }, ""},
		{"deeper", func(s *tooling.StackRules, _ *tooling.Tool) { s.Ratio, s.PeckRatio = 3.999999, 0 }, tooling.RuleRatio},
		{"pecked", func(s *tooling.StackRules, _ *tooling.Tool) { s.Ratio, s.PeckRatio = 3, 4 }, ""},
		{"and deeper", func(s *tooling.StackRules, _ *tooling.Tool) { s.Ratio, s.PeckRatio = 3, 3.999999 }, tooling.RuleRatio},
	} {
		require.Equal(t, c.want, drill(c.change), c.name)
	}
	cutter := tooling.Tool{ID: "c", Kind: tooling.Cutter, Diameter: 2, Flute: 0.2 + 4 + 0.7 + 0.5}
	_, err := rules.Rout(cutter, tooling.RoutRules{Depth: 0.7}, 2, 2)
	require.NoError(t, err)
	cutter.Flute -= 1e-6
	_, err = rules.Rout(cutter, tooling.RoutRules{Depth: 0.7}, 2, 2)
	require.Equal(t, tooling.RuleFlute, rule(err))
	require.EqualError(t, err, "c: tooling: the stack is too deep for the tool: found 4.90 mm down at 2 high, expected at most the flute of 5.40 mm less 0.5 mm")
	_, err = rules.Rout(cutter, tooling.RoutRules{Depth: 1.000001}, 2, 2)
	require.Equal(t, tooling.RuleBackup, rule(err))
	require.EqualError(t, err, "c: tooling: the stack is too deep for the tool: found 1.00 mm into a backup of 2.00 mm, expected 1.00 mm left under the tip")

	bit.Flute = 1e5
	rules.Ratio, rules.PeckRatio = 1e9, 1e9
	for _, c := range []struct {
		height    int
		thickness float64
		ok        bool
	}{{1, 1e4, true}, {2, 5000, true}, {1, math.Nextafter(1e4, 2e4), false}, {1, 0, false}, {0, 1, false}, {1, 1e-6, true}} {
		_, err := rules.Drill(bit, c.height, c.thickness)
		require.Equal(t, c.ok, err == nil, "%+v: %v", c, err)
	}
}

// Both ends of a spindle's range clamp a speed, and their own speed they do not; a
// range of one speed is one.
func TestSpeedsAtTheirLimits(t *testing.T) {
	rules := tooling.DefaultRules()
	row := tooling.FeedRow{Material: tooling.FR4, Kind: tooling.Bit, Diameter: 1, Speed: 50_000, ChipLoad: 0.05, Retract: 20_000}
	rules.Feeds.Rows = []tooling.FeedRow{row}
	for _, c := range []struct {
		toolMin, toolMax float64
		spindle          tooling.SpeedLimits
		want             float64
		clamped          string
	}{
		{0, 0, tooling.SpeedLimits{}, 50_000, ""},
		{0, 50_000, tooling.SpeedLimits{Max: 60_000}, 50_000, ""},
		{0, 49_999.9, tooling.SpeedLimits{Max: 60_000}, 49_999, "tool max"},
		{0, 0, tooling.SpeedLimits{Max: 40_000}, 40_000, "spindle max"},
		{50_000, 0, tooling.SpeedLimits{}, 50_000, ""},
		{50_000.1, 0, tooling.SpeedLimits{Min: 10}, 50_001, "tool min"},
		{0, 0, tooling.SpeedLimits{Min: 60_000, Max: 60_000}, 60_000, "spindle min"},
		{60_000, 70_000, tooling.SpeedLimits{Min: 1, Max: 60_000}, 60_000, "tool min"},
	} {
		tool := tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 10, MinSpeed: c.toolMin, MaxSpeed: c.toolMax}
		f, err := rules.Feed(tool, tooling.FR4, c.spindle)
		require.NoError(t, err, "%+v", c)
		require.Equal(t, c.want, f.Speed, "%+v", c)
		require.Equal(t, c.clamped, f.Clamped, "%+v", c)
		require.Equal(t, math.Floor(min(c.want, 50_000)*0.05+1e-6), f.Infeed, "never above the table's own")
		require.Equal(t, tooling.Snap(f.Infeed/f.Speed), f.ChipLoad)
	}
	for _, c := range []struct {
		chip float64
		max  float64
		err  error
	}{{0.0001, 10_000, nil}, {0.0001, 9_999, tooling.ErrValue}} {
		rules.Feeds.Rows[0].ChipLoad = c.chip
		f, err := rules.Feed(tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 10}, tooling.FR4, tooling.SpeedLimits{Max: c.max})
		require.ErrorIs(t, err, c.err)
		require.Equal(t, c.err == nil, f.Infeed == 1)
	}
	_, err := rules.Feed(tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 10, MinSpeed: 20_001}, tooling.FR4, tooling.SpeedLimits{Max: 20_000})
	require.ErrorIs(t, err, tooling.ErrConflict)
	require.EqualError(t, err, "b: tooling: values contradict each other: found speeds from 20001 up to 20000 rev/min, expected a speed that both spindle and tool allow")
}

// A fit says what it does in words, turn and residual included, and what does not
// fix a panel is told with figures.
func TestFitsInWords(t *testing.T) {
	f := tooling.Fit{Kind: "affine", Shift: orb.Point{0.12, -0.07}, Map: [4]float64{1.0005, -0.002, 0.004, 0.9998}, Worst: 0.035}
	require.Equal(t, "affine fit: shift X+120 Y-70 um, turn +3.000 mrad, scale X+500 Y-200 ppm, worst residual 35 um", f.String())
	require.Empty(t, tooling.Fit{}.String())

	at := []orb.Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}}
	stretched := func(by float64) []orb.Point {
		return move(at, func(p orb.Point) orb.Point { return orb.Point{p[0] * (1 + by), p[1] * (1 + by)} })
	}
	_, err := tooling.FitSimilarity(at, stretched(0.0099))
	require.NoError(t, err)
	_, err = tooling.FitSimilarity(at, stretched(0.02))
	require.EqualError(t, err, "targets: tooling: the targets do not fix the panel: found a change of 2.0 %, expected at most 1 %: have targets been mixed up, or mirrored?")
	_, err = tooling.FitAffine(at, stretched(0.0099))
	require.NoError(t, err)

	// Two targets apart by d span d^2/2 about their centre: a millimetre squared at least.
	for d, ok := range map[float64]bool{1.42: true, 1.41: false} {
		for _, pair := range [][]orb.Point{{{100, 100}, {100 + d, 100}}, {{100, 100}, {100, 100 + d}}} {
			_, err := tooling.FitSimilarity(pair, pair)
			require.Equal(t, ok, err == nil, "%v: %v", pair, err)
		}
	}
	// A middle target off the line of the others by 0.87 thousandths of their distance
	// fixes the panel, whichever way the line runs and however long it is.
	for _, long := range []float64{1000, 50} {
		for off, ok := range map[float64]bool{0.0009: true, 0.0008: false, -0.0009: true, -0.0008: false} {
			across := []orb.Point{{0, 0}, {long / 2, off * long}, {long, 0}}
			up := []orb.Point{{0, 0}, {off * long, long / 2}, {0, long}}
			for _, line := range [][]orb.Point{across, up} {
				_, err := tooling.FitAffine(line, line)
				require.Equal(t, ok, err == nil, "%v: %v", line, err)
			}
		}
	}
	for _, c := range []struct {
		nominal, measured []orb.Point
		says              string
	}{
		{at, at[:3], "4 nominal and 3 measured"}, {at[:1], at[:1], "found 1 targets, expected at least 2"},
		{at[:2], []orb.Point{{0, 0}, {10_001, 0}}, "found target 1 at X10001 Y0, expected finite coordinates within 10 m"},
		{[]orb.Point{{0, -10_001}, {0, 0}}, at[:2], "found target 0 at X0 Y-10001"},
	} {
		_, err := tooling.FitSimilarity(c.nominal, c.measured)
		require.ErrorContains(t, err, c.says)
	}
	_, err = tooling.FitSimilarity([]orb.Point{{-10_000, 10_000}, {10_000, -10_000}}, []orb.Point{{-10_000, 10_000}, {10_000, -10_000}})
	require.NoError(t, err)
}

// All eight frames, by what they make of one point, and in words.
func TestFrames(t *testing.T) {
	p := orb.Point{13, 25}
	for _, c := range []struct {
		frame tooling.Frame
		want  orb.Point
		words string
	}{
		{tooling.Frame{Datum: orb.Point{10, 20}}, orb.Point{3, 5}, "origin at panel X10.000 Y20.000, turned 0 degrees, face up"},
		{tooling.Frame{Datum: orb.Point{10, 20}, Quarters: 1}, orb.Point{-5, 3}, "origin at panel X10.000 Y20.000, turned 90 degrees, face up"},
		{tooling.Frame{Datum: orb.Point{10, 20}, Quarters: 2}, orb.Point{-3, -5}, "origin at panel X10.000 Y20.000, turned 180 degrees, face up"},
		{tooling.Frame{Datum: orb.Point{10, 20}, Quarters: 3}, orb.Point{5, -3}, "origin at panel X10.000 Y20.000, turned 270 degrees, face up"},
		{tooling.Frame{Datum: orb.Point{10, 20}, FaceDown: true}, orb.Point{-3, 5}, "origin at panel X10.000 Y20.000, turned 0 degrees, face down, mirrored left to right"},
		{tooling.Frame{Datum: orb.Point{10, 20}, FaceDown: true, Quarters: 1}, orb.Point{-5, -3}, "origin at panel X10.000 Y20.000, turned 90 degrees, face down, mirrored left to right"},
		{tooling.Frame{Datum: orb.Point{10, 20}, FaceDown: true, Quarters: 2}, orb.Point{3, -5}, "origin at panel X10.000 Y20.000, turned 180 degrees, face down, mirrored left to right"},
		{tooling.Frame{Datum: orb.Point{10, 20}, FaceDown: true, Quarters: 3}, orb.Point{5, 3}, "origin at panel X10.000 Y20.000, turned 270 degrees, face down, mirrored left to right"},
	} {
		require.Equal(t, c.want, c.frame.Apply(p), c.words)
		require.Equal(t, p, c.frame.Undo(c.want), c.words)
		require.Equal(t, c.words, c.frame.String())
	}
}

// A saved fit is one of the kinds that may be and such that it can be undone.
func TestSavedFits(t *testing.T) {
	check := func(f tooling.Fit, kinds ...string) tooling.InputErrors {
		v := tooling.Validation{}
		v.Fit("fit", f, kinds...)
		return v.Errs
	}
	value := func(path, found, expected string) tooling.InputErrors {
		return tooling.InputErrors{{Source: tooling.Source{Path: path}, Found: found, Expected: expected, Err: tooling.ErrValue}}
	}
	plain := tooling.Fit{Kind: "similarity", Map: [4]float64{1, 0, 0, 1}}
	require.Empty(t, check(plain, "affine", "similarity"))
	require.Equal(t, value("fit.kind", `"similarity"`, "affine"), check(plain, "affine"))
	require.Equal(t, value("fit.kind", `"similarity"`, "affine or free"), check(plain, "affine", "free"))
	for x, ok := range map[float64]bool{-10: true, 10: true, 10.001: false, -10.001: false} {
		f := tooling.Fit{Kind: "affine", Map: [4]float64{1, 0, x, 1}}
		got := check(f, "affine")
		require.Equal(t, ok, len(got) == 0, "%v", got)
	}
	for _, c := range []struct {
		m  [4]float64
		ok bool
	}{{[4]float64{0.25, 0, 0, 0.25}, true}, {[4]float64{0.0625, 0, 0, 0.125}, false}, {[4]float64{1, 1, 1, 1}, false}, {[4]float64{0, 1, 1, 0}, true}, {[4]float64{0.01, 5, 0, 1}, true}, {[4]float64{2, 2, 1, 1.01}, true}} {
		got := check(tooling.Fit{Kind: "affine", Map: c.m}, "affine")
		require.Equal(t, c.ok, len(got) == 0, "%v: %v", c.m, got)
	}
	require.Empty(t, check(tooling.Fit{}, "affine"), "what moves nothing has no map")
}

// Findings of one kind merge: the value farther from its limit stays, above or below
// it, of equal ones the first; three places are kept.
func TestFindingsMerge(t *testing.T) {
	for _, c := range []struct {
		a, b, want [2]float64 // value and limit
	}{
		{[2]float64{0.3, 0.5}, [2]float64{0.4, 0.5}, [2]float64{0.3, 0.5}}, {[2]float64{0.4, 0.5}, [2]float64{0.3, 0.5}, [2]float64{0.3, 0.5}},
		{[2]float64{7, 5}, [2]float64{6, 5}, [2]float64{7, 5}}, {[2]float64{6, 5}, [2]float64{7, 5}, [2]float64{7, 5}},
		{[2]float64{6, 5}, [2]float64{4, 5}, [2]float64{6, 5}}, {[2]float64{4, 5}, [2]float64{6, 5}, [2]float64{4, 5}}, {[2]float64{6, 5}, [2]float64{3, 5}, [2]float64{3, 5}},
		{[2]float64{9, 10}, [2]float64{3, 1}, [2]float64{3, 1}},
	} {
		var r tooling.Report
		r.Note("rule", "", "detail", c.a[0], c.a[1])
		r.Note("rule", "", "detail", c.b[0], c.b[1])
		require.Len(t, r, 1)
		require.Equal(t, c.want, [2]float64{r[0].Value, r[0].Limit}, "%v", c)
	}
	var r tooling.Report
	r.Note("rule", "", "detail", 0, 0, orb.Point{1, 1}, orb.Point{2, 2}, orb.Point{3, 3})
	require.Len(t, r[0].Places, 3)
	for _, other := range []tooling.Finding{{Rule: "x", OK: true, Detail: "detail"}, {Rule: "rule", Detail: "detail"}, {Rule: "rule", OK: true, Tool: "T1", Detail: "detail"}, {Rule: "rule", OK: true, Detail: "y"}, {Rule: "rule", OK: true, Detail: "detail", Source: tooling.Source{File: "f"}}} {
		n := len(r)
		r.Add(other)
		require.Len(t, r, n+1, "%+v is another", other)
	}
}

// Taylor's law through two points, at the edges of what it can say.
func TestTaylorAtItsEdges(t *testing.T) {
	// Twice the speed for a quarter of the life is an exponent of one half.
	law, err := tooling.FitTaylor(100, 40*time.Minute, 200, 10*time.Minute)
	require.NoError(t, err)
	require.InDelta(t, 0.5, law.N, 1e-12)
	require.InDelta(t, 100*math.Sqrt(40), law.C, 1e-9)
	for _, c := range []struct {
		v2 float64
		t2 time.Duration
	}{{200, 40 * time.Minute}, {200, 20 * time.Minute}, {100, 10 * time.Minute}, {200, 80 * time.Minute}} { // no life lost, as much as speed, no speed, life won
		_, err := tooling.FitTaylor(100, 40*time.Minute, c.v2, c.t2)
		require.ErrorIs(t, err, tooling.ErrConflict, "%+v", c)
	}
	require.Equal(t, 40*time.Minute, law.Life(100).Round(time.Microsecond))
	require.Zero(t, law.Life(0))
	require.Zero(t, law.Life(-1))
	require.Equal(t, time.Duration(1<<62), tooling.Taylor{N: 0.01, C: 1e6}.Life(0.1), "longer than a duration can say")
	require.Zero(t, law.Speed(0))
	require.InDelta(t, 100, law.Speed(40*time.Minute), 1e-9)
	require.Equal(t, 4000.0, tooling.Taylor{N: 0.5, C: 100 * math.Sqrt(40)}.Hits(100, 500, 5))
	require.Zero(t, law.Hits(100, 0, 5))
	require.Zero(t, law.Hits(100, 500, 0))
	require.Zero(t, law.Scale(0))
	require.InDelta(t, 2, law.Scale(0.5), 1e-12)
}

// The series of the stock crib change price and repoints where they did.
func TestStockBits(t *testing.T) {
	want := map[string][3]float64{ // price, repoints, price of one
		"B0.10": {3.5, 0, 0}, "B0.15": {3.5, 0, 0}, "B0.20": {2.2, 0, 0}, "B0.25": {1.4, 1, 0.35}, "B0.50": {1.4, 1, 0.35}, "B0.55": {1.2, 3, 0.35},
		"B3.20": {1.2, 3, 0.35}, "B3.30": {3, 3, 0.6}, "B6.50": {3, 3, 0.6}, "S0.50": {1.4, 1, 0.35}, "S2.00": {1.2, 3, 0.35},
	}
	count := map[tooling.ToolKind]int{}
	for _, tool := range tooling.DefaultCrib().Tools {
		count[tool.Kind]++
		if w, ok := want[tool.ID]; ok {
			require.Equal(t, w, [3]float64{tool.Price, float64(tool.Repoints), tool.RepointPrice}, tool.ID)
			delete(want, tool.ID)
		}
	}
	require.Empty(t, want)
	require.Equal(t, 63+33, count[tooling.Bit])
	require.Equal(t, 31, count[tooling.SlotBit])
}

// An allowance goes on a finished size of its own class, and Result takes it off.
func TestAllowances(t *testing.T) {
	a := tooling.Allowance{Via: 0.1, Component: 0.15, Unplated: 0.02}
	for _, c := range []struct {
		size tooling.Size
		want float64
	}{
		{tooling.Size{Diameter: 1, Basis: tooling.Drilled, Plated: true}, 1}, {tooling.Size{Diameter: 1, Basis: tooling.Finished}, 1.02},
		{tooling.Size{Diameter: 1, Basis: tooling.Finished, Plated: true, Class: tooling.Via}, 1.1}, {tooling.Size{Diameter: 1, Basis: tooling.Finished, Plated: true, Class: tooling.Component}, 1.15},
		{tooling.Size{Diameter: 1, Basis: tooling.Finished, Plated: true, Class: tooling.PressFit}, 1.15},
	} {
		require.Equal(t, c.want, a.Target(c.size), "%+v", c.size)
		require.Equal(t, 1.0, a.Result(c.size, c.want), "%+v", c.size)
	}
}

// Of bits equally near the larger is taken for a plated hole and the smaller for
// another; a bit a nanometre nearer wins over both.
func TestNearestBits(t *testing.T) {
	crib := func(diameters ...float64) (c tooling.Crib) {
		for i, d := range diameters {
			c.Tools = append(c.Tools, tooling.Tool{ID: fmt.Sprint(i), Kind: tooling.Bit, Diameter: d, Flute: 10})
		}
		return c
	}
	rules := tooling.DefaultRules()
	rules.Allowance, rules.ShareBits = tooling.Allowance{}, false
	for _, c := range []struct {
		crib   tooling.Crib
		plated bool
		want   float64
	}{
		{crib(0.95, 1.05), true, 1.05}, {crib(1.05, 0.95), true, 1.05}, {crib(0.95, 1.05), false, 0.95}, {crib(1.05, 0.95), false, 0.95},
		{crib(0.950001, 1.05), true, 0.950001}, {crib(0.95, 1.049999), false, 1.049999}, {crib(1.05, 1, 0.95), true, 1},
	} {
		got, err := c.crib.Choose([]tooling.Size{{Diameter: 1, Basis: tooling.Finished, Plated: c.plated}}, rules, 0)
		require.NoError(t, err)
		require.Equal(t, c.want, got[0].Diameter, "%+v", c)
	}
	twins := crib(1, 1)
	got, err := twins.Choose([]tooling.Size{{Diameter: 1, Basis: tooling.Finished}}, rules, 0)
	require.NoError(t, err)
	require.Equal(t, "0", got[0].ID, "of equal bits the first")
}

// Targets on a slanting line do not fix a panel either.
func TestTargetsOnASlantingLine(t *testing.T) {
	line := []orb.Point{{0, 0}, {100, 100}, {200, 200}}
	_, err := tooling.FitAffine(line, line)
	require.EqualError(t, err, "targets: tooling: the targets do not fix the panel: found targets on one line, expected targets that span the panel both ways")
}

// A spindle lowers a feed that it does not reach, and leaves one at its own limits.
func TestLoweredFeeds(t *testing.T) {
	f := tooling.Feed{Speed: 50_000, ChipLoad: 0.05, Infeed: 2500, Plunge: 700, Retract: 20_000}
	for _, c := range []struct {
		spindle tooling.SpeedLimits
		want    tooling.Feed
		ok      bool
	}{
		{tooling.SpeedLimits{}, f, true}, {tooling.SpeedLimits{Min: 50_000, Max: 50_000}, f, true}, {tooling.SpeedLimits{Min: 50_000.5}, f, false},
		{tooling.SpeedLimits{Max: 40_000.9}, tooling.Feed{Speed: 40_000, ChipLoad: 0.05, Infeed: 2000, Plunge: 560, Retract: 20_000, Clamped: "spindle max"}, true},
		{tooling.SpeedLimits{Max: 1}, tooling.Feed{Speed: 1, ChipLoad: 1, Infeed: 1, Plunge: 1, Retract: 20_000, Clamped: "spindle max"}, true},
	} {
		got, ok := f.Lowered(c.spindle)
		require.Equal(t, c.ok, ok, "%+v", c.spindle)
		require.Equal(t, c.want, got, "%+v", c.spindle)
	}
}

// A life is asked for up to 10 m of depth; outside the table the error counts the
// rows that there are.
func TestLivesAtTheirLimits(t *testing.T) {
	table := tooling.LifeTable{Rows: []tooling.LifeRow{
		{Material: "m", Kind: tooling.Bit, Diameter: 1, Depth: 5, Life: 1000}, {Material: "m", Kind: tooling.Bit, Diameter: 2, Depth: 5, Life: 2000},
		{Material: "m", Kind: tooling.Bit, Diameter: 2, Depth: 10, Life: 500}, {Material: "n", Kind: tooling.Bit, Diameter: 3, Depth: 5, Life: 9},
	}, Fall: tooling.Fall{Factor: 1, Step: 100}}
	for depth, ok := range map[float64]bool{0: true, 5: true, -1e-9: false, 10_001: false, math.NaN(): false, math.Inf(1): false} {
		_, err := table.At("m", tooling.Bit, 1, depth)
		require.Equal(t, ok, err == nil, "%v: %v", depth, err)
		if !ok {
			require.ErrorIs(t, err, tooling.ErrValue)
		}
	}
	table.Rows[0].Life = 1e9 // or nothing is left of it
	_, err := table.At("m", tooling.Bit, 1, 10_000)
	require.NoError(t, err)
	_, err = table.At("m", tooling.Bit, 2.1, 5)
	require.EqualError(t, err, `life: tooling: no table row covers this: found bit of 2.100 mm, expected a diameter inside the 3 rows for bit in "m"`)
	_, err = table.At("o", tooling.Bit, 2, 5)
	require.EqualError(t, err, `life: tooling: no table row covers this: found bit of 2.000 mm, expected a row for bit in "o"`)
}

// Sizes share a bit only where it leaves what the process spreads on both sides.
func TestSharedBitsKeepTheSpread(t *testing.T) {
	crib := tooling.Crib{Tools: []tooling.Tool{{ID: "a", Kind: tooling.Bit, Diameter: 1, Flute: 10}, {ID: "b", Kind: tooling.Bit, Diameter: 1.04, Flute: 10}}}
	rules := tooling.DefaultRules()
	rules.Allowance, rules.ShareBits = tooling.Allowance{}, true
	for _, c := range []struct {
		minus, plus, spread float64
		second              string // bit of the larger size
	}{
		{0.05, 0.05, 0.01, "a"}, {0.05, 0.05, 0.010001, "b"}, {0.05, 0.05, 0.02, "b"}, {0.05, 0.2, 0.01, "a"}, {0.04, 0.05, 0, "a"}, {0.039999, 0.05, 0, "b"},
	} {
		rules.Spread = c.spread
		sizes := []tooling.Size{{Diameter: 1, Basis: tooling.Finished}, {Diameter: 1.04, Basis: tooling.Finished, Minus: c.minus, Plus: c.plus}}
		got, err := crib.Choose(sizes, rules, 0)
		require.NoError(t, err)
		require.Equal(t, "a", got[0].ID)
		require.Equal(t, c.second, got[1].ID, "%+v", c)
	}
}

// Files nest a hundred levels at most, and no file is longer than 64 MiB.
func TestFilesAtTheirLimits(t *testing.T) {
	nested := func(levels int) error {
		var into any
		return tooling.Decode([]byte(strings.Repeat("[", levels)+strings.Repeat("]", levels)), "f.json", &into)
	}
	require.NoError(t, nested(101)) // the outermost value has no path
	var bad *tooling.InputError
	require.ErrorAs(t, nested(102), &bad)
	require.Equal(t, "deeper nesting", bad.Found)
	require.Equal(t, "at most 100 levels", bad.Expected)

	// One byte more than 64 MiB is refused before anything is read: at the limit itself
	// it would be read, which takes too long for a test.
	src := bytes.Repeat([]byte(" "), 64<<20+1)
	for name, err := range map[string]error{
		"plain":  tooling.Decode(src, "f.json", &struct{}{}),
		"schema": tooling.DecodeSchema(src, "f.json", 1, &struct{}{}),
	} {
		require.ErrorAs(t, err, &bad, name)
		require.Equal(t, tooling.InputError{Source: tooling.Source{File: "f.json"}, Err: tooling.ErrSyntax, Found: "67108865 bytes", Expected: "at most 67108864"}, *bad, name)
	}
}
