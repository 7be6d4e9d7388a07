package tour

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// The curve visits each cell of a square once, always going on to a cell beside
// the last: that is what makes neighbours in number neighbours on the panel.
func TestCurveGoesFromCellToCellBesideIt(t *testing.T) {
	const side = 64
	for _, corner := range [][2]uint32{{0, 0}, {1<<16 - side, 1<<16 - side}, {1<<15 - side, 1 << 15}, {5 * side, 1 << 14}} {
		type cell struct{ d, x, y uint32 }
		var cells []cell
		for x := corner[0]; x < corner[0]+side; x++ {
			for y := corner[1]; y < corner[1]+side; y++ {
				cells = append(cells, cell{curve(x, y), x, y})
			}
		}
		slices.SortFunc(cells, func(a, b cell) int { return int(int64(a.d) - int64(b.d)) })
		for k := 1; k < len(cells); k++ {
			a, b := cells[k-1], cells[k]
			dx, dy := int64(a.x)-int64(b.x), int64(a.y)-int64(b.y)
			if b.d != a.d+1 || dx*dx+dy*dy != 1 {
				t.Fatalf("from cell (%d, %d), %d. on the curve, to (%d, %d), %d.", a.x, a.y, a.d, b.x, b.y, b.d)
			}
		}
	}
	if curve(0, 0) != 0 {
		t.Errorf("the curve begins at %d", curve(0, 0))
	}
}

// Points in one cell go by their coordinates, x before y, and equal points by
// index; the order is the same for a board that is moved or twice the size.
func TestHilbertOrdersWithinACell(t *testing.T) {
	at := []orb.Point{{1e9, 1e9}, {3, 1}, {1, 2}, {1, 1}, {3, 1}, {1, 2}, {0, 9}, {1, 1}}
	if diff := cmp.Diff([]int32{6, 3, 7, 2, 5, 1, 4, 0}, hilbert(at, unhurried())); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	if diff := cmp.Diff([]int32{0, 1, 2}, hilbert([]orb.Point{{5, 5}, {5, 5}, {5, 5}}, unhurried())); diff != "" {
		t.Errorf("one place (-want +got):\n%s", diff)
	}
	if got := hilbert(nil, unhurried()); len(got) != 0 {
		t.Errorf("nothing is ordered as %v", got)
	}
	r := rand.New(rand.NewPCG(71, 0))
	ps, moved := make([]orb.Point, 500), make([]orb.Point, 500)
	for i := range ps {
		ps[i] = orb.Point{float64(r.IntN(256)), float64(r.IntN(256))}
		moved[i] = orb.Point{2*ps[i][0] - 512, 2*ps[i][1] + 1024}
	}
	if diff := cmp.Diff(hilbert(ps, unhurried()), hilbert(moved, unhurried())); diff != "" {
		t.Errorf("moved and twice the size (-want +got):\n%s", diff)
	}
	// Corners and middles of the quarters, which the curve takes up, over and down.
	square := []orb.Point{{0, 0}, {8, 0}, {8, 8}, {0, 8}, {2, 2}, {6, 2}, {6, 6}, {2, 6}}
	if diff := cmp.Diff([]int32{0, 4, 7, 3, 6, 2, 5, 1}, hilbert(square, unhurried())); diff != "" {
		t.Errorf("a square (-want +got):\n%s", diff)
	}
}

func TestBounds(t *testing.T) {
	lo, hi := bounds([]orb.Point{{3, -1}, {-2, 5}, {0, 7}, {9, 0}})
	if lo != (orb.Point{-2, -1}) || hi != (orb.Point{9, 7}) {
		t.Errorf("from %v to %v", lo, hi)
	}
}

// Both ways of sorting, by comparing and by digits, leave equal keys as they
// came and look at the upper half only.
func TestRadixAgainstSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(73, 0))
	for _, n := range []int{0, 1, 2, 1999, 2000, 2001, 70000} {
		for _, span := range []uint32{3, 1 << 12, 1 << 23, math.MaxUint32} {
			keys := make([]uint64, n)
			for i := range keys {
				keys[i] = uint64(r.Uint32()%span)<<32 | uint64(n-i)
			}
			want := slices.Clone(keys)
			slices.SortStableFunc(want, func(a, b uint64) int {
				switch x, y := a>>32, b>>32; {
				case x < y:
					return -1
				case x > y:
					return 1
				}
				return 0
			})
			if got := radix(keys, unhurried()); !slices.Equal(got, want) {
				t.Fatalf("%d keys below %d are not in order", n, span)
			}
		}
	}
	for looks := range 12 { // 3 digits, counted and moved, with two looks in 70,000 keys
		if radix(make([]uint64, 70000), patient(looks)) != nil {
			t.Errorf("sorted in spite of a budget of %d looks", looks)
		}
	}
	if radix(make([]uint64, 70000), patient(12)) == nil {
		t.Error("twelve looks are enough")
	}
}

// A budget remembers why it is over; the context goes before the clock.
func TestBudget(t *testing.T) {
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	ctx, cancel := context.WithCancel(context.Background())
	b := &budget{ctx: ctx, now: clock, end: now.Add(time.Second)}
	if b.over() || b.done != Done {
		t.Error("over a second too early")
	}
	now = now.Add(time.Second - 1)
	if b.over() {
		t.Error("over a nanosecond too early")
	}
	now = now.Add(1)
	if !b.over() || b.done != TimedOut {
		t.Errorf("at the deadline: %v", b.done)
	}
	cancel()
	now = now.Add(-time.Hour)
	if !b.over() || b.done != TimedOut {
		t.Errorf("afterwards: %v", b.done)
	}
	if b := (&budget{ctx: ctx, now: clock}); !b.over() || b.done != Cancelled {
		t.Errorf("cancelled, no deadline: %v", b.done)
	}
	if b := (&budget{ctx: context.Background(), now: clock}); b.over() {
		t.Error("no deadline is none")
	}
}

// parts hands out quotas until the limit and counts what was really done.
func TestPartsSpendTheLimit(t *testing.T) {
	for _, c := range []struct {
		name    string
		limit   int64
		spent   int64
		quotas  []int64
		stopAt  int // this piece makes half its quota and finds the time up; -1: none
		whole   int
		partial int64
		after   int64 // spent
		stopped Status
		given   []int64
	}{
		{"all fit", 30, 0, []int64{5, 6, 7}, -1, 3, 0, 18, Done, []int64{5, 6, 7}},
		{"exactly to the limit", 18, 0, []int64{5, 6, 7}, -1, 3, 0, 18, Done, []int64{5, 6, 7}},
		{"the last is cut", 17, 0, []int64{5, 6, 7}, -1, 2, 6, 17, Done, []int64{5, 6, 6}},
		{"the next gets nothing", 11, 0, []int64{5, 6, 7}, -1, 2, 0, 11, Done, []int64{5, 6}},
		{"some was spent before", 17, 3, []int64{5, 6, 7}, -1, 2, 3, 17, Done, []int64{5, 6, 3}},
		{"nothing left", 4, 4, []int64{5, 6}, -1, 0, 0, 4, Done, nil},
		{"only a part of the first", 4, 0, []int64{5, 6}, -1, 0, 4, 4, Done, []int64{4}},
		{"the time is up in the second", 30, 0, []int64{5, 6, 7}, 1, 1, 3, 8, TimedOut, []int64{5, 6}},
		{"the time is up in the first", 30, 0, []int64{4, 6, 7}, 0, 0, 2, 2, TimedOut, []int64{4}},
		{"no pieces", 30, 0, nil, -1, 0, 0, 0, Done, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, procs := range []int{1, 3} {
				now := time.Unix(1000, 0)
				s := &solver{ctx: context.Background(), procs: procs, limit: c.limit, spent: c.spent, end: now.Add(time.Hour), now: func() time.Time { return now }}
				given := make([]int64, len(c.quotas))
				whole, partial := s.parts(len(c.quotas), func(i int) int64 { return c.quotas[i] }, func(i int, quota int64, b *budget) int64 {
					given[i] = quota
					if i == c.stopAt {
						b.end = now
						b.over()
						return quota / 2
					}
					return quota
				})
				if whole != c.whole || partial != c.partial || s.spent != c.after || s.stopped != c.stopped {
					t.Errorf("%d procs: %d whole, then %d, spent %d, %v; want %d, %d, %d, %v",
						procs, whole, partial, s.spent, s.stopped, c.whole, c.partial, c.after, c.stopped)
				}
				if diff := cmp.Diff(c.given, given[:len(c.given)], cmp.Comparer(func(a, b []int64) bool { return slices.Equal(a, b) })); diff != "" {
					t.Errorf("quotas (-want +got):\n%s", diff)
				}
			}
		})
	}
}

// A descent takes a step for each eight nodes of three looks at each.
func TestDescentQuota(t *testing.T) {
	for n, want := range map[int]int64{0: 0, 1: 1, 2: 1, 3: 2, 8: 3, 9: 4, 16: 6} {
		if got := descent(n); got != want {
			t.Errorf("descent(%d) = %d, want %d", n, got, want)
		}
	}
	p := panel(64, 0, func(p *Problem) { p.Closed = true })
	s := begun(p, 1, 1)
	for _, c := range []struct {
		queued int
		quota  int64
		looks  int // of the budget; -1: no end
		made   int64
		left   int // still waiting
	}{
		{40, 3, -1, 3, 40 - 24},
		{20, 9, -1, 9, 0}, // empty earlier: it has cost the whole quota
		{40, 5, 2, 2, 40 - 16},
		{40, 5, 0, 0, 40},
		{0, 5, -1, 5, 0},
	} {
		// Without candidates there is nothing to improve, hence nothing to queue.
		search := newSearch(&s.field, neighbours{}, slices.Clone(s.ring), s.how, s.rng(1))
		for v := range int32(c.queued) {
			search.push(v)
			search.push(v) // once only
		}
		b := unhurried()
		if c.looks >= 0 {
			b = patient(c.looks)
		}
		if made := search.descend(c.quota, b); made != c.made || search.waiting != c.left {
			t.Errorf("%d queued, quota %d: made %d, %d wait; want %d and %d", c.queued, c.quota, made, search.waiting, c.made, c.left)
		}
	}
}

// The queue is first in first out, holds each node once, and goes round.
func TestQueueGoesRound(t *testing.T) {
	s := &search{queue: make([]int32, 4), queued: make([]bool, 4)}
	for _, v := range []int32{2, 0, 2, 3} {
		s.push(v)
	}
	got := []int32{s.pop(), s.pop()}
	for _, v := range []int32{0, 3, 1, 2} {
		s.push(v)
	}
	for s.waiting > 0 {
		got = append(got, s.pop())
	}
	if diff := cmp.Diff([]int32{2, 0, 3, 0, 1, 2}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// Costs by hand: 3-4-5 triangles and legs at the edge of rounding.
func TestMetricCosts(t *testing.T) {
	axis := machine.Axis{Speed: 400, Accel: 6000}
	travel := machine.NewTravel(axis, axis, 3*time.Millisecond, 0)
	for _, c := range []struct {
		name  string
		m     Metric
		a, b  orb.Point
		want  int64
		scale float64
	}{
		{"euclid", Euclid(), orb.Point{1, 1}, orb.Point{4, 5}, 5_000_000, 1e6},
		{"euclid, the nearest nanometre", Euclid(), orb.Point{0, 0}, orb.Point{1e-6, 1e-6}, 1, 1e6},
		{"euclid, up from a half", Euclid(), orb.Point{0, 0}, orb.Point{1.5e-6, 0}, 2, 1e6},
		{"rounded", Rounded(), orb.Point{1, 1}, orb.Point{4, -3}, 5, 1},
		{"rounded down", Rounded(), orb.Point{0, 0}, orb.Point{1, 1}, 1, 1},
		{"rounded up from a half", Rounded(), orb.Point{0, 0}, orb.Point{2.5, 0}, 3, 1},
		{"ceiling", Ceiling(), orb.Point{0, 0}, orb.Point{1, 1}, 2, 1},
		{"ceiling, whole", Ceiling(), orb.Point{2, 1}, orb.Point{-1, 5}, 5, 1},
		{"chebyshev", Chebyshev(), orb.Point{0, 0}, orb.Point{-3, 7}, 7, 1},
		{"chebyshev, the other leg", Chebyshev(), orb.Point{0, 0}, orb.Point{-8.5, 7}, 9, 1},
		{"chebyshev, down", Chebyshev(), orb.Point{0, 0}, orb.Point{8.25, 7}, 8, 1},
		{"move time", MoveTime(travel), orb.Point{5, 5}, orb.Point{15, 25}, int64(travel.Between(orb.Point{5, 5}, orb.Point{15, 25})), 1e9},
	} {
		if got := c.m.Cost(c.a, c.b); got != c.want || c.m.Cost(c.b, c.a) != got {
			t.Errorf("%s: %d, back %d, want %d", c.name, got, c.m.Cost(c.b, c.a), c.want)
		}
		if got := c.m.Scale(); got != c.scale {
			t.Errorf("%s: scale %v, want %v", c.name, got, c.scale)
		}
	}
}
