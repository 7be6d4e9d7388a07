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

// moves relocates stretches of up to three visits and turns stretches round,
// first improvement first, until none helps.
func (o *orderer) moves(s *sequence) {
	for o.relocate(s) || o.turnRound(s) {
	}
	s.cost = o.total(s)
}

// node is the visit at position k of the order, -1, the change position, beyond
// both ends.
func (s *sequence) node(k int) int {
	if k < 0 || k >= len(s.order) {
		return -1
	}
	return s.order[k]
}

// hop is the leg between two visits by their entries of the sequence.
func (o *orderer) hop(s *sequence, a, b int) int64 {
	e, f := 0, 0
	if a >= 0 {
		e = s.entry[a]
	}
	if b >= 0 {
		f = s.entry[b]
	}
	return o.leg(a, e, b, f)
}

// between is the least detour over visit v on the way from p to q, which takes
// direct, and the entry that takes it.
func (o *orderer) between(s *sequence, p, v, q int, direct int64) (detour int64, entry int) {
	e, f := 0, 0
	if p >= 0 {
		e = s.entry[p]
	}
	if q >= 0 {
		f = s.entry[q]
	}
	detour = unreached
	for k := range o.visits[v].ends {
		if d := o.leg(p, e, v, k) + o.leg(v, k, q, f) - direct; d < detour {
			detour, entry = d, k
		}
	}
	return detour, entry
}

// relocate goes once through all stretches [i, i+w) and moves each to the first
// place found that shortens the way; it tells whether any was moved.
func (o *orderer) relocate(s *sequence) (moved bool) {
	n := len(s.order)
	for w := 1; w <= 3; w++ {
		for i := 0; i+w <= n; i++ {
			a, first, last, b := s.node(i-1), s.node(i), s.node(i+w-1), s.node(i+w)
			gain := o.hop(s, a, first) + o.hop(s, last, b) - o.hop(s, a, b)
			better := func(p, q int) bool {
				o.tried++
				direct := o.hop(s, p, q)
				if w > 1 {
					return o.hop(s, p, first)+o.hop(s, last, q)-direct < gain
				}
				d, e := o.between(s, p, first, q, direct)
				if d < gain {
					s.entry[first] = e
				}
				return d < gain
			}
			if w == 1 && better(a, b) {
				moved = true
				continue
			}
			done := false
			for k := i + w; k < n && !done && !o.blocks(s.order[i:i+w], s.order[k], false); k++ {
				if done = better(s.node(k), s.node(k+1)); done {
					shift(s.order[i:k+1], w)
				}
			}
			for k := i - 1; k >= 0 && !done && !o.blocks(s.order[i:i+w], s.order[k], true); k-- {
				if done = better(s.node(k-1), s.node(k)); done {
					shift(s.order[k:i+w], i-k)
				}
			}
			moved = moved || done
		}
	}
	return moved
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
func (o *orderer) turnRound(s *sequence) bool {
	n := len(s.order)
	for i := 0; i < n-1; i++ {
		forth, back := int64(0), int64(0)
		a, first := s.node(i-1), s.node(i)
		for j := i + 1; j < n; j++ {
			v := s.order[j]
			if o.blocks(s.order[i:j], v, false) {
				break
			}
			o.tried++
			forth += o.hop(s, s.order[j-1], v)
			back += o.hop(s, v, s.order[j-1])
			b := s.node(j + 1)
			if o.hop(s, a, v)+back+o.hop(s, first, b) < o.hop(s, a, first)+forth+o.hop(s, v, b) {
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
	v := rng.IntN(n)
	s.entry[v] = rng.IntN(len(o.visits[v].ends))
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
