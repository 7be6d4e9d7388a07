package drill

import (
	"fmt"
	"math"

	"example.org/pinstack/tooling"
)

// DecodePass reads a pass that was saved as JSON, as by a controller that is
// to carry on after a power cut. It is the inverse of encoding/json's Marshal,
// as strict as [tooling.Decode], and looks at all that the pass says of itself:
// bits that make its hits one after another, figures that are lengths, times and
// speeds. Whether it fits an input is for [Resume] and [Check] to tell.
//
// Errors carry file and JSON path: [*tooling.InputError] wrapping
// [tooling.ErrSchema] for another version, or a fault of the text;
// [tooling.InputErrors] for values.
func DecodePass(src []byte, file string) (Pass, error) {
	var p Pass
	if err := tooling.DecodeSchema(src, file, Schema, &p); err != nil {
		return Pass{}, err
	}
	v := passValidation{tooling.Validation{File: file}}
	v.pass(p)
	if err := v.Err(); err != nil {
		return Pass{}, err
	}
	return p, nil
}

// passValidation collects what is wrong with a saved pass.
type passValidation struct{ tooling.Validation }

// Limits of saved figures: above what any pass holds, below what overflows.
const (
	mostSpindles = 1000
	mostPlaces   = 100_000
	mostFigure   = 1e9 // seconds, mm, hits, rev/min, mm/min
)

// wrong notes a value that is none of those expected.
func (v *passValidation) wrong(path, found, expected string) {
	v.Add(path, tooling.ErrValue, found, expected)
}

// figure wants a number from 0.
func (v *passValidation) figure(path string, x float64) { v.Within(path, x, 0, mostFigure, "") }

func (v *passValidation) pass(p Pass) {
	if p.Name == "" {
		v.Add("name", tooling.ErrMissing, "", "the name of the pass")
	}
	if p.Stage != tooling.BeforePlating && p.Stage != tooling.AfterPlating {
		v.wrong("stage", fmt.Sprintf("%q", p.Stage), "before_plating or after_plating")
	}
	if p.Operation != tooling.Drilling {
		v.wrong("operation", fmt.Sprintf("%q", p.Operation), "drill")
	}
	v.Count("set_up.height", p.SetUp.Height, 0, mostSpindles)
	v.Count("set_up.spindles", p.SetUp.Spindles, 0, mostSpindles)
	for i, t := range p.SetUp.Tools {
		at := fmt.Sprintf("set_up.tools[%d]", i)
		v.Count(at+".place", t.Place, 0, mostPlaces)
		v.Count(at+".tools_per_load", t.PerLoad, 0, mostPlaces)
	}
	v.fit(p.Fit)
	if err := p.Frame.Validate(); err != nil {
		v.wrong("frame", err.Error(), "a frame")
	}
	number := 0
	for i, r := range p.Runs {
		at := fmt.Sprintf("runs[%d]", i)
		v.Count(at+".number", r.Number, number+1, math.MaxInt32)
		number = r.Number
		v.run(at, r, p)
	}
	if p.Rest != nil {
		v.rest(p)
	}
}

func (v *passValidation) fit(f tooling.Fit) {
	if f.Kind != "" && f.Kind != "similarity" && f.Kind != "affine" {
		v.wrong("fit.kind", fmt.Sprintf("%q", f.Kind), "similarity or affine")
	}
	v.Point("fit.about_mm", f.About)
	v.Point("fit.shift_mm", f.Shift)
	for i, x := range f.Map {
		v.Within(fmt.Sprintf("fit.map[%d]", i), x, -10, 10, "")
	}
	if det := float64(f.Map[0]*f.Map[3]) - float64(f.Map[1]*f.Map[2]); f.Kind != "" && math.Abs(det) < 0.01 {
		v.wrong("fit.map", fmt.Sprintf("a map that makes %.3g of an area", det), "one that can be undone")
	}
}

func (v *passValidation) run(at string, r Run, p Pass) {
	v.Within(at+".tool.diameter_mm", r.Tool.Diameter, 1e-3, tooling.MaxLength, "mm")
	v.hits(at+".hits", r.Hits)
	v.figure(at+".travel_mm", r.Path)
	v.figure(at+".life", r.Life)
	v.figure(at+".travel_seconds", r.Travel)
	v.figure(at+".settle_seconds", r.Settle)
	v.figure(at+".trip_seconds", r.Trip)
	v.figure(at+".bound_seconds", r.Bound)
	v.figure(at+".feed.rev_per_min", r.Feed.Speed)
	v.figure(at+".feed.infeed_mm_per_min", r.Feed.Infeed)
	v.figure(at+".feed.retract_mm_per_min", r.Feed.Retract)
	v.figure(at+".depth.into_backup_mm", r.Depth.IntoBackup)
	v.figure(at+".depth.above_table_mm", r.Depth.AboveTable)
	v.figure(at+".depth.down_mm", r.Depth.Down)
	v.figure(at+".depth.clearance_mm", r.Depth.Clearance)
	v.Count(at+".depth.pecks", r.Depth.Pecks, 0, 100)
	v.Count(at+".hit_limit", r.Limit, 0, math.MaxInt32)
	v.Count(at+".again", r.Again, 0, len(r.Hits))
	if r.Again > 0 && !p.parks() {
		v.wrong(at+".again", fmt.Sprint(r.Again), "0, where the rest parks no spindles")
	}
	if !p.Mounted() {
		v.Count(at+".bits", len(r.Bits), 0, 0)
		return
	}
	next := 0
	for k, b := range r.Bits {
		bit := fmt.Sprintf("%s.bits[%d]", at, k)
		v.Count(bit+".place", b.Place, 1, mostPlaces)
		v.Count(bit+".first", b.First, next, next)
		v.Count(bit+".hits", b.Hits, 1, len(r.Hits)-next)
		v.Count(bit+".worn", b.Worn, 0, math.MaxInt32)
		next += b.Hits
	}
	if next != len(r.Hits) {
		v.wrong(at+".bits", fmt.Sprintf("bits for %d hits", next), fmt.Sprintf("for all %d", len(r.Hits)))
	}
}

func (v *passValidation) hits(at string, hits []Hit) {
	for i, h := range hits {
		one := fmt.Sprintf("%s[%d]", at, i)
		v.Point(one+".at_mm", h.At)
		v.Count(one+".hole", int(h.Hole), 0, math.MaxInt32)
		if h.Kind != Finish && h.Kind != Pilot && h.Kind != Nibbled {
			v.wrong(one+".kind", fmt.Sprintf("%q", h.Kind), "finish, pilot or nibble")
		}
	}
}

func (v *passValidation) rest(p Pass) {
	r := p.Rest
	if !p.Mounted() {
		v.wrong("set_up", "none", "one: the rest after a stop is mounted")
	}
	v.Count("rest.stacks", r.Stacks, 1, mostSpindles)
	v.hits("rest.again", r.Again)
	for i, d := range r.Done {
		at := fmt.Sprintf("rest.done[%d]", i)
		v.Within(at+".diameter_mm", d.Diameter, 1e-3, tooling.MaxLength, "mm")
		v.hits(at+".hits", d.Hits)
	}
	for i, l := range r.LeftOut {
		at := fmt.Sprintf("rest.left_out[%d]", i)
		v.Point(at+".at_mm", l.At)
		v.Count(at+".hole", int(l.Hole), 0, math.MaxInt32)
		if l.Why != Fragment && l.Why != Scrapped {
			v.wrong(at+".why", fmt.Sprintf("%q", l.Why), "fragment or scrapped")
		}
	}
	if r.Parked && !r.Stop.some(p) {
		v.wrong("rest.stop.spindles", fmt.Sprint(r.Stop.Spindles), "some of the spindles in use, where others are parked")
	}
}
