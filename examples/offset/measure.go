package main

import (
	"math"
	"slices"

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

// A ruling is what is measured of one result, knowing nothing of how it was made.
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
		out.Gouge = fixed(math.Max(0, m.r-nearest))
	}
	spared := m.spared(unreachable)
	gaps := make([]contour.Contour, len(tabs))
	for i, b := range tabs {
		gaps[i] = b.gap
	}
	path, gap := contour.NewIndex(m.paths), contour.NewIndex(gaps)
	for i, c := range m.source {
		out.Uncut = fixed(math.Max(float64(out.Uncut), m.uncut(c, path, gap, spared[i])))
	}
	return out
}

// clearance is the smallest distance from the paths to the edges, negative where a
// path lies on the wrong side of them. Two lines are nearest to each other at
// an end of one of them, so all ends are looked at; arcs are sampled, and searched
// where a sample lies lower than its neighbours.
func (m ruling) clearance() float64 {
	edge, path := contour.NewIndex(m.given), contour.NewIndex(m.paths)
	nearest := math.Inf(1)
	look := func(p orb.Point) float64 {
		d := edge.Distance(p)
		nearest = math.Min(nearest, d)
		return d
	}
	for _, c := range m.given {
		nearest = math.Min(nearest, path.Distance(c.Start))
		for _, v := range c.Moves {
			nearest = math.Min(nearest, path.Distance(v.To))
		}
	}
	wrong := 0.0
	for _, c := range m.paths {
		look(c.Start)
		from := c.Start
		for _, v := range c.Moves {
			leg := contour.Contour{Start: from, Moves: []contour.Move{v}}
			l := leg.Length()
			at := func(s float64) orb.Point { p, _ := leg.At(s); return p }
			if v.Turn != 0 {
				n := 8 + int(math.Min(l/sampling, 1000))
				before, here := look(from), look(at(l/float64(n)))
				for k := 1; k < n; k++ {
					after := look(at(l * float64(k+1) / float64(n)))
					if here <= before && here <= after {
						lo, hi := l*float64(k-1)/float64(n), l*float64(k+1)/float64(n)
						for range 40 {
							a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
							if look(at(a)) < look(at(b)) {
								hi = b
							} else {
								lo = a
							}
						}
					}
					before, here = here, after
				}
			}
			// One look a move tells the side it runs on: to get to the other one
			// it has to cross an edge.
			if p := at(l / 2); edge.Contains(p) != m.inside {
				wrong = math.Max(wrong, look(p))
			}
			look(v.To)
			from = v.To
		}
	}
	if wrong > 0 {
		return -wrong
	}
	return nearest
}

// span is a stretch of a contour, as lengths along it; it may run over the start.
type span struct{ from, to float64 }

// spared gives the stretches of each edge that are listed and need not be cut.
func (m ruling) spared(unreachable []contour.Place) [][]span {
	rings := make([]*contour.Index, len(m.source))
	for i := range m.source {
		rings[i] = contour.NewIndex(m.source[i : i+1])
	}
	out := make([][]span, len(m.source))
	for _, u := range unreachable {
		s := rings[u.Contour].Nearest(u.At).Along
		half := u.Size/2 + touched
		out[u.Contour] = append(out[u.Contour], span{s - half, s + half})
	}
	for i, c := range m.source {
		out[i] = unwrap(out[i], c.Length())
	}
	return out
}

// unwrap cuts spans at the start of a contour and sorts and unites them.
func unwrap(spans []span, length float64) []span {
	var flat []span
	for _, s := range spans {
		switch {
		case s.to-s.from >= length:
			flat = append(flat, span{0, length})
		case s.from < 0:
			flat = append(flat, span{0, s.to}, span{s.from + length, length})
		case s.to > length:
			flat = append(flat, span{s.from, length}, span{0, s.to - length})
		default:
			flat = append(flat, s)
		}
	}
	slices.SortFunc(flat, func(a, b span) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	out := flat[:0]
	for _, s := range flat {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = math.Max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
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
		run += math.Max(step, 1e-6)
		longest = math.Max(longest, run)
	})
	return longest
}

// walk visits points along a contour, the ends and middles of all moves among
// them, with their length along it.
func walk(c contour.Contour, visit func(p orb.Point, s float64)) {
	step := math.Max(sampling, c.Length()/mostSamples)
	var at float64
	from := c.Start
	for _, m := range c.Moves {
		part := contour.Contour{Start: from, Moves: []contour.Move{m}}
		l := part.Length()
		n := 2 * int(math.Ceil(l/step/2))
		for k := range n {
			p, _ := part.At(l * float64(k) / float64(n))
			visit(p, at+l*float64(k)/float64(n))
		}
		at += l
		from = m.To
	}
	visit(from, at)
}
