package array_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// An invented board on the cheapest of two stock panels.
func Example_tutorial() {
	mill, _ := machine.Preset("ball screw")
	in := array.Input{Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill, Quantity: 100}
	in.Board = route.Board{Name: "tide-gauge", Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}
	in.Blank = tooling.Panel{Thickness: 1.6, Material: tooling.FR4}
	in.Stocks = []array.Stock{array.NewStock(300, 200), array.NewStock(400, 300)}
	best, err := array.Best(context.Background(), in)
	if err != nil {
		log.Fatal(err)
	}
	choice := best.Result.Choice
	fmt.Println(choice)
	fmt.Printf("%d panels, %.2f a board\n", choice.Panels, choice.PerBoard)
	fmt.Println(len(best.Panel.Boards), "boards on the panel,", len(best.Laid.Tabs), "tabs")
	// Output:
	// 400 x 300 mm: 6 x 9, columns scored, rows scored
	// 2 panels, 0.32 a board
	// 54 boards on the panel, 0 tabs
}
