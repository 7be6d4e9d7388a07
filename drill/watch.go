package drill

import (
	"context"
	"time"

	"example.org/pinstack/tooling"
)

// watch measures one stage of planning: what it took itself and what the tours
// that were solved in it took.
type watch struct {
	o     Options
	began time.Time
	tours *tooling.Statistics
	sum   tooling.Spent
}

func (o Options) watch(stage string) *watch {
	return &watch{o: o, began: time.Now(), tours: &tooling.Statistics{}, sum: tooling.Spent{Stage: stage}}
}

// options are those of the stage with the tours' statistics led here, and from
// here to where the caller wants them.
func (w *watch) options(o Options) Options {
	o.Tour.Stats = w.tours
	return o
}

// done tells of the stage.
func (w *watch) done(ctx context.Context) {
	w.sum.Time = time.Since(w.began)
	for _, t := range w.tours.Stages {
		w.sum.Kicks += t.Kicks
		w.sum.Moves += t.Moves
		w.sum.Cores = max(w.sum.Cores, t.Cores)
		if w.o.Tour.Stats != nil {
			w.o.Tour.Stats.Add(t)
		}
	}
	w.sum.Tell(ctx, w.o.Log, w.o.Stats)
}
