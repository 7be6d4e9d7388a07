package tour_test

import (
	"context"
	"fmt"
	"log"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
)

// Four holes and a slot of a greenhouse-sensor board (invented), ordered for the
// machine from its change position and back.
func Example_tutorial() {
	mill, _ := machine.Preset("ball screw")
	items := tour.Points([]orb.Point{{10, 10}, {40, 10}, {10, 30}, {40, 30}})
	items = append(items, tour.Item{A: orb.Point{30, 20}, B: orb.Point{20, 20}})
	problem := tour.Problem{Items: items, Start: &mill.ChangeAt, End: &mill.ChangeAt, Metric: tour.MoveTime(mill.Travel())}
	result, err := tour.Solve(context.Background(), problem, tour.Options{Bound: true})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v, slot turned: %v\n", result.Order, result.Flipped[4])
	fmt.Printf("%.0f ms, %v, gap %.0f %%\n", 1000*result.Length, result.Status, 100*result.Gap())
	// Output:
	// [3 1 4 2 0], slot turned: false
	// 590 ms, optimal, gap 0 %
}

// A tour may be closed, and in plain millimetres.
func ExampleSolve() {
	r, err := tour.Solve(context.Background(), tour.Problem{
		Items: tour.Points([]orb.Point{{0, 0}, {30, 40}, {0, 40}, {30, 0}}), Closed: true, Metric: tour.Euclid(),
	}, tour.Options{})
	fmt.Println(r.Length, "mm,", r.Status, err)
	// Output: 140 mm, optimal <nil>
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
