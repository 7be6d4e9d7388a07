package route_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// gaugePass is the tide gauge's rout pass, mounted for a stack of two.
func gaugePass() (route.Layout, route.Pass) {
	layout, err := route.Lay(gauge())
	if err != nil {
		log.Fatal(err)
	}
	passes, err := route.Plan(context.Background(), layout, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	in := layout.Input
	plan, err := stack.Solve(context.Background(), stack.Problem{Lot: 20, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine, SetUps: [][]stack.Work{passes[0].Work()}}, stack.Options{Height: 2})
	if err != nil {
		log.Fatal(err)
	}
	pass, err := passes[0].Mount(plan.SetUps[0], in.Machine)
	if err != nil {
		log.Fatal(err)
	}
	return layout, pass
}

// A drill file in inches, read as millimetres, does not lie on its board.
func ExampleAgree() {
	board := gauge().Boards[0]
	var holes []drill.Hole
	for _, p := range []orb.Point{{5, 5}, {45, 5}, {45, 25}, {5, 25}} {
		holes = append(holes, drill.Round(p, tooling.Size{Diameter: 1, Basis: tooling.Finished}))
	}
	fmt.Println(route.Agree(board, holes))
	for i := range holes {
		holes[i].At = orb.Point{holes[i].At[0] * 25.4, holes[i].At[1] * 25.4}
	}
	fmt.Println(route.Agree(board, holes))
	// Output:
	// <nil>
	// route: drill files and outline do not agree: found 4 of 4 holes outside the outline; all would lie inside if its numbers were millimetres, expected every hole of board "tide-gauge" on it, the first stray at X127.000 Y127.000
}

// An inside corner of 1 mm radius asks for a cutter of 2 mm.
func ExampleFitCutter() {
	board := route.Board{Outline: contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{
		{To: orb.Point{40, 0}}, {To: orb.Point{40, 30}}, {To: orb.Point{20, 30}}, {To: orb.Point{20, 21}},
		{To: orb.Point{19, 20}, Center: orb.Point{19, 21}, Turn: -1}, {To: orb.Point{0, 20}}, {To: orb.Point{0, 0}},
	}}}
	cutter, err := route.FitCutter(board, tooling.DefaultCrib(), 2.4, 0)
	fmt.Printf("%.1f mm, %v\n", cutter.Diameter, err)
	// Output:
	// 2.0 mm, <nil>
}

// Cutters below 3 mm enter the waste of the window in a hole of the drill pass.
func ExampleLayout_Entries() {
	layout, _ := gaugePass()
	holes, err := layout.Entries(context.Background(), route.Options{EnterBelow: 3})
	if err != nil {
		log.Fatal(err)
	}
	for _, h := range holes {
		fmt.Printf("%.2f mm, %s\n", h.Size.Diameter, h.Stage())
	}
	// Output:
	// 2.50 mm, after_plating
}

// A slit, cut on its line by the cutter of the file.
func ExampleReadOpen() {
	src := "M48\nMETRIC\nT1C1.0\n%\nG90\nT1\nG00X10.0Y8.0\nM15\nG01X10.0Y22.0\nM16\nM30\n"
	program, err := nc.Parse([]byte(src), nc.ReadOptions{File: "slits.rte"})
	if err != nil {
		log.Fatal(err)
	}
	paths, _, err := route.ReadOpen(program, "slits.rte")
	for _, p := range paths {
		fmt.Printf("%s, %.1f mm wide, from %v to %v\n", p.Side, p.Width, p.Line.Start, p.Line.End())
	}
	fmt.Println(err)
	// Output:
	// centre, 1.0 mm wide, from [10 8] to [10 22]
	// <nil>
}

// A program for a control that keeps feeds in its own table, held to what was
// asked for.
func ExampleCheckAs() {
	layout, pass := gaugePass()
	asked := nc.WriteOptions{NoFeeds: true}
	parts, err := pass.Programs(asked)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(parts), "program, as asked:", route.CheckAs(layout, pass, parts, asked).OK())
	fmt.Println("with feeds:", route.CheckAs(layout, pass, parts, nc.WriteOptions{}).OK())
	// Output:
	// 1 program, as asked: true
	// with feeds: false
}

// A panel that moved in process: the paths go where the targets say.
func ExamplePass_Adjust() {
	layout, pass := gaugePass()
	nominal := []orb.Point{{5, 5}, {95, 5}, {95, 75}}
	var measured []orb.Point
	for _, p := range nominal {
		measured = append(measured, orb.Point{p[0] + 0.10, p[1] - 0.05})
	}
	fit, err := tooling.FitSimilarity(nominal, measured)
	if err != nil {
		log.Fatal(err)
	}
	moved, err := pass.Adjust(fit, 0.05)
	if err != nil {
		log.Fatal(err)
	}
	program, err := moved.Program(nc.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(route.Check(layout, moved, program).OK(), route.Check(layout, pass, program).OK())
	// Output:
	// true false
}

// What a load takes, in the machine's time.
func ExamplePass_Estimate() {
	layout, pass := gaugePass()
	load, err := pass.Estimate(layout.Input.Machine)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f mm cut in %.1f s of %.1f s\n", load.Cut, load.Rout.Seconds(), load.Total().Seconds())
	// Output:
	// 194 mm cut in 12.9 s of 23.6 s
}

// The shop keeps its cutters in places of its own.
func ExamplePass_InMagazine() {
	_, pass := gaugePass()
	shop := machine.Magazine{{Number: 50, Tool: pass.Runs[0].Tool.ID}}
	placed, err := pass.InMagazine(shop.Load())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(pass.Runs[0].Cutters[0].Place, "becomes", placed.Runs[0].Cutters[0].Place)
	// Output:
	// 1 becomes 50
}

// After the third path the cutter broke on the second spindle: what it was cutting
// is cut again there, the rest by both.
func ExampleResume() {
	layout, pass := gaugePass()
	rest, err := route.Resume(context.Background(), layout, pass, route.Stop{Run: 1, Path: 3, Last: 4, Spindles: []int{2}}, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	program, err := rest.Program(nc.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(rest.Runs[0].Paths), "paths,", rest.Runs[0].Again, "with the others parked, safe to write:", route.Check(layout, rest, program).OK())
	// Output:
	// 4 paths, 1 with the others parked, safe to write: true
}
