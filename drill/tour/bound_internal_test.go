package tour

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
)

// Both bounds hold against the optimum of dynamic programming: all metrics, all
// ways to begin and end, slots, ties and places visited twice.
func TestBoundsAgainstExact(t *testing.T) {
	const seed = 77
	r := rand.New(rand.NewPCG(seed, 0))
	x := machine.Axis{Speed: 600, Accel: 9000, Jerk: 400000}
	y := machine.Axis{Speed: 400, Accel: 6000}
	metrics := []Metric{
		Euclid(), Rounded(), Ceiling(), Chebyshev(),
		MoveTime(machine.NewTravel(x, y, 5*time.Millisecond, 30*time.Millisecond)), MoveTime(machine.NewTravel(y, y, 0, 0)),
	}
	cases := 400
	if testing.Short() {
		cases = 60
	}
	tight := 0
	for c := range cases {
		grid := c%2 == 0
		at := func() orb.Point {
			if grid {
				return orb.Point{float64(r.IntN(4)), float64(r.IntN(4))}
			}
			return orb.Point{r.Float64() * 40, r.Float64() * 30}
		}
		p := Problem{Metric: metrics[c%len(metrics)]}
		for range 5 + r.IntN(5) {
			it := Point(at())
			if r.IntN(4) == 0 {
				it.B = at()
			}
			p.Items = append(p.Items, it)
		}
		a, b := at(), at()
		switch c / len(metrics) % 5 {
		case 0:
			p.Closed = true
		case 1:
			p.Closed, p.Start = true, &a
		case 2:
			p.Start, p.End = &a, &b
		case 3:
			p.Start = &a
		}
		items := make([]int32, len(p.Items))
		for i := range items {
			items[i] = int32(i)
		}
		order, flipped := exact(&p, items)
		best := p.units(order, flipped)

		s := &solver{ctx: context.Background(), now: time.Now, procs: 1}
		budget := s.budget()
		s.encoding = encode(&p, budget)
		if len(s.at) < 6 {
			continue
		}
		s.near = findNeighbours(&s.field, candidates{10, 5, 2}, budget)
		ring := greedy(&s.field, s.near, budget)
		length := s.field.one(ring).length
		got := s.bound(0, ring, length)
		if got > best {
			t.Errorf("seed %d case %d: 1-trees say at least %d, the optimum is %d", seed, c, got, best)
		}
		if got == best {
			tight++
		}
		if cheap := s.bound(-1, ring, length); cheap > best {
			t.Errorf("seed %d case %d: nearest neighbours say at least %d, the optimum is %d", seed, c, cheap, best)
		}
	}
	if tight < cases/10 {
		t.Errorf("only %d bounds of %d are the optimum", tight, cases)
	}
}
