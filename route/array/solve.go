package array

import (
	"cmp"
	"container/heap"
	"context"
	"fmt"
)

// Solve returns the array of least cost for a good board, and the next. Accept,
// where given, is asked in the order of cost until it takes one; what it
// refuses is listed with its error and no longer rules out larger arrays, and the
// runner-up is not asked about.
//
// Errors: [tooling.InputErrors] for a problem that does not pass Validate, a
// [*FitError] where nothing can be made, or the context's. Cost: a stack plan
// for every pair of boards and panels that the bound does not rule out.
func Solve(ctx context.Context, p Problem, accept func(Choice) error) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	q, err := newPricer(ctx, p)
	if err != nil {
		return Result{}, err
	}
	all, refused := p.candidates()
	r := Result{Refused: refused, Candidates: len(all)}
	for v, f := range q.floor {
		if f.err != nil {
			w := p.Variants[v]
			r.refuse(fmt.Sprintf("columns %v, rows %v, one board a panel", w.Columns, w.Rows), f.err)
		}
	}
	open := make(queue, 0, len(all))
	for _, c := range all {
		if q.floor[c.Variant].err == nil {
			c.worth = q.bound(c)
			open = append(open, entry{Choice: c})
		}
	}
	heap.Init(&open)
	next := func() (*Choice, error) {
		for len(open) > 0 {
			e := heap.Pop(&open).(entry)
			if e.priced {
				return &e.Choice, nil
			}
			r.Priced++
			switch err := q.price(ctx, &e.Choice); {
			case ctx.Err() != nil:
				return nil, ctx.Err()
			case err != nil:
				r.refuse(e.String(), err)
			default:
				e.priced = true
				heap.Push(&open, e)
			}
		}
		return nil, nil
	}
	gone := map[spot]bool{}
	for {
		c, err := next()
		if err != nil {
			return Result{}, err
		}
		if c == nil {
			return Result{}, &FitError{Refused: r.Refused}
		}
		if accept != nil {
			if err := accept(*c); ctx.Err() != nil {
				return Result{}, ctx.Err()
			} else if err != nil {
				r.refuse(c.String(), err)
				gone[c.spot()] = true
				for _, f := range p.freed(*c, gone) {
					f.worth, f.index = q.bound(f), r.Candidates
					r.Candidates++
					heap.Push(&open, entry{Choice: f})
				}
				continue
			}
		}
		r.Choice = *c
		break
	}
	if r.RunnerUp, err = next(); err != nil {
		return Result{}, err
	}
	r.Reason = reason(r.Choice, r.RunnerUp)
	return r, nil
}

func (r *Result) refuse(what string, err error) {
	r.Refused = append(r.Refused, Refusal{What: what, Reason: err.Error(), Err: err})
}

// entry is an array at its bound or, priced, at its cost.
type entry struct {
	Choice
	priced bool
}

// queue is a heap of arrays: the least worth first, of equal ones those not yet
// priced, so that a priced one that comes out is the best that is left.
type queue []entry

func (q queue) Len() int      { return len(q) }
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(entry)) }

func (q *queue) Pop() any {
	old := *q
	e := old[len(old)-1]
	*q = old[:len(old)-1]
	return e
}

func (q queue) Less(i, j int) bool {
	a, b := q[i], q[j]
	if a.worth != b.worth {
		return a.worth < b.worth
	}
	if a.priced != b.priced {
		return b.priced
	}
	return cmp.Or(cmp.Compare(a.Panels, b.Panels), cmp.Compare(a.area, b.area), cmp.Compare(a.index, b.index)) < 0
}
