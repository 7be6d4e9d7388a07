package main

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// errRegion is the kind of fault that makes a geometry no region.
var errRegion = errors.New("not a valid region")

// region reads a geometry and refuses what is no valid region: rings that are open
// or cross, holes outside their shell, shells inside one another.
func region(text string) ([]contour.Contour, error) {
	ps, err := polygons(text)
	if err != nil {
		return nil, err
	}
	var out []contour.Contour
	var hole []bool
	for i, p := range ps {
		for k, r := range p {
			if len(r) < 4 {
				return nil, fmt.Errorf("%w: polygon %d ring %d has %d points, want 4 or more", errRegion, i, k, len(r))
			}
			if r[0] != r[len(r)-1] {
				return nil, fmt.Errorf("%w: polygon %d ring %d does not end where it starts, (%g, %g)", errRegion, i, k, r[0][0], r[0][1])
			}
			out = append(out, contour.FromRing(r))
			hole = append(hole, k > 0)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%w: empty", errRegion)
	}
	if err := contour.ValidateRegion(out); err != nil {
		return nil, err
	}
	if err := checkNesting(ps, out, hole); err != nil {
		return nil, err
	}
	return out, nil
}

// checkNesting refuses rings that do not nest as their place in the geometry says:
// just inside a shell lies the region, just inside a hole it does not, and
// every hole lies in its own shell.
func checkNesting(ps orb.MultiPolygon, rings []contour.Contour, hole []bool) error {
	all := contour.NewIndex(rings)
	i := 0
	for p, polygon := range ps {
		var shell *contour.Index
		for k := range polygon {
			q := justInside(rings[i], all)
			if k == 0 {
				shell = contour.NewIndex(rings[i : i+1])
			}
			if all.Contains(q) == hole[i] {
				return fmt.Errorf("%w: polygon %d ring %d is not nested as a %s should be, at (%g, %g)",
					errRegion, p, k, kind(hole[i]), q[0], q[1])
			}
			if hole[i] && !shell.Contains(q) {
				return fmt.Errorf("%w: polygon %d ring %d is a hole outside its shell, at (%g, %g)", errRegion, p, k, q[0], q[1])
			}
			i++
		}
	}
	return nil
}

func kind(hole bool) string {
	if hole {
		return "hole"
	}
	return "shell"
}

// justInside is a point just inside a ring, beside the middle or a third of a long
// line: the one furthest from all other lines, since rings may touch anywhere.
func justInside(c contour.Contour, all *contour.Index) orb.Point {
	var longest float64
	for leg := range legs(c) {
		longest = max(longest, apart(leg.Start, leg.End()))
	}
	sense := math.Copysign(1, c.Area())
	var best orb.Point
	room := -1.0
	looked := 0
	for leg := range legs(c) {
		a, b := leg.Start, leg.End()
		l := apart(a, b)
		if l < longest/2 || looked == 64 {
			continue
		}
		looked++
		u := orb.Point{(b[0] - a[0]) / l * sense, (b[1] - a[1]) / l * sense}
		for _, part := range [3]float64{0.5, 0.3, 0.75} {
			p := orb.Point{a[0] + part*(b[0]-a[0]), a[1] + part*(b[1]-a[1])}
			// As far in as nothing else is nearer.
			for step := 3e-9; step < min(1e-3, l/8); step *= 8 {
				q := orb.Point{p[0] - u[1]*step, p[1] + u[0]*step}
				d := all.Distance(q)
				if d < step*0.9 {
					break
				}
				if d > room {
					best, room = q, d
				}
			}
		}
	}
	if room < 0 {
		p, d := c.At(0)
		return orb.Point{p[0] - d[1]*sense*1e-9, p[1] + d[0]*sense*1e-9}
	}
	return best
}
