package tour

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// large is a problem of slots and holes with fixed ends, encoded, with a start
// tour: what the searches of large rings begin with.
func large(t *testing.T, n, procs int, limit float64) (*solver, *Problem) {
	t.Helper()
	r := rand.New(rand.NewPCG(31, 0))
	p := &Problem{Start: &orb.Point{-1, -1}, End: &orb.Point{-1, 5}}
	for i := range n {
		at := orb.Point{r.Float64() * 300, r.Float64() * 300}
		it := Point(at)
		if i%9 == 0 {
			it.B = orb.Point{at[0] + 1, at[1] + r.Float64()}
		}
		p.Items = append(p.Items, it)
	}
	s := &solver{ctx: context.Background(), now: time.Now, seed: 5, procs: procs, limit: int64(limit * float64(n))}
	b := s.budget()
	s.encoding = encode(p, b)
	s.how = deep()
	s.near = findNeighbours(&s.field, candidates{10, 5, 2}, b)
	s.ring = greedy(&s.field, s.near, b)
	s.length = s.field.one(s.ring).length
	return s, p
}

// check compares the length kept with that of the order, and the order with a
// permutation.
func (s *solver) check(t *testing.T, p *Problem) []int32 {
	t.Helper()
	order, flipped := s.decode(p, s.ring)
	if got := p.units(order, flipped); got != s.length {
		t.Errorf("the order is %d long, the ring %d", got, s.length)
	}
	seen := slices.Clone(order)
	slices.Sort(seen)
	for i, v := range seen {
		if int(v) != i {
			t.Fatalf("no permutation at %d", i)
		}
	}
	if len(seen) != len(p.Items) {
		t.Fatalf("%d items of %d", len(seen), len(p.Items))
	}
	return order
}

func TestSegments(t *testing.T) {
	n := 6000
	if testing.Short() {
		n = 3000
	}
	var first []int32
	for _, procs := range []int{1, 3} {
		s, p := large(t, n, procs, 1.1)
		start := s.length
		s.segments(s.ring)
		if s.spent != s.limit {
			t.Errorf("spent %d steps of %d", s.spent, s.limit)
		}
		if float64(s.length) > 0.95*float64(start) {
			t.Errorf("from %d to %d only", start, s.length)
		}
		order := s.check(t, p)
		if first == nil {
			first = order
		} else if !slices.Equal(first, order) {
			t.Errorf("%d procs give another order", procs)
		}
	}
}

func TestWhole(t *testing.T) {
	n := 6000
	if testing.Short() {
		n = 2000
	}
	s, p := large(t, n, 1, 0.8)
	start := s.length
	s.whole(s.ring)
	if s.spent != s.limit || float64(s.length) > 0.95*float64(start) {
		t.Errorf("from %d to %d in %d steps of %d", start, s.length, s.spent, s.limit)
	}
	s.check(t, p)
}

// A ring of nothing but slots cannot be cut: it stays one segment.
func TestCutsKeepFixedEdges(t *testing.T) {
	s, _ := large(t, 4000, 1, 1)
	ring := slices.Clone(s.ring)
	cuts := s.cuts(ring, 3)
	if len(cuts) != 4 {
		t.Fatalf("cuts %v", cuts)
	}
	for _, c := range cuts[:3] {
		a, b := ring[c], ring[(c+len(ring)-1)%len(ring)]
		if s.mate[a] >= 0 || s.mate[b] >= 0 {
			t.Errorf("cut %d ends at a fixed edge", c)
		}
	}
	for i := range s.mate {
		s.mate[i] = int32(i ^ 1)
	}
	if got := s.cuts(ring, 3); len(got) != 2 {
		t.Errorf("cuts %v of a ring that cannot be cut", got)
	}
}

func TestTourKicks(t *testing.T) {
	for _, c := range []struct {
		n, i int
		want float64
	}{{1000, 0, 0.3}, {3000, 0, 0.15}, {3000, 6, 0.3}, {9000, 0, 1.2}, {9000, 1, 0.15}} {
		if got := tourKicks(c.n, c.i); math.Abs(float64(got)-c.want*float64(c.n)) > 1 {
			t.Errorf("n=%d i=%d: %d, want %v a node", c.n, c.i, got, c.want)
		}
	}
}
