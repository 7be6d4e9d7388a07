package tour

import (
	"context"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"time"
)

// solver is one call of Solve under way. Effort is counted in steps: a kick is
// one, eight nodes looked at in a descent are one, a crossing is a few. What a
// solver holds depends on the problem, the seed and the number of steps alone;
// the clock only decides how many steps there are.
type solver struct {
	*encoding
	ctx      context.Context
	now      func() time.Time
	end      time.Time // zero: no deadline
	seed     uint64
	procs    int
	limit    int64 // steps allowed
	spent    int64
	tried    atomic.Int64 // exchanges looked at, for the statistics only
	stopped  Status       // TimedOut or Cancelled once over
	near     neighbours
	how      effort
	ring     []int32 // the best so far
	length   int64
	progress func(length, spent int64)
}

// rng is the random stream of one part of the work.
func (s *solver) rng(stream uint64) *rand.Rand {
	return rand.New(rand.NewPCG(s.seed, stream))
}

func (s *solver) budget() *budget { return &budget{ctx: s.ctx, now: s.now, end: s.end} }

// over tells whether nothing more is to be done.
func (s *solver) over() bool { return s.stopped != Done || s.spent >= s.limit }

// parts does independent pieces of work, each with its quota of steps, on up to
// procs goroutines, and joins them in order. Work returns the steps it made:
// its whole quota, or fewer when the budget ran out. Parts returns how many
// leading pieces are whole and the steps of the one after them, whose state
// counts too; whatever came later is to be thrown away, so that the outcome is
// that of doing the pieces one after the other.
func (s *solver) parts(n int, quota func(i int) int64, work func(i int, quota int64, b *budget) int64) (whole int, partial int64) {
	quotas := make([]int64, 0, n)
	left := s.limit - s.spent
	cut := false
	for i := range n {
		if left <= 0 {
			break
		}
		q := quota(i)
		if q > left {
			q, cut = left, true
		}
		quotas = append(quotas, q)
		left -= q
	}
	made := make([]int64, len(quotas))
	status := make([]Status, len(quotas))
	run := func(i int) bool {
		b := s.budget()
		made[i] = work(i, quotas[i], b)
		status[i] = b.done
		return made[i] == quotas[i]
	}
	if workers := min(s.procs, len(quotas)); workers > 1 {
		var next, stop atomic.Int64
		var wg sync.WaitGroup
		for range workers {
			wg.Go(func() {
				for stop.Load() == 0 {
					i := int(next.Add(1)) - 1
					if i >= len(quotas) {
						return
					}
					if !run(i) {
						stop.Store(1)
					}
				}
			})
		}
		wg.Wait()
	} else {
		for i := range quotas {
			if !run(i) {
				break
			}
		}
	}
	for whole < len(quotas) && made[whole] == quotas[whole] {
		s.spent += made[whole]
		whole++
	}
	switch {
	case whole < len(quotas):
		partial = made[whole]
		s.spent += partial
		for _, st := range status {
			s.stopped = max(s.stopped, st)
		}
	case cut && whole > 0:
		// The last piece was cut by the limit: it is not a whole one.
		whole--
		partial = quotas[whole]
	}
	return whole, partial
}

// offer takes a ring that is better than the best so far.
func (s *solver) offer(ring []int32, length int64) {
	if length < s.length {
		s.ring, s.length = ring, length
	}
}

func (s *solver) report() {
	if s.progress != nil {
		s.progress(s.length, s.spent)
	}
}

const popsPerStep = 8

// descent is the quota of a descent from a start tour over n nodes.
func descent(n int) int64 { return int64(3*n+popsPerStep-1) / popsPerStep }

// descend works the queue off for at most quota steps. A queue that is empty
// earlier has cost the whole quota.
func (s *search) descend(quota int64, b *budget) int64 {
	for made := range quota {
		if b.over() {
			return made
		}
		for range popsPerStep {
			if s.waiting == 0 {
				return quota
			}
			s.visit(s.pop())
			s.keep()
		}
	}
	return quota
}

// total is the length of the ring.
func (s *search) total() int64 {
	var sum int64
	for _, l := range s.leg {
		sum += l
	}
	return sum
}
