package tour

import (
	"context"

	"github.com/paulmach/orb"
)

// Solve orders the items so that the way between them is short.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	if err := o.Validate(); err != nil {
		return Result{}, err
	}
	n := len(p.Items)
	order := make([]int32, n)
	flipped := make([]bool, n)
	for i := range order {
		order[i] = int32(i)
	}
	nearest(&p, order, flipped)
	for ctx.Err() == nil && improve(&p, order, flipped) {
	}
	r := Result{Order: order, Flipped: flipped, Length: p.Length(order, flipped)}
	if err := ctx.Err(); err != nil {
		r.Status = Cancelled
		return r, err
	}
	return r, nil
}

// nearest orders by nearest neighbour from the start.
func nearest(p *Problem, order []int32, flipped []bool) {
	var at orb.Point
	if p.Start != nil {
		at = *p.Start
	} else if len(order) > 0 {
		at = p.Items[0].A
	}
	for k := range order {
		best, bestCost, flip := k, int64(-1), false
		for j := k; j < len(order); j++ {
			it := p.Items[order[j]]
			if c := p.Metric.cost(at, it.A); bestCost < 0 || c < bestCost {
				best, bestCost, flip = j, c, false
			}
			if c := p.Metric.cost(at, it.B); c < bestCost {
				best, bestCost, flip = j, c, true
			}
		}
		order[k], order[best] = order[best], order[k]
		flipped[order[k]] = flip
		at = p.Items[order[k]].B
		if flip {
			at = p.Items[order[k]].A
		}
	}
}

// improve reverses the first stretches that are shorter backwards.
func improve(p *Problem, order []int32, flipped []bool) bool {
	n := len(order)
	ends := func(k int) (in, out *orb.Point) {
		switch {
		case k < 0 && p.Start != nil:
			return p.Start, p.Start
		case k < 0 || k >= n && p.End == nil && !(p.Closed && p.Start != nil):
			return nil, nil
		case k >= n && p.End != nil:
			return p.End, p.End
		case k >= n:
			return p.Start, p.Start
		}
		it := &p.Items[order[k]]
		if flipped[order[k]] {
			return &it.B, &it.A
		}
		return &it.A, &it.B
	}
	cost := func(a, b *orb.Point) int64 {
		if a == nil || b == nil {
			return 0
		}
		return p.Metric.cost(*a, *b)
	}
	better := false
	for i := range n {
		for j := i; j < n; j++ {
			_, before := ends(i - 1)
			first, _ := ends(i)
			_, last := ends(j)
			after, _ := ends(j + 1)
			if p.Closed && p.Start == nil {
				if i == 0 {
					continue
				}
				if j == n-1 {
					after, _ = ends(0)
				}
			}
			if cost(before, last)+cost(first, after) < cost(before, first)+cost(last, after) {
				better = true
				for a, b := i, j; a <= b; a, b = a+1, b-1 {
					order[a], order[b] = order[b], order[a]
					flipped[order[a]] = !flipped[order[a]]
					if a != b {
						flipped[order[b]] = !flipped[order[b]]
					}
				}
			}
		}
	}
	return better
}
