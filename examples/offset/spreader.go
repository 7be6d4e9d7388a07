package main

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// gap is a stretch of a loop that is not cut, as lengths along it.
type gap struct{ from, to float64 }

func (g gap) middle() float64 { return (g.from + g.to) / 2 }

// leastCut is the shortest path that is left between two gaps, mm.
const leastCut = 0.1

// A spreader finds places for tabs on one loop.
type spreader struct {
	edge   *contour.Index
	loops  *contour.Index // all of them
	inside bool           // the cutter belongs inside the region
	cutter float64        // its diameter, mm
	width  float64        // mm between the two ends of a gap
	parts  []contour.Contour
	start  []float64 // of each part, along the loop
	total  float64
	free   []gap             // where the middle of a gap on a straight stretch may lie, ascending
	kept   map[[2]int64]bool // what keeps said of a gap, by its ends in picometres
}

// follow makes the loop that tabs are placed on another one.
func (s *spreader) follow(c contour.Contour) {
	s.parts, s.start, s.free, s.total, s.kept = nil, nil, nil, 0, map[[2]int64]bool{}
	from := c.Start
	for _, m := range c.Moves {
		part := contour.Contour{Start: from, Moves: []contour.Move{m}}
		s.parts, s.start = append(s.parts, part), append(s.start, s.total)
		s.total += part.Length()
		from = m.To
	}
	for first := 0; first < len(s.parts); {
		next := s.straightFrom(first)
		end := s.total
		if next < len(s.parts) {
			end = s.start[next]
		}
		if a := s.start[first]; end-a >= s.width && s.parts[first].Moves[0].Turn == 0 {
			s.free = append(s.free, gap{a + s.width/2, end - s.width/2})
		}
		first = next
	}
}

// flat is how far from one line the points of a straight stretch may lie, mm: the
// rounding of what is printed, twice.
const flat = 2e-6

// straightFrom is the part after the last one that lies on one line with the
// part given. The line's direction as seen from its start is held between two
// bounds that every further point narrows.
func (s *spreader) straightFrom(first int) int {
	a := s.parts[first].Start
	lo, hi := math.Inf(-1), math.Inf(1)
	var along orb.Point
	k := first
	for ; k < len(s.parts) && s.parts[k].Moves[0].Turn == 0; k++ {
		to := s.parts[k].Moves[0].To
		d := orb.Point{to[0] - a[0], to[1] - a[1]}
		l := math.Hypot(d[0], d[1])
		if l <= flat {
			continue
		}
		if math.IsInf(lo, -1) {
			along = d
		}
		turn := math.Atan2(float64(along[0]*d[1])-float64(along[1]*d[0]), float64(along[0]*d[0])+float64(along[1]*d[1]))
		if turn < lo || turn > hi {
			break
		}
		half := math.Asin(flat / l)
		lo, hi = max(lo, turn-half), min(hi, turn+half)
	}
	return max(k, first+1)
}

// part is the index of the part that holds a length along the loop, and how far into it.
func (s *spreader) part(l float64) (int, float64) {
	if l = math.Mod(l, s.total); l < 0 {
		l += s.total
	}
	i := max(0, sort.SearchFloat64s(s.start, l)-1)
	if i+1 < len(s.start) && s.start[i+1] <= l {
		i++
	}
	return i, l - s.start[i]
}

// at is the point at a length along the loop.
func (s *spreader) at(l float64) orb.Point {
	i, into := s.part(l)
	p, _ := s.parts[i].At(into)
	return p
}

// cut is the loop from one length to another, the whole of it where they are the
// same.
func (s *spreader) cut(from, to float64) contour.Contour {
	for to <= from {
		to += s.total
	}
	i, into := s.part(from)
	left := to - from
	out := contour.Contour{Start: s.at(from)}
	for {
		piece := s.parts[i]
		l := piece.Length()
		if end := into + left; into > 0 || end < l {
			piece = s.openCut(i, into, min(end, l))
		}
		out.Moves = append(out.Moves, piece.Moves...)
		if left -= l - into; left <= 1e-9 {
			return out
		}
		i, into = (i+1)%len(s.parts), 0
	}
}

// openCut is a stretch of one part; that of a full circle does not run on round it.
func (s *spreader) openCut(i int, from, to float64) contour.Contour {
	if to-from <= 1e-9 {
		return contour.Contour{}
	}
	return s.parts[i].Cut(from, to)
}

// straight finds the gap nearest to a place that lies between lo and hi on one
// straight stretch.
func (s *spreader) straight(near, lo, hi float64, thick bool) (gap, bool) {
	best, found := gap{}, false
	// The stretches repeat every round; look outwards from the ideal place until
	// none can be nearer.
	n := len(s.free)
	if n == 0 {
		return best, false
	}
	round := math.Floor(near / s.total)
	i, _ := slices.BinarySearchFunc(s.free, near-round*s.total, func(f gap, v float64) int {
		if f.to < v {
			return -1
		}
		return 1
	})
	look := func(k int) (far bool) {
		turn := round + math.Floor(float64(k)/float64(n))
		f := s.free[((k%n)+n)%n]
		f.from, f.to = f.from+turn*s.total, f.to+turn*s.total
		if found && max(f.from-near, near-f.to) >= math.Abs(best.middle()-near) {
			return true
		}
		a, b := max(f.from, lo+s.width/2), min(f.to, hi-s.width/2)
		if a > b {
			return false
		}
		for _, m := range [4]float64{min(max(near, a), b), a, (a + b) / 2, b} {
			g := gap{m - s.width/2, m + s.width/2}
			if (!found || math.Abs(m-near) < math.Abs(best.middle()-near)) && (!thick || s.thick(g)) && s.keeps(g) {
				best, found = g, true
			}
		}
		return false
	}
	for k, up, down := 0, false, false; k <= n && !(up && down); k++ {
		up = up || look(i+k)
		down = down || look(i-1-k)
	}
	return best, found
}

// any finds a gap near a place between lo and hi, bent or not.
func (s *spreader) any(near, lo, hi float64, thick bool) (gap, bool) {
	const looks = 128
	reach := min(s.total/2, s.total/float64(max(1, s.fit())))
	for k := range looks {
		m := near + reach*float64(k/2)/looks*float64(1-k%2*2)
		if g, ok := s.around(m); ok && g.from >= lo && g.to <= hi && (!thick || s.thick(g)) && s.keeps(g) {
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
	across := func(half float64) float64 { return apart(s.at(m-half), s.at(m+half)) }
	lo, hi := s.width/2*(1-1e-12), s.width/2
	for across(hi) < s.width {
		if hi *= 1.01; hi > s.total/2 || hi > mostBent*s.width/2 {
			return gap{}, false
		}
	}
	for range 60 {
		if mid := (lo + hi) / 2; across(mid) < s.width {
			lo = mid
		} else {
			hi = mid
		}
	}
	return gap{m - hi, m + hi}, true
}

// isStraight tells whether a gap lies on one straight stretch.
func (s *spreader) isStraight(g gap) bool { return g.to-g.from <= s.width+1e-6 }

// keeps tells whether the cutter stays as far apart on its two ways to the gap as
// at its ends. The same places come up again and again.
func (s *spreader) keeps(g gap) bool {
	from := math.Mod(g.from, s.total)
	key := [2]int64{int64(math.Round(from * 1e9)), int64(math.Round((from + g.to - g.from) * 1e9))}
	ok, known := s.kept[key]
	if !known {
		ok = s.staysApart(g)
		s.kept[key] = ok
	}
	return ok
}

func (s *spreader) staysApart(g gap) bool {
	window := min(s.width, (s.total-(g.to-g.from))/4)
	before, after := s.cut(g.from-window, g.from), s.cut(g.to, g.to+window)
	clear := func(a, b contour.Contour) bool {
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
	return clear(before, after) && clear(after, before)
}

func apart(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
