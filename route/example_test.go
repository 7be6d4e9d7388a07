package route_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// gauge is an invented board, the tide gauge: 50 x 30 mm with a window.
func gauge() route.Input {
	m, _ := machine.Preset("ball screw")
	in := route.Input{
		Boards: []route.Board{{
			Name:    "tide-gauge",
			Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}}),
			CutOuts: []contour.Contour{contour.Circle(orb.Point{25, 15}, 5)},
		}},
		Panel:   tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4, Boards: []tooling.Placement{{Offset: orb.Point{25, 25}}}},
		Crib:    tooling.DefaultCrib(),
		Rules:   tooling.DefaultRules(),
		Machine: m,
	}
	in.Rules.Rout.Cutter = 2.4
	return in
}

// From an outline to a checked program, to the steps a control takes with their
// times, and to the rest after a stop.
func Example_tutorial() {
	ctx := context.Background()
	mill, _ := machine.Preset("ball screw")
	panel := tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4}
	panel.Boards = []tooling.Placement{{Offset: orb.Point{25, 25}}}
	in := route.Input{Panel: panel, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill}
	in.Boards = []route.Board{{Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}}
	layout, err := route.Lay(in)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(layout.Tabs), "tabs,", len(layout.Perforations()), "perforations for the drill pass")
	passes, err := route.Plan(ctx, layout, route.Options{})
	if err != nil {
		log.Fatal(err)
	}

	problem := stack.Problem{Lot: 20, Panel: panel, Rules: in.Rules, Machine: mill}
	problem.SetUps = [][]stack.Work{passes[0].Work()}
	lot, err := stack.Solve(ctx, problem, stack.Options{Height: 2})
	if err != nil {
		log.Fatal(err)
	}
	pass, err := passes[0].Mount(lot.SetUps[0], mill)
	if err != nil {
		log.Fatal(err)
	}

	program, err := pass.Program(nc.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	var text bytes.Buffer
	_, err = program.WriteTo(&text)
	if err != nil {
		log.Fatal(err)
	}
	back, err := nc.Parse(text.Bytes(), nc.ReadOptions{File: "rout.nc"})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("safe to write:", route.Check(layout, pass, back).OK())

	for at, step := range mill.Timed(pass.Steps(mill)) {
		if step.Kind == machine.Retract {
			fmt.Printf("a path is cut after %.2f s\n", at.Seconds())
		}
	}

	rest, err := route.Resume(ctx, layout, pass, route.Stop{Run: 1, Path: 1}, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	saved, err := json.Marshal(rest)
	if err != nil {
		log.Fatal(err)
	}
	again, err := route.DecodePass(saved, "rest.json")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("left after a stop:", len(again.Runs[0].Paths), "paths")
	// Output:
	// 3 tabs, 15 perforations for the drill pass
	// safe to write: true
	// a path is cut after 12.93 s
	// a path is cut after 15.80 s
	// a path is cut after 18.75 s
	// left after a stop: 2 paths
}

// Where the tabs of a board stand, and what they ask of the drill pass.
func ExampleLay() {
	layout, err := route.Lay(gauge())
	if err != nil {
		log.Fatal(err)
	}
	for _, t := range layout.Tabs {
		fmt.Printf("X%.1f Y%.1f, web %.1f mm\n", t.At[0], t.At[1], t.Width)
	}
	fmt.Println(len(layout.Perforations()), "perforations")
	// Output:
	// X35.8 Y25.0, web 6.4 mm
	// X75.0 Y39.4, web 6.4 mm
	// X37.1 Y55.0, web 6.4 mm
	// 15 perforations
}

// The roles and lengths of the paths.
func ExamplePlan() {
	layout, err := route.Lay(gauge())
	if err != nil {
		log.Fatal(err)
	}
	passes, err := route.Plan(context.Background(), layout, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range passes[0].Runs[0].Paths {
		fmt.Printf("%s loop %d, %.1f mm\n", p.Role, p.Loop, p.Length())
	}
	// Output:
	// clear loop 1, 1.3 mm
	// clear loop 1, 8.8 mm
	// clear loop 1, 16.3 mm
	// finish loop 1, 26.2 mm
	// finish loop 0, 46.7 mm
	// finish loop 0, 46.6 mm
	// finish loop 0, 47.8 mm
}

// An outline that does not close names both ends.
func ExampleRead() {
	src := "M48\nMETRIC\nT1C1.0\n%\nG90\nT1\nG00X0Y0\nM15\nG01X10.0\nG01X10.0Y10.0\nG01X0Y0.02\nM16\nM30\n"
	program, err := nc.Parse([]byte(src), nc.ReadOptions{})
	if err != nil {
		log.Fatal(err)
	}
	_, _, err = route.Read(program, "board.rou")
	fmt.Println(err)
	// Output:
	// board.rou:9: route: the outline is open: found ends at X0.0000 Y0.0000 and X0.0000 Y0.0200, 0.0200 mm apart, expected ends within 0.005 mm
}

// A slit of 1 mm beside the window, and a line whose right side the cutter
// clears.
func ExampleOpenPath() {
	in := gauge()
	in.Boards[0].Open = []route.OpenPath{
		{Line: contour.FromLine(orb.LineString{{10, 8}, {10, 22}}), Side: route.Centre, Width: 1},
		{Line: contour.FromLine(orb.LineString{{40, 8}, {40, 22}}), Side: route.Right, Width: 2.4},
	}
	layout, err := route.Lay(in)
	if err != nil {
		log.Fatal(err)
	}
	passes, err := route.Plan(context.Background(), layout, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, run := range passes[0].Runs {
		for _, p := range run.Paths {
			if p.Open != "" {
				fmt.Printf("%.1f mm, %s: from %v to %v\n", run.Tool.Diameter, p.Open, p.Line.Start, p.Line.End())
			}
		}
	}
	// Output:
	// 1.0 mm, centre: from [35 33] to [35 47]
	// 2.4 mm, right: from [66.2 33] to [66.2 47]
}
