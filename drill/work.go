package drill

import (
	"slices"
	"time"

	"example.org/pinstack/tooling/stack"
)

// Work returns what one load of the pass asks of each run's tool, at any
// stack height, in the order of the runs: the input of [stack.Solve].
func (p Pass) Work() []stack.Work {
	out := make([]stack.Work, len(p.Runs))
	for i, r := range p.Runs {
		out[i] = stack.Work{
			Pass: p.Name, Stage: p.Stage, Operation: p.Operation, Tool: r.Tool, Place: r.Number,
			Tolerance: r.Tolerance, After: r.After,
			Hits: len(r.Hits), Pieces: r.pieces(), Travel: time.Duration(r.Travel*1e9 + 0.5), Changes: 1, Trip: time.Duration(r.Trip*1e9 + 0.5),
		}
		if r.Slow {
			out[i].Infeed = slowShare
		}
	}
	return out
}

// pieces is the hits of each slot and of each hole in the order of the run;
// nil where the run has no slots and may be cut anywhere.
func (r Run) pieces() []float64 {
	if !slices.ContainsFunc(r.Hits, func(h Hit) bool { return h.Kind == Nibbled }) {
		return nil
	}
	var out []float64
	n := 0.0
	for k, h := range r.Hits {
		n++
		if h.Kind != Nibbled || k+1 == len(r.Hits) || r.Hits[k+1].Hole != h.Hole {
			out = append(out, n)
			n = 0
		}
	}
	return out
}
