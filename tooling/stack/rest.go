package stack

import "slices"

// LastPlace returns the largest tool number that the set-up gives out; 0 for
// one without tools.
func (s SetUp) LastPlace() int {
	last := 0
	for _, t := range s.Tools {
		last += t.PerLoad
	}
	return last
}

// Rest returns the set-up for the rest of one load after a stop: so many
// stacks on a machine that has so many spindles, in as many loads as that
// takes. Height, handling and tools stay as planned for the lot; what only the
// lot has, its cost and its times, is not that of the rest and is 0.
func (s SetUp) Rest(stacks, spindles int) SetUp {
	stacks = max(1, stacks)
	used := min(stacks, max(1, spindles))
	s.Tools = slices.Clone(s.Tools)
	s.Spindles, s.Stacks = used, stacks
	s.Loads = (stacks + used - 1) / used
	s.Last = stacks - (s.Loads-1)*used
	s.Cost, s.Partial, s.LoadTime, s.Times, s.Carried = Cost{}, 0, 0, Times{}, 0
	return s
}
