package drill

import (
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
			Hits: len(r.Hits), Travel: time.Duration(r.Travel*1e9 + 0.5), Changes: 1,
		}
	}
	return out
}
