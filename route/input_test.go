package route_test

import (
	"math"
	"slices"
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

// A panel takes 10,000 boards and places, and not one more.
func TestBoardsAreBounded(t *testing.T) {
	for _, tt := range []struct {
		boards, places int
		says           string
	}{{10_000, 1, ""}, {10_001, 1, "10001 boards in 1 places"}, {1, 10_000, ""}, {1, 10_001, "1 boards in 10001 places"}} {
		in := input(route.Board{Outline: rounded(1, 1, 0)}, panel(100, 80))
		in.Boards = slices.Repeat(in.Boards, tt.boards)
		in.Panel.Boards = slices.Repeat([]tooling.Placement{{Offset: orb.Point{10, 10}}}, tt.places)
		err := in.Validate()
		if tt.says == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorIs(t, err, route.ErrBoard)
		require.ErrorContains(t, err, tt.says)
	}
	for _, n := range []int{0, 1} { // a place names one of the boards
		in := input(sensor(), panel(100, 80, orb.Point{10, 10}))
		in.Panel.Boards[0].Board = n
		require.Equal(t, n == 0, in.Validate() == nil)
	}
	for _, x := range []float64{10_000, 10_000.001} {
		in := input(sensor(), panel(100, 80, orb.Point{10, 10}))
		in.Holes = []drill.Hole{{At: orb.Point{x, 0}, To: orb.Point{x, 0}}}
		require.Equal(t, x == 10_000, in.Validate() == nil, "%v", x)
	}
}
