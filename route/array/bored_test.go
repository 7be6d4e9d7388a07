package array_test

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// stadium is a slot's edge drawn with two half circles.
func stadium(from, to orb.Point, width float64) contour.Contour {
	n := math.Hypot(to[0]-from[0], to[1]-from[1])
	r := orb.Point{(to[1] - from[1]) / n * width / 2, (from[0] - to[0]) / n * width / 2}
	side := func(p orb.Point, s float64) orb.Point { return orb.Point{p[0] + s*r[0], p[1] + s*r[1]} }
	return contour.Contour{Start: side(from, 1), Moves: []contour.Move{
		{To: side(to, 1)}, {To: side(to, -1), Center: to, Turn: 1}, {To: side(from, -1)}, {To: side(from, 1), Center: from, Turn: 1},
	}}
}

// Cut-outs too narrow for the smallest cutter, 0.8 mm, become holes where a bit can
// make them, however they are drawn.
func TestNarrowCutOutsAreDrilled(t *testing.T) {
	at := func(x, y float64) orb.Point { return orb.Point{110 + x, -70 + y} }
	chords := func(c contour.Contour) contour.Contour { return contour.FromRing(c.AppendRing(nil, 0.002)) }
	tilted := func(w, h float64) contour.Contour { // a 3-4-5 turn
		var ring orb.Ring
		for _, c := range [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}, {0, 0}} {
			ring = append(ring, at(float64(c[0]*0.8)-float64(c[1]*0.6), float64(c[0]*0.6)+float64(c[1]*0.8)))
		}
		return contour.FromRing(ring)
	}
	bit := tooling.Size{Diameter: 0.6, Basis: tooling.Drilled}
	for _, c := range []struct {
		name   string
		cutOut contour.Contour
		want   []drill.Hole
	}{
		{"a circle", contour.Circle(at(0, 0), 0.3), []drill.Hole{drill.Round(at(0, 0), bit)}},
		{"a circle of chords", chords(contour.Circle(at(0, 0), 0.3)), []drill.Hole{drill.Round(at(0, 0), bit)}},
		{"a slot", stadium(at(0, 0), at(4, 3), 0.6), []drill.Hole{drill.Slot(at(0, 0), at(4, 3), bit)}},
		{"a slot of chords", chords(stadium(at(0, 0), at(6, 0), 0.6)), []drill.Hole{drill.Slot(at(0, 0), at(6, 0), bit)}},
		{"a rectangle", contour.FromBound(orb.Bound{Min: at(0, 0), Max: at(5, 0.6)}), []drill.Hole{drill.Slot(at(0.3, 0.3), at(4.7, 0.3), bit)}},
		{"an upright one", contour.FromBound(orb.Bound{Min: at(0, 0), Max: at(0.6, 5)}), []drill.Hole{drill.Slot(at(0.3, 0.3), at(0.3, 4.7), bit)}},
		{"a tilted one", tilted(5, 0.6), []drill.Hole{drill.Slot(at(0.06, 0.42), at(3.58, 3.06), bit)}},
		{"a slot that a cutter makes", stadium(at(0, 0), at(4, 3), 0.8), nil},
		{"a circle as large as the cutter", contour.Circle(at(0, 0), 0.4), []drill.Hole{drill.Round(at(0, 0), tooling.Size{Diameter: 0.8, Basis: tooling.Drilled})}},
		{"a circle that a cutter makes", contour.Circle(at(0, 0), 0.45), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := sensor(50, 30)
			in.Holes, in.Board.Source.File = nil, "gauge.gbr"
			in.Board.CutOuts = []contour.Contour{c.cutOut}
			for i := range c.want {
				c.want[i].Source.File = "gauge.gbr"
			}
			p, err := array.Prepare(context.Background(), in)
			require.NoError(t, err)
			near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 0.0021 })
			turned := append([]drill.Hole(nil), p.Bored...)
			for i := range turned { // which end comes first says nothing
				if h := &turned[i]; h.To[0]+h.To[1] < h.At[0]+h.At[1] {
					h.At, h.To = h.To, h.At
				}
			}
			require.Empty(t, cmp.Diff(c.want, turned, near, cmp.Transformer("size", func(s tooling.Size) [2]any { return [2]any{s.Diameter, s.Basis} })))
			require.Len(t, p.Input.Holes, len(c.want))
			require.Len(t, p.Input.Board.CutOuts, 1-len(c.want), "it is not routed as well")

			file, err := nc.Parse(drill.HoleFile(p.Bored, "drilled", "of gauge.gbr"), nc.ReadOptions{File: "cut-outs.drl"})
			require.NoError(t, err)
			again, _, err := drill.Read(file, "cut-outs.drl", drill.Marking{Plating: drill.Unplated, Sizes: tooling.Drilled})
			require.NoError(t, err)
			require.Len(t, again, len(p.Bored))
			for i, h := range again {
				require.Equal(t, [2]orb.Point{p.Bored[i].At, p.Bored[i].To}, [2]orb.Point{h.At, h.To}, "what is written is what was planned")
				require.Equal(t, p.Bored[i].Size.Diameter, h.Size.Diameter)
				require.Equal(t, tooling.AfterPlating, h.Stage())
			}
		})
	}
}

// What no bit makes is refused as before, at its place on the board and by its file.
func TestNarrowCutOutsOfOtherShapesAreRefused(t *testing.T) {
	for name, ring := range map[string]orb.Ring{
		"an L":          {{0, 0}, {5, 0}, {5, 0.5}, {0.5, 0.5}, {0.5, 5}, {0, 5}, {0, 0}},
		"a triangle":    {{0, 0}, {1, 0}, {0.5, 0.8}, {0, 0}},
		"a trapezium":   {{0, 0}, {5, 0}, {5, 0.7}, {0, 0.5}, {0, 0}},
		"a slanted one": {{0, 0}, {5, 0}, {5.4, 0.5}, {0.4, 0.5}, {0, 0}},
	} {
		t.Run(name, func(t *testing.T) {
			in := sensor(50, 30)
			in.Holes, in.Board.Source.File = nil, "gauge.gbr"
			for i := range ring {
				ring[i] = orb.Point{110 + ring[i][0], -70 + ring[i][1]}
			}
			in.Board.CutOuts = []contour.Contour{contour.FromRing(ring)}
			p, err := array.Prepare(context.Background(), in)
			require.Empty(t, p.Bored)
			require.ErrorIs(t, err, array.ErrNoFit)
			require.ErrorContains(t, err, "gauge.gbr: route: no cutter of the crib fits: board 0 at X11")
		})
	}
}
