package main

import "github.com/paulmach/orb"

// A demand says what places will do.
type demand struct{ straight, thick, centred bool }

// demands are tried in turn: a bent place before the centroid is given up, which
// lets the part tip, and a place that holds nothing last.
var demands = [...]demand{
	{straight: true, thick: true, centred: true},
	{thick: true, centred: true},
	{straight: true, thick: true},
	{thick: true},
	{straight: true, centred: true},
	{centred: true},
	{straight: true},
	{},
}

// choose finds n gaps by the first of the demands that can be met.
func (s *spreader) choose(n int, centroid orb.Point) ([]gap, bool) {
	if float64(n)*(s.width+leastCut) > s.total {
		return nil, false
	}
	for _, want := range demands {
		// One tab or two have no polygon that a centroid could lie in.
		want.centred = want.centred && n >= 3
		if out := s.spread(n, want, centroid); out != nil {
			return out, true
		}
	}
	return nil, false
}
