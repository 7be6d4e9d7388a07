package route_test

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// halved is a board of 60 x 40 mm with a half hole of 8 mm in its lower edge.
func halved(plated bool) route.Input {
	in := input(route.Board{Outline: contour.FromBound(orb.Bound{Max: orb.Point{60, 40}})}, panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	h := drill.Round(orb.Point{60, 30}, tooling.Size{Diameter: 8, Plated: plated, Basis: tooling.Drilled, Class: tooling.Mechanical})
	h.Half = true
	in.Holes = []drill.Hole{h}
	return in
}

// A half hole too large to drill is routed whole in its own stage, the edge across
// its mouth with the outline; faults of either are caught.
func TestRoutedHalfHoles(t *testing.T) {
	hole := func(p *route.Path) bool { return p.Hole && p.Role == route.Finish }
	outline := func(p *route.Path) bool { return !p.Hole }
	for _, c := range []struct {
		name   string
		plated bool
		which  func(*route.Path) bool
		by     orb.Point // mm
		want   string    // rule; "" none
	}{
		{"plated", true, hole, orb.Point{}, ""},
		{"unplated", false, hole, orb.Point{}, ""},
		{"its path into the board", true, hole, orb.Point{0, 0.01}, "gouge"},
		{"its path out of the board", true, hole, orb.Point{0, -0.01}, "off-line"},
		{"its path aside", false, hole, orb.Point{0.01, 0}, "gouge"},
		{"the outline's into the board", true, outline, orb.Point{0, 0.01}, "gouge"},
		{"the outline's off the board", false, outline, orb.Point{0, -0.01}, "off-line"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := lay(t, halved(c.plated))
			var rules []string
			for _, p := range plan(t, l, route.Options{}) {
				for i := range p.Runs {
					for k := range p.Runs[i].Paths {
						if q := &p.Runs[i].Paths[k]; c.which(q) {
							q.Line = q.Line.Translate(c.by[0], c.by[1])
						}
					}
				}
				m, err := p.Mount(setUp(t, l.Input, p, 1), l.Input.Machine)
				require.NoError(t, err)
				rules = append(rules, broken(route.Check(l, m, parse(t, text(t, m))))...)
			}
			if c.want == "" {
				require.Empty(t, rules)
				return
			}
			require.True(t, slices.Contains(rules, c.want), "%v", rules)
		})
	}
}

// A half hole belongs to the board its centre lies in, or to the nearest one, and
// must not reach another; boards flush on a score line share the holes on it.
func TestHalfHolesKeepToTheirBoard(t *testing.T) {
	for _, tt := range []struct {
		name  string
		gap   float64 // mm between the two boards
		x     float64 // mm right of the edge of the left one
		wall  float64
		found string
	}{
		{"into the channel", 2.4, 0, 1, ""},
		{"just to the next board", 2.4, 0, 2.4, ""},
		{"into the next board", 2.4, 0, 2.5, "half hole of board 0 and reaches 0.100 mm into board 1"},
		{"from within its board", 2.4, -0.5, 3, "half hole of board 0 and reaches 0.100 mm into board 1"},
		{"from beyond its edge", 2.4, 0.4, 2.2, "half hole of board 0 and reaches 0.200 mm into board 1"},
		{"nearer to the next board", 2.4, 2.0, 2.2, "half hole of board 1 and reaches 0.200 mm into board 0"},
		{"on a common edge", 0, 0, 2.4, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := input(plain(40, 40), panel(160, 100, orb.Point{30, 30}, orb.Point{70 + tt.gap, 30}))
			in.Rules.Rout.Cutter = 2.4
			if tt.gap == 0 {
				in.Panel.Scores = []tooling.Score{{{70, 0}, {70, 100}}}
			}
			h := drill.Round(orb.Point{70 + tt.x, 50}, tooling.Size{Diameter: 2 * tt.wall, Basis: tooling.Drilled, Class: tooling.Mechanical})
			h.Half = true
			in.Holes = []drill.Hole{h}
			_, err := route.Lay(in)
			if tt.found == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, route.ErrHole)
			require.ErrorContains(t, err, tt.found)
		})
	}
}
