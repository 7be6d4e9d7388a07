package tooling_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// The zero value of every type is a valid empty thing: asking it something
// gives an answer or a typed error, never a panic.
func TestZeroValues(t *testing.T) {
	if got := (tooling.Report{}).Err(); got != nil {
		t.Errorf("empty report: got %v, want nil", got)
	}
	if !(tooling.Report)(nil).OK() {
		t.Error("nil report must be OK")
	}
	if got := (tooling.InputErrors)(nil).Err(); got != nil {
		t.Errorf("no errors: got %v, want nil", got)
	}
	var v tooling.Validation
	if got := v.Err(); got != nil {
		t.Errorf("unused validation: got %v, want nil", got)
	}
	if got := (tooling.Source{}).String(); got != "" {
		t.Errorf("zero source: got %q, want none", got)
	}
	for name, text := range map[string]string{
		"input error":  (&tooling.InputError{}).Error(),
		"input errors": tooling.InputErrors{}.Error(),
		"check error":  (&tooling.CheckError{}).Error(),
	} {
		if text == "" {
			t.Errorf("%s: no text", name)
		}
	}
	if got := (tooling.Size{}).Kind(); got != tooling.Mechanical {
		t.Errorf("zero size: got %q, want mechanical", got)
	}
	if got := (tooling.Allowance{}).Target(tooling.Size{Diameter: 1, Plated: true}); got != 1 {
		t.Errorf("zero allowance: got %v, want 1", got)
	}
	if got := (tooling.Placement{}).Apply(orb.Point{1, 2}); got != (orb.Point{1, 2}) {
		t.Errorf("zero placement: got %v", got)
	}
	if got := (tooling.Panel{}).Pins(1); got != nil {
		t.Errorf("zero panel: got pins %v", got)
	}
	if got := (tooling.Taylor{}).Life(100); got != 0 {
		t.Errorf("zero law: got %v, want 0", got)
	}
	if got := (tooling.Tool{}).PointLength(); got != 0 {
		t.Errorf("zero tool: got point %v, want 0", got)
	}
}

func TestZeroValuesRefuse(t *testing.T) {
	_, feedErr := tooling.Rules{}.Feed(tooling.Tool{}, "", tooling.SpeedLimits{})
	_, lifeErr := tooling.LifeTable{}.At("", "", 0, 0)
	_, livesErr := tooling.LifeTable{}.Lives(tooling.Laminate{}, tooling.Tool{}, 1)
	_, rowErr := tooling.FeedTable{}.At("", "", 0)
	_, drillErr := tooling.StackRules{}.Drill(tooling.Tool{}, 0, 0)
	_, routErr := tooling.StackRules{}.Rout(tooling.Tool{}, tooling.RoutRules{}, 0, 0)
	_, chooseErr := tooling.Crib{}.Choose([]tooling.Size{{Diameter: 1}}, tooling.Rules{}, 0)
	_, sizeErr := tooling.Crib{}.Choose([]tooling.Size{{}}, tooling.Rules{}, 0)
	for _, row := range []struct {
		name string
		err  error
		want error
	}{
		{"feed", feedErr, tooling.ErrNoRow},
		{"life", lifeErr, tooling.ErrNoRow},
		{"lives", livesErr, tooling.ErrNoRow},
		{"feed row", rowErr, tooling.ErrNoRow},
		{"drill depth", drillErr, tooling.ErrValue},
		{"rout depth", routErr, tooling.ErrValue},
		{"choose", chooseErr, tooling.ErrNoTool},
		{"choose no size", sizeErr, tooling.ErrValue},
		{"crib", tooling.Crib{}.Validate(), tooling.ErrValue},
		{"rules", tooling.Rules{}.Validate(), tooling.ErrValue},
		{"panel", tooling.Panel{}.Validate(), tooling.ErrMissing},
		{"law", tooling.Taylor{}.Validate(), tooling.ErrValue},
	} {
		if !errors.Is(row.err, row.want) {
			t.Errorf("%s: got %v, want %v", row.name, row.err, row.want)
		}
	}
	got, err := tooling.Crib{}.Choose(nil, tooling.Rules{}, 0)
	if diff := cmp.Diff([]tooling.Tool{}, got); diff != "" || err != nil {
		t.Errorf("no sizes (-want +got):\n%s%v", diff, err)
	}
}
