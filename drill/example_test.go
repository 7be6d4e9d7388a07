package drill_test

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// A pass planned, mounted and checked without any file: four holes of
// a tide gauge's board (invented).
func Example() {
	mill, _ := machine.Preset("ball screw")
	size := tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}
	in := drill.Input{
		Holes: []drill.Hole{
			drill.Round(orb.Point{20, 20}, size), drill.Round(orb.Point{80, 60}, size),
			drill.Round(orb.Point{80, 20}, size), drill.Round(orb.Point{20, 60}, size),
		},
		Panel: tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4},
		Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill,
	}
	passes, err := drill.Plan(context.Background(), in, drill.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	lot, err := stack.Solve(context.Background(), stack.Problem{
		Lot: 18, Panel: in.Panel, Rules: in.Rules, Machine: mill, SetUps: [][]stack.Work{passes[0].Work()},
	}, stack.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	pass, err := passes[0].Mount(lot.SetUps[0], mill)
	if err != nil {
		fmt.Println(err)
		return
	}
	program, err := pass.Program(nc.WriteOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range pass.Runs {
		fmt.Printf("T%d %s %.3f mm: %d hits at %.0f rev/min and %.0f mm/min, %.3f mm into the backup\n",
			r.Bits[0].Place, r.Tool.Kind, r.Tool.Diameter, len(r.Hits), r.Feed.Speed, r.Feed.Infeed, r.Depth.IntoBackup)
	}
	fmt.Println("stack of", pass.SetUp.Height, "refused:", drill.Check(in, pass, program).Err())
	// Output:
	// T1 bit 1.050 mm: 4 hits at 46000 rev/min and 2254 mm/min, 0.445 mm into the backup
	// stack of 5 refused: <nil>
}

// The written program of one hole in a stack of two.
func ExamplePass_Program() {
	pass := drill.Pass{
		Name: "plated", Stage: tooling.BeforePlating, SetUp: stack.SetUp{Number: 1, Height: 2},
		Runs: []drill.Run{{
			Number: 1, Tool: tooling.Tool{Kind: tooling.Bit, Diameter: 1.05}, Hits: []drill.Hit{{At: orb.Point{20, 30}, Kind: drill.Finish}},
			Feed:  tooling.Feed{Speed: 46000, Infeed: 2254, Retract: 25000},
			Depth: tooling.Depth{IntoBackup: 0.445, AboveTable: 2.055}, Bits: []drill.Bit{{Place: 1, Hits: 1}},
		}},
	}
	program, err := pass.Program(nc.WriteOptions{Header: []string{"tide gauge, revision A"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	program.WriteTo(os.Stdout)
	// Output:
	// M48
	// ; pass plated, before_plating, set-up 1, stack of 2
	// ; Z is the tip against the upper face of the backup, negative into it
	// ; tide gauge, revision A
	// ; FEED_UNIT=m/min
	// FMAT,2
	// METRIC
	// T1C1.050F2.254S46B25.0Z-0.445
	// %
	// G90
	// M47,set-up 1 plated, stack of 2, entry and backup on, tool T1
	// ; run 1 bit 1 of 1: bit 1.050 mm, 0.445 mm into the backup, 2.055 mm above the table, 1 hit
	// T1
	// G05
	// X20.000Y30.000
	// M30
}

func ExampleRead() {
	src := "M48\nMETRIC,TZ\n;TYPE=PLATED\nT1C0.900\n%\nT1\nX10.0Y20.0\nX30.0Y20.0G85X32.0Y20.0\nM30\n"
	program, err := nc.Parse([]byte(src), nc.ReadOptions{File: "gauge.drl"})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, _, err = drill.Read(program, "gauge.drl", drill.Marking{})
	fmt.Println(err)
	holes, _, err := drill.Read(program, "gauge.drl", drill.Marking{Sizes: tooling.Finished})
	for _, h := range holes {
		fmt.Printf("%v: %v to %v, %.1f mm long, %s\n", h.Source, h.At, h.To, h.Length(), h.Stage())
	}
	fmt.Println(err)
	// Output:
	// gauge.drl:4 T1: drill: the file does not say whether its sizes are finished or drilled: found no word on sizes, expected "finished" or "drilled" from the caller
	// gauge.drl:7 T1: [10 20] to [10 20], 0.0 mm long, before_plating
	// gauge.drl:8 T1: [30 20] to [32 20], 2.0 mm long, before_plating
	// <nil>
}

func ExampleDistinct() {
	size := tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}
	holes := []drill.Hole{drill.Round(orb.Point{10, 20}, size), drill.Round(orb.Point{10, 20}, size)}
	distinct, report, err := drill.Distinct(holes, false)
	fmt.Println(len(distinct), report[0].Rule, err)
	size.Diameter = 1.1
	holes = append(holes, drill.Round(orb.Point{10, 20}, size))
	_, _, err = drill.Distinct(holes, false)
	fmt.Println(errors.Is(err, drill.ErrDuplicate))
	// Output:
	// 1 duplicate-hit <nil>
	// true
}

func ExampleNibble() {
	for _, p := range drill.Nibble(orb.Point{0, 0}, orb.Point{1.2, 0}, 1, 0.0127) {
		fmt.Printf("%.3f ", p[0])
	}
	fmt.Println()
	// Output:
	// 0.000 1.200 0.600 0.900 0.300 0.150 0.450 0.750 1.050
}

func ExamplePitch() {
	fmt.Printf("%.3f mm\n", drill.Pitch(1.0, 0.0127))
	// Output:
	// 0.224 mm
}

func ExamplePlace() {
	board := []drill.Hole{drill.Round(orb.Point{5, 2}, tooling.Size{Diameter: 0.9})}
	panel := tooling.Panel{Boards: []tooling.Placement{{Offset: orb.Point{10, 10}}, {Offset: orb.Point{60, 10}, Quarters: 1}}}
	for _, h := range drill.Place([][]drill.Hole{board}, panel) {
		fmt.Println(h.At)
	}
	// Output:
	// [15 12]
	// [58 15]
}
