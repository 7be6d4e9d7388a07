package drill

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// pinFit is the room in mm a hole may have around its pin, least and most
// [assumption]: less and the stack does not go on, more and it wanders.
const (
	pinFitLeast = 0.0
	pinFitMost  = 0.15
)

// inspectPins looks at how the stack is held: pins of the set-up after
// plating must stand in unplated holes made before, and no set-up's pins may
// let a turned or flipped stack fit.
func (in Input) inspectPins(report *tooling.Report) {
	for number, stage := range []tooling.Stage{tooling.BeforePlating, tooling.AfterPlating} {
		pins := in.Panel.Pins(number + 1)
		switch {
		case !in.hasStage(stage):
			continue
		case len(pins) < 2:
			report.Note("pins-few", "", fmt.Sprintf("%d pins hold the stack %s; two are usual", len(pins), words(stage)), float64(len(pins)), 2)
			continue
		}
		for _, f := range pins {
			if stage == tooling.AfterPlating && f.SetUp != 0 {
				in.inspectPinHole(f, report)
			}
		}
		for _, way := range in.fitsAnotherWay(pins) {
			report.Note("stack-fits-"+way, "", fmt.Sprintf("the pins %s let a %s stack fit: set one off the centre line", words(stage), way), 0, 0, pins[0].At)
		}
	}
}

func (in Input) hasStage(stage tooling.Stage) bool {
	for _, h := range in.Holes {
		if h.Stage() == stage {
			return true
		}
	}
	return false
}

// inspectPinHole wants a tooling hole of the pin's size under a pin of a
// later set-up.
func (in Input) inspectPinHole(pin tooling.Feature, report *tooling.Report) {
	name := fmt.Sprintf("%.3f mm pin", pin.Diameter)
	for _, f := range in.Panel.Features {
		if f.Role != tooling.ToolingHole || f.At != pin.At {
			continue
		}
		if fit := tooling.Snap(f.Diameter - pin.Diameter); fit < pinFitLeast || fit > pinFitMost {
			report.Refuse("pin-fit", name, "the tooling hole does not fit its pin", fit, pinFitMost, pin.At)
		}
		return
	}
	report.Refuse("pin-without-hole", name, "a pin of the second set-up stands where no tooling hole was made", 0, 0, pin.At)
}

// fitsAnotherWay names the ways of laying the panel on the same pins wrongly
// (seen in the panel's own frame).
func (in Input) fitsAnotherWay(pins []tooling.Feature) []string {
	w, h := in.Panel.Width, in.Panel.Height
	var out []string
	for _, way := range []struct {
		name string
		move func(orb.Point) orb.Point
	}{
		{"turned", func(p orb.Point) orb.Point { return orb.Point{w - p[0], h - p[1]} }},
		{"flipped", func(p orb.Point) orb.Point { return orb.Point{w - p[0], p[1]} }},
		{"tumbled", func(p orb.Point) orb.Point { return orb.Point{p[0], h - p[1]} }},
	} {
		if allMeet(pins, way.move) {
			out = append(out, way.name)
		}
	}
	return out
}

// allMeet tells whether every pin, moved, comes down on a pin within a
// millimetre: near enough to be forced.
func allMeet(pins []tooling.Feature, move func(orb.Point) orb.Point) bool {
	for _, p := range pins {
		at := move(p.At)
		near := false
		for _, q := range pins {
			near = near || math.Abs(at[0]-q.At[0]) < 1 && math.Abs(at[1]-q.At[1]) < 1
		}
		if !near {
			return false
		}
	}
	return true
}
