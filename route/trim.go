package route

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// sample is the distance in mm of the places at which a centre line is asked
// whether it is to be cut; where the answer changes the place is found by
// bisection to settled mm. Stretches shorter than sample can be missed: tabs and
// score ends are longer, and the check refuses what is missed.
const (
	sample  = 0.2
	settled = 1e-8
)

// kept is a stretch of a closed contour, from s to t mm along it; t may run
// past the contour's length, through its start.
type kept struct{ s, t float64 }

// ruler measures along a closed contour.
type ruler struct {
	line contour.Contour
	ps   []piece
	ends []float64 // mm, where each piece ends
}

func newRuler(c contour.Contour) *ruler {
	r := &ruler{line: c, ps: pieces(c)}
	sum := 0.0
	for i := range r.ps {
		sum += r.ps[i].length
		r.ends = append(r.ends, sum)
	}
	return r
}

func (r *ruler) length() float64 { return r.ends[len(r.ends)-1] }

// find is the piece at s mm along and the way along that piece; s wraps round.
func (r *ruler) find(s float64) (int, float64) {
	l := r.length()
	if s = math.Mod(s, l); s < 0 {
		s += l
	}
	lo, hi := 0, len(r.ends)-1
	for lo < hi {
		if mid := (lo + hi) / 2; r.ends[mid] <= s {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo, s - (r.ends[lo] - r.ps[lo].length)
}

func (r *ruler) at(s float64) orb.Point {
	i, x := r.find(s)
	return r.ps[i].at(x)
}

// trim returns the stretches of the closed contour where keep says so, in
// order. whole means all of it.
func (r *ruler) trim(keep func(q orb.Point, heading orb.Point) bool) (out []kept, whole bool) {
	ask := func(i int, x float64) bool {
		q := r.ps[i].at(x)
		return keep(q, r.ps[i].headingAt(q))
	}
	var begin float64
	open, first := false, false
	for i := range r.ps {
		p := &r.ps[i]
		start := r.ends[i] - p.length
		n := max(1, int(math.Ceil(p.length/sample)))
		last := ask(i, 0)
		switch {
		case i == 0:
			open, first = last, last
		case last != open: // the answer changes at the corner itself
			if open {
				out = append(out, kept{begin, start})
			} else {
				begin = start
			}
			open = last
		}
		for k := 1; k <= n; k++ {
			a, b := p.length*float64(k-1)/float64(n), p.length*float64(k)/float64(n)
			now := ask(i, b)
			if now == last {
				continue
			}
			for b-a > settled {
				mid := a + (b-a)/2
				if ask(i, mid) == last {
					a = mid
				} else {
					b = mid
				}
			}
			if last {
				out = append(out, kept{begin, start + a})
			} else {
				begin = start + b
			}
			last, open = now, now
		}
	}
	if !open {
		return out, false
	}
	if first && len(out) == 0 {
		return nil, true
	}
	if first { // the last stretch runs on through the start
		out[0].s = begin - r.length()
		return out, false
	}
	return append(out, kept{begin, r.length()}), false
}

// cut returns the part of the contour from s to t mm as an open contour.
func (r *ruler) cut(s, t float64) contour.Contour {
	i, x := r.find(s)
	c := contour.Contour{Start: r.ps[i].at(x)}
	for left := t - s; left > 0; i, x = (i+1)%len(r.ps), 0 {
		p := &r.ps[i]
		end := min(p.length, x+left)
		left -= end - x
		if end-x < settled {
			continue
		}
		c.Moves = append(c.Moves, p.stretch(end))
	}
	return c
}
