package tour

import "slices"

// kick makes a local double bridge: four edges near each other are removed and
// the three stretches between them change places, B C D to D C B, none of them
// reversed. Swapping only two stretches would exchange three edges, which the
// search finds and takes back. The places come from a random walk over the
// candidates (D. Applegate, W. Cook, A. Rohe, Chained Lin-Kernighan for large
// traveling salesman problems, INFORMS Journal on Computing 15, 2003). It
// returns what the kick costs and false when it found no four places.
func (s *search) kick(v int32) (int64, bool) {
	n := len(s.tour)
	var cuts [4]int32 // positions of the earlier ends
	got := 0
	for tries := 0; got < 4; tries++ {
		if tries == 20 {
			return 0, false
		}
		p := s.pos[v]
		if !slices.Contains(cuts[:got], p) && !s.fixed(v, s.next(v)) {
			cuts[got] = p
			got++
		}
		v = s.wander(v)
	}
	slices.Sort(cuts[:])
	var out [4]int32
	for i, p := range cuts {
		out[i] = s.tour[wrap(int(p)+1, n)]
	}
	in := [4]int32{s.tour[cuts[0]], s.tour[cuts[1]], s.tour[cuts[2]], s.tour[cuts[3]]}
	// A ends at cut 0, B at cut 1, C at cut 2, D at cut 3.
	cost := s.cost(in[0], out[2]) + s.cost(in[3], out[1]) + s.cost(in[2], out[0]) + s.cost(in[1], out[3])
	for i := range in {
		cost -= s.leg[cuts[i]]
		s.push(in[i])
		s.push(out[i])
	}
	first := func(i int) int32 { return int32(wrap(int(cuts[i])+1, n)) }
	s.arrange([]stretch{
		{first(3), cuts[0], false},
		{first(2), cuts[3], false},
		{first(1), cuts[2], false},
		{first(0), cuts[1], false},
	})
	return cost, true
}

const walkSteps = 16

// wander goes a few random steps from candidate to candidate.
func (s *search) wander(v int32) int32 {
	for range walkSteps {
		row := s.near.of(v)
		k := len(row)
		for k > 0 && row[k-1].id < 0 {
			k--
		}
		if k == 0 {
			break
		}
		v = row[s.rng.IntN(k)].id
	}
	return v
}

// iterate kicks anywhere up to times times and keeps what does not lengthen the
// ring. It returns the gain and the kicks made before the budget ran out.
func (s *search) iterate(times int64, b *budget) (gain, made int64) {
	for made < times && !b.over() {
		gain += s.attempt(int32(s.rng.IntN(len(s.tour))))
		made++
	}
	return gain, made
}

// sweep is iterate along the curve, so that what one kick looks at is still at
// hand for the next.
func (s *search) sweep(times int64, b *budget) (gain, made int64) {
	n := len(s.tour)
	stride := max(1, n/int(times))
	v := s.rng.IntN(n)
	for made < times && !b.over() {
		gain += s.attempt(int32(v))
		made++
		v = (v + 1 + s.rng.IntN(2*stride)) % n
	}
	return gain, made
}

// attempt kicks at v and returns the gain; a loss is taken back.
func (s *search) attempt(v int32) int64 {
	s.keep()
	cost, ok := s.kick(v)
	if !ok {
		return 0
	}
	g := s.settle() - cost
	if g < 0 {
		s.undo()
		return 0
	}
	return g
}
