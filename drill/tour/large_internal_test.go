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
	}{
		{1000, 0, 0.3}, {2000, 0, 0.3}, {2001, 0, 0.15}, {3000, 5, 0.15}, {3000, 6, 0.3},
		{8000, 0, 0.15}, {8001, 0, 1.2}, {9000, 0, 1.2}, {9000, 1, 0.15}, {9000, 6, 0.3},
	} {
		if got := tourKicks(c.n, c.i); math.Abs(float64(got)-c.want*float64(c.n)) > 1 {
			t.Errorf("n=%d i=%d: %d, want %v a node", c.n, c.i, got, c.want)
		}
	}
}

func TestSegmentCount(t *testing.T) {
	for n, want := range map[int]int{3000: 2, 62499: 2, 62500: 3, 87499: 3, 87500: 4, 1_000_000: 40} {
		if got := segmentCount(n); got != want {
			t.Errorf("%d nodes in %d segments, want %d", n, got, want)
		}
	}
}

// Segments are of one size, a thousand nodes at least, and give way to what
// must not be cut.
func TestCutsAreEven(t *testing.T) {
	s := &solver{encoding: &encoding{}}
	ring := make([]int32, 6000)
	for i := range ring {
		ring[i] = int32(i)
	}
	for _, c := range []struct {
		n, count int
		fixed    []int // first of two mates, by position
		want     []int
		first    int32 // node at which the ring begins
	}{
		{6000, 3, nil, []int{0, 2000, 4000, 6000}, 0},
		{6000, 2, []int{2999, 3001}, []int{0, 3004, 6000}, 0},
		{6000, 2, []int{0, 5998}, []int{0, 3000, 6000}, 3},
		{3000, 5, nil, []int{0, 1000, 3000}, 0},
		{2001, 4, nil, []int{0, 1000, 2001}, 0},
		{2000, 4, nil, []int{0, 2000}, 0},
	} {
		s.mate = nil
		if c.fixed != nil {
			s.mate = make([]int32, c.n)
			for v := range s.mate {
				s.mate[v] = -1
			}
			for _, p := range c.fixed {
				s.mate[p], s.mate[p+1] = int32(p+1), int32(p)
			}
		}
		r := slices.Clone(ring[:c.n])
		if got := s.cuts(r, c.count); !slices.Equal(got, c.want) || r[0] != c.first || r[1] != c.first+1 {
			t.Errorf("%d nodes in %d: cuts %v from node %d, want %v from %d", c.n, c.count, got, r[0], c.want, c.first)
		}
	}
}

// A segment is a problem of its own: what is gained in it is gained in the
// whole, and its ends stay where they are.
func TestSegmentKeepsItsEnds(t *testing.T) {
	s, p := large(t, 900, 1, 1)
	for _, low := range []int{0, 100, 417} {
		ring := slices.Clone(s.ring)
		high := low + 240
		for s.mate[ring[low]] >= 0 {
			low++
		}
		for s.mate[ring[high-1]] >= 0 {
			high++
		}
		pos, inner := make([]int32, len(ring)), make([]int32, len(ring))
		for k, v := range ring {
			pos[v] = int32(k)
		}
		g := segment{solver: s, ring: ring[low:high], low: int32(low), pos: pos, inner: inner}
		f := g.field()
		c := g.candidates()
		for i, v := range g.outer {
			if f.at[i] != s.at[v] || f.mate[i] >= 0 && f.mate[f.mate[i]] != int32(i) {
				t.Fatalf("node %d of the segment is not %d", i, v)
			}
			var want []near
			for _, e := range s.near.of(v) {
				if e.id >= 0 && int(pos[e.id]) >= low && int(pos[e.id]) < high && inner[e.id] != f.mate[i] {
					want = append(want, near{inner[e.id], e.cost})
				}
			}
			for k, e := range c.of(int32(i)) {
				if k < len(want) && e != want[k] || k >= len(want) && e.id != -1 {
					t.Fatalf("candidates %v of node %d, want %v", c.of(int32(i)), i, want)
				}
			}
		}
		for _, back := range []bool{false, true} {
			start := g.tour()
			if back {
				slices.Reverse(start)
			}
			q := newSearch(f, c, start, s.how, s.rng(3))
			before := q.total()
			for v := range q.tour {
				q.push(int32(v))
			}
			gain := q.settle()
			out := g.result(q)
			if gain <= 0 || q.total() != before-gain {
				t.Errorf("from %d to %d, a gain of %d", before, q.total(), gain)
			}
			if out[0] != ring[low] || out[len(out)-1] != ring[high-1] {
				t.Errorf("from %d to %d, want %d to %d", out[0], out[len(out)-1], ring[low], ring[high-1])
			}
			next := slices.Concat(ring[:low], out, ring[high:])
			if got := s.field.one(next).length; got != s.field.one(ring).length-gain || !s.field.isRing(next) {
				t.Errorf("the whole goes from %d to %d, want %d less", s.field.one(ring).length, got, gain)
			}
		}
	}
	if order, _ := s.decode(p, s.ring); len(order) != 900 {
		t.Errorf("%d items", len(order))
	}
}
