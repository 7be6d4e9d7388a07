package contour_test

import (
	"errors"
	"fmt"
	"log"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// A board with a slot, routed with a 2.4 mm cutter: the path around the board and
// the one in the slot, and what the cutter leaves.
func Example_tutorial() {
	board := contour.FromBound(orb.Bound{Max: orb.Point{60, 40}})
	window := contour.FromBound(orb.Bound{Min: orb.Point{5, 5}, Max: orb.Point{15, 15}})
	slot := contour.Contour{Start: orb.Point{20, 18}, Moves: []contour.Move{
		{To: orb.Point{40, 18}},
		{To: orb.Point{40, 22}, Center: orb.Point{40, 20}, Turn: 1},
		{To: orb.Point{20, 22}},
		{To: orb.Point{20, 18}, Center: orb.Point{20, 20}, Turn: 1},
	}}
	paths, err := contour.Offset([]contour.Contour{board, slot, window}, 1.2)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range paths.Loops {
		fmt.Printf("%d moves, %.3f mm, area %+.3f\n", len(c.Moves), c.Length(), c.Area())
	}
	for _, p := range paths.Unreachable {
		fmt.Printf("%.1f mm not reached around (%g, %g)\n", p.Size, p.At[0], p.At[1])
	}
	// Output:
	// 8 moves, 207.540 mm, area +2644.524
	// 4 moves, 45.027 mm, area -34.011
	// 4 moves, 30.400 mm, area -57.760
	// 2.4 mm not reached around (5, 15)
	// 2.4 mm not reached around (15, 15)
	// 2.4 mm not reached around (15, 5)
	// 2.4 mm not reached around (5, 5)
}

func ExampleOffset_vanishing() {
	o, _ := contour.Offset([]contour.Contour{contour.Circle(orb.Point{}, 1)}, -1.2)
	fmt.Println(len(o.Loops), len(o.Unreachable))
	// Output: 0 1
}

func ExampleOffset_invalid() {
	bowTie := contour.FromRing(orb.Ring{{0, 0}, {10, 10}, {10, 0}, {0, 10}})
	_, err := contour.Offset([]contour.Contour{bowTie}, 1)
	fmt.Println(err)
	fmt.Println(errors.Is(err, contour.ErrCrossing))
	// Output:
	// contour: crossing: contour 0 move 0 at (5.000000, 5.000000): meets contour 0 move 2
	// true
}

func ExampleOffsetPath() {
	edge := contour.FromLine(orb.LineString{{0, 0}, {30, 0}, {30, 20}})
	left, _ := contour.OffsetPath(edge, 1.2)
	right, _ := contour.OffsetPath(edge, -1.2)
	fmt.Printf("left %.2f mm in %d moves, right %.2f mm in %d moves\n",
		left[0].Length(), len(left[0].Moves), right[0].Length(), len(right[0].Moves))
	// Output: left 47.60 mm in 2 moves, right 51.88 mm in 3 moves
}

func ExampleFitArcs() {
	chords := contour.FromRing(contour.Circle(orb.Point{}, 10).AppendRing(nil, 0.001))
	fitted, _ := contour.FitArcs(chords, 0.002)
	fmt.Println(len(chords.Moves), "lines,", len(fitted.Moves), "arc")
	// Output: 223 lines, 1 arc
}

func ExampleContour_Cut() {
	c := contour.FromBound(orb.Bound{Max: orb.Point{30, 20}})
	gap := c.Cut(10, 12)
	fmt.Println(gap.Start, gap.End(), c.Cut(12, 10).Length())
	// Output: [10 0] [12 0] 98
}

func ExampleContour_Split() {
	fmt.Println(len(contour.Circle(orb.Point{}, 5).Split(math.Pi / 2).Moves))
	// Output: 4
}

func ExampleIndex_Nearest() {
	x := contour.NewIndex([]contour.Contour{contour.Circle(orb.Point{}, 5)})
	f := x.Nearest(orb.Point{0, 9})
	fmt.Printf("%.3f mm, %.3f mm along\n", f.Distance, f.Along)
	// Output: 4.000 mm, 7.854 mm along
}

func ExampleMeetings() {
	at, err := contour.Meetings(contour.Circle(orb.Point{0, 0}, 5), contour.Circle(orb.Point{6, 0}, 5))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range at {
		fmt.Printf("X%.3f Y%.3f\n", p[0], p[1])
	}
	// Output:
	// X3.000 Y4.000
	// X3.000 Y-4.000
}
