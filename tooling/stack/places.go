package stack

// FirstPlace returns the tool number T of the first tool of a share: tools
// are numbered from 1 through all shares of the set-up in their order, so
// that the passes of one set-up fill one magazine without a clash. It is 0
// when the set-up has no such share.
func (s SetUp) FirstPlace(pass string, place int) int {
	next := 1
	for _, t := range s.Tools {
		if t.Pass == pass && t.Place == place {
			return next
		}
		next += t.PerLoad
	}
	return 0
}

// Has tells whether the set-up has a share of a pass: of the tiers of a set-up
// each has its own, and the routing is in the last.
func (s SetUp) Has(pass string) bool {
	for _, t := range s.Tools {
		if t.Pass == pass {
			return true
		}
	}
	return false
}
