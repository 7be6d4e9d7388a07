package main

import (
	"fmt"
	"io"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/nc"
)

// maxProgram bounds the size of a drill program in bytes.
const maxProgram = 1 << 30

// readDrill reads a drill program: the hits and slots of each tool are one
// tour. Tools without any are left out.
func readDrill(r io.Reader, file string) ([]instance, error) {
	src, err := io.ReadAll(io.LimitReader(r, maxProgram+1))
	if err != nil {
		return nil, err
	}
	if len(src) > maxProgram {
		return nil, fmt.Errorf("%s: more than %d bytes", file, maxProgram)
	}
	p, err := nc.Parse(src, nc.ReadOptions{File: file})
	if err != nil {
		return nil, err
	}
	at := map[int]int{} // tool -> index in tours; only looked up
	var tours []instance
	for op, err := range p.Ops() {
		if err != nil {
			return nil, err
		}
		var it tour.Item
		switch op.Kind {
		case nc.OpHit, nc.OpCircle:
			it = tour.Point(op.To)
		case nc.OpSlot:
			it = tour.Item{A: op.From, B: op.To}
		default:
			continue
		}
		k, ok := at[op.Tool]
		if !ok {
			k = len(tours)
			at[op.Tool] = k
			tours = append(tours, instance{name: fmt.Sprintf("%s T%d", file, op.Tool)})
		}
		tours[k].items = append(tours[k].items, it)
	}
	return tours, nil
}
