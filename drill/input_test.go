package drill_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

func TestValidateRefuses(t *testing.T) {
	size := func(s tooling.Size, change func(*tooling.Size)) tooling.Size {
		change(&s)
		return s
	}
	for _, c := range []struct {
		name string
		hole drill.Hole
		err  error
	}{
		{"NaN", drill.Round(orb.Point{math.NaN(), 30}, via), drill.ErrCoord},
		{"infinite", drill.Slot(orb.Point{30, 60}, orb.Point{30, math.Inf(1)}, supply), drill.ErrCoord},
		{"1e300", drill.Round(orb.Point{30, 1e300}, via), drill.ErrCoord},
		{"no sizes", drill.Round(orb.Point{20, 30}, size(via, func(s *tooling.Size) { s.Basis = "" })), drill.ErrSizes},
		{"sizes that are none", drill.Round(orb.Point{20, 30}, size(via, func(s *tooling.Size) { s.Basis = "both" })), drill.ErrSizes},
		{"no diameter", drill.Round(orb.Point{20, 30}, size(via, func(s *tooling.Size) { s.Diameter = 0 })), drill.ErrTool},
		{"a diameter of NaN", drill.Round(orb.Point{20, 30}, size(via, func(s *tooling.Size) { s.Diameter = math.NaN() })), drill.ErrTool},
		{"an infinite diameter", drill.Round(orb.Point{20, 30}, size(via, func(s *tooling.Size) { s.Diameter = math.Inf(1) })), drill.ErrTool},
		{"left of the panel", drill.Round(orb.Point{-1, 30}, via), drill.ErrOffPanel},
		{"wall over the panel's edge", drill.Round(orb.Point{0.19, 30}, via), drill.ErrOffPanel}, // drilled 0.40: the radius is 0.20
		{"slot over the panel's edge", drill.Slot(orb.Point{115, 80}, orb.Point{119.8, 80}, supply), drill.ErrOffPanel},
		{"in a keep-out", drill.Round(orb.Point{55, 3}, via), drill.ErrKeepOut},
		{"wall in a keep-out", drill.Round(orb.Point{55, 5.1}, via), drill.ErrKeepOut},
		{"slot through a keep-out", drill.Slot(orb.Point{48, 2}, orb.Point{62, 2}, supply), drill.ErrKeepOut},
		{"slot across a corner", drill.Slot(orb.Point{58, 6}, orb.Point{61, 3}, supply), drill.ErrKeepOut},
		{"under a pin of its set-up", drill.Round(orb.Point{9, 41}, via), drill.ErrKeepOut},
		{"under a pin of the second set-up", drill.Round(orb.Point{110, 62}, mount), drill.ErrKeepOut},
		{"given twice", drill.Round(orb.Point{30, 30}, via), drill.ErrDuplicate},
		{"slot given twice, from the other end", drill.Slot(orb.Point{43, 50}, orb.Point{40, 50}, supply), drill.ErrDuplicate},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := small()
			c.hole.Source = tooling.Source{File: "x.drl", Line: 12, Tool: "T3"}
			in.Holes = append(in.Holes, c.hole)
			err := in.Validate()
			var he *drill.HoleError
			require.ErrorAs(t, err, &he)
			require.ErrorIs(t, err, c.err)
			assert.Equal(t, len(in.Holes)-1, he.Index)
			assert.Equal(t, c.hole.Source, he.Source)
			assert.Contains(t, err.Error(), "x.drl:12 T3: hole ")
			assert.NotEmpty(t, he.Found)
			assert.NotEmpty(t, he.Expected)
			passes, err := drill.Plan(context.Background(), in, quick)
			assert.ErrorIs(t, err, c.err)
			assert.Nil(t, passes)
		})
	}
}

func TestValidateAccepts(t *testing.T) {
	in := small()
	require.NoError(t, in.Validate())
	// Right at the limits: walls on the edge, against a keep-out, against a pin.
	in.Holes = append(in.Holes,
		drill.Round(orb.Point{0.2, 80}, via), drill.Round(orb.Point{55, 5.2}, via), drill.Slot(orb.Point{48, 6}, orb.Point{62, 6}, supply),
		drill.Round(orb.Point{110, 66.2}, via), // a pin of the other set-up
	)
	require.NoError(t, in.Validate())
}

func TestValidateNamesOtherInput(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*drill.Input)
		path   string
	}{
		{"panel", func(in *drill.Input) { in.Panel.Width = math.NaN() }, "width_mm"},
		{"crib", func(in *drill.Input) { in.Crib.Tools = nil }, "tools"},
		{"rules", func(in *drill.Input) { in.Rules.Bump = 0 }, "slot_bump_mm"},
		{"machine", func(in *drill.Input) { in.Machine = machine.Machine{} }, ""},
	} {
		in := small()
		c.change(&in)
		err := in.Validate()
		var list tooling.InputErrors
		require.ErrorAs(t, err, &list, c.name)
		assert.Contains(t, err.Error(), c.path, c.name)
	}
}

func TestPlanNamesTheHoleWithoutBit(t *testing.T) {
	in := small()
	tiny := drill.Round(orb.Point{20, 60}, tooling.Size{Diameter: 0.05, Basis: tooling.Drilled, Class: tooling.PressFit, Plated: true, Minus: 0.001, Plus: 0.001})
	tiny.Source = tooling.Source{File: "x.drl", Line: 9}
	in.Holes = append(in.Holes, tiny)
	_, err := drill.Plan(context.Background(), in, quick)
	var he *drill.HoleError
	require.ErrorAs(t, err, &he)
	require.ErrorIs(t, err, tooling.ErrNoTool)
	assert.Equal(t, len(in.Holes)-1, he.Index)
	assert.Equal(t, 9, he.Source.Line)
	_, err = drill.Inspect(in)
	require.ErrorIs(t, err, tooling.ErrNoTool)
}

func TestPlanWithoutPilotBit(t *testing.T) {
	in := small()
	var keep []tooling.Tool
	for _, tool := range in.Crib.Tools {
		if tool.Kind == tooling.SlotBit || tool.Diameter > 3 || tool.Diameter == 0.4 || tool.Diameter == 1.05 {
			keep = append(keep, tool)
		}
	}
	in.Crib.Tools = keep
	in.Rules.Pilot = 0.3
	in.Holes = []drill.Hole{drill.Round(orb.Point{80, 50}, stud)}
	_, err := drill.Plan(context.Background(), in, quick)
	var he *drill.HoleError
	require.ErrorAs(t, err, &he)
	require.ErrorIs(t, err, tooling.ErrNoTool)
	assert.Contains(t, err.Error(), "pilot")
}

func TestPlanTooManyTools(t *testing.T) {
	in := small()
	in.Machine.Places = 2
	_, err := drill.Plan(context.Background(), in, quick)
	require.ErrorIs(t, err, tooling.ErrPlaces)
}

func TestRouted(t *testing.T) {
	in := small()
	routed := in.Routed()
	require.Len(t, routed, 1)
	assert.Equal(t, wide, in.Holes[routed[0]].Size)

	// A slot too wide for any slot bit or bit, and one wider than what is
	// drilled at all, are routed; a wide slot with a bit of its width is not.
	in.Holes = []drill.Hole{
		drill.Slot(orb.Point{20, 20}, orb.Point{30, 20}, tooling.Size{Diameter: 7, Basis: tooling.Drilled}),
		drill.Slot(orb.Point{20, 30}, orb.Point{30, 30}, tooling.Size{Diameter: 2.5, Basis: tooling.Drilled}),
		drill.Slot(orb.Point{20, 40}, orb.Point{30, 40}, tooling.Size{Diameter: 3.25, Basis: tooling.Drilled, Minus: 0.01, Plus: 0.01}),
		drill.Slot(orb.Point{20, 50}, orb.Point{30, 50}, tooling.Size{Diameter: 3.25, Basis: tooling.Drilled, Minus: 0.01, Plus: 0.01}),
	}
	assert.Equal(t, []int{0, 2, 3}, in.Routed())
	passes := plan(t, in)
	require.Len(t, passes, 1)
	assert.Equal(t, 1, passes[0].Holes())
	assert.Equal(t, 2.5, passes[0].Runs[0].Tool.Diameter)
}

func TestHoleStage(t *testing.T) {
	h := drill.Round(orb.Point{1, 1}, via)
	assert.Equal(t, tooling.BeforePlating, h.Stage())
	assert.Equal(t, 0.0, h.Length())
	h = drill.Slot(orb.Point{0, 0}, orb.Point{3, 4}, gauge)
	assert.Equal(t, tooling.AfterPlating, h.Stage())
	assert.Equal(t, 5.0, h.Length())
	h.Tented = true
	assert.Equal(t, tooling.BeforePlating, h.Stage())
}
