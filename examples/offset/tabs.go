package main

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// A bridge is a stretch of edge that the cutter leaves standing: a tab and what is to be
// said of it.
type bridge struct {
	at    orb.Point // on the edge
	width float64   // mm between the swept ends
	gap   contour.Contour
	bent  bool    // the gap is not one straight line
	thin  bool    // what the web ties together is not thick enough
	thick float64 // how thick it is then, mm
}

// tabbed is what the tabs make of the loops.
type tabbed struct {
	paths []contour.Contour
	tabs  []bridge
	// loose are the centroids of parts that lie outside the polygon of their
	// tabs, and how far.
	loose []loose
}

// leaveTabs cuts n gaps into each loop that runs round material, so that webs
// of the given width stay. Other loops are kept whole. Of the places that hold the
// whole gap, the web and one cutter diameter, those are taken that are as near as
// that allows to even distances along the loop, by these demands:
//
//   - the gap lies on a straight stretch,
//   - the material on both sides of the channel is [thickEnough],
//   - from three tabs on, the centroid of the part that they hold lies
//     inside their polygon.
//
// Where no such n places are found, tabs may stand on bent stretches too: there
// the gap is as long as makes the distance between the swept ends the web's width.
// Then the centroid is given up, at last the thickness; each of these is told by
// a finding. Wherever the cutter came nearer on its way to or from the gap, as under a
// dovetail, the place is passed by.
func leaveTabs(source, loops []contour.Contour, inside bool, n int, width, cutter float64) (*tabbed, error) {
	s := &spreader{edge: contour.NewIndex(source), loops: contour.NewIndex(loops), inside: inside, cutter: cutter, width: width + cutter}
	parts := heldParts(source, loops, inside)
	out := &tabbed{}
	for i, c := range loops {
		if c.Area() <= 0 {
			out.paths = append(out.paths, c)
			continue
		}
		s.follow(c)
		gaps, ok := s.choose(n, parts[i])
		if !ok {
			return nil, fmt.Errorf("%d tabs with gaps of %.3f mm do not fit the loop of %.3f mm near (%g, %g)", n, s.width, s.total, c.Start[0], c.Start[1])
		}
		stands := make([]orb.Point, n)
		for k, g := range gaps {
			b := s.bridge(g)
			stands[k] = b.at
			out.tabs = append(out.tabs, b)
			out.paths = append(out.paths, s.cut(g.to, gaps[(k+1)%n].from))
		}
		if d := outsideHull(parts[i], stands); d > tipping {
			out.loose = append(out.loose, loose{parts[i], d})
		}
	}
	return out, nil
}

// bridge is the tab that a gap leaves.
func (s *spreader) bridge(g gap) bridge {
	b := bridge{at: s.foot(g), gap: s.cut(g.from, g.to), bent: !s.isStraight(g)}
	b.width = apart(s.at(g.from), s.at(g.to)) - s.cutter
	if !s.thick(g) {
		b.thin, b.thick = true, s.thickness(g)
	}
	return b
}
