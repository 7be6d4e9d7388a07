package machine_test

import (
	"fmt"
	"log"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// A shop's own machine over a preset, and the clock of what it does.
func Example_tutorial() {
	preset, _ := machine.Preset("ball screw")
	mill, err := machine.Decode([]byte(`{"name": "hall 2", "spindles": 5, "change_s": 12.5}`), "hall2.json", preset)
	if err != nil {
		log.Fatal(err)
	}
	steps := slices.Values([]machine.Step{
		{Kind: machine.Change, To: mill.ChangeAt, Tool: 1},
		{Kind: machine.Move, To: orb.Point{30, 40}},
		{Kind: machine.Stroke, To: orb.Point{30, 40}, Tool: 1, Depth: 7, Feed: 2400, Retract: 25000},
	})
	for at, step := range mill.Timed(steps) {
		fmt.Printf("%.2f s %s\n", at.Seconds(), step.Kind)
	}
	load := mill.Time(steps)
	fmt.Printf("%d hit, %.2f s, of these %.2f s in the stack\n", load.Hits, load.Total().Seconds(), load.Stroke.Seconds())
	// Output:
	// 12.50 s change
	// 12.64 s move
	// 12.86 s stroke
	// 1 hit, 12.86 s, of these 0.22 s in the stack
}

// Which places the bits of a job take, where the shop says what stands where.
func ExampleMagazine() {
	shop := machine.Magazine{{Number: 11, Tool: "B0.40"}, {Number: 12, Tool: "B0.40"}, {Number: 20, Tool: "B1.05"}}
	loading := shop.Load()
	places, err := loading.Take("B0.40", 2, true)
	fmt.Println(places, err)
	_, err = loading.Take("B1.05", 2, false)
	fmt.Println(err)
	// Output:
	// [11 12] <nil>
	// machine: the magazine does not hold the tools of the set-up: B1.05 has 1 free, 2 needed
}
