package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/route/job"
)

// halfHoles declares the tools that make holes right in the board's edge: their
// middles lie no farther from it than a quarter of the diameter.
func (b *board) halfHoles() {
	o := b.route()
	edge := contour.NewIndex(append([]contour.Contour{o.Outline}, o.CutOuts...))
	for i := range b.holes {
		h := &b.holes[i]
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
