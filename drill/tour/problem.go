package tour

import (
	"errors"
	"fmt"
	"log/slog"
	"math"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Item is one thing to visit. A == B is a point; otherwise it is a slot or an
// open cut with two ends, entered at either and left at the other.
type Item struct {
	A, B orb.Point // mm
}

// Point makes an item of a single point, in units of the metric.
func Point(p orb.Point) Item { return Item{p, p} }

// Points makes items of points, in order.
func Points(ps []orb.Point) []Item {
	items := make([]Item, len(ps))
	for i, p := range ps {
		items[i] = Item{p, p}
	}
	return items
}

// Problem is what to visit and from where to where. The zero value visits
// nothing.
type Problem struct {
	Items  []Item     // 0 to 1,000,000 are meant; duplicates and collinear points are fine
	Start  *orb.Point // mm: where the head comes from; nil: anywhere
	End    *orb.Point // mm: where it goes to; nil: anywhere
	Closed bool       // returns to the first item, or to Start when there is one; End must be nil
	Metric Metric     // zero: Euclid
}

// ErrClosedEnd is returned for a closed tour that has an end of its own.
var ErrClosedEnd = errors.New("tour: a closed tour has no end")

// ErrTooMany is returned for more items than an order can index.
var ErrTooMany = errors.New("tour: too many items, expected at most 500,000,000")

// limit bounds the coordinates: nanometres of a tour over a billion points
// still fit in 63 bits.
const limit = 1e9

// PointError is a coordinate that cannot be used.
type PointError struct {
	Item  int       // index of the item; -1: the start, -2: the end
	Point orb.Point // what was found, in units of the metric
}

// Error tells the item, what was found and what was expected.
func (e *PointError) Error() string {
	what := fmt.Sprintf("item %d", e.Item)
	switch e.Item {
	case -1:
		what = "the start"
	case -2:
		what = "the end"
	}
	return fmt.Sprintf("tour: %s is at %v, %v; expected finite numbers within %g mm", what, e.Point[0], e.Point[1], limit)
}

// Validate reports the first fault: a *PointError, ErrClosedEnd or ErrTooMany.
func (p Problem) Validate() error {
	bad := func(q orb.Point) bool { return !(math.Abs(q[0]) <= limit && math.Abs(q[1]) <= limit) }
	if len(p.Items) > 500_000_000 {
		return ErrTooMany
	}
	if p.Closed && p.End != nil {
		return ErrClosedEnd
	}
	if p.Start != nil && bad(*p.Start) {
		return &PointError{-1, *p.Start}
	}
	if p.End != nil && bad(*p.End) {
		return &PointError{-2, *p.End}
	}
	for i, it := range p.Items {
		if bad(it.A) {
			return &PointError{i, it.A}
		}
		if bad(it.B) {
			return &PointError{i, it.B}
		}
	}
	return nil
}

// Length is the cost of visiting the items in the given order, entering an item
// at B where flipped says so, with the legs from the start and to the end. The
// way along a two-ended item is work, not travel, and not counted. A nil
// flipped flips nothing. In units of the metric; see [Metric.Scale].
func (p Problem) Length(order []int32, flipped []bool) float64 {
	return float64(p.units(order, flipped)) / p.Metric.Scale()
}

func (p *Problem) units(order []int32, flipped []bool) int64 {
	if len(order) == 0 {
		return 0
	}
	ends := func(k int) (in, out orb.Point) {
		it := p.Items[order[k]]
		if flipped != nil && flipped[order[k]] {
			return it.B, it.A
		}
		return it.A, it.B
	}
	var sum int64
	first, at := ends(0)
	for k := 1; k < len(order); k++ {
		in, out := ends(k)
		sum += p.Metric.cost(at, in)
		at = out
	}
	if p.Start != nil {
		sum += p.Metric.cost(*p.Start, first)
	}
	switch {
	case p.Closed && p.Start != nil:
		sum += p.Metric.cost(at, *p.Start)
	case p.Closed:
		sum += p.Metric.cost(at, first)
	case p.End != nil:
		sum += p.Metric.cost(at, *p.End)
	}
	return sum
}

// Options steer the search. The zero value searches [DefaultKicks] kicks per
// item without a time limit and asks for no bound.
type Options struct {
	Kicks float64       // effort per item; 0: DefaultKicks, or no limit when Time is set; negative: the start tour only
	Time  time.Duration // budget of wall time, not reproducible by itself; 0 or less: none
	Seed  uint64        // same seed, same answer
	Procs int           // goroutines at most; 0 or less: GOMAXPROCS. The answer does not depend on it
	Bound bool          // prove a lower bound after the search, in time of its own
	// BoundNodes is up to how many nodes the bound comes from 1-trees, whose
	// time grows with the square; beyond it is a cheap one. 0:
	// DefaultBoundNodes; negative: always the cheap one.
	BoundNodes int
	Progress   func(Progress)      // called now and then from the solving goroutine; nil: never
	Log        *slog.Logger        // told when the search has ended; nil: silent
	Stats      *tooling.Statistics // gets what the search took; nil: nowhere
}

// DefaultKicks is the effort per item when neither kicks nor a time are given.
const DefaultKicks = 30

// ErrOptions is returned for a kick count that is not a number.
var ErrOptions = errors.New("tour: kicks is not a number")

// Validate refuses what no search can follow.
func (o Options) Validate() error {
	if math.IsNaN(o.Kicks) {
		return ErrOptions
	}
	return nil
}

// Progress is what a running search tells.
type Progress struct {
	Length float64 // of the best tour so far, in units of the metric
	Kicks  float64 // effort per item so far
}

// Status says why a search ended.
type Status uint8

const (
	// Done means that the effort asked for was spent.
	Done Status = iota
	// Optimal means that the order is proven best.
	Optimal
	// TimedOut means that Options.Time ended the search.
	TimedOut
	// Cancelled means that the context ended the search.
	Cancelled
)

// String names the status.
func (s Status) String() string {
	switch s {
	case Done:
		return "done"
	case Optimal:
		return "optimal"
	case TimedOut:
		return "timed out"
	case Cancelled:
		return "cancelled"
	}
	return fmt.Sprintf("status %d", uint8(s))
}

// Result is an order and what is known about it.
type Result struct {
	Order   []int32 // a permutation of the item indices
	Flipped []bool  // by item index: entered at B; nil when no item has two ends
	Length  float64 // in units of the metric, see Metric.Scale
	Bound   float64 // proven lower bound, same units; 0 when none was asked for
	Kicks   float64 // effort per item spent: asked for again it gives the same order
	Status  Status
}

// Gap is the fraction of Bound by which Length exceeds it, 0 without a bound.
func (r Result) Gap() float64 {
	if r.Bound <= 0 {
		return 0
	}
	return r.Length/r.Bound - 1
}
