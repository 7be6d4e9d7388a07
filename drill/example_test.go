package drill_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"os"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// gaugeDrill is the drill file of an invented board, the tide gauge: four plated
// holes.
const gaugeDrill = `M48
; TYPE=PLATED
METRIC
T1C0.900
%
T1
X10.0Y10.0
X70.0Y50.0
X70.0Y10.0
X10.0Y50.0
M30
`

// From a drill file to a checked program, to the steps a control takes with their
// times, and to the rest after a stop.
func Example_tutorial() {
	ctx := context.Background()
	file, err := nc.Parse([]byte(gaugeDrill), nc.ReadOptions{File: "gauge.drl"})
	if err != nil {
		log.Fatal(err)
	}
	board, _, err := drill.Read(file, "gauge.drl", drill.Marking{Sizes: tooling.Finished})
	if err != nil {
		log.Fatal(err)
	}

	mill, _ := machine.Preset("ball screw")
	panel := tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4}
	panel.Boards = []tooling.Placement{{Offset: orb.Point{10, 10}}}
	in := drill.Input{Panel: panel, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill}
	in.Holes, _, err = drill.Distinct(drill.Place([][]drill.Hole{board}, panel), false)
	if err != nil {
		log.Fatal(err)
	}
	passes, err := drill.Plan(ctx, in, drill.Options{})
	if err != nil {
		log.Fatal(err)
	}

	problem := stack.Problem{Lot: 18, Panel: panel, Rules: in.Rules, Machine: mill}
	problem.SetUps = [][]stack.Work{passes[0].Work()}
	lot, err := stack.Solve(ctx, problem, stack.Options{})
	if err != nil {
		log.Fatal(err)
	}
	pass, err := passes[0].Mount(lot.SetUps[0], mill)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d hits in a stack of %d\n", pass.Hits(), pass.SetUp.Height)

	program, err := pass.Program(nc.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	var text bytes.Buffer
	_, err = program.WriteTo(&text)
	if err != nil {
		log.Fatal(err)
	}
	back, err := nc.Parse(text.Bytes(), nc.ReadOptions{File: "plated.nc"})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("safe to write:", drill.Check(in, pass, back).OK())

	for at, step := range mill.Timed(pass.Steps(mill)) {
		fmt.Printf("%5.2f s %s\n", at.Seconds(), step.Kind)
	}

	rest, err := drill.Resume(ctx, in, pass, drill.Stop{Run: 1, Hit: 3}, drill.Options{})
	if err != nil {
		log.Fatal(err)
	}
	saved, err := json.Marshal(rest)
	if err != nil {
		log.Fatal(err)
	}
	again, err := drill.DecodePass(saved, "rest.json")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("left after a stop:", again.Hits(), "hit")
	// Output:
	// 4 hits in a stack of 5
	// safe to write: true
	// 10.00 s change
	// 10.20 s move
	// 10.52 s stroke
	// 10.66 s move
	// 10.99 s stroke
	// 11.16 s move
	// 11.48 s stroke
	// 11.62 s move
	// 11.95 s stroke
	// 12.05 s move
	// left after a stop: 1 hit
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
	// ; The machine maker's manual, local codes and trained operators come first; this sheet replaces none of them.
	// ; The check knows the program, not the machine: collets, pins, magazine and vacuum are the operator's to check.
	// ; Guards closed and interlocks working before any spindle turns.
	// ; Dust extraction on; never clean with compressed air: glass and carbide dust harm lungs and eyes.
	// ; Eye and ear protection; no gloves, loose sleeves or hair near a spindle.
	// ; Collets clean, run-out within the maker's limit; every place of the magazine compared with the tool table.
	// ; Pins tight, stack flat and clean, entry and backup sheets in place as listed.
	// ; Dry run above the work first, then one stack, inspected, before the lot.
	// ; A broken bit: stop, wait for the spindle, never reach in for fragments by hand; count the pieces.
	// ; Used bits and cutters go into the sharps box.
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
