package job_test

import (
	"context"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Eight plans at once from one job: crib, rules, machine and holes are shared
// between them, and with -race nobody may write to them. Each plan goes the
// whole way, to the checked text and to the rest after a stop.
func TestEightPlansAtOnce(t *testing.T) {
	j := load(t, newSmall())
	texts, errs := make([]string, 8), make([]error, 8)
	var all sync.WaitGroup
	for k := range texts {
		all.Go(func() { texts[k], errs[k] = wholeWay(j) })
	}
	all.Wait()
	for k := range texts {
		require.NoError(t, errs[k])
		require.NotEmpty(t, texts[k])
		require.True(t, texts[k] == texts[0], "plan %d differs from the first", k)
	}
}

// wholeWay plans a job and writes its programs, and those of the rests of its
// passes after a stop, all checked.
func wholeWay(j job.Job) (string, error) {
	ctx := context.Background()
	var took tooling.Statistics
	p, err := job.Make(ctx, j, job.Options{Stats: &took})
	if err != nil {
		return "", err
	}
	rests := p
	rests.Drill, rests.Rout = nil, nil
	for _, d := range p.Drill {
		rest, err := drill.Resume(ctx, p.Job.Drill, d, drill.Stop{Run: 1, Hit: 1}, drill.Options{})
		if err != nil {
			return "", err
		}
		rests.Drill = append(rests.Drill, rest)
	}
	for _, r := range p.Rout {
		rest, err := route.Resume(ctx, p.Layout, r, route.Stop{Run: 1, Path: 1}, route.Options{})
		if err != nil {
			return "", err
		}
		rests.Rout = append(rests.Rout, rest)
	}
	out := ""
	for _, q := range []job.Plan{p, rests} {
		programs, report, err := q.Programs(context.Background(), job.WriteOptions{})
		if err != nil {
			return "", err
		}
		if err := report.Err(); err != nil {
			return "", err
		}
		for _, f := range programs {
			out += f.File + "\n" + string(f.Text)
		}
	}
	return out, nil
}

// countdown is a context that is cancelled when it has been asked so many
// times: in the middle of the work, wherever that is.
type countdown struct {
	context.Context
	left   atomic.Int64
	cancel context.CancelFunc
}

func cancelledAfter(n int64) *countdown {
	ctx, cancel := context.WithCancel(context.Background())
	c := &countdown{Context: ctx, cancel: cancel}
	c.left.Store(n)
	return c
}

func (c *countdown) Err() error {
	if c.left.Add(-1) <= 0 {
		c.cancel()
	}
	return c.Context.Err()
}

// settled waits until no more goroutines run than before, and returns how many
// there are at last.
func settled(before int) int {
	for range 200 {
		if runtime.NumGoroutine() <= before {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	return runtime.NumGoroutine()
}

// Whatever is cancelled, and wherever it is by then, leaves no goroutine.
func TestCancelledPlansLeaveNothingBehind(t *testing.T) {
	j := load(t, newSmall())
	rng := rand.New(rand.NewPCG(3, 9))
	problem := tour.Problem{}
	for range 1500 {
		problem.Items = append(problem.Items, tour.Point(orb.Point{100 * rng.Float64(), 100 * rng.Float64()}))
	}
	many := j.Drill
	many.Panel.Features, many.Holes = nil, nil
	for x := range 30 {
		for y := range 25 {
			many.Holes = append(many.Holes, drill.Round(orb.Point{10 + 3*float64(x), 10 + 3*float64(y)}, tooling.Size{Diameter: 0.5, Basis: tooling.Finished, Plated: true}))
		}
	}
	whole := plan(t, j)
	loose, err := drill.Plan(context.Background(), many, drill.Options{Tour: tour.Options{Kicks: -1}})
	require.NoError(t, err)
	lot, err := stack.Solve(context.Background(), stack.Problem{Lot: 9, Panel: many.Panel, Rules: many.Rules, Machine: many.Machine, SetUps: [][]stack.Work{loose[0].Work()}}, stack.Options{})
	require.NoError(t, err)
	mounted, err := loose[0].Mount(lot.SetUps[0], many.Machine)
	require.NoError(t, err)
	work := map[string]func(context.Context) error{
		"tour.Solve": func(ctx context.Context) error {
			_, err := tour.Solve(ctx, problem, tour.Options{Procs: 4})
			return err
		},
		"drill.Plan": func(ctx context.Context) error {
			_, err := drill.Plan(ctx, many, drill.Options{Tour: tour.Options{Procs: 4}})
			return err
		},
		"drill.Resume": func(ctx context.Context) error {
			_, err := drill.Resume(ctx, many, mounted, drill.Stop{Run: 1, Hit: 5}, drill.Options{Tour: tour.Options{Procs: 4}})
			return err
		},
		"route.Plan": func(ctx context.Context) error {
			_, err := route.Plan(ctx, whole.Layout, route.Options{})
			return err
		},
		"route.Resume": func(ctx context.Context) error {
			_, err := route.Resume(ctx, whole.Layout, whole.Rout[0], route.Stop{Run: 1, Path: 1}, route.Options{})
			return err
		},
		"job.Make": func(ctx context.Context) error {
			_, err := job.Make(ctx, j, job.Options{})
			return err
		},
	}
	stopped := map[string]int{}
	for name, do := range work {
		for _, n := range []int64{1, 2, 3, 10, 40, 200} {
			before := runtime.NumGoroutine()
			ctx := cancelledAfter(n)
			err := do(ctx)
			ctx.cancel()
			if err != nil {
				require.ErrorIs(t, err, context.Canceled, "%s after %d", name, n)
				stopped[name]++
			}
			require.LessOrEqual(t, settled(before), before, "%s after %d: goroutines are left:\n%s", name, n, stacks())
		}
	}
	for name := range work {
		require.Positive(t, stopped[name], "%s was never cancelled", name)
	}
	require.GreaterOrEqual(t, stopped["tour.Solve"], 5, "cancelled in the middle of the search as well")
}

// stacks prints what every goroutine is at.
func stacks() string {
	text := make([]byte, 1<<16)
	return string(text[:runtime.Stack(text, true)])
}
