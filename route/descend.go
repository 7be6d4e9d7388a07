package route

import (
	"math/rand/v2"
	"slices"
)

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
// first improvement first, until none of those round a loose visit helps.
func (o *orderer) moves(s *sequence) {
	for slices.Contains(s.loose, true) {
		near := s.loose
		s.loose = make([]bool, len(near))
		o.relocate(s, near)
		o.turnRound(s, near)
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

// relocate goes once through the stretches [i, i+w) at a visit of near and moves
// each to the first place found that shortens the way.
func (o *orderer) relocate(s *sequence, near []bool) {
	n := len(s.order)
	for w := 1; w <= 3; w++ {
		for i := 0; i+w <= n; i++ {
			a, first, last, b := s.node(i-1), s.node(i), s.node(i+w-1), s.node(i+w)
			if !near[first] && !near[last] && !(a >= 0 && near[a]) && !(b >= 0 && near[b]) {
				continue
			}
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
				s.loosen(a, first, b)
				continue
			}
			done := false
			for k := i + w; k < n && !done && !o.blocks(s.order[i:i+w], s.order[k], false); k++ {
				if p, q := s.node(k), s.node(k+1); better(p, q) {
					shift(s.order[i:k+1], w)
					s.loosen(a, b, p, first, last, q)
					done = true
				}
			}
			for k := i - 1; k >= 0 && !done && !o.blocks(s.order[i:i+w], s.order[k], true); k-- {
				if p, q := s.node(k-1), s.node(k); better(p, q) {
					shift(s.order[k:i+w], i-k)
					s.loosen(a, b, p, first, last, q)
					done = true
				}
			}
		}
	}
}

// blocks tells whether a stretch may not pass visit v: to the left when
// earlier is set.
func (o *orderer) blocks(stretch []int, v int, earlier bool) bool {
	if o.free {
		return false
	}
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

// turnRound goes once through the stretches that begin or end at a visit of near
// and turns round those that are shorter backwards.
func (o *orderer) turnRound(s *sequence, near []bool) {
	n := len(s.order)
	at := func(v int) bool { return v >= 0 && near[v] }
	for i := range n {
		if at(s.node(i-1)) || at(s.node(i)) {
			o.turnFrom(s, i)
		}
		if at(s.node(i)) || at(s.node(i+1)) {
			o.turnUpTo(s, i)
		}
	}
}

// turnFrom turns round the first stretch from position i on that is shorter
// backwards.
func (o *orderer) turnFrom(s *sequence, i int) {
	forth, back := int64(0), int64(0)
	for j := i + 1; j < len(s.order); j++ {
		if o.blocks(s.order[i:j], s.order[j], false) {
			return
		}
		forth += o.hop(s, s.order[j-1], s.order[j])
		back += o.hop(s, s.order[j], s.order[j-1])
		if o.turn(s, i, j, forth, back) {
			return
		}
	}
}

// turnUpTo turns round the first stretch up to position j that is shorter
// backwards.
func (o *orderer) turnUpTo(s *sequence, j int) {
	forth, back := int64(0), int64(0)
	for i := j - 1; i >= 0; i-- {
		if o.blocks(s.order[i+1:j+1], s.order[i], true) {
			return
		}
		forth += o.hop(s, s.order[i], s.order[i+1])
		back += o.hop(s, s.order[i+1], s.order[i])
		if o.turn(s, i, j, forth, back) {
			return
		}
	}
}

// turn reverses the stretch from position i to j, which takes forth ns as it
// is and back ns turned round, where that shortens the way.
func (o *orderer) turn(s *sequence, i, j int, forth, back int64) bool {
	o.tried++
	a, first, last, b := s.node(i-1), s.node(i), s.node(j), s.node(j+1)
	if o.hop(s, a, last)+back+o.hop(s, first, b) >= o.hop(s, a, first)+forth+o.hop(s, last, b) {
		return false
	}
	slices.Reverse(s.order[i : j+1])
	s.loosen(a, first, last, b)
	return true
}

// kick moves a random stretch to a random place it may go to.
func (o *orderer) kick(s *sequence, rng *rand.Rand) bool {
	n := len(s.order)
	v := rng.IntN(n)
	entry := rng.IntN(len(o.visits[v].ends))
	w := 1 + rng.IntN(min(n/2, 8))
	i := rng.IntN(n - w + 1)
	k := rng.IntN(n - w + 1)
	if k == i {
		return false
	}
	lo, hi, cut := i, k+w, w // the stretch and what it changes places with
	if k > i {
		for j := i + w; j < k+w; j++ {
			if o.blocks(s.order[i:i+w], s.order[j], false) {
				return false
			}
		}
	} else {
		for j := k; j < i; j++ {
			if o.blocks(s.order[i:i+w], s.order[j], true) {
				return false
			}
		}
		lo, hi, cut = k, i+w, i-k
	}
	s.loosen(s.node(lo-1), s.node(lo), s.node(lo+cut-1), s.node(lo+cut), s.node(hi-1), s.node(hi))
	shift(s.order[lo:hi], cut)
	if s.entry[v] != entry {
		s.entry[v] = entry
		p := slices.Index(s.order, v)
		s.loosen(s.node(p-1), v, s.node(p+1))
	}
	s.cost = o.total(s)
	return true
}
