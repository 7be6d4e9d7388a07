package route

import "math/rand/v2"

// descend improves a sequence until neither a move nor other entries shorten
// it.
func (o *orderer) descend(s *sequence) {
	for {
		before := s.cost
		o.moves(s)
		o.enter(s)
		if s.cost >= before {
			return
		}
	}
}

// table is the legs between all visits with their entries fixed; index n is
// the change position.
func (o *orderer) table(s *sequence) [][]int64 {
	n := len(o.visits)
	t := make([][]int64, n+1)
	cells := make([]int64, (n+1)*(n+1))
	for i := range t {
		t[i] = cells[i*(n+1) : (i+1)*(n+1)]
		for j := range t[i] {
			a, e, b, f := i, 0, j, 0
			if i < n {
				e = s.entry[i]
			} else {
				a = -1
			}
			if j < n {
				f = s.entry[j]
			} else {
				b = -1
			}
			t[i][j] = o.leg(a, e, b, f)
		}
	}
	return t
}

// moves relocates stretches of up to three visits and turns stretches round,
// first improvement first, until none helps.
func (o *orderer) moves(s *sequence) {
	t := o.table(s)
	for o.relocate(s, t) || o.turnRound(s, t) {
	}
	s.cost = o.total(s)
}

// node is the visit at position k of the order, the change position beyond
// both ends.
func (s *sequence) node(k int) int {
	if k < 0 || k >= len(s.order) {
		return len(s.order)
	}
	return s.order[k]
}

// relocate makes the first move of a stretch [i, i+w) that shortens the way.
func (o *orderer) relocate(s *sequence, t [][]int64) bool {
	n := len(s.order)
	for w := 1; w <= 3; w++ {
		for i := 0; i+w <= n; i++ {
			a, first, last, b := s.node(i-1), s.node(i), s.node(i+w-1), s.node(i+w)
			gain := t[a][first] + t[last][b] - t[a][b]
			if gain <= 0 {
				continue
			}
			for k := i + w; k < n && !o.blocks(s.order[i:i+w], s.order[k], false); k++ {
				if p, q := s.node(k), s.node(k+1); t[p][first]+t[last][q]-t[p][q] < gain {
					shift(s.order[i:k+1], w)
					return true
				}
			}
			for k := i - 1; k >= 0 && !o.blocks(s.order[i:i+w], s.order[k], true); k-- {
				if p, q := s.node(k-1), s.node(k); t[p][first]+t[last][q]-t[p][q] < gain {
					shift(s.order[k:i+w], i-k)
					return true
				}
			}
		}
	}
	return false
}

// blocks tells whether a stretch may not pass visit v: to the left when
// earlier is set.
func (o *orderer) blocks(stretch []int, v int, earlier bool) bool {
	for _, x := range stretch {
		if earlier && o.before[v][x] || !earlier && o.before[x][v] {
			return true
		}
	}
	return false
}

// shift moves the first w elements to the end.
func shift(a []int, w int) {
	head := append([]int{}, a[:w]...)
	copy(a, a[w:])
	copy(a[len(a)-w:], head)
}

// turnRound reverses the first stretch that is shorter backwards.
func (o *orderer) turnRound(s *sequence, t [][]int64) bool {
	n := len(s.order)
	for i := 0; i < n-1; i++ {
		forth, back := int64(0), int64(0)
		a, first := s.node(i-1), s.node(i)
		for j := i + 1; j < n; j++ {
			v := s.order[j]
			if o.blocks(s.order[i:j], v, false) {
				break
			}
			forth += t[s.order[j-1]][v]
			back += t[v][s.order[j-1]]
			b := s.node(j + 1)
			if t[a][v]+back+t[first][b] < t[a][first]+forth+t[v][b] {
				for x, y := i, j; x < y; x, y = x+1, y-1 {
					s.order[x], s.order[y] = s.order[y], s.order[x]
				}
				return true
			}
		}
	}
	return false
}

// kick moves a random stretch to a random place it may go to.
func (o *orderer) kick(s *sequence, rng *rand.Rand) bool {
	n := len(s.order)
	w := 1 + rng.IntN(min(n/2, 8))
	i := rng.IntN(n - w + 1)
	k := rng.IntN(n - w + 1)
	if k == i {
		return false
	}
	if k > i {
		for j := i + w; j < k+w; j++ {
			if o.blocks(s.order[i:i+w], s.order[j], false) {
				return false
			}
		}
		shift(s.order[i:k+w], w)
	} else {
		for j := k; j < i; j++ {
			if o.blocks(s.order[i:i+w], s.order[j], true) {
				return false
			}
		}
		shift(s.order[k:i+w], i-k)
	}
	s.cost = o.total(s)
	return true
}
