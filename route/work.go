package route

import (
	"time"

	"example.org/pinstack/tooling/stack"
)

// Work returns what one load of the pass asks of each run's cutter, at any
// stack height, in the order of the runs: the input of [stack.Solve]. Cutters
// are changed between paths only.
func (p Pass) Work() []stack.Work {
	out := make([]stack.Work, len(p.Runs))
	for i, r := range p.Runs {
		w := stack.Work{
			Pass: p.Name, Stage: p.Stage, Operation: p.Operation, Tool: r.Tool, Place: r.Number,
			Cut: r.Cut, Plunges: len(r.Paths), Changes: 1, Travel: nanoseconds(r.Travel), Fixed: nanoseconds(r.Cutting + r.Stopped),
		}
		for _, path := range r.Paths {
			w.Pieces = append(w.Pieces, micro(path.Length()))
		}
		out[i] = w
	}
	return out
}

func nanoseconds(s float64) time.Duration { return time.Duration(s*1e9 + 0.5) }
