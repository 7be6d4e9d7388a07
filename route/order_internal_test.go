package route

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// scene makes n random paths, some closed with several entries, some open, and
// a few precedences.
func scene(rng *rand.Rand, n int) orderer {
	m, _ := machine.Preset("ball screw")
	o := orderer{travel: m.Travel(), home: orb.Point{0, 0}}
	at := func() orb.Point { return orb.Point{float64(rng.IntN(400)), float64(rng.IntN(300))} }
	for i := range n {
		v := visit{}
		c := at()
		for range 1 + rng.IntN(3) {
			a := add(c, orb.Point{float64(rng.IntN(40)), float64(rng.IntN(40))})
			b := a
			if i%2 == 0 {
				b = at()
			}
			v.ends = append(v.ends, [2]orb.Point{a, b})
		}
		if i > 0 && rng.IntN(3) == 0 {
			v.after = append(v.after, rng.IntN(i))
		}
		o.visits = append(o.visits, v)
	}
	return o
}

// brute tries every order and every choice of entries.
func brute(o *orderer) int64 {
	n := len(o.visits)
	best := int64(unreached)
	done := make([]bool, n)
	var try func(k, at, e int, cost int64)
	try = func(k, at, e int, cost int64) {
		if cost >= best {
			return
		}
		if k == n {
			best = min(best, cost+o.leg(at, e, -1, 0))
			return
		}
		for j := range n {
			if done[j] || slices.ContainsFunc(o.visits[j].after, func(a int) bool { return !done[a] }) {
				continue
			}
			done[j] = true
			for f := range o.visits[j].ends {
				try(k+1, j, f, cost+o.leg(at, e, j, f))
			}
			done[j] = false
		}
	}
	try(0, -1, 0, 0)
	return best
}

func TestOrderIsBruteForce(t *testing.T) {
	const seed = 7
	rng := rand.New(rand.NewPCG(seed, 1))
	for round := range 60 {
		o := scene(rng, 1+round%8)
		got, err := o.solve(context.Background(), 30, 1)
		if err != nil {
			t.Fatal(err)
		}
		if want := brute(&o); got.cost != want {
			t.Fatalf("seed %d round %d, %d paths: got %d ns, brute force %d", seed, round, len(o.visits), got.cost, want)
		}
		allowed(t, &o, got)
	}
}

// allowed checks that a sequence is one: every visit once, precedences kept,
// the cost what the legs sum up to.
func allowed(t *testing.T, o *orderer, s sequence) {
	t.Helper()
	sorted := slices.Sorted(slices.Values(s.order))
	for i := range o.visits {
		if i >= len(sorted) || sorted[i] != i {
			t.Fatalf("%v is no order of %d visits", s.order, len(o.visits))
		}
		for _, a := range o.visits[i].after {
			if slices.Index(s.order, a) > slices.Index(s.order, i) {
				t.Fatalf("visit %d before %d in %v", i, a, s.order)
			}
		}
		if s.entry[i] >= len(o.visits[i].ends) {
			t.Fatalf("entry %d of visit %d", s.entry[i], i)
		}
	}
	if got := o.total(&s); got != s.cost {
		t.Fatalf("cost %d, legs sum up to %d", s.cost, got)
	}
}

// TestSearchComesNearExact runs the local search where the exact answer is
// known, on nine paths.
func TestSearchComesNearExact(t *testing.T) {
	const seed = 8
	rng := rand.New(rand.NewPCG(seed, 1))
	hits, rounds := 0, 40
	for range rounds {
		o := scene(rng, exactUpTo)
		want, err := o.solve(context.Background(), 30, 1)
		if err != nil {
			t.Fatal(err)
		}
		got, err := o.search(context.Background(), 30*exactUpTo, 1)
		if err != nil {
			t.Fatal(err)
		}
		allowed(t, &o, got)
		if got.cost < want.cost {
			t.Fatalf("search %d ns beats the exact %d", got.cost, want.cost)
		}
		if got.cost == want.cost {
			hits++
		}
		if float64(got.cost) > 1.02*float64(want.cost) {
			t.Errorf("seed %d: search %d ns, exact %d", seed, got.cost, want.cost)
		}
	}
	if hits < rounds*9/10 {
		t.Errorf("search found the best in %d of %d rounds", hits, rounds)
	}
}

func TestSearchLarge(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	o := scene(rng, 60)
	greedy, err := o.search(context.Background(), 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	allowed(t, &o, greedy)
	first, err := o.search(context.Background(), 5*60, 1)
	if err != nil {
		t.Fatal(err)
	}
	allowed(t, &o, first)
	if first.cost > greedy.cost {
		t.Errorf("kicks made it worse: %d, %d without", first.cost, greedy.cost)
	}
	again, _ := o.search(context.Background(), 5*60, 1)
	if d := cmp.Diff(first.order, again.order); d != "" || first.cost != again.cost {
		t.Errorf("the same search twice differs: %s", d)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	late, err := o.solve(ctx, 5, 1)
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v of a cancelled context", err)
	}
	allowed(t, &o, late)
}
