package drill

import (
	"fmt"
	"math"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
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
	var saved plainPass
	if err := tooling.DecodeSchema(src, file, Schema, &saved); err != nil {
		return Pass{}, err
	}
	p := Pass(saved)
	v := passValidation{tooling.Validation{File: file}}
	v.pass(p)
	if err := v.Err(); err != nil {
		return Pass{}, err
	}
	return p, nil
}

// plainPass has the fields of a pass and none of the methods, so that it can be
// decoded.
type plainPass Pass

// UnmarshalJSON is [DecodePass] for a pass that is part of other JSON: as strict,
// with its errors, which know no file then. After an error p is what it was.
func (p *Pass) UnmarshalJSON(src []byte) error {
	read, err := DecodePass(src, "")
	if err != nil {
		return err
	}
	*p = read
	return nil
}

// passValidation collects what is wrong with a saved pass.
type passValidation struct{ tooling.Validation }

// wrong notes a value that is none of those expected.
func (v *passValidation) wrong(path, found, expected string) {
	v.Add(path, tooling.ErrValue, found, expected)
}

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
	p.SetUp.ValidateSaved(&v.Validation, "set_up")
	v.Fit("fit", p.Fit, "similarity", "affine")
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

func (v *passValidation) run(at string, r Run, p Pass) {
	v.Within(at+".tool.diameter_mm", r.Tool.Diameter, 1e-3, tooling.MaxLength, "mm")
	v.hits(at+".hits", r.Hits)
	v.Figure(at+".travel_mm", r.Path)
	v.Figure(at+".life", r.Life)
	v.Figure(at+".travel_seconds", r.Travel)
	v.Figure(at+".settle_seconds", r.Settle)
	v.Figure(at+".trip_seconds", r.Trip)
	v.Figure(at+".bound_seconds", r.Bound)
	v.Feed(at+".feed", r.Feed)
	v.Depth(at+".depth", r.Depth)
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
		v.Count(bit+".place", b.Place, 1, stack.MostPlaces)
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
	v.Count("rest.stacks", r.Stacks, 1, stack.MostSpindles)
	v.Count("rest.stop.run", r.Stop.Run, 1, math.MaxInt32)
	v.Count("rest.stop.hit", r.Stop.Hit, 0, math.MaxInt32)
	for i, s := range r.Earlier {
		v.Count(fmt.Sprintf("rest.earlier[%d].run", i), s.Run, 1, math.MaxInt32)
		v.Count(fmt.Sprintf("rest.earlier[%d].hit", i), s.Hit, 0, math.MaxInt32)
	}
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
