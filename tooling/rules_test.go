package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"example.org/pinstack/tooling"
)

func TestRulesValidate(t *testing.T) {
	// The default tables list bits by rising diameter, then cutters.
	cutter := slices.IndexFunc(tooling.DefaultFeeds().Rows, func(r tooling.FeedRow) bool { return r.Kind == tooling.Cutter })
	thickest := slices.IndexFunc(tooling.DefaultLife().Rows, func(r tooling.LifeRow) bool { return r.Kind == tooling.Cutter }) - 1
	if err := tooling.DefaultRules().Validate(); err != nil {
		t.Fatalf("default rules: %v", err)
	}
	for _, row := range []struct {
		path, reason string
		change       func(*tooling.Rules)
		want         error
	}{
		{"feeds.rows", "none", func(r *tooling.Rules) { r.Feeds.Rows = nil }, tooling.ErrValue},
		{"feeds.rows[0].material", "none", func(r *tooling.Rules) { r.Feeds.Rows[0].Material = "" }, tooling.ErrMissing},
		{"feeds.rows[0].kind", "unknown", func(r *tooling.Rules) { r.Feeds.Rows[0].Kind = "drill" }, tooling.ErrValue},
		{"feeds.rows[0].diameter_mm", "1e300", func(r *tooling.Rules) { r.Feeds.Rows[0].Diameter = 1e300 }, tooling.ErrValue},
		{"feeds.rows[0].rev_per_min", "neither speed", func(r *tooling.Rules) { r.Feeds.Rows[0].Speed = 0 }, tooling.ErrMissing},
		{"feeds.rows[0].rev_per_min", "NaN", func(r *tooling.Rules) { r.Feeds.Rows[0].Speed = math.NaN() }, tooling.ErrValue},
		{"feeds.rows[0].surface_m_per_min", "contradicts the speed", func(r *tooling.Rules) { r.Feeds.Rows[0].Surface = 150 }, tooling.ErrConflict},
		{"feeds.rows[0].surface_m_per_min", "negative", func(r *tooling.Rules) { r.Feeds.Rows[0].Speed, r.Feeds.Rows[0].Surface = 0, -150 }, tooling.ErrValue},
		{"feeds.rows[0].chip_load_mm", "none", func(r *tooling.Rules) { r.Feeds.Rows[0].ChipLoad = 0 }, tooling.ErrValue},
		{"feeds.rows[0].retract_mm_per_min", "none", func(r *tooling.Rules) { r.Feeds.Rows[0].Retract = 0 }, tooling.ErrValue},
		{fmt.Sprintf("feeds.rows[%d].plunge_mm_per_min", cutter), "a cutter needs one", func(r *tooling.Rules) { r.Feeds.Rows[cutter].Plunge = 0 }, tooling.ErrValue},
		{"feeds.rows[1]", "twice", func(r *tooling.Rules) { r.Feeds.Rows[1] = r.Feeds.Rows[0] }, tooling.ErrDuplicate},
		{"life.rows", "none", func(r *tooling.Rules) { r.Life.Rows = nil }, tooling.ErrValue},
		{"life.rows[0].material", "none", func(r *tooling.Rules) { r.Life.Rows[0].Material = "" }, tooling.ErrMissing},
		{"life.rows[0].kind", "unknown", func(r *tooling.Rules) { r.Life.Rows[0].Kind = "x" }, tooling.ErrValue},
		{"life.rows[0].diameter_mm", "NaN", func(r *tooling.Rules) { r.Life.Rows[0].Diameter = math.NaN() }, tooling.ErrValue},
		{"life.rows[0].depth_mm", "infinite", func(r *tooling.Rules) { r.Life.Rows[0].Depth = math.Inf(1) }, tooling.ErrValue},
		{"life.rows[0].life", "none", func(r *tooling.Rules) { r.Life.Rows[0].Life = 0 }, tooling.ErrValue},
		{"life.rows[1]", "twice", func(r *tooling.Rules) { r.Life.Rows[1] = r.Life.Rows[0] }, tooling.ErrDuplicate},
		{"life.rows[1].life", "more life in a taller stack", func(r *tooling.Rules) {
			r.Life.Rows[1] = r.Life.Rows[0]
			r.Life.Rows[1].Depth, r.Life.Rows[1].Life = 5, 1001
		}, tooling.ErrConflict},
		{"life.fall.factor", "grows", func(r *tooling.Rules) { r.Life.Fall.Factor = 1.1 }, tooling.ErrValue},
		{"life.fall.step_mm", "half given", func(r *tooling.Rules) { r.Life.Fall.Step = 0 }, tooling.ErrValue},
		{"life.factors.repoint_factor", "longer life when repointed", func(r *tooling.Rules) { r.Life.Factors.Repoint = 1.5 }, tooling.ErrValue},
		{"life.factors.materials[0]", "like nothing", func(r *tooling.Rules) {
			r.Life.Factors.Materials = []tooling.MaterialFactor{{Material: "x", Factor: 1}}
		}, tooling.ErrMissing},
		{"life.factors.materials[0].factor", "none", func(r *tooling.Rules) {
			r.Life.Factors.Materials = []tooling.MaterialFactor{{Material: "x", Like: "y"}}
		}, tooling.ErrValue},
		{"life.factors.materials[1].material", "twice", func(r *tooling.Rules) {
			r.Life.Factors.Materials = []tooling.MaterialFactor{{Material: "x", Like: "y", Factor: 1}, {Material: "x", Like: "z", Factor: 1}}
		}, tooling.ErrDuplicate},
		{"life.factors.copper[1].from", "twice", func(r *tooling.Rules) {
			r.Life.Factors.Copper = []tooling.Threshold{{From: 70, Factor: 1}, {From: 70, Factor: 1}}
		}, tooling.ErrDuplicate},
		{"life.factors.layers[1]", "more life in more layers", func(r *tooling.Rules) {
			r.Life.Factors.Layers = []tooling.Threshold{{From: 7, Factor: 0.5}, {From: 11, Factor: 0.6}}
		}, tooling.ErrConflict},
		{fmt.Sprintf("feeds.rows[%d]", thickest), "no life for the thickest bit", func(r *tooling.Rules) { r.Life.Rows[thickest].Kind = tooling.SlotBit }, tooling.ErrNoRow},
		{"feeds.rows[0]", "no life in the material", func(r *tooling.Rules) { r.Feeds.Rows[0].Material = "PTFE" }, tooling.ErrNoRow},
		{"allowance.via_mm", "negative", func(r *tooling.Rules) { r.Allowance.Via = -0.1 }, tooling.ErrValue},
		{"max_drill_mm", "none", func(r *tooling.Rules) { r.MaxDrill = 0 }, tooling.ErrValue},
		{"pilot_mm", "wider than the hole", func(r *tooling.Rules) { r.Pilot = 5 }, tooling.ErrValue},
		{"stack.backup_mm", "none", func(r *tooling.Rules) { r.Stack.Backup, r.Stack.BackupFloor = 0, 0 }, tooling.ErrValue},
		{"stack.backup_floor_mm", "above the backup", func(r *tooling.Rules) { r.Stack.BackupFloor = 3 }, tooling.ErrValue},
		{"stack.peck_life", "longer than a life", func(r *tooling.Rules) { r.Stack.PeckLife = 2 }, tooling.ErrValue},
		{"stack.wander_mm", "infinite", func(r *tooling.Rules) { r.Stack.Wander = math.Inf(1) }, tooling.ErrValue},
		{"stack.position_mm", "negative", func(r *tooling.Rules) { r.Stack.Position = -0.05 }, tooling.ErrValue},
		{"stack.max_height", "none", func(r *tooling.Rules) { r.Stack.MaxHeight = 0 }, tooling.ErrValue},
		{"tabs.pitch_mm", "holes overlap", func(r *tooling.Rules) { r.Tabs.Pitch = 0.4 }, tooling.ErrValue},
		{"tabs.count", "perforations past the tab", func(r *tooling.Rules) { r.Tabs.Count = 9 }, tooling.ErrConflict},
		{"rout.direction", "unknown", func(r *tooling.Rules) { r.Rout.Direction = "left" }, tooling.ErrValue},
		{"rout.slug_stop_mm", "-1", func(r *tooling.Rules) { r.Rout.SlugStop = -1 }, tooling.ErrValue},
		{"rout.overlap_mm", "1e300", func(r *tooling.Rules) { r.Rout.Overlap = 1e300 }, tooling.ErrValue},
	} {
		r := tooling.DefaultRules()
		row.change(&r)
		err := r.Validate()
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.Path != row.path || !errors.Is(err, row.want) {
			t.Errorf("%s, %s: got %v, want %v", row.path, row.reason, err, row.want)
		}
	}
	// Speed and surface speed together are fine where they agree.
	r := tooling.DefaultRules()
	r.Feeds.Rows[0].Surface = math.Round(tooling.SurfaceSpeed(r.Feeds.Rows[0].Diameter, r.Feeds.Rows[0].Speed)*10) / 10
	if err := r.Validate(); err != nil {
		t.Errorf("agreeing speeds: %v", err)
	}
}

// A table of thousands of contradicting rows is refused once a row, not once
// a pair.
func TestLifeConflictsDoNotFlood(t *testing.T) {
	r := tooling.DefaultRules()
	const n = 5000
	r.Life.Rows = nil
	for i := range n {
		r.Life.Rows = append(r.Life.Rows, tooling.LifeRow{Material: "m", Kind: tooling.Bit, Diameter: 1, Depth: 1 + float64(i)*0.01, Life: 1 + float64(i)})
	}
	var list tooling.InputErrors
	if err := r.Validate(); !errors.As(err, &list) || len(list) < n-1 || len(list) > 2*n {
		t.Errorf("got %d errors, want about %d", len(list), n)
	}
}
