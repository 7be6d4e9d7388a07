package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
)

// A round board has no straight edge: its tabs stand on the arc, all on its
// rim, and what is cut beside them passes the check.
func TestRoundBoards(t *testing.T) {
	for _, radius := range []float64{16, 25, 60} {
		for _, cutter := range []float64{1, 2.4} {
			in := input(route.Board{Outline: contour.Circle(orb.Point{radius, radius}, radius)}, panel(2*radius+30, 2*radius+30, orb.Point{15, 15}))
			in.Rules.Rout.Cutter = cutter
			l := lay(t, in)
			require.GreaterOrEqual(t, len(l.Tabs), 3)
			for _, tab := range l.Tabs {
				require.Equal(t, radius, tab.Radius)
				require.InDelta(t, radius, gap(tab.At, orb.Point{15 + radius, 15 + radius}), 1e-6)
			}
			p := mounted(t, l, route.Options{})
			require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
		}
	}
}
