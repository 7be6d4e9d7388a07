package main

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

const (
	// sampling is the distance between looked-at points, mm.
	sampling = 0.05
	// mostSamples bounds the points looked at on one contour.
	mostSamples = 1_000_000
	// touched is how far from its place the cutter's edge still counts as
	// touching a point, mm, and how far past its ends a stretch that is listed
	// still counts.
	touched = 2e-3
	// rounding is by how much the sum of a long contour's moves may be off, mm.
	rounding = 1e-6
)

// A ruling is what is measured of one result, knowing nothing of how it was made: an
// offset that went wrong cannot agree with itself here.
type ruling struct {
	given  []contour.Contour // the edges as the file has them
	source []contour.Contour // the same with arcs fitted, whose stretches are listed
	paths  []contour.Contour // as they are printed
	r      float64           // of the cutter, mm
	inside bool              // the cutter belongs inside the region
}

// measure tells how near the cutter's centre comes to an edge, how deep that cuts
// into it, both against the edges as they were given, and the longest stretch of edge
// that the cutter neither touches nor is listed as out of its reach, and that no tab
// keeps it from: it would not touch it in the tab's gap either.
func (m ruling) measure(unreachable []contour.Place, tabs []bridge) check {
	out := check{}
	if len(m.paths) > 0 {
		nearest := m.clearance()
		told := fixed(nearest)
		out.MinClearance = &told
		out.Gouge = fixed(max(0, m.r-nearest))
	}
	spared := m.spared(unreachable)
	gaps := make([]contour.Contour, len(tabs))
	for i, b := range tabs {
		gaps[i] = b.gap
	}
	path, gap := contour.NewIndex(m.paths), contour.NewIndex(gaps)
	for i, c := range m.source {
		out.Uncut = max(out.Uncut, fixed(m.uncut(c, path, gap, spared[i])))
	}
	return out
}

// uncut is the longest stretch of an edge that is neither cut nor spared.
func (m ruling) uncut(c contour.Contour, path, gap *contour.Index, spared []span) float64 {
	var run, longest, before float64
	walk(c, func(p orb.Point, s float64) {
		step := s - before
		before = s
		for len(spared) > 0 && spared[0].to < s-rounding {
			spared = spared[1:]
		}
		if (len(spared) > 0 && spared[0].from <= s) || path.Distance(p) <= m.r+touched || gap.Distance(p) <= m.r+touched {
			run = 0
			return
		}
		run += max(step, 1e-6) // a single point that is left counts, too
		longest = max(longest, run)
	})
	return longest
}

// walk visits points along a contour, the ends and middles of all moves among
// them, with their length along it.
func walk(c contour.Contour, visit func(p orb.Point, s float64)) {
	step := max(sampling, c.Length()/mostSamples)
	var before float64
	for leg := range legs(c) {
		l := leg.Length()
		n := 2 * int(math.Ceil(l/step/2))
		for k := range n {
			s := l * float64(k) / float64(n)
			visit(at(leg, s), before+s)
		}
		before += l
	}
	visit(c.End(), before)
}
