package tour

import "slices"

// wholeNodes is up to how many nodes one array serves without windows.
const wholeNodes = 200000

// sweepKicks is the kicks a node between two looks at the result.
const sweepKicks = 0.1

// whole improves one ring until the budget is spent: a descent, then kicks
// along the curve, round after round.
func (s *solver) whole(start []int32) {
	n := len(start)
	t := newSearch(&s.field, s.near, slices.Clone(start), s.how, s.rng(1))
	for v := range int32(n) {
		t.push(v)
	}
	length := s.length
	for round := 0; !s.over(); round++ {
		s.parts(1, func(int) int64 {
			if round == 0 {
				return descent(n)
			}
			return max(1, int64(sweepKicks*float64(n)))
		}, func(_ int, quota int64, b *budget) int64 {
			if round == 0 {
				return t.descend(quota, b)
			}
			_, made := t.sweep(quota, b)
			return made
		})
		if l := t.total(); l < length {
			length = l
			s.offer(slices.Clone(t.tour), l)
		}
		s.report()
	}
	s.tried.Add(t.tried)
}
