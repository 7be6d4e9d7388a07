package contour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

func TestOffsetPath(t *testing.T) {
	line := func(xy ...float64) contour.Contour {
		var l orb.LineString
		for i := 0; i < len(xy); i += 2 {
			l = append(l, orb.Point{xy[i], xy[i+1]})
		}
		return contour.FromLine(l)
	}
	half := contour.Contour{Start: orb.Point{5, 0}, Moves: []contour.Move{{To: orb.Point{-5, 0}, Turn: 1}}}
	tests := []struct {
		name     string
		reason   string
		path     contour.Contour
		distance float64
		want     []contour.Contour
	}{
		{"line left", "left of +x is +y", line(0, 0, 10, 0), 1, []contour.Contour{line(0, 1, 10, 1)}},
		{"line right", "and right of it -y", line(0, 0, 10, 0), -1, []contour.Contour{line(0, -1, 10, -1)}},
		{"inside corner", "trimmed", line(0, 0, 10, 0, 10, 10), 1, []contour.Contour{line(0, 1, 9, 1, 9, 10)}},
		{"outside corner", "an arc about the corner", line(0, 0, 10, 0, 10, 10), -1, []contour.Contour{{Start: orb.Point{0, -1}, Moves: []contour.Move{
			{To: orb.Point{10, -1}}, {To: orb.Point{11, 0}, Center: orb.Point{10, 0}, Turn: 1}, {To: orb.Point{11, 10}}}}}},
		{"arc inside", "a smaller radius", half, 1, []contour.Contour{{Start: orb.Point{4, 0}, Moves: []contour.Move{{To: orb.Point{-4, 0}, Turn: 1}}}}},
		{"arc lost", "no radius left", half, 6, nil},
		{"no distance", "the contour itself", half, 0, []contour.Contour{half}},
		{"narrow pocket", "the line leaves out the pocket that it does not fit into",
			line(0, 0, 10, 0, 10, -5, 11, -5, 11, 0, 20, 0), 1, []contour.Contour{line(0, 1, 20, 1)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := contour.OffsetPath(tt.path, tt.distance)
			require.NoError(t, err)
			require.Len(t, got, len(tt.want), tt.reason)
			for i, c := range got {
				if tt.name == "narrow pocket" {
					// Two arcs about the pocket's corners dip into it.
					assert.InDelta(t, 20-1+2*math.Asin(0.5), c.Length(), 1e-6)
					continue
				}
				require.Len(t, c.Moves, len(tt.want[i].Moves), tt.reason)
				assert.InDelta(t, 0, dist(c.Start, tt.want[i].Start), 1e-9)
				for k, m := range c.Moves {
					assert.InDelta(t, 0, dist(m.To, tt.want[i].Moves[k].To), 1e-9)
					assert.Equal(t, tt.want[i].Moves[k].Turn, m.Turn)
				}
			}
		})
	}
	_, err := contour.OffsetPath(rect(0, 0, 1, 1), 1)
	require.ErrorIs(t, err, contour.ErrOpen)
	_, err = contour.OffsetPath(line(0, 0, 10, 0), math.NaN())
	require.ErrorIs(t, err, contour.ErrNotFinite)
	_, err = contour.OffsetPath(line(0, 0, 10, 0, 5, 5, 5, -5), 1)
	require.ErrorIs(t, err, contour.ErrCrossing)
}

// Every point of the offset path is at the distance from the path, and no nearer
// one of the other pieces.
func TestOffsetPathProperty(t *testing.T) {
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 13))
		c := shapes[int(seed)%len(shapes)].make(rng)[0]
		c.Moves = c.Moves[:len(c.Moves)-1]
		if c.Validate() != nil || c.Closed() {
			continue
		}
		d := distanceFor(rng)
		got, err := contour.OffsetPath(c, d)
		require.NoError(t, err, "seed %d", seed)
		x := contour.NewIndex([]contour.Contour{c})
		for _, g := range got {
			l := g.Length()
			for k := range 101 {
				p, _ := g.At(l * float64(k) / 100)
				require.InDelta(t, math.Abs(d), x.Distance(p), micrometre, "seed %d at %v", seed, p)
			}
		}
	}
}
