package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/route/job"
)

// halfHoles declares the tools that make holes right in the board's edge: their
// middles lie no farther from it than a quarter of the diameter. A file whose
// holes crowd in a corner is more likely read in the wrong unit.
func (b *board) halfHoles() {
	o := b.route()
	edge := contour.NewIndex(append([]contour.Contour{o.Outline}, o.CutOuts...))
	crowded := map[string]bool{}
	for _, d := range b.drills {
		crowded[d.job.File] = b.crowded(d.job.File, o.Outline.Bound())
	}
	for i := range b.holes {
		h := &b.holes[i]
		if crowded[h.Source.File] {
			continue
		}
		if d := max(edge.Distance(h.At), edge.Distance(h.To)); d > h.Size.Diameter/4 {
			continue
		}
		k := slices.IndexFunc(b.drills, func(d drillFile) bool { return d.job.File == h.Source.File })
		b.drills[k].declare(h.Source.Tool)
		b.report.Note("half-hole", h.Source.Tool, "a hole in the board's edge: its tool is declared to make half holes", math.Round(h.Size.Diameter*1000)/1000, 0, h.At)
	}
	for i := range b.holes {
		h := &b.holes[i]
		for _, d := range b.drills {
			h.Half = h.Half || d.job.File == h.Source.File && slices.ContainsFunc(d.job.Tools, func(t job.ToolFile) bool {
				return t.Half && fmt.Sprintf("T%d", t.Tool) == h.Source.Tool
			})
		}
	}
}

// crowded tells whether four or more holes of a file span under a quarter of the
// board's box both ways.
func (b *board) crowded(file string, box orb.Bound) bool {
	var at orb.MultiPoint
	for _, h := range b.holes {
		if h.Source.File == file {
			at = append(at, h.At, h.To)
		}
	}
	span := at.Bound()
	return len(at) >= 8 && 4*(span.Max[0]-span.Min[0]) < box.Max[0]-box.Min[0] && 4*(span.Max[1]-span.Min[1]) < box.Max[1]-box.Min[1]
}

// declare says in the job that a tool, such as T3, makes half holes.
func (d *drillFile) declare(tool string) {
	for i := range d.job.Tools {
		if fmt.Sprintf("T%d", d.job.Tools[i].Tool) == tool {
			d.job.Tools[i].Half = true
			return
		}
	}
	if n, err := strconv.Atoi(tool[1:]); err == nil {
		d.job.Tools = append(d.job.Tools, job.ToolFile{Tool: n, Half: true})
	}
}
