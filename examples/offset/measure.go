package main

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

const (
	// sampling is the distance between looked-at points, mm.
	sampling = 0.1
	// mostSamples bounds the points looked at on one contour.
	mostSamples = 1_000_000
	// touched is how far from its place the cutter's edge still counts as
	// touching a point, mm.
	touched = 2e-3
)

// measure looks at points of the paths and of the region's edges, knowing nothing
// of how the paths were made: how near the cutter's centre comes to the edge,
// how deep that cuts into it, and the longest stretch of edge that the cutter
// neither touches nor is listed as out of its reach, tabs left out.
func measure(source []contour.Contour, o contour.Offsets, r float64, tabs []bridge) check {
	edge, path := contour.NewIndex(source), contour.NewIndex(o.Loops)
	nearest := math.Inf(1)
	for _, c := range o.Loops {
		walk(c, func(p orb.Point, _ float64) { nearest = math.Min(nearest, edge.Distance(p)) })
	}
	out := check{}
	if !math.IsInf(nearest, 0) {
		clearance := fixed(nearest)
		out.MinClearance = &clearance
		out.Gouge = fixed(math.Max(0, r-nearest))
	}
	// What is listed, by the contour that holds it.
	listed := make([][]contour.Foot, len(source))
	sizes := make([][]float64, len(source))
	for _, u := range o.Unreachable {
		f := edge.Nearest(u.At)
		listed[f.Contour] = append(listed[f.Contour], f)
		sizes[f.Contour] = append(sizes[f.Contour], u.Size)
	}
	for i, c := range source {
		length := c.Length()
		var run float64
		var before float64
		walk(c, func(p orb.Point, s float64) {
			step := s - before
			before = s
			cut := path.Distance(p) <= r+touched
			for k, f := range listed[i] {
				if cut {
					break
				}
				d := math.Abs(f.Along - s)
				cut = math.Min(d, length-d) <= sizes[i][k]/2+sampling
			}
			for _, b := range tabs { // beside a web the round end of the cut leaves a cusp of one radius
				if cut {
					break
				}
				cut = math.Hypot(p[0]-b.at[0], p[1]-b.at[1]) <= b.width/2+r+sampling
			}
			if cut {
				run = 0
				return
			}
			run += step
			out.Uncut = fixed(math.Max(float64(out.Uncut), run))
		})
	}
	return out
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
