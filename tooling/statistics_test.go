package tooling_test

import (
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"example.org/pinstack/tooling"
)

func TestStatistics(t *testing.T) {
	var none *tooling.Statistics
	none.Add(tooling.Spent{Stage: "drill"}) // nobody asked
	var text strings.Builder
	log := slog.New(slog.NewTextHandler(&text, &slog.HandlerOptions{Level: slog.LevelDebug, ReplaceAttr: func(_ []string, a slog.Attr) slog.Attr {
		if a.Key == slog.TimeKey {
			return slog.Attr{}
		}
		return a
	}}))
	var s tooling.Statistics
	ctx := context.Background()
	tooling.Spent{Stage: "drill/plated/1", Time: 2 * time.Millisecond, Items: 7, Kicks: 3, Moves: 40, Cores: 2}.Tell(ctx, log, &s)
	tooling.Spent{Stage: "drill", Time: 3 * time.Millisecond, Items: 7, Kicks: 3, Moves: 40, Cores: 2}.Tell(ctx, log, &s)
	tooling.Spent{Stage: "stack", Time: time.Millisecond, Items: 1}.Tell(ctx, nil, &s)
	tooling.Spent{Stage: "stack"}.Tell(ctx, log, nil)
	want := "level=DEBUG msg=planned stage=drill/plated/1 took=2ms items=7 kicks=3 moves=40 cores=2\n" +
		"level=INFO msg=planned stage=drill took=3ms items=7 kicks=3 moves=40 cores=2\n" +
		"level=INFO msg=planned stage=stack took=0s items=0 kicks=0 moves=0 cores=0\n"
	if text.String() != want {
		t.Errorf("logged\n%swant\n%s", text.String(), want)
	}
	if got, want := s.Total(), (tooling.Spent{Stage: "total", Time: 4 * time.Millisecond, Items: 8, Kicks: 3, Moves: 40, Cores: 2}); got != want {
		t.Errorf("total %+v, want %+v: parts count once", got, want)
	}
	var table strings.Builder
	if n, err := s.WriteTo(&table); err != nil || int(n) != table.Len() || strings.Count(table.String(), "\n") != 5 || len(s.Stages) != 3 {
		t.Errorf("%d bytes, %v:\n%s", n, err, table.String())
	}
}
