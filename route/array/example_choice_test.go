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

// The steps that Best takes, for a caller with a say in which arrays are good: here
// one that handles no panel of more than 40 boards.
func ExampleSolve() {
	mill, _ := machine.Preset("ball screw")
	in := array.Input{Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill, Quantity: 100}
	in.Board = route.Board{Name: "tide-gauge", Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}
	in.Blank = tooling.Panel{Thickness: 1.6, Material: tooling.FR4}
	in.Stocks = []array.Stock{array.NewStock(300, 200), array.NewStock(400, 300)}
	ctx := context.Background()
	board, err := array.Prepare(ctx, in)
	if err != nil {
		log.Fatal(err)
	}
	result, err := array.Solve(ctx, board.Problem, func(c array.Choice) error {
		if c.Boards() > 40 {
			return fmt.Errorf("%d boards are too many to handle", c.Boards())
		}
		_, err := board.Try(ctx, c)
		return err
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(result.Choice)
	// Output:
	// 300 x 200 mm: 5 x 5, columns scored, rows scored
}
