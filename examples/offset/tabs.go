package main

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// bridge is a stretch of edge that the cutter leaves standing.
type bridge struct {
	at    orb.Point // on the edge
	width float64   // mm between the swept ends
}

// leaveTabs cuts n gaps into each loop that runs round material, so that webs
// of the given width stay: a gap is the web and one cutter diameter long. Tabs
// stand on straight stretches that hold the whole gap, as near as that allows
// to even distances along the loop. Other loops are kept whole.
func leaveTabs(loops []contour.Contour, n int, width, cutter float64, outside bool) ([]contour.Contour, []bridge, error) {
	var paths []contour.Contour
	var tabs []bridge
	for _, c := range loops {
		if c.Area() <= 0 {
			paths = append(paths, c)
			continue
		}
		gap := width + cutter
		places, err := spread(c, n, gap)
		if err != nil {
			return nil, nil, err
		}
		for k, s := range places {
			next := places[(k+1)%n]
			paths = append(paths, c.Cut(s+gap/2, next-gap/2))
			p, along := c.At(s)
			r := cutter / 2 // the region is on the left: the edge of a grown one lies there, that of a shrunk one opposite
			if !outside {
				r = -r
			}
			tabs = append(tabs, bridge{orb.Point{p[0] - along[1]*r, p[1] + along[0]*r}, width})
		}
	}
	return paths, tabs, nil
}

// spread finds n places along a loop, each in the middle of a straight stretch
// of at least gap, none nearer to the one before than gap: for each in turn
// the free place nearest to its even share.
func spread(c contour.Contour, n int, gap float64) ([]float64, error) {
	type stretch struct{ lo, hi float64 } // where a tab's middle may lie
	var free []stretch
	at, from := 0.0, c.Start
	for _, m := range c.Moves {
		l := contour.Contour{Start: from, Moves: []contour.Move{m}}.Length()
		if m.Turn == 0 && l >= gap {
			free = append(free, stretch{at + gap/2, at + l - gap/2})
		}
		at, from = at+l, m.To
	}
	total := at
	var out []float64
	for k := range n {
		ideal := (float64(k) + 0.5) * total / float64(n)
		best := math.Inf(1)
		for _, f := range free {
			lo, hi := f.lo, f.hi
			if k > 0 {
				lo = max(lo, out[k-1]+gap)
				hi = min(hi, out[0]+total-gap)
			}
			if lo > hi {
				continue
			}
			if s := min(max(ideal, lo), hi); math.Abs(s-ideal) < math.Abs(best-ideal) {
				best = s
			}
		}
		if math.IsInf(best, 1) {
			return nil, fmt.Errorf("%d tabs with gaps of %.3f mm do not fit the straight edges near (%g, %g)", n, gap, c.Start[0], c.Start[1])
		}
		out = append(out, best)
	}
	return out, nil
}
