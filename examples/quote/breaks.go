package main

import (
	"context"
	"slices"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/stack"
)

// near is how far two rows may lie apart for every quantity between to be looked at:
// between others halving asks for fewer plans.
const near = 32

// breaks finds the quantities from which other heights are best. Between two rows
// that are near each other it looks at every quantity; between others of different
// heights it halves, one turn after the other: there, where heights go to and fro,
// turns there and back are missed.
func breaks(ctx context.Context, plan job.Plan, rows []row) ([]turn, error) {
	out := []turn{}
	for k := 1; k < len(rows); k++ {
		from, before, last := rows[k-1].Quantity, heights(rows[k-1].SetUps), heights(rows[k].SetUps)
		if rows[k].Quantity-from <= near {
			for lot := from + 1; lot <= rows[k].Quantity; lot++ {
				p, err := plan.For(ctx, lot)
				if err != nil {
					return nil, err
				}
				if at := chosen(p.Stack.SetUps); !slices.Equal(at, before) {
					out = append(out, turn{lot, at, before})
					before = at
				}
			}
			continue
		}
		for !slices.Equal(before, last) {
			low, high, after := from, rows[k].Quantity, last
			for high-low > 1 {
				mid := low + (high-low)/2
				p, err := plan.For(ctx, mid)
				if err != nil {
					return nil, err
				}
				if at := chosen(p.Stack.SetUps); slices.Equal(at, before) {
					low = mid
				} else {
					high, after = mid, at
				}
			}
			out = append(out, turn{high, after, before})
			from, before = high, after
		}
	}
	return out, nil
}

// chosen are the heights of a plan's set-ups, heights those of a row's.
func chosen(setUps []stack.SetUp) []int {
	var out []int
	for _, u := range setUps {
		out = append(out, u.Height)
	}
	return out
}

func heights(setUps []setUp) []int {
	var out []int
	for _, u := range setUps {
		out = append(out, u.Height)
	}
	return out
}
