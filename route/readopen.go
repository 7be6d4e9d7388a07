package route

import (
	"fmt"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// sides are the words of compensation: which side of the line the cutter is on.
var sides = map[string]Side{"G40": Centre, "G41": Left, "G42": Right}

// ReadOpen turns a rout program into open paths, in the order of the file: each
// cut from plunge to retract is one. It runs on the line under G40 or without a
// word, beside it under G41 (left) and G42 (right); its width is the diameter of
// the file's tool. Words without motion that are not understood are findings.
//
// Errors: [*ReadError] with line for a file without cuts, for holes among them,
// words that could make motion, and for a cut that closes or touches itself; or the
// program's own errors. Cost O(n log n) for n moves.
func ReadOpen(p *nc.Program, file string) ([]OpenPath, tooling.Report, error) {
	r := reader{file: file, open: true, side: Centre}
	if err := r.takeAll(p); err != nil {
		return nil, nil, err
	}
	if len(r.cuts) == 0 {
		return nil, nil, &ReadError{Source: tooling.Source{File: file}, Err: ErrOpenPath, Found: "no rout moves", Expected: "at least one open path"}
	}
	diameter := map[int]float64{}
	for _, t := range p.Tools {
		diameter[t.Number] = tooling.Snap(t.Diameter)
	}
	out := make([]OpenPath, len(r.cuts))
	for i, c := range r.cuts {
		o := OpenPath{Line: c.line, Side: c.side, Width: diameter[c.tool], Source: c.source(file)}
		o.Source.Tool = fmt.Sprintf("T%d", c.tool)
		if _, found, expected, err := o.validate(); err != nil {
			return nil, nil, &ReadError{Source: o.Source, Err: err, Found: found, Expected: expected}
		}
		out[i] = o
	}
	return out, r.report, nil
}
