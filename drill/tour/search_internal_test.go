package tour

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// changed counts the edges of a ring that another has not.
func changed(was, now []int32) int {
	n := len(was)
	pos := make([]int32, n)
	for p, v := range was {
		pos[v] = int32(p)
	}
	same := make([]bool, n)
	agree(now, pos, same)
	count := 0
	for _, s := range same {
		if !s {
			count++
		}
	}
	return count
}

// Whatever the shape of the search, a move leaves a ring that is shorter by
// what it says, keeps the fixed edges, exchanges no more edges than its depth,
// and rearranges no more nodes than its reach.
func TestMovesKeepToTheirShape(t *testing.T) {
	const seed = 173
	r := rand.New(rand.NewPCG(seed, 0))
	for _, c := range []struct {
		depth, loose int
		breadth      []int // by edges removed, from 1
		reach        int32
		deepest      int // exchange that is found, of the depth as a rule
	}{
		{2, 2, []int{5}, 0, 2},
		{3, 2, []int{5, 1}, 0, 3},
		{3, 3, []int{5, 3}, 0, 3},
		{4, 3, []int{5, 1, 1}, 0, 4},
		{4, 4, []int{5, 3, 2}, 0, 4},
		{6, 3, []int{5, 3, 1, 1, 1}, 0, 6},
		{6, 3, []int{5, 3, 1, 1, 1}, 9, 4},
		{6, 6, []int{3, 3, 2, 2, 1}, 0, 6},
		{25, 3, []int{5, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, 20, 5},
	} {
		how := effort{depth: c.depth, loose: c.loose}
		copy(how.breadth[1:], c.breadth)
		deepest, farthest := 0, int32(0)
		for k := range 24 {
			n := 12 + r.IntN(50)
			f, ring := someField(r, n, k)
			near := findNeighbours(f, candidates{8, 5, 1}, unhurried())
			s := newSearch(f, near, slices.Clone(ring), how, r)
			s.reach = c.reach
			name := fmt.Sprintf("seed %d, %+v, field %d of %d nodes", seed, c, k, n)
			for range 3 {
				for v := range int32(n) {
					was, length := slices.Clone(s.tour), s.total()
					s.keep()
					gain := s.improve(v)
					if slices.Contains(s.gone, true) {
						t.Fatalf("%s: an edge stays marked as removed", name)
					}
					if gain == 0 {
						if !slices.Equal(was, s.tour) {
							t.Fatalf("%s: nothing gained and the ring is another", name)
						}
						continue
					}
					s.sound(t, name)
					d := changed(was, s.tour)
					deepest = max(deepest, d)
					if !f.isRing(s.tour) || s.total() != length-gain || gain < 0 || d > c.depth {
						t.Fatalf("%s: %d edges exchanged, from %d to %d for a gain of %d", name, d, length, s.total(), gain)
					}
					for _, w := range s.t[:2*d] {
						if !s.queued[w] {
							t.Fatalf("%s: node %d lost an edge and is not queued", name, w)
						}
					}
					moved := int32(0)
					for p, w := range s.tour {
						if was[p] != w {
							moved++
						}
					}
					farthest = max(farthest, moved)
					if c.reach > 0 && moved > c.reach {
						t.Fatalf("%s: %d nodes moved", name, moved)
					}
				}
			}
		}
		if deepest < c.deepest {
			t.Errorf("%+v: %d edges at most were exchanged", c, deepest)
		}
		if c.reach > 0 && farthest < c.reach-1 {
			t.Errorf("%+v: %d nodes at most were moved", c, farthest)
		}
	}
}
