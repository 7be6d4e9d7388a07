package drill

import (
	"context"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill/tour"
)

// visited is one item of an order and the end it is entered at.
type visited struct {
	item    int
	flipped bool
}

// visits is an order of items and the proven lower bound of its travel in
// seconds; 0 where none was asked for or the items were interleaved.
type visits struct {
	order []visited
	bound float64
}

// DefaultKicks is the tour effort per item where the caller names neither
// kicks nor a time. On the longest runs of the sample panels ten times the
// effort shortens the travel by a few hundredths of a percent; 20,000 hits are
// ordered in a few seconds.
const DefaultKicks = 3

// visit orders items from the change position and back to it.
func (in Input) visit(ctx context.Context, items []item, o Options) (visits, error) {
	change := in.Machine.ChangeAt
	return in.visitBetween(ctx, items, change, &change, o)
}

// visitBetween orders items from one place to another, nil: to wherever is
// best. Interleaved,
// the items are dealt in turn into subsets, neighbours into different ones;
// each subset is a tour of its own that begins where the last one ended.
func (in Input) visitBetween(ctx context.Context, items []item, at orb.Point, end *orb.Point, o Options) (visits, error) {
	if o.Tour.Kicks == 0 && o.Tour.Time <= 0 {
		o.Tour.Kicks = DefaultKicks
	}
	subsets := min(max(o.Interleave, 1), max(len(items), 1))
	var out visits
	for s := range subsets {
		var index []int
		var ends []tour.Item
		for i := s; i < len(items); i += subsets {
			index = append(index, i)
			ends = append(ends, tour.Item{A: items[i].from, B: items[i].to})
		}
		start := at
		problem := tour.Problem{Items: ends, Start: &start, Metric: tour.MoveTime(in.Machine.Travel())}
		switch {
		case subsets == 1 && end != nil && *end == start:
			problem.Closed = true
		case s == subsets-1:
			problem.End = end
		}
		got, err := tour.Solve(ctx, problem, o.Tour)
		if err != nil {
			return visits{}, err
		}
		for _, k := range got.Order {
			v := visited{index[k], got.Flipped != nil && got.Flipped[k]}
			out.order = append(out.order, v)
			at = ends[k].B
			if v.flipped {
				at = ends[k].A
			}
		}
		if subsets == 1 {
			out.bound = got.Bound
		}
	}
	return out, nil
}
