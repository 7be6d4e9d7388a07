package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

func goodPanel() tooling.Panel {
	return tooling.Panel{
		Width: 300, Height: 200, Thickness: 1.6, Material: tooling.FR4,
		Boards:   []tooling.Placement{{Offset: orb.Point{10, 10}}},
		Features: []tooling.Feature{{Role: tooling.Pin, At: orb.Point{5, 100}, Diameter: 3.175}, {Role: tooling.Pin, At: orb.Point{290, 100}, Diameter: 3.175, SetUp: 2}},
		KeepOuts: []tooling.KeepOut{{Name: "clamp", Max: orb.Point{10, 10}, Height: 8}},
		Scores:   []tooling.Score{{{0, 50}, {300, 50}}, {{150, 200}, {150, 0}}},
	}
}

func TestPanelValidate(t *testing.T) {
	if err := goodPanel().Validate(); err != nil {
		t.Fatalf("a good panel: %v", err)
	}
	for _, row := range []struct {
		path, reason string
		change       func(*tooling.Panel)
		want         error
	}{
		{"width_mm", "NaN", func(p *tooling.Panel) { p.Width = math.NaN() }, tooling.ErrValue},
		{"height_mm", "1e300", func(p *tooling.Panel) { p.Height = 1e300 }, tooling.ErrValue},
		{"thickness_mm", "none", func(p *tooling.Panel) { p.Thickness = 0 }, tooling.ErrValue},
		{"material", "none", func(p *tooling.Panel) { p.Material = "" }, tooling.ErrMissing},
		{"copper_um", "negative", func(p *tooling.Panel) { p.Copper = -1 }, tooling.ErrValue},
		{"layers", "negative", func(p *tooling.Panel) { p.Layers = -1 }, tooling.ErrValue},
		{"boards[0].at_mm", "infinite", func(p *tooling.Panel) { p.Boards[0].Offset[1] = math.Inf(-1) }, tooling.ErrValue},
		{"boards[0].quarters", "five quarters", func(p *tooling.Panel) { p.Boards[0].Quarters = 5 }, tooling.ErrValue},
		{"boards[0].board", "negative", func(p *tooling.Panel) { p.Boards[0].Board = -1 }, tooling.ErrValue},
		{"features[0].role", "unknown", func(p *tooling.Panel) { p.Features[0].Role = "peg" }, tooling.ErrValue},
		{"features[0].diameter_mm", "none", func(p *tooling.Panel) { p.Features[0].Diameter = 0 }, tooling.ErrValue},
		{"features[0].set_up", "negative", func(p *tooling.Panel) { p.Features[0].SetUp = -1 }, tooling.ErrValue},
		{"features[0].at_mm", "NaN", func(p *tooling.Panel) { p.Features[0].At[0] = math.NaN() }, tooling.ErrValue},
		{"features[0].at_mm", "half off the panel", func(p *tooling.Panel) { p.Features[0].At = orb.Point{1, 100} }, tooling.ErrValue},
		{"features[1].at_mm", "two pins in one place", func(p *tooling.Panel) { p.Features[1].At = p.Features[0].At }, tooling.ErrDuplicate},
		{"keep_outs[0].min_mm", "NaN", func(p *tooling.Panel) { p.KeepOuts[0].Min[0] = math.NaN() }, tooling.ErrValue},
		{"keep_outs[0].max_mm", "left of its other corner", func(p *tooling.Panel) { p.KeepOuts[0].Max[0] = -1 }, tooling.ErrConflict},
		{"keep_outs[0].height_mm", "below the entry", func(p *tooling.Panel) { p.KeepOuts[0].Height = -1 }, tooling.ErrValue},
		{"scores[0]", "ends inside the panel", func(p *tooling.Panel) { p.Scores[0][1][0] = 299 }, tooling.ErrValue},
		{"scores[0]", "slants", func(p *tooling.Panel) { p.Scores[0][1][1] = 51 }, tooling.ErrValue},
		{"scores[1]", "NaN", func(p *tooling.Panel) { p.Scores[1] = tooling.Score{{math.NaN(), 0}, {math.NaN(), 200}} }, tooling.ErrValue},
	} {
		p := goodPanel()
		row.change(&p)
		err := p.Validate()
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.Path != row.path || !errors.Is(err, row.want) {
			t.Errorf("%s, %s: got %v, want %v", row.path, row.reason, err, row.want)
		}
	}
	// A pin of another set-up, or a tooling hole under a pin, is no contradiction.
	p := goodPanel()
	p.Features[0].SetUp = 1
	p.Features[1].At = p.Features[0].At
	p.Features = append(p.Features, tooling.Feature{Role: tooling.ToolingHole, At: p.Features[0].At, Diameter: 3.2})
	if err := p.Validate(); err != nil {
		t.Errorf("pins of two set-ups: %v", err)
	}
}

func TestPanelPins(t *testing.T) {
	p := goodPanel()
	if got := p.Pins(1); len(got) != 1 {
		t.Errorf("set-up 1: got %d pins, want 1", len(got))
	}
	if got := p.Pins(2); len(got) != 2 {
		t.Errorf("set-up 2: got %d pins, want 2", len(got))
	}
	if got := p.Bound(); got != (orb.Bound{Max: orb.Point{300, 200}}) {
		t.Errorf("bound: got %v", got)
	}
	if got := p.KeepOuts[0].Bound(); got != (orb.Bound{Max: orb.Point{10, 10}}) {
		t.Errorf("keep-out: got %v", got)
	}
}

func TestPlacementApply(t *testing.T) {
	at := orb.Point{3, 1}
	for quarters, want := range map[int]orb.Point{0: {13, 21}, 1: {9, 23}, 2: {7, 19}, 3: {11, 17}, 4: {13, 21}, -1: {11, 17}} {
		if got := (tooling.Placement{Offset: orb.Point{10, 20}, Quarters: quarters}).Apply(at); got != want {
			t.Errorf("%d quarters: got %v, want %v", quarters, got, want)
		}
	}
	if got := (tooling.Placement{Quarters: 2}).Apply(orb.Point{0, 0}); math.Signbit(got[0]) || math.Signbit(got[1]) {
		t.Errorf("no negative zero: got %v", got)
	}
}

func ExamplePlacement_Apply() {
	p := tooling.Placement{Offset: orb.Point{100, 50}, Quarters: 1}
	fmt.Println(p.Apply(orb.Point{10, 0}))
	// Output: [100 60]
}
