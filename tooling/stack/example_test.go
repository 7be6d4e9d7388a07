package stack_test

import (
	"context"
	"fmt"
	"log"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// work is what one load of an invented job asks of a bit: the passes of drill and
// route say it of themselves (Pass.Work).
func work(place int, diameter, flute float64, hits int, travel time.Duration) stack.Work {
	return stack.Work{
		Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Place: place, Hits: hits, Travel: travel, Changes: 1,
		Tool: tooling.Tool{ID: fmt.Sprintf("B%.2f", diameter), Kind: tooling.Bit, Diameter: diameter, Flute: flute, Price: 1.4},
	}
}

// A lot of greenhouse sensor panels: vias and component holes before plating, how
// high to stack them and why no higher.
func Example_tutorial() {
	mill, _ := machine.Preset("ball screw")
	problem := stack.Problem{Lot: 240, Panel: tooling.Panel{Thickness: 1.6, Material: tooling.FR4}, Rules: tooling.DefaultRules(), Machine: mill}
	plated := []stack.Work{work(1, 0.35, 5.5, 1800, 110*time.Second), work(2, 1.0, 10.5, 900, 70*time.Second)}
	problem.SetUps = [][]stack.Work{plated}
	result, err := stack.Solve(context.Background(), problem, stack.Options{})
	if err != nil {
		log.Fatal(err)
	}
	setUp := result.SetUps[0]
	fmt.Printf("%d high, %d loads of %d stacks, %.0f min a load\n", setUp.Height, setUp.Loads, setUp.Spindles, setUp.LoadTime.Minutes())
	for _, share := range setUp.Tools {
		fmt.Printf("T%d %s: %.0f hits, %d for the lot\n", share.Place, share.Tool.ID, share.Life, share.Bought)
	}
	for _, point := range result.Curve {
		fmt.Printf("%d high costs %.2f a panel\n", point.Height, point.Cost/240)
	}
	fmt.Println(result.Limits[0].Detail)
	// Output:
	// 2 high, 20 loads of 6 stacks, 12 min a load
	// T1 B0.35: 2000 hits, 120 for the lot
	// T2 B1.00: 3000 hits, 42 for the lot
	// 1 high costs 8.06 a panel
	// 2 high costs 4.25 a panel
	// 0.350 mm: the flute allows 2 (5.23 mm down at 3 high, expected at most the flute of 5.50 mm less 0.50 mm for chips)
}

// What a shop would pay to have the lot sooner.
func ExampleSolve_front() {
	m, _ := machine.Preset("ball screw")
	m.Rate = 5 // the machine stands idle anyway
	work := stack.Work{
		Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Place: 1, Hits: 2600, Travel: 200 * time.Second, Changes: 1,
		Tool: tooling.Tool{ID: "B0.80", Kind: tooling.Bit, Diameter: 0.8, Flute: 10, Price: 6},
	}
	r, err := stack.Solve(context.Background(), stack.Problem{
		Lot: 120, Panel: tooling.Panel{Thickness: 1.6, Material: tooling.FR4}, Rules: tooling.DefaultRules(), Machine: m,
		SetUps: [][]stack.Work{{work}},
	}, stack.Options{Front: true, Mode: stack.Spares})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Front {
		fmt.Printf("%v high at %v spindles, %v: %.2f in %v\n", f.Heights, f.Spindles, f.Policies, f.Cost, f.Time.Round(time.Second))
	}
	// Output:
	// [4] high at [3] spindles, [carry-on]: 306.56 in 3h6m46s
	// [5] high at [4] spindles, [carry-on]: 307.90 in 2h3m37s
	// [4] high at [6] spindles, [whole-loads]: 316.73 in 1h32m43s
	// [5] high at [6] spindles, [carry-on]: 328.47 in 1h22m28s
	// [5] high at [6] spindles, [whole-loads]: 400.46 in 1h22m18s
}
