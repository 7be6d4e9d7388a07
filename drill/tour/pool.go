package tour

import "slices"

// A problem of moderate size is solved by a pool of independent tours, each
// improved for a while, that are crossed with each other, again and again as
// the pool grows.
const (
	poolNodes  = 12000
	hurryNodes = 2000
	leadNodes  = 8000
	poolFirst  = 6   // tours before the first crossing
	poolMost   = 160 // tours in a pool; then a new pool begins
	poolGrowth = 1.5 // from crossing to crossing
	poolKicks  = 0.3 // kicks a node and tour
	poolLoops  = 30  // exchanges tried in one crossing
	poolStall  = 2   // generations without gain that end the crossing
)

// tourKicks is the kicks of the i-th tour of a pool. The first crossing should
// not be long in coming, so larger problems hurry with the first tours; where it
// is far away all the same, a short run lives on the first tour alone.
func tourKicks(n, i int) int64 {
	share := poolKicks
	switch {
	case n > leadNodes && i == 0:
		share = 1.2
	case n > hurryNodes && i < 6:
		share = poolKicks / 2
	}
	return int64(share * float64(n))
}

// one is a tour of the pool.
type one struct {
	tour, pos []int32
	length    int64
}

func (f *field) one(tour []int32) one {
	o := one{tour: tour, pos: make([]int32, len(tour))}
	for p, v := range tour {
		o.pos[v] = int32(p)
		o.length += f.edge(v, tour[wrap(p+1, len(tour))])
	}
	return o
}

// pool searches until the budget is spent.
func (s *solver) pool(start []int32) {
	n := len(start)
	for epoch := uint64(0); !s.over(); epoch++ {
		var all []one
		for want := poolFirst; want <= poolMost && !s.over(); want = int(float64(want) * poolGrowth) {
			first := len(all)
			fresh := make([]one, want-first)
			whole, partial := s.parts(len(fresh), func(i int) int64 {
				return descent(n) + tourKicks(n, first+i)
			}, func(i int, quota int64, b *budget) int64 {
				rng := s.rng(epoch<<32 + uint64(first+i) + 1)
				t := newSearch(&s.field, s.near, slices.Clone(start), s.how, rng)
				if epoch == 0 && first+i == 0 {
					for v := range int32(n) {
						t.push(v)
					}
				} else {
					for _, v := range rng.Perm(n) {
						t.push(int32(v))
					}
				}
				down := min(quota, descent(n))
				made := t.descend(down, b)
				if made == down && quota > down {
					_, kicks := t.iterate(quota-down, b)
					made += kicks
				}
				s.tried.Add(t.tried)
				fresh[i] = one{t.tour, t.pos, t.total()}
				return made
			})
			if partial > 0 {
				whole++
			}
			for _, o := range fresh[:whole] {
				all = append(all, o)
				s.offer(o.tour, o.length)
			}
			s.report()
			if !s.over() {
				s.cross(slices.Clone(all), epoch<<32+uint64(want)<<16)
			}
		}
	}
}

// cross crosses the tours of a pool, generation after generation, until none
// gains any more (Jacobi fashion: all of a generation see the one before).
func (s *solver) cross(pop []one, stream uint64) {
	n := len(s.ring)
	if !slices.ContainsFunc(pop, func(o one) bool { return o.length == s.length }) {
		pop = append(pop, s.field.one(s.ring))
	}
	order := make([]int, len(pop))
	for i := range order {
		order[i] = i
	}
	price := int64(1 + n/2000)
	for gen, stall := uint64(0), 0; stall < poolStall && !s.over(); gen++ {
		stall++
		shuffle := s.rng(1<<63 + stream + gen)
		shuffle.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		next := make([]one, len(pop))
		whole, _ := s.parts(len(pop), func(int) int64 { return price }, func(i int, quota int64, b *budget) int64 {
			if b.over() {
				return 0
			}
			if quota < price {
				return quota
			}
			x, y := pop[order[i]], pop[order[wrap(i+1, len(pop))]]
			c := newCrossing(&s.field, s.near, x, y, s.rng(1<<62+(stream+gen)<<16+uint64(i)))
			if c == nil {
				return quota
			}
			if g := c.improve(poolLoops); g > 0 {
				next[i] = s.field.one(c.result(make([]int32, 0, n)))
			}
			return quota
		})
		for i, o := range next[:whole] {
			if o.tour != nil {
				pop[order[i]] = o
				s.offer(o.tour, o.length)
				stall = 0
			}
		}
		s.report()
	}
}
