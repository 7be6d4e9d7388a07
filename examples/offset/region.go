package main

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"

	"example.org/pinstack/route/contour"
)

// errRegion is the kind of fault that makes a geometry no region.
var errRegion = errors.New("not a valid region")

// region reads a geometry and refuses what is no valid region: rings that are open
// or cross, holes outside their shell, shells inside one another.
func region(text string) ([]contour.Contour, error) {
	g, err := wkt.Unmarshal(text)
	if err != nil {
		return nil, err
	}
	var polygons orb.MultiPolygon
	switch g := g.(type) {
	case orb.Polygon:
		polygons = orb.MultiPolygon{g}
	case orb.MultiPolygon:
		polygons = g
	default:
		return nil, fmt.Errorf("%w: a %s, want POLYGON or MULTIPOLYGON", errRegion, g.GeoJSONType())
	}
	var out []contour.Contour
	var hole []bool
	for i, p := range polygons {
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
	if err := checkNesting(polygons, out, hole); err != nil {
		return nil, err
	}
	return out, nil
}

// checkNesting refuses rings that do not nest as their place in the geometry says:
// just inside a shell lies the region, just inside a hole it does not, and
// every hole lies in its own shell.
func checkNesting(polygons orb.MultiPolygon, rings []contour.Contour, hole []bool) error {
	all := contour.NewIndex(rings)
	i := 0
	for p, polygon := range polygons {
		shell := contour.NewIndex(rings[i : i+1])
		for k := range polygon {
			q := inside(rings[i])
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

// inside is a point just inside a ring, beside the middle of its longest line.
func inside(c contour.Contour) orb.Point {
	var at, best, longest float64
	from := c.Start
	for _, m := range c.Moves {
		l := math.Hypot(m.To[0]-from[0], m.To[1]-from[1])
		if l > longest {
			best, longest = at+l/2, l
		}
		at += l
		from = m.To
	}
	p, d := c.At(best)
	step := math.Copysign(math.Min(1e-6, longest/4), c.Area())
	return orb.Point{p[0] - d[1]*step, p[1] + d[0]*step}
}
