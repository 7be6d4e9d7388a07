package main

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// outline makes boards of the profile layer, with the places of the holes that
// could be read without it.
func (b *board) outline(f file, fit float64) (err error) {
	layer, err := artwork.Read(f.text, f.name, artwork.Options{})
	if err != nil {
		return err
	}
	b.report = append(b.report, layer.Report...)
	var places []orb.Point
	for _, d := range b.drills {
		if d.program == nil {
			continue
		}
		for op, err := range d.program.Ops() {
			if err != nil {
				return err
			}
			if op.Kind == nc.OpHit {
				places = append(places, op.To)
			}
		}
	}
	if b.drawn, err = layer.Profile(artwork.ProfileOptions{Holes: places}); err != nil {
		return err
	}
	if b.profile = b.drawn; fit > 0 {
		if b.profile, err = layer.Profile(artwork.ProfileOptions{Holes: places, FitArcs: fit}); err != nil {
			return err
		}
	}
	b.report = append(b.report, b.profile.Report...)
	if fit > 0 {
		b.report.Note("arcs-fitted", "", "no straight edge takes a tab: chords of the outline were read as arcs, within mm", fit, 0)
	}
	return nil
}

// mostLayers is more copper than any board has: what is said beyond it is not believed.
const mostLayers = 100

// drill reads a drill file's holes and says in the job what its text leaves open.
func (b *board) drill(d *drillFile) error {
	box := b.profile.Boards[0].Outline.Bound()
	for _, o := range b.profile.Boards {
		box = box.Union(o.Outline.Bound())
	}
	const margin = 2 // mm, for holes in the edge
	if p, err := d.parse(box.Pad(margin)); err == nil {
		d.program = p
	} else if d.program == nil {
		return err
	}
	d.state()
	b.assume(d)
	holes, report, err := drill.Read(d.program, d.job.File, marking(d.job))
	if err != nil {
		return err
	}
	b.holes, b.report = append(b.holes, holes...), append(b.report, report...)
	for _, a := range d.program.Attributes {
		if n := len(a.Values); a.Name == "TF.FileFunction" && n >= 3 {
			// Values such as Plated,1,4,PTH: from copper layer 1 to layer 4.
			if last, err := strconv.Atoi(a.Values[2]); err == nil && last <= mostLayers {
				b.layers = max(b.layers, last)
			}
		}
	}
	return nil
}

// state writes into the job how the file's numbers were understood.
func (d *drillFile) state() {
	p := d.program
	if p.UnitsHow == nc.Judged {
		d.job.Units = map[nc.Units]string{nc.Millimetres: "mm", nc.Inches: "inch"}[p.Units]
	}
	if p.ZerosHow == nc.Judged {
		d.job.Zeros = map[nc.Zeros]string{nc.LeadingZeros: "LZ", nc.TrailingZeros: "TZ"}[p.Zeros]
	}
	if p.DigitsHow == nc.Judged {
		d.job.Digits = [2]int{p.Digits.Int, p.Digits.Dec}
	}
}

// assume settles what neither file nor flags say, and lists it.
func (b *board) assume(d *drillFile) {
	note := func(rule, detail string) {
		b.report.Add(tooling.Finding{Rule: rule, OK: true, Source: tooling.Source{File: d.job.File}, Detail: detail})
	}
	if d.job.Sizes == "" {
		d.job.Sizes = tooling.Finished
		note("sizes-assumed", "no word on sizes: taken for finished ones, the plating's allowance is added")
	}
	if d.job.Plating != drill.Stated {
		return
	}
	for _, t := range d.program.Tools {
		if t.Marking == "" {
			d.job.Tools = append(d.job.Tools, job.ToolFile{Tool: t.Number, Plating: drill.Plated})
			note("plating-assumed", "tools of a mixed file without a marking: taken for plated")
		}
	}
}

// choose finds the one board of the layer that is arrayed.
func (b *board) choose() error {
	boards := b.profile.Boards
	if len(boards) == 1 {
		return nil
	}
	on := make([]int, len(boards))
	for i, o := range boards {
		for _, h := range b.holes {
			if o.Outline.Contains(h.At) {
				on[i]++
			}
		}
	}
	if b.which = slices.Index(on, len(b.holes)); b.which >= 0 && len(b.holes) > 0 {
		return nil
	}
	return &route.BoardError{Board: -1, Other: -1, Source: boards[0].Source, Err: route.ErrBoard,
		Found: fmt.Sprintf("%d boards in one layer with %v of %d holes on them", len(boards), on, len(b.holes)), Expected: "one board: an array holds one kind"}
}

// route is the board that is arrayed.
func (b *board) route() route.Board {
	o := b.profile.Boards[b.which]
	return route.Board{Name: "board", Outline: o.Outline, CutOuts: o.CutOuts, Source: o.Source}
}
