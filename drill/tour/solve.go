package tour

import (
	"context"
	"math"
	"runtime"
	"time"

	"example.org/pinstack/tooling"
)

// Solve orders the items so that the way between them is short.
//
// The effort is what the options say; up to 12 places are solved exactly
// whatever they say. A reached time budget is no error: the status tells. When
// ctx is cancelled Solve returns the best order so far, always a permutation,
// and ctx's error. Before a tour exists that is the input order. Invalid
// problems and options give a zero result and the error of their Validate.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	return solve(ctx, p, o, time.Now)
}

// solve is Solve by a clock of the caller's choice.
func solve(ctx context.Context, p Problem, o Options, now func() time.Time) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	if err := o.Validate(); err != nil {
		return Result{}, err
	}
	s := &solver{ctx: ctx, now: now, seed: o.Seed, procs: o.Procs, limit: math.MaxInt64 / 2}
	if o.Time > 0 {
		s.end = now().Add(o.Time)
	}
	if s.procs <= 0 {
		s.procs = runtime.GOMAXPROCS(0)
	}
	items := float64(max(len(p.Items), 1))
	switch {
	case o.Kicks < 0:
		s.limit = 0
	case o.Kicks > 0:
		s.limit = int64(min(math.Round(o.Kicks*items), math.MaxInt64/2))
	case o.Time <= 0:
		s.limit = int64(DefaultKicks * items)
	}
	if o.Progress != nil {
		scale := p.Metric.Scale()
		s.progress = func(length, spent int64) {
			o.Progress(Progress{Length: float64(length) / scale, Kicks: float64(spent) / items})
		}
	}
	began := time.Now()
	r := s.run(&p, o)
	tooling.Spent{Stage: "tour", Time: time.Since(began), Items: len(p.Items), Kicks: s.spent, Moves: s.tried.Load(), Cores: s.procs}.Tell(ctx, o.Log, o.Stats)
	r.Length = p.Length(r.Order, r.Flipped)
	r.Kicks = float64(s.spent) / items
	if r.Status == Optimal || r.Bound >= r.Length {
		r.Bound, r.Status = r.Length, Optimal
	}
	if s.stopped == Cancelled {
		r.Status = Cancelled
		return r, ctx.Err()
	}
	return r, nil
}

// deep is the shape of the search: the first step is tried several ways, then
// the best way is followed for long, which slides the defects that a greedy
// start leaves.
func deep() effort {
	e := effort{depth: 25, loose: 3}
	for k := range e.breadth {
		e.breadth[k] = 1
	}
	e.breadth[1] = 5
	return e
}

// run fills order, flips and status.
func (s *solver) run(p *Problem, o Options) Result {
	n := len(p.Items)
	asGiven := func(st Status) Result {
		r := Result{Order: make([]int32, n), Status: st}
		for i := range r.Order {
			r.Order[i] = int32(i)
		}
		return r
	}
	if n == 0 {
		return asGiven(Optimal)
	}
	b := s.budget()
	if b.over() {
		s.stopped = b.done
		return asGiven(b.done)
	}
	if n <= exactPlaces {
		order, flipped := exact(p, asGiven(Optimal).Order)
		return Result{Order: order, Flipped: flipped, Status: Optimal}
	}
	if s.encoding = encode(p, b); s.encoding == nil {
		s.stopped = b.done
		return asGiven(b.done)
	}
	if reps := s.places(); len(reps) <= exactPlaces {
		order, flipped := exact(p, reps)
		r := Result{Order: s.withTwins(order), Flipped: flipped, Status: Optimal}
		if s.slack() > 0 { // best for the places, and for the items but for rounding
			r.Status = Done
			r.Bound = max(p.Length(r.Order, flipped)-float64(s.slack())/p.Metric.Scale(), 0)
		}
		return r
	}
	s.how = deep()
	s.near = findNeighbours(&s.field, candidates{10, 5, 2}, b)
	var start []int32
	if !b.over() {
		start = greedy(&s.field, s.near, b)
	}
	if start == nil {
		s.stopped = b.done
		return asGiven(b.done)
	}
	first := s.field.one(start)
	s.ring, s.length = start, first.length
	s.report()
	switch n := len(start); {
	case n <= poolNodes:
		s.pool(start)
	case n <= wholeNodes:
		s.whole(start)
	default:
		s.segments(start)
	}
	order, flipped := s.decode(p, s.ring)
	r := Result{Order: order, Flipped: flipped, Status: s.stopped}
	if o.Bound && s.stopped != Cancelled {
		r.Bound = float64(s.bound(o.BoundNodes, s.ring, s.length)) / p.Metric.Scale()
	}
	return r
}
