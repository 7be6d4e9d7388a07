package tour

import (
	"context"
	"slices"
	"testing"
	"time"
)

// Wherever the clock ends a search, in a descent, between kicks or in a
// crossing, the kicks that it reports give the same order without a clock.
func TestReportedKicksReproduceWhereverTheClockStrikes(t *testing.T) {
	const n = 150
	p := panel(n, 0, func(p *Problem) { p.Closed = true })
	first := poolFirst * (descent(n) + tourKicks(n, 0)) // then six tours are crossed
	struck := 0
	for _, seed := range []uint64{9, 10, 11} { // in these a crossing that is cut finds a better tour
		for _, steps := range []int64{1, descent(n), descent(n) + 7, first - 3, first, first + 1, first + 2, first + 3, first + 4, first + 5, first + 6, first + 9} {
			looks := &counted{Context: context.Background(), left: 1 << 40}
			asked, err := Solve(looks, *p, Options{Kicks: float64(steps) / n, Seed: seed, Procs: 1})
			if err != nil {
				t.Fatal(err)
			}
			left := 1<<40 - looks.left // the clock strikes when as much is done
			timed, err := solve(context.Background(), *p, Options{Time: time.Second, Seed: seed, Procs: 1}, func() time.Time {
				if left--; left < -1 {
					return time.Unix(2000, 0)
				}
				return time.Unix(1000, 0)
			})
			if err != nil {
				t.Fatal(err)
			}
			if timed.Kicks != asked.Kicks {
				continue // a descent ends with fewer looks than steps
			}
			struck++
			if timed.Status != TimedOut || !slices.Equal(asked.Order, timed.Order) {
				t.Errorf("seed %d, %d steps: the clock leaves %v mm, the same kicks give %v mm", seed, steps, timed.Length, asked.Length)
			}
		}
	}
	if struck < 25 {
		t.Errorf("only %d searches were ended at the step in question", struck)
	}
}
