package tour_test

import (
	"context"
	"fmt"
	"log"
	"time"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
)

// Four holes and a slot of a greenhouse-sensor board (invented), ordered for the
// machine from its change position and back.
func ExampleSolve() {
	axis := machine.Axis{Speed: 800, Accel: 10000}
	change := orb.Point{0, 0}
	items := tour.Points([]orb.Point{{10, 10}, {40, 10}, {10, 30}, {40, 30}})
	items = append(items, tour.Item{A: orb.Point{30, 20}, B: orb.Point{20, 20}})
	r, err := tour.Solve(context.Background(), tour.Problem{
		Items: items, Start: &change, End: &change,
		Metric: tour.MoveTime(machine.NewTravel(axis, axis, 15*time.Millisecond, 0)),
	}, tour.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v, slot turned: %v\n", r.Order, r.Flipped[4])
	fmt.Printf("%.0f ms, %v\n", 1000*r.Length, r.Status)
	// Output:
	// [3 1 4 2 0], slot turned: false
	// 585 ms, optimal
}

func ExampleProblem_Length() {
	p := tour.Problem{Items: tour.Points([]orb.Point{{0, 0}, {30, 40}, {0, 40}}), Closed: true}
	fmt.Println(p.Length([]int32{0, 1, 2}, nil), "mm")
	// Output: 120 mm
}

func ExampleResult_Gap() {
	fmt.Printf("%.1f %%\n", 100*tour.Result{Length: 101.2, Bound: 100}.Gap())
	// Output: 1.2 %
}
