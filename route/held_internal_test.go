package route

import (
	"math/rand/v2"
	"testing"

	"example.org/pinstack/tooling"
)

// flood counts the pieces among the cells present and tells which hang on the
// rim, by a plain flood fill.
func flood(s *stock, present func(c int) bool) (label []int, rim map[int]bool) {
	label = make([]int, s.nx*s.ny)
	rim = map[int]bool{}
	n := 0
	for c := range label {
		if label[c] != 0 || !present(c) {
			continue
		}
		n++
		stack := []int{c}
		label[c] = n
		for len(stack) > 0 {
			d := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := d%s.nx, d/s.nx
			if x == 0 || y == 0 || x == s.nx-1 || y == s.ny-1 {
				rim[n] = true
			}
			for _, e := range [4][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				k := e[1]*s.nx + e[0]
				if e[0] >= 0 && e[1] >= 0 && e[0] < s.nx && e[1] < s.ny && label[k] == 0 && present(k) {
					label[k] = n
					stack = append(stack, k)
				}
			}
		}
	}
	return label, rim
}

// TestRewindAgainstFlooding cuts random cells away at random times and compares
// what hangs on the rim after each time with a flood fill.
func TestRewindAgainstFlooding(t *testing.T) {
	const seed, paths = 6, 5
	rng := rand.New(rand.NewPCG(seed, 1))
	for round := range 60 {
		s := newStock(tooling.Panel{Width: 4 + float64(rng.IntN(4)), Height: 3 + float64(rng.IntN(4))})
		for c := range s.cutAt {
			if rng.IntN(5) < 3 {
				s.cutAt[c] = int32(rng.IntN(paths))
			}
		}
		last := paths
		s.rewind(paths, func(after int) {
			if last--; after != last {
				t.Fatalf("seed %d round %d: after %d, want %d", seed, round, after, last)
			}
			label, rim := flood(s, func(c int) bool { return int(s.cutAt[c]) > after })
			for c := range label {
				if label[c] == 0 {
					continue
				}
				if got := s.find(int32(c)) == s.find(s.frame()); got != rim[label[c]] {
					t.Fatalf("seed %d round %d after %d: cell %d held is %v, flooding says %v", seed, round, after, c, got, rim[label[c]])
				}
			}
			if after != paths-1 {
				return
			}
			loose := map[int]bool{}
			for _, n := range label {
				if n != 0 && !rim[n] {
					loose[n] = true
				}
			}
			lumps := s.lumps(func(c int) bool { return s.cutAt[c] == never }, func(root int32) bool { return root == s.find(s.frame()) })
			if len(lumps) != len(loose) {
				t.Fatalf("seed %d round %d: %d lumps, flooding finds %d", seed, round, len(lumps), len(loose))
			}
		})
		if last != -1 {
			t.Fatalf("seed %d round %d: ended at %d", seed, round, last)
		}
	}
}
