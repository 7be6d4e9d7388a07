package main

import (
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// bridge is a stretch of edge that the cutter leaves standing.
type bridge struct {
	at       orb.Point // on the edge
	width    float64   // mm between the swept ends
	from, to orb.Point // the cutter's centre where it stops and goes on
}

// leaveTabs cuts n gaps into each loop that runs round material, so that webs
// of the given width stay. Tabs stand on straight stretches that hold the whole gap,
// the web and one cutter diameter, as near as that allows to even distances along the
// loop. Where a loop has no n such places, tabs stand on bent ones too: there the
// gap is as long as makes the distance between the swept ends the web's width.
// Wherever the cutter came nearer on its way to or from the gap, as under a
// dovetail, the place is passed by. Other loops are kept whole.
func leaveTabs(source, loops []contour.Contour, n int, width, cutter float64) ([]contour.Contour, []bridge, error) {
	edge := contour.NewIndex(source)
	var paths []contour.Contour
	var tabs []bridge
	for _, c := range loops {
		if c.Area() <= 0 {
			paths = append(paths, c)
			continue
		}
		s := newSpreader(c, width+cutter)
		gaps, ok := s.spread(n)
		if !ok {
			return nil, nil, fmt.Errorf("%d tabs with gaps of %.3f mm do not fit the loop of %.3f mm near (%g, %g)", n, s.width, s.total, c.Start[0], c.Start[1])
		}
		for k, g := range gaps {
			next := gaps[(k+1)%n]
			paths = append(paths, c.Cut(g.to, next.from))
			b := bridge{from: s.at(g.from), to: s.at(g.to)}
			b.at = edge.Nearest(s.at(g.middle())).At
			b.width = math.Hypot(b.to[0]-b.from[0], b.to[1]-b.from[1]) - cutter
			tabs = append(tabs, b)
		}
	}
	return paths, tabs, nil
}

// gap is a stretch of a loop that is not cut, as lengths along it.
type gap struct{ from, to float64 }

func (g gap) middle() float64 { return (g.from + g.to) / 2 }

// leastCut is the shortest path that is left between two gaps, mm.
const leastCut = 0.1

// A spreader finds places for tabs on one loop.
type spreader struct {
	c     contour.Contour
	width float64 // mm between the two ends of a gap
	parts []contour.Contour
	start []float64 // of each part, along the loop
	total float64
	free  []gap // where the middle of a gap on a straight stretch may lie
}

func newSpreader(c contour.Contour, width float64) *spreader {
	s := &spreader{c: c, width: width}
	from := c.Start
	for _, m := range c.Moves {
		part := contour.Contour{Start: from, Moves: []contour.Move{m}}
		l := part.Length()
		if m.Turn == 0 && l >= width {
			s.free = append(s.free, gap{s.total + width/2, s.total + l - width/2})
		}
		s.parts, s.start = append(s.parts, part), append(s.start, s.total)
		s.total += l
		from = m.To
	}
	return s
}

// at is the point at a length along the loop.
func (s *spreader) at(l float64) orb.Point {
	l = math.Mod(l, s.total)
	if l < 0 {
		l += s.total
	}
	i := max(0, sort.SearchFloat64s(s.start, l)-1)
	if i+1 < len(s.start) && s.start[i+1] <= l {
		i++
	}
	p, _ := s.parts[i].At(l - s.start[i])
	return p
}

// spread finds n places at even distances or near them, first on straight
// stretches only.
func (s *spreader) spread(n int) ([]gap, bool) {
	if float64(n)*(s.width+leastCut) > s.total {
		return nil, false
	}
	const turns = 8
	for _, find := range []func(ideal, lo, hi float64) (gap, bool){s.straight, s.any} {
		for k := range turns {
			if out := s.from((float64(k)/turns+0.5)*s.total/float64(n), n, find); out != nil {
				return out, true
			}
		}
	}
	return nil, false
}

// from places n gaps, the first near a length along the loop; nil where that is
// not possible.
func (s *spreader) from(first float64, n int, find func(ideal, lo, hi float64) (gap, bool)) []gap {
	var out []gap
	lo, hi := math.Inf(-1), math.Inf(1)
	for k := range n {
		if k > 0 {
			lo, hi = out[k-1].to+leastCut, out[0].from+s.total-leastCut
		}
		g, ok := find(first+float64(k)*s.total/float64(n), lo, hi)
		if !ok {
			return nil
		}
		out = append(out, g)
	}
	return out
}

// straight finds the gap nearest to a place that lies between lo and hi on one
// straight stretch.
func (s *spreader) straight(ideal, lo, hi float64) (gap, bool) {
	best, found := gap{}, false
	for _, f := range s.free {
		for _, round := range [2]float64{0, s.total} {
			a, b := max(f.from+round, lo+s.width/2), min(f.to+round, hi-s.width/2)
			if a > b {
				continue
			}
			for _, m := range [4]float64{min(max(ideal, a), b), a, (a + b) / 2, b} {
				g := gap{m - s.width/2, m + s.width/2}
				if (!found || math.Abs(m-ideal) < math.Abs(best.middle()-ideal)) && s.keeps(g) {
					best, found = g, true
				}
			}
		}
	}
	return best, found
}

// any finds a gap near a place between lo and hi, bent or not.
func (s *spreader) any(ideal, lo, hi float64) (gap, bool) {
	const looks = 128
	reach := min(s.total/2, s.total/float64(max(1, s.fit())))
	for k := range looks {
		m := ideal + reach*float64(k/2)/looks*float64(1-k%2*2)
		if g, ok := s.around(m); ok && g.from >= lo && g.to <= hi && s.keeps(g) {
			return g, true
		}
	}
	return gap{}, false
}

// fit is how many gaps the loop has room for.
func (s *spreader) fit() int { return int(s.total / (s.width + leastCut)) }

// mostBent is how much longer than its chord a gap may be: round a corner or over a
// notch it would leave more of the edge uncut than a tab is worth.
const mostBent = 1.1

// around is the gap about a place whose ends are the width apart as the crow flies.
func (s *spreader) around(m float64) (gap, bool) {
	apart := func(half float64) float64 {
		a, b := s.at(m-half), s.at(m+half)
		return math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	lo, hi := s.width/2*(1-1e-12), s.width/2
	for apart(hi) < s.width {
		if hi *= 1.01; hi > s.total/2 || hi > mostBent*s.width/2 {
			return gap{}, false
		}
	}
	for range 60 {
		if mid := (lo + hi) / 2; apart(mid) < s.width {
			lo = mid
		} else {
			hi = mid
		}
	}
	return gap{m - hi, m + hi}, true
}

// keeps tells whether the cutter stays as far apart on its two ways to the gap as
// at its ends.
func (s *spreader) keeps(g gap) bool {
	window := min(s.width, (s.total-(g.to-g.from))/4)
	before, after := s.c.Cut(g.from-window, g.from), s.c.Cut(g.to, g.to+window)
	apart := func(a, b contour.Contour) bool {
		near := contour.NewIndex([]contour.Contour{b})
		from := a.Start
		for _, m := range a.Moves {
			looks := 1 // lines are nearest to each other at an end
			leg := contour.Contour{Start: from, Moves: []contour.Move{m}}
			if m.Turn != 0 {
				looks = 16
			}
			for k := range looks + 1 {
				if p, _ := leg.At(leg.Length() * float64(k) / float64(looks)); near.Distance(p) < s.width-1e-6 {
					return false
				}
			}
			from = m.To
		}
		return true
	}
	return apart(before, after) && apart(after, before)
}
