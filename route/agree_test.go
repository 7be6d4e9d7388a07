package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

func TestFilesOfOneBoardAgree(t *testing.T) {
	board := route.Board{
		Name: "gauge", Outline: rounded(80, 60, 3),
		CutOuts: []contour.Contour{contour.Circle(orb.Point{60, 45}, 8)},
	}
	size := tooling.Size{Diameter: 0.8, Basis: tooling.Finished, Plated: true}
	holes := func(move func(orb.Point) orb.Point) []drill.Hole {
		var out []drill.Hole
		for _, p := range []orb.Point{{5, 5}, {40, 8}, {75, 10}, {70, 30}, {30, 50}, {8, 55}} {
			out = append(out, drill.Round(move(p), size))
		}
		return append(out, drill.Slot(move(orb.Point{20, 20}), move(orb.Point{24, 20}), size))
	}
	require.NoError(t, route.Agree(board, holes(func(p orb.Point) orb.Point { return p })))
	require.NoError(t, route.Agree(board, nil))
	for _, c := range []struct {
		name, reason, says string
		move               func(orb.Point) orb.Point
	}{
		{"inches", "read as millimetres", "were inches", func(p orb.Point) orb.Point { return orb.Point{p[0] / 25.4, p[1]/25.4 - 0.15} }},
		{"millimetres", "read as inches", "were millimetres", func(p orb.Point) orb.Point { return orb.Point{p[0] * 25.4, p[1] * 25.4} }},
		{"mirrored", "seen from the other side", "mirrored left to right about the origin", func(p orb.Point) orb.Point { return orb.Point{-p[0], p[1]} }},
		{"upside down", "Y down", "mirrored bottom to top about the origin", func(p orb.Point) orb.Point { return orb.Point{p[0], -p[1]} }},
		{"another origin", "page coordinates", "moved by about X-10", func(p orb.Point) orb.Point { return orb.Point{p[0] + 100, p[1] + 20} }},
		{"in a cut-out", "nothing is there", "1 of 8 holes", nil},
	} {
		hs := holes(func(p orb.Point) orb.Point { return p })
		if c.move != nil {
			hs = holes(c.move)
		} else {
			hs = append(hs, drill.Round(orb.Point{60, 45}, size))
		}
		err := route.Agree(board, hs)
		require.ErrorIs(t, err, route.ErrRegistration, "%s: %s", c.name, c.reason)
		require.Contains(t, err.Error(), c.says, c.name)
	}
	square := route.Board{Name: "square", Outline: rounded(80, 60, 0)}
	require.NoError(t, route.Agree(square, holes(func(p orb.Point) orb.Point { return p })))
	err := route.Agree(square, holes(func(p orb.Point) orb.Point { return orb.Point{p[0] / 25.4, p[1] / 25.4} }))
	require.ErrorIs(t, err, route.ErrRegistration, "all of them on the board, crowded at its corner")
	require.Contains(t, err.Error(), "spread over the board if its numbers were inches")
	half := drill.Round(orb.Point{80, 30}, size)
	half.Half = true
	require.NoError(t, route.Agree(board, []drill.Hole{half}), "a declared half hole may lie on the edge")
}
