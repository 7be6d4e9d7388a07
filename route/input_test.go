package route_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

func TestInputValidateNamesTheFault(t *testing.T) {
	good := input(sensor(), panel(100, 80, orb.Point{10, 10}))
	require.NoError(t, good.Validate())
	for _, c := range []struct {
		name  string
		spoil func(*route.Input)
		want  error
	}{
		{"a place without a board", func(in *route.Input) { in.Panel.Boards[0].Board = 1 }, route.ErrBoard},
		{"a hole nowhere", func(in *route.Input) { in.Holes = []drill.Hole{{At: orb.Point{math.NaN(), 0}}} }, route.ErrHole},
		{"a panel without a width", func(in *route.Input) { in.Panel.Width = 0 }, tooling.ErrValue},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(sensor(), panel(100, 80, orb.Point{10, 10}))
			c.spoil(&in)
			require.ErrorIs(t, in.Validate(), c.want)
		})
	}
}

func TestOptionsValidate(t *testing.T) {
	require.NoError(t, route.Options{}.Validate())
	require.NoError(t, route.Options{ClearBelow: -1, Margin: -1, Kicks: -1}.Validate(), "negative means none")
	for _, o := range []route.Options{{Rough: -0.1}, {Rough: 2.1}, {CleanUp: math.NaN()}, {EnterBelow: 51}, {Margin: math.Inf(1)}} {
		require.ErrorIs(t, o.Validate(), tooling.ErrValue, "%+v", o)
	}
}

// Holes above Rules.MaxDrill are routed, and slots that no bit fits.
func TestRouted(t *testing.T) {
	crib, rules := tooling.DefaultCrib(), tooling.DefaultRules()
	drilled := func(d float64) tooling.Size { return tooling.Size{Diameter: d, Basis: tooling.Drilled} }
	at := orb.Point{10, 10}
	require.False(t, route.Routed(drill.Round(at, drilled(rules.MaxDrill)), crib, rules))
	require.True(t, route.Routed(drill.Round(at, drilled(rules.MaxDrill+0.05)), crib, rules))
	require.False(t, route.Routed(drill.Slot(at, orb.Point{14, 10}, drilled(1)), crib, rules))
	require.True(t, route.Routed(drill.Slot(at, orb.Point{14, 10}, drilled(1)), tooling.Crib{}, rules), "no bit at all")
	require.Equal(t, route.Schema, plan(t, lay(t, input(sensor(), panel(100, 80, at))), route.Options{})[0].Schema)
}
