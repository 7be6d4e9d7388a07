package tour

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// sound compares a ring with its nodes one by one: positions, legs, neighbours.
func (r *ring) sound(t *testing.T, name string) {
	t.Helper()
	n := len(r.tour)
	for p, v := range r.tour {
		w := r.tour[(p+1)%n]
		if int(r.pos[v]) != p {
			t.Fatalf("%s: node %d stands at %d, pos says %d", name, v, p, r.pos[v])
		}
		if r.leg[p] != r.edge(v, w) || r.after(v) != r.leg[p] || r.before(w) != r.leg[p] {
			t.Fatalf("%s: leg %d is %d, after %d, before %d, want %d", name, p, r.leg[p], r.after(v), r.before(w), r.edge(v, w))
		}
		if r.next(v) != w || r.prev(w) != v {
			t.Fatalf("%s: next of %d is %d, prev of %d is %d", name, v, r.next(v), w, r.prev(w))
		}
	}
}

// canon is a ring without its beginning and direction.
func canon(tour []int32) []int32 {
	k := slices.Index(tour, slices.Min(tour))
	c := slices.Concat(tour[k:], tour[:k])
	if n := len(c); n > 2 && c[n-1] < c[1] {
		slices.Reverse(c[1:])
	}
	return c
}

// Stretches are put together as copying them would, in a ring that begins
// anywhere, and undone in one go; the longest stays where it is.
func TestArrangeAgainstCopying(t *testing.T) {
	const seed = 67
	r := rand.New(rand.NewPCG(seed, 0))
	metric := Euclid()
	for c := range 600 {
		n := 4 + r.IntN(30)
		f := &field{metric: &metric, free: -1}
		start := make([]int32, n)
		for i := range n {
			f.at = append(f.at, orb.Point{float64(r.IntN(100)), float64(r.IntN(100))})
			start[i] = int32(i)
		}
		r.Shuffle(n, func(i, j int) { start[i], start[j] = start[j], start[i] })
		if c%3 == 0 { // some fixed edges
			f.mate = make([]int32, n)
			for i := range f.mate {
				f.mate[i] = -1
			}
			for p := 0; p+1 < n; p += 3 {
				f.mate[start[p]], f.mate[start[p+1]] = start[p+1], start[p]
			}
		}
		g := newRing(f, slices.Clone(start))
		g.sound(t, "at first")
		for range 1 + r.IntN(3) {
			cuts := r.Perm(n)[:min(n, 2+r.IntN(5))]
			slices.Sort(cuts)
			if f.mate != nil { // only what is not fixed is cut
				cuts = slices.DeleteFunc(cuts, func(p int) bool { return f.fixed(g.tour[p], g.tour[(p+1)%n]) })
				if len(cuts) < 2 {
					continue
				}
			}
			var seq []stretch
			for k, p := range cuts {
				seq = append(seq, stretch{int32((p + 1) % n), int32(cuts[(k+1)%len(cuts)]), r.IntN(2) == 0})
			}
			if r.IntN(3) > 0 {
				r.Shuffle(len(seq), func(i, j int) { seq[i], seq[j] = seq[j], seq[i] })
			}
			var want []int32
			long, at := seq[0], int32(0)
			for _, s := range seq {
				var run []int32
				for p := s.first; ; p = (p + 1) % int32(n) {
					run = append(run, g.tour[p])
					if p == s.last {
						break
					}
				}
				if int(g.length(s)) != len(run) {
					t.Fatalf("seed %d case %d: %v of %d is %d long", seed, c, s, n, g.length(s))
				}
				if len(run) > int(g.length(long)) {
					long = s
				}
				if s.back {
					slices.Reverse(run)
				}
				want = append(want, run...)
			}
			at = g.tour[long.first]
			g.arrange(seq)
			g.sound(t, "arranged")
			if !slices.Equal(canon(g.tour), canon(want)) {
				t.Fatalf("seed %d case %d: %v arranged to\n%v, want the ring\n%v", seed, c, seq, g.tour, want)
			}
			if g.pos[at] != long.first {
				t.Fatalf("seed %d case %d: the longest stretch moved from %d to %d", seed, c, long.first, g.pos[at])
			}
		}
		if r.IntN(4) == 0 {
			kept := slices.Clone(g.tour)
			g.keep()
			g.undo()
			if !slices.Equal(g.tour, kept) {
				t.Fatalf("seed %d case %d: what was kept is undone", seed, c)
			}
			continue
		}
		g.undo()
		g.sound(t, "undone")
		if !slices.Equal(g.tour, start) {
			t.Fatalf("seed %d case %d: undone to %v, want %v", seed, c, g.tour, start)
		}
	}
}

// What stands where it belongs is not touched: an exchange that changes the
// order of nothing writes nothing.
func TestArrangeLeavesWhatIsInPlace(t *testing.T) {
	metric := Euclid()
	f := &field{metric: &metric, at: make([]orb.Point, 12), free: -1}
	g := newRing(f, []int32{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})
	a, b, c, d := stretch{10, 3, false}, stretch{4, 5, false}, stretch{6, 7, true}, stretch{8, 9, false}
	g.arrange([]stretch{a, b, {6, 7, false}, d})
	if len(g.log) != 0 || len(g.old) != 0 {
		t.Errorf("an arrangement in place wrote %v", g.log)
	}
	g.arrange([]stretch{a, b, c, d})
	if len(g.log) != 1 || g.log[0] != (patch{6, 2, 0}) || len(g.was) != 3 {
		t.Errorf("turning two nodes wrote %v", g.log)
	}
}
