package drill_test

import (
	"context"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// probe is a lot of an invented board, the tide gauge, planned and mounted: two
// copies of three holes on each panel.
func probe(lot, height int, s stack.Options, o drill.Options) (drill.Input, drill.Pass) {
	in, passes := probes(lot, height, s, o)
	return in, passes[0]
}

// probes are all its passes, where it is made in several tiers: handling costs
// nothing then, so that they pay.
func probes(lot, height int, s stack.Options, o drill.Options) (drill.Input, []drill.Pass) {
	mill, _ := machine.Preset("ball screw")
	in := drill.Input{
		Panel: tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4, Boards: []tooling.Placement{{Offset: orb.Point{10, 10}}, {Offset: orb.Point{60, 10}}}},
		Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill,
	}
	var board []drill.Hole
	sizes := []float64{0.9, 0.9, 1.2}
	if s.Tiers > 1 {
		sizes[0] = 0.25
	}
	for i, d := range sizes {
		board = append(board, drill.Round(orb.Point{5 + 10*float64(i), 20}, tooling.Size{Diameter: d, Basis: tooling.Finished, Plated: true}))
	}
	if s.Tiers > 1 {
		in.Machine.Load, in.Rules.Stack.EntryPrice, in.Rules.Stack.BackupPrice = 0, 0, 0
		in.Rules.Stack.SetUpLabour, in.Rules.Stack.StackLabour = 0, 0
	}
	in.Holes = drill.Place([][]drill.Hole{board}, in.Panel)
	passes, err := drill.Plan(context.Background(), in, o)
	if err != nil {
		log.Fatal(err)
	}
	s.Height = height
	plan, err := stack.Solve(context.Background(), stack.Problem{Lot: lot, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine, SetUps: [][]stack.Work{passes[0].Work()}}, s)
	if err != nil {
		log.Fatal(err)
	}
	var mounted []drill.Pass
	for _, setUp := range plan.SetUps {
		pass, err := passes[0].Mount(setUp, in.Machine)
		if err != nil {
			log.Fatal(err)
		}
		mounted = append(mounted, pass)
	}
	return in, mounted
}

// A file in millimetres that was read as one in inches is refused, with the evidence.
func ExampleAgree() {
	hole := func(file string, x, y float64) drill.Hole {
		h := drill.Round(orb.Point{x, y}, tooling.Size{Diameter: 0.8, Basis: tooling.Finished})
		h.Source.File = file
		return h
	}
	var holes []drill.Hole
	for i := range 6 {
		x, y := 10*float64(i), 7*float64(i%3)
		holes = append(holes, hole("plated.drl", x+5, y+5), hole("unplated.drl", x+8, y+3))
	}
	for i := range holes {
		if holes[i].Source.File == "unplated.drl" {
			holes[i].At = orb.Point{holes[i].At[0] * 25.4, holes[i].At[1] * 25.4}
		}
	}
	report, err := drill.Agree(holes, orb.Bound{})
	for _, f := range report {
		fmt.Println(f.Rule, f.Detail)
	}
	fmt.Println(err)
	// Output:
	// plated.drl and unplated.drl: drill: the drill files of one board do not agree: found its 6 holes span 1465.20 mm beside 50.00 mm, and would lie where the other file does if it were in millimetres, expected files in one unit, from one origin and one side
}

// Holes that leave a thin web are made all the same, and told.
func ExampleInspect() {
	in, _ := probe(1, 1, stack.Options{}, drill.Options{})
	near := in.Holes[0]
	near.At[0] += 1.1
	in.Holes = append(in.Holes, near)
	report, err := drill.Inspect(in)
	for _, f := range report {
		fmt.Printf("%s: %s\n", f.Rule, f.Detail)
	}
	fmt.Println(report.OK(), err)
	// Output:
	// walls-overlap: holes run into one another
	// pins-few: 0 pins hold the stack before plating; two are usual
	// true <nil>
}

// A program for a control that keeps feeds in its own table, in parts of at
// most 500 bytes, held to what was asked for.
func ExampleCheckAs() {
	in, pass := probe(2, 1, stack.Options{}, drill.Options{})
	asked := nc.WriteOptions{NoFeeds: true, MaxBytes: 1600}
	parts, err := pass.Programs(asked)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(parts), "program, as asked:", drill.CheckAs(in, pass, parts, asked).OK())
	fmt.Println("with feeds:", drill.CheckAs(in, pass, parts, nc.WriteOptions{}).OK())
	// Output:
	// 1 program, as asked: true
	// with feeds: false
}

// Tiers are stacks of their own height: all of them together make every hole once.
func ExampleCheckTiers() {
	in, tiers := probes(240, 0, stack.Options{Tiers: 2}, drill.Options{})
	var programs []*nc.Program
	var parts [][]*nc.Program
	for _, pass := range tiers {
		program, err := pass.Program(nc.WriteOptions{})
		if err != nil {
			log.Fatal(err)
		}
		programs, parts = append(programs, program), append(parts, []*nc.Program{program})
		fmt.Printf("%d hits, %d high\n", pass.Hits(), pass.SetUp.Height)
	}
	fmt.Println(drill.CheckTiers(in, tiers, programs).OK(), drill.CheckTiersAs(in, tiers, parts, nc.WriteOptions{}).OK())
	fmt.Println("one alone:", drill.CheckTiers(in, tiers[:1], programs[:1]).OK())
	// Output:
	// 2 hits, 3 high
	// 4 hits, 5 high
	// true true
	// one alone: false
}

// A panel that grew in process: the hits go where the targets say.
func ExamplePass_Adjust() {
	_, pass := probe(2, 1, stack.Options{}, drill.Options{})
	nominal := []orb.Point{{5, 5}, {95, 5}, {95, 75}, {5, 75}}
	var measured []orb.Point
	for _, p := range nominal {
		measured = append(measured, orb.Point{p[0]*1.0005 + 0.02, p[1] * 1.0003})
	}
	fit, err := tooling.FitAffine(nominal, measured)
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
	for op, err := range program.Ops() {
		if err != nil {
			log.Fatal(err)
		}
		if op.Kind == nc.OpHit {
			fmt.Printf("X%.3f instead of X%.3f\n", op.To[0], pass.Runs[0].Hits[0].At[0])
			break
		}
	}
	// Output:
	// X75.058 instead of X75.000
}

// What a load takes, and all loads of the lot.
func ExamplePass_Estimate() {
	in, pass := probe(20, 1, stack.Options{}, drill.Options{})
	load, err := pass.Estimate(in.Machine)
	if err != nil {
		log.Fatal(err)
	}
	lot, err := pass.Lot(in.Machine)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d loads: %d hits, %.1f s each; %d hits, %.1f s in all\n", pass.SetUp.Loads, load.Hits, load.Total().Seconds(), lot.Hits, lot.Total().Seconds())
	// Output:
	// 4 loads: 6 hits, 21.9 s each; 24 hits, 87.7 s in all
}

// The shop keeps its bits in places of its own.
func ExamplePass_InMagazine() {
	_, pass := probe(2, 1, stack.Options{}, drill.Options{})
	shop := machine.Magazine{{Number: 31, Tool: "B1.05"}, {Number: 40, Tool: "B1.35"}}
	placed, err := pass.InMagazine(shop.Load())
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range placed.Runs {
		fmt.Printf("%s in T%d\n", r.Tool.ID, r.Bits[0].Place)
	}
	// Output:
	// B1.05 in T31
	// B1.35 in T40
}

// Bits that stay from load to load carry their wear into the next.
func ExamplePass_Load() {
	_, pass := probe(24, 1, stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}, drill.Options{})
	third, err := pass.Load(3)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range []drill.Pass{pass, third} {
		fmt.Printf("%s has made %d hits before\n", p.Runs[0].Tool.ID, p.Runs[0].Bits[0].Worn)
	}
	_, err = pass.Load(99)
	fmt.Println(err)
	// Output:
	// B1.05 has made 0 hits before
	// B1.05 has made 8 hits before
	// drill: the set-up does not fit the pass: load 99, set-up 1 has 4
}

// Boards that repeat each other keep one order, for a control that steps.
func ExamplePass_Repeats() {
	_, pass := probe(2, 1, stack.Options{}, drill.Options{Repeat: true})
	for _, f := range pass.Repeats() {
		fmt.Println(f.Rule, f.Tool, f.OK)
	}
	// Output:
	// repeat-order plated run 1 true
	// repeat-order plated run 2 true
}
