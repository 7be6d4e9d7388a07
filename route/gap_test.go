package route_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
)

func TestGap(t *testing.T) {
	line := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}}}
	point := func(x, y float64) contour.Contour { return contour.Contour{Start: orb.Point{x, y}} }
	circle := contour.Contour{Start: orb.Point{5, 0}, Moves: []contour.Move{{To: orb.Point{5, 0}, Center: orb.Point{0, 0}, Turn: 1}}}
	still := contour.Contour{Start: orb.Point{3, 4}, Moves: []contour.Move{{To: orb.Point{3, 4}}}}
	for _, c := range []struct {
		name string
		a, b contour.Contour
		want float64
	}{
		{"over a line", point(5, 3), line, 3},
		{"on it", point(5, 0), line, 0},
		{"beyond its end", point(13, 4), line, 5},
		{"two points", point(0, 0), point(3, 4), 5},
		{"a point and a line of no length", point(0, 0), still, 5},
		{"in the middle of a circle", point(0, 0), circle, 5},
		{"outside of it", point(0, -7), circle, 2},
		{"a line that crosses a circle", line, circle, 0},
		{"two parallel lines", line, contour.Contour{Start: orb.Point{2, 1}, Moves: []contour.Move{{To: orb.Point{4, 1}}}}, 1},
	} {
		require.InDelta(t, c.want, route.Gap(c.a, c.b), 1e-9, c.name)
		require.InDelta(t, c.want, route.Gap(c.b, c.a), 1e-9, "%s, the other way", c.name)
	}
}

func ExampleGap() {
	cut := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}}}
	hole := contour.Contour{Start: orb.Point{5, 1.5}}
	fmt.Printf("a cutter of 2.4 mm meets a hole of 1 mm: %v\n", route.Gap(cut, hole) < (2.4+1)/2)
	// Output: a cutter of 2.4 mm meets a hole of 1 mm: true
}
