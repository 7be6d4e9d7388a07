package tour

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// isRing tells whether a list is a permutation that keeps the fixed edges.
func (f *field) isRing(ring []int32) bool {
	n := len(f.at)
	seen := make([]bool, n)
	for p, v := range ring {
		if len(ring) != n || seen[v] {
			return false
		}
		seen[v] = true
		if f.mate != nil && f.mate[v] >= 0 && ring[(p+1)%n] != f.mate[v] && ring[(p+n-1)%n] != f.mate[v] {
			return false
		}
	}
	return len(ring) == n
}

// What is contracted is as long as the ring less its frozen edges, and expands
// to the ring again, forth and back.
func TestContractionExpandsToTheRing(t *testing.T) {
	const seed = 127
	r := rand.New(rand.NewPCG(seed, 0))
	for c := range 300 {
		n := 6 + r.IntN(40)
		f, ring := someField(r, n, c)
		o := f.one(ring)
		frozen := make([]bool, n)
		thawed := 0
		for p := range frozen {
			frozen[p] = f.fixed(ring[p], ring[(p+1)%n]) || r.IntN(3) > 0
			if !frozen[p] {
				thawed++
			}
		}
		if thawed < 2 {
			continue
		}
		k := contract(f, ring, o.pos, frozen)
		left := 0
		var length int64
		for p := range ring {
			before := (p + n - 1) % n
			if !frozen[p] || !frozen[before] {
				left++
			} else if k.inner[ring[p]] != -1 {
				t.Fatalf("seed %d case %d: node %d within a frozen path is left", seed, c, ring[p])
			}
			if !frozen[p] {
				length += f.edge(ring[p], ring[(p+1)%n])
			}
		}
		if len(k.ring) != left || len(k.outer) != left || len(k.at) != left {
			t.Fatalf("seed %d case %d: %d nodes, want %d", seed, c, len(k.ring), left)
		}
		for i, v := range k.outer {
			if k.inner[v] != int32(i) || k.at[i] != f.at[v] || (v == f.free) != (int32(i) == k.free) {
				t.Fatalf("seed %d case %d: node %d stands for %d", seed, c, i, v)
			}
			if m := k.mate[i]; m >= 0 && k.mate[m] != int32(i) {
				t.Fatalf("seed %d case %d: mates %v", seed, c, k.mate)
			}
		}
		if got := k.field.one(k.ring).length; left > 2 && got != length {
			t.Errorf("seed %d case %d: %d long, want %d", seed, c, got, length)
		}
		if got := k.expand(nil, k.ring); !slices.Equal(canon(got), canon(ring)) || got[0] != k.outer[k.ring[0]] {
			t.Fatalf("seed %d case %d: expands to\n%v, want\n%v", seed, c, got, ring)
		}
		back := slices.Clone(k.ring)
		slices.Reverse(back)
		if got := k.expand([]int32{99}, back); left > 2 && (got[0] != 99 || !slices.Equal(canon(got[1:]), canon(ring))) {
			t.Errorf("seed %d case %d: backwards it expands to\n%v, want\n%v", seed, c, got, ring)
		}
		list := findNeighbours(f, candidates{6, 4, 1}, unhurried())
		in := k.candidates(list, 4)
		for i, v := range k.outer {
			var want []near
			for _, e := range list.of(v) {
				if e.id >= 0 && k.inner[e.id] >= 0 && k.inner[e.id] != k.mate[i] && len(want) < 4 {
					want = append(want, near{k.inner[e.id], e.cost})
				}
			}
			for len(want) < 4 {
				want = append(want, near{-1, 0})
			}
			for s, e := range in.of(int32(i)) {
				if e.id != want[s].id || e.id >= 0 && e.cost != want[s].cost {
					t.Fatalf("seed %d case %d: candidates %v of node %d, want %v", seed, c, in.of(int32(i)), i, want)
				}
			}
		}
	}
}

func TestAgreeFindsCommonEdges(t *testing.T) {
	a := []int32{0, 1, 2, 3, 4, 5}
	b := []int32{5, 0, 3, 2, 1, 4} // shares 5-0, 1-2, 2-3 and, round the end, 4-5
	pos := make([]int32, len(b))
	for p, v := range b {
		pos[v] = int32(p)
	}
	frozen := make([]bool, len(a))
	agree(a, pos, frozen)
	if want := []bool{false, true, true, false, true, true}; !slices.Equal(frozen, want) {
		t.Errorf("%v, want %v", frozen, want)
	}
	b = []int32{4, 1, 2, 3, 5, 0} // shares 1-2 and 2-3, and 5-0
	for p, v := range b {
		pos[v] = int32(p)
	}
	agree(a, pos, frozen)
	if want := []bool{false, true, true, false, false, true}; !slices.Equal(frozen, want) {
		t.Errorf("%v, want %v", frozen, want)
	}
}

// The closed paths of a crossing take every edge in which two rings differ
// once, one of the one and one of the other in turn; what an exchange gains is
// what the ring gets shorter.
func TestCrossingGainsWhatItSays(t *testing.T) {
	const seed = 131
	r := rand.New(rand.NewPCG(seed, 0))
	gained, rejected := 0, 0
	for c := range 120 {
		n := 12 + r.IntN(80)
		f, first := someField(r, n, c)
		near := findNeighbours(f, candidates{10, 5, 2}, unhurried())
		improved := func() one {
			s := newSearch(f, near, slices.Clone(first), deep(), r)
			for range 1 + r.IntN(n) {
				s.push(int32(r.IntN(n)))
			}
			s.settle()
			return f.one(s.tour)
		}
		x, y := improved(), improved()
		if !f.isRing(x.tour) || !f.isRing(y.tour) {
			t.Fatalf("seed %d case %d: the search breaks the ring", seed, c)
		}
		k := newCrossing(f, near, x, y, r)
		if k == nil {
			rejected++
			continue
		}
		edges := [2]map[[2]int32]int{{}, {}}
		for v := range k.ring {
			for s, side := range [2][][2]int32{k.a, k.b} {
				for _, w := range side[v] {
					if w >= 0 && w != k.mate[v] {
						edges[s][[2]int32{min(int32(v), w), max(int32(v), w)}]++
					}
				}
			}
		}
		for _, l := range k.loops() {
			if len(l)%2 != 0 {
				t.Fatalf("seed %d case %d: a path of %d edges", seed, c, len(l))
			}
			for i := range l {
				a, b := l[i], l[(i+1)%len(l)]
				edges[i%2][[2]int32{min(a, b), max(a, b)}] -= 2 // noted from both ends
			}
		}
		for s := range edges {
			for e, left := range edges[s] {
				if left != 0 {
					t.Fatalf("seed %d case %d: edge %v of ring %d is taken %d times too few", seed, c, e, s, left/2)
				}
			}
		}
		gain := k.improve(30)
		got := k.result(nil)
		if !f.isRing(got) || f.one(got).length != x.length-gain || gain < 0 {
			t.Errorf("seed %d case %d: a gain of %d from %d to %d", seed, c, gain, x.length, f.one(got).length)
		}
		if gain > 0 {
			gained++
		}
	}
	if gained < 20 || rejected > 60 {
		t.Errorf("%d crossings gained, %d had nothing to cross", gained, rejected)
	}
}

// wantFragments takes the candidate edges from the shortest on, as long as no node gets
// three and no ring closes, and then, round by round, those between the ends.
func wantFragments(f *field, near neighbours) (links [][]int32) {
	n := len(f.at)
	type edge struct {
		cost uint32
		a, b int32
	}
	var edges []edge
	for v := range int32(n) {
		if v == f.free {
			continue
		}
		for _, e := range near.of(v)[:min(8, near.width)] {
			if e.id >= 0 && e.id != f.free {
				edges = append(edges, edge{e.cost, v, e.id})
			}
		}
	}
	slices.SortStableFunc(edges, func(x, y edge) int { return cmp.Compare(x.cost, y.cost) })
	links = make([][]int32, n)
	part := make([]int32, n)
	for v := range part {
		part[v] = int32(v)
	}
	join := func(a, b int32) {
		if len(links[a]) > 1 || len(links[b]) > 1 || part[a] == part[b] {
			return
		}
		links[a], links[b] = append(links[a], b), append(links[b], a)
		from, to := part[a], part[b]
		for v := range part {
			if part[v] == from {
				part[v] = to
			}
		}
	}
	for v, w := range f.mate {
		if int32(v) < w {
			join(int32(v), w)
		}
	}
	for _, e := range edges {
		join(e.a, e.b)
	}
	other := func(v int32) int32 { // the other end of what v is an end of
		for at, prev := v, int32(-1); ; {
			to := int32(-1)
			for _, w := range links[at] {
				if w != prev {
					to = w
				}
			}
			if to < 0 {
				return at
			}
			prev, at = at, to
		}
	}
	for {
		left := map[int32]bool{}
		for v := range int32(n) {
			if v != f.free || f.mate != nil && f.mate[v] >= 0 {
				left[part[v]] = true
			}
		}
		if len(left) < 2 {
			return links
		}
		var ends []int32
		for v := range int32(n) {
			if v != f.free && len(links[v]) < 2 {
				ends = append(ends, v)
			}
		}
		sub := field{metric: f.metric, free: -1, mate: make([]int32, len(ends))}
		for k, v := range ends {
			sub.at = append(sub.at, f.at[v])
			sub.mate[k] = -1
			if o := slices.Index(ends, other(v)); o != k {
				sub.mate[k] = int32(o)
			}
		}
		edges = edges[:0]
		for k, v := range ends {
			all := ranked(&sub, int32(k), -1)
			for _, j := range all[:min(8, len(all))] {
				edges = append(edges, edge{uint32(f.cost(v, ends[j])), v, ends[j]})
			}
		}
		slices.SortStableFunc(edges, func(x, y edge) int { return cmp.Compare(x.cost, y.cost) })
		for _, e := range edges {
			join(e.a, e.b)
		}
	}
}

// A start tour has every edge that taking the shortest first takes.
func TestGreedyTakesTheShortestFirst(t *testing.T) {
	const seed = 137
	r := rand.New(rand.NewPCG(seed, 0))
	for c := range 80 {
		n := 4 + r.IntN(90)
		f, _ := someField(r, n, c)
		if c%5 == 0 { // clusters, which only their ends join
			for i := range f.at {
				f.at[i] = orb.Point{f.at[i][0] + float64(1000*(i*4/n)), f.at[i][1]}
			}
		}
		want := candidates{10, 5, 2}
		if c%3 == 1 { // many a node is left without an edge
			want = candidates{2, 2, 0}
		}
		near := findNeighbours(f, want, unhurried())
		tour := greedy(f, near, unhurried())
		if !f.isRing(tour) {
			t.Fatalf("seed %d case %d: no ring of %d: %v", seed, c, n, tour)
		}
		o := f.one(tour)
		links := wantFragments(f, near)
		for v := range links {
			for _, w := range links[v] {
				if d := o.pos[v] - o.pos[w]; d != 1 && d != -1 && d != int32(n-1) && d != int32(1-n) {
					t.Fatalf("seed %d case %d: %d and %d are joined early and not in the tour", seed, c, v, w)
				}
			}
		}
	}
	f, _ := someField(r, 60, 0)
	near := findNeighbours(f, candidates{10, 5, 2}, unhurried())
	for looks := range 4 {
		if greedy(f, near, patient(looks)) != nil {
			t.Errorf("a tour in %d looks at the clock", looks)
		}
	}
}

// A kick changes four edges near each other, costs what it says and is undone
// with the search; where no four edges can be had it says so.
func TestKick(t *testing.T) {
	const seed = 139
	r := rand.New(rand.NewPCG(seed, 0))
	for c := range 200 {
		n := 8 + r.IntN(60)
		f, ring := someField(r, n, c)
		near := findNeighbours(f, candidates{10, 5, 2}, unhurried())
		s := newSearch(f, near, slices.Clone(ring), deep(), r)
		before := s.total()
		cost, ok := s.kick(int32(r.IntN(n)))
		if !ok {
			if !slices.Equal(s.tour, ring) || cost != 0 {
				t.Fatalf("seed %d case %d: no kick, and yet %v", seed, c, s.tour)
			}
			continue
		}
		s.sound(t, "kicked")
		if !f.isRing(s.tour) || s.total() != before+cost || s.waiting < 4 || s.waiting > 8 {
			t.Fatalf("seed %d case %d: from %d to %d for %d, %d nodes to look at", seed, c, before, s.total(), cost, s.waiting)
		}
		was := f.one(ring)
		changed := 0
		for p, v := range s.tour {
			d := was.pos[v] - was.pos[s.tour[(p+1)%n]]
			if d != 1 && d != -1 && d != int32(n-1) && d != int32(1-n) {
				changed++
			}
		}
		if changed > 4 {
			t.Fatalf("seed %d case %d: %d edges changed", seed, c, changed)
		}
		gain := s.settle()
		if !f.isRing(s.tour) || s.total() != before+cost-gain {
			t.Fatalf("seed %d case %d: settled at %d, want %d", seed, c, s.total(), before+cost-gain)
		}
		s.undo()
		s.sound(t, "undone")
		if !slices.Equal(s.tour, ring) {
			t.Fatalf("seed %d case %d: undone to another ring", seed, c)
		}
	}
	metric := Euclid()
	f := &field{metric: &metric, free: -1, at: []orb.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 5}}, mate: []int32{1, 0, 3, 2, -1}}
	near := findNeighbours(f, candidates{4, 4, 0}, unhurried())
	s := newSearch(f, near, []int32{0, 1, 2, 3, 4}, deep(), r)
	if _, ok := s.kick(0); ok {
		t.Error("four edges of three that may go")
	}
	if g := s.attempt(0); g != 0 || s.waiting != 0 {
		t.Errorf("an attempt that could not be made gained %d", g)
	}
}
