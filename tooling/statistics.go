package tooling

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"time"
)

// Spent is what one stage of planning took. Its times depend on the machine
// that plans: it is no part of a plan, and nothing of it is in a pass, a program
// or a sheet.
type Spent struct {
	Stage string        // such as "drill", or "drill/plated/2" for a part of it: pass plated, run 2
	Time  time.Duration // wall time
	Items int           // what was planned: hits, paths, set-ups
	Kicks int64         // restarts of a search; 0: no search
	Moves int64         // exchanges that the search looked at
	Cores int           // goroutines of the search at most; 0: no search
}

// Statistics says what planning took, stage by stage in the order in which
// they ended. It is filled through the options of the planners, by the
// goroutine that calls them: one value for each plan that is made at a time.
// The zero value is ready for use.
type Statistics struct {
	Stages []Spent
}

// Add notes one stage. A nil receiver notes nothing.
func (s *Statistics) Add(e Spent) {
	if s != nil {
		s.Stages = append(s.Stages, e)
	}
}

// Total returns the wall time of all stages, without the parts that are
// counted in them, and the kicks and moves of all searches.
func (s *Statistics) Total() Spent {
	total := Spent{Stage: "total"}
	for _, e := range s.Stages {
		if !strings.Contains(e.Stage, "/") {
			total.Time += e.Time
			total.Items += e.Items
			total.Kicks += e.Kicks
			total.Moves += e.Moves
			total.Cores = max(total.Cores, e.Cores)
		}
	}
	return total
}

// WriteTo prints one line a stage, and the total.
func (s *Statistics) WriteTo(w io.Writer) (int64, error) {
	var b strings.Builder
	fmt.Fprintf(&b, "%-28s %10s %9s %9s %12s %5s\n", "stage", "ms", "items", "kicks", "moves", "cores")
	for _, e := range append(s.Stages[:len(s.Stages):len(s.Stages)], s.Total()) {
		fmt.Fprintf(&b, "%-28s %10.1f %9d %9d %12d %5d\n", e.Stage, e.Time.Seconds()*1000, e.Items, e.Kicks, e.Moves, e.Cores)
	}
	n, err := io.WriteString(w, b.String())
	return int64(n), err
}

// Tell logs a stage that ended and adds it to the statistics; nil for either
// leaves it out. Parts of a stage are told at level debug, whole ones at info.
func (e Spent) Tell(ctx context.Context, log *slog.Logger, s *Statistics) {
	s.Add(e)
	if log == nil {
		return
	}
	level := slog.LevelInfo
	if strings.Contains(e.Stage, "/") {
		level = slog.LevelDebug
	}
	log.LogAttrs(ctx, level, "planned", slog.String("stage", e.Stage), slog.Duration("took", e.Time), slog.Int("items", e.Items),
		slog.Int64("kicks", e.Kicks), slog.Int64("moves", e.Moves), slog.Int("cores", e.Cores))
}
