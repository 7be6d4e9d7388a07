package nc_test

import (
	"errors"
	"fmt"
	"log"
	"os"
	"slices"
	"strings"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
)

// sensorDrill is the drill file of an invented board whose header does not say
// how its numbers are to be read.
const sensorDrill = `M48
; greenhouse-sensor, invented
M72
T01C0.0315
T02C0.1260
%
T01
X10000Y9000
X11000Y9000
X12000Y9000
X13000Y9000
T02
X5000Y25000
X35000Y25000
M30
`

// A file is read, what it makes is counted, every decision is explained, and the
// same operations are written in the strict dialect and compared.
func Example_tutorial() {
	file, err := nc.Parse([]byte(sensorDrill), nc.ReadOptions{File: "greenhouse-sensor.drl"})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(file.Units, file.Zeros, file.Digits, file.How())
	for _, note := range file.Notes {
		fmt.Printf("line %d, %s\n", note.Line, note.Rule)
	}
	made, err := file.Summary()
	if err != nil {
		log.Fatal(err)
	}
	for _, tool := range made.Tools {
		fmt.Printf("T%d %.4f mm: %d hits\n", tool.Tool, tool.Diameter, tool.Hits)
	}

	var ops []nc.Op
	for op, err := range file.Ops() {
		if err != nil {
			log.Fatal(err)
		}
		ops = append(ops, op)
	}
	metric, err := nc.Build(slices.Values(ops), file.Tools, nc.WriteOptions{Units: nc.Millimetres})
	if err != nil {
		log.Fatal(err)
	}
	differences, err := nc.Compare(file, metric, 0.001)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("in", metric.Units, "with", len(differences), "differences")
	// Output:
	// inch TZ 2:4 judged
	// line 8, judged-form
	// T1 0.8001 mm: 4 hits
	// T2 3.2004 mm: 2 hits
	// in mm with 0 differences
}

// An ambiguous file is refused with the readings that make sense.
func ExampleAmbiguousError() {
	src := "M48\nMETRIC\nT1C0.8\n%\nT1\nX1111Y2222\nX3333Y1111\nM30\n"
	_, err := nc.Parse([]byte(src), nc.ReadOptions{})
	var ae *nc.AmbiguousError
	if errors.As(err, &ae) {
		for _, c := range ae.Candidates[:2] {
			fmt.Printf("%v %v %v: from %.3f, %.3f to %.3f, %.3f mm\n", c.Units, c.Zeros, c.Digits, c.Box.Min[0], c.Box.Min[1], c.Box.Max[0], c.Box.Max[1])
		}
	}
	p, err := nc.Parse([]byte(src), nc.ReadOptions{Panel: orb.Bound{Max: orb.Point{50, 50}}, Digits: nc.Digits{Int: 3, Dec: 3}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("on a panel of 50 x 50 mm:", p.Zeros)
	// Output:
	// mm LZ 3:3: from 111.100, 111.100 to 333.300, 222.200 mm
	// mm TZ 3:3: from 1.111, 1.111 to 3.333, 2.222 mm
	// on a panel of 50 x 50 mm: TZ
}

// The tool table and the notes of a stream are known as it goes.
func ExampleNewScanner() {
	src := "M48\nMETRIC\nT1C0.800\n%\nT1\nX1.5Y2.5\nX4.0Y2.5Z-0.3\nM30\n"
	s := nc.NewScanner(strings.NewReader(src), nc.ReadOptions{})
	for op, err := range s.Ops() {
		if err != nil {
			fmt.Println(err)
			return
		}
		if op.Kind == nc.OpHit {
			fmt.Printf("%.1f mm at %.1f, %.1f\n", s.Facts().Tools[0].Diameter, op.To[0], op.To[1])
		}
	}
	for _, n := range s.Facts().Notes {
		fmt.Printf("line %d: %s\n", n.Line, n.Detail)
	}
	// Output:
	// 0.8 mm at 1.5, 2.5
	// 0.8 mm at 4.0, 2.5
	// line 7: Z in "X4.0Y2.5Z-0.3" is kept and not understood
}

// A long job is cut at its tool changes.
func ExampleSplit() {
	tools := []nc.ToolDef{{Number: 1, Diameter: 0.3}, {Number: 2, Diameter: 1}}
	var ops []nc.Op
	for _, t := range tools {
		ops = append(ops, nc.Op{Kind: nc.OpTool, Tool: t.Number})
		for k := range 20 {
			ops = append(ops, nc.Op{Kind: nc.OpHit, To: orb.Point{float64(k), 5}})
		}
	}
	programs, err := nc.Split(slices.Values(ops), tools, nc.WriteOptions{}, 500)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range programs {
		s, err := p.Summary()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%d lines: T1 %d hits, T2 %d hits\n", p.Lines(), s.Tools[0].Hits, s.Tools[1].Hits)
	}
	// Output:
	// 32 lines: T1 20 hits, T2 0 hits
	// 32 lines: T1 0 hits, T2 20 hits
}

// A program gives back its own bytes.
func ExampleProgram_WriteTo() {
	program, err := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\n%\nT1\nX1.5Y2.5\nM30\n"), nc.ReadOptions{})
	if err != nil {
		log.Fatal(err)
	}
	n, err := program.WriteTo(os.Stdout)
	fmt.Println(n, err)
	// Output:
	// M48
	// METRIC
	// T1C0.8
	// %
	// T1
	// X1.5Y2.5
	// M30
	// 36 <nil>
}
