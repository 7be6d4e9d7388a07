package tooling_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

// Bounds belong to what is allowed; a NaN never does.
func TestValidationCollectsWhatIsOutside(t *testing.T) {
	for _, c := range []struct {
		name string
		ask  func(*tooling.Validation)
		bad  bool
	}{
		{"lower bound", func(v *tooling.Validation) { v.Within("x", 1, 1, 2, "mm") }, false},
		{"upper bound", func(v *tooling.Validation) { v.Within("x", 2, 1, 2, "mm") }, false},
		{"below", func(v *tooling.Validation) { v.Within("x", 0.999, 1, 2, "mm") }, true},
		{"not a number", func(v *tooling.Validation) { v.Within("x", math.NaN(), 1, 2, "mm") }, true},
		{"fewest", func(v *tooling.Validation) { v.Count("x", 1, 1, 3) }, false},
		{"most", func(v *tooling.Validation) { v.Count("x", 3, 1, 3) }, false},
		{"too few", func(v *tooling.Validation) { v.Count("x", 0, 1, 3) }, true},
		{"too many", func(v *tooling.Validation) { v.Count("x", 4, 1, 3) }, true},
		{"farthest point", func(v *tooling.Validation) {
			v.Point("x", orb.Point{tooling.MaxLength, -tooling.MaxLength})
		}, false},
		{"point beyond", func(v *tooling.Validation) { v.Point("x", orb.Point{0, tooling.MaxLength + 1}) }, true},
		{"infinite point", func(v *tooling.Validation) { v.Point("x", orb.Point{math.Inf(-1), 0}) }, true},
		{"added", func(v *tooling.Validation) { v.Add("x", tooling.ErrValue, "a", "b") }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := tooling.Validation{File: "panel.json"}
			c.ask(&v)
			if !c.bad {
				require.NoError(t, v.Err())
				return
			}
			require.ErrorIs(t, v.Err(), tooling.ErrValue)
			require.Len(t, v.Errs, 1)
			require.Equal(t, tooling.Source{File: "panel.json", Path: "x"}, v.Errs[0].Source)
		})
	}
}

// The rule's name is what a plan lists as the limit of a stack.
func TestTooDeepNamesItsRule(t *testing.T) {
	rules := tooling.DefaultRules()
	long := tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 60}
	short := long
	short.Flute = 5
	for _, c := range []struct {
		tool tooling.Tool
		want string
	}{{short, tooling.RuleFlute}, {long, tooling.RuleRatio}} {
		_, err := rules.Stack.Drill(c.tool, 10, 1.6)
		var bad *tooling.InputError
		require.ErrorAs(t, err, &bad)
		require.Equal(t, c.want, bad.Rule)
	}
	thin := rules.Stack
	thin.Backup = 0.6
	_, err := thin.Drill(tooling.Tool{ID: "b", Kind: tooling.Bit, Diameter: 1, Flute: 20}, 1, 1.6)
	var bad *tooling.InputError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, tooling.RuleBackup, bad.Rule)
}
