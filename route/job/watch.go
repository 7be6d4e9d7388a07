package job

import (
	"context"
	"time"

	"example.org/pinstack/tooling"
)

// writeWatch measures the writing and the checking of the passes of a plan.
type writeWatch struct {
	o            WriteOptions
	done, of     int // passes
	write, check tooling.Spent
}

// pass tells of one pass: programs written, findings made.
func (w *writeWatch) pass(ctx context.Context, name string, write, check time.Duration, programs, findings int) {
	w.tell(ctx, &w.write, tooling.Spent{Stage: "write/" + name, Time: write, Items: programs})
	w.tell(ctx, &w.check, tooling.Spent{Stage: "check/" + name, Time: check, Items: findings})
	w.done++
	if w.o.Progress != nil {
		w.o.Progress(name, w.done, w.of, int64(w.write.Items))
	}
}

func (w *writeWatch) tell(ctx context.Context, sum *tooling.Spent, part tooling.Spent) {
	part.Tell(ctx, w.o.Log, w.o.Stats)
	sum.Time, sum.Items = sum.Time+part.Time, sum.Items+part.Items
}

// end tells of the two stages.
func (w *writeWatch) end(ctx context.Context) {
	w.write.Stage, w.check.Stage = "write", "check"
	w.write.Tell(ctx, w.o.Log, w.o.Stats)
	w.check.Tell(ctx, w.o.Log, w.o.Stats)
}
