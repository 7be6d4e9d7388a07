package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// DecodePass reads a pass that was saved as JSON, as by a controller that is
// to carry on after a power cut. It is the inverse of encoding/json's Marshal,
// as strict as [tooling.Decode], and looks at all that the pass says of itself:
// cutters that cut its paths one after another, figures that are lengths, times
// and speeds. Whether it fits a layout is for [Resume] and [Check] to tell.
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

func (v *passValidation) points(path string, ps []orb.Point) {
	for i, p := range ps {
		v.Point(fmt.Sprintf("%s[%d]", path, i), p)
	}
}

func (v *passValidation) pass(p Pass) {
	if p.Name == "" {
		v.Add("name", tooling.ErrMissing, "", "the name of the pass")
	}
	if p.Stage != tooling.BeforePlating && p.Stage != tooling.AfterPlating {
		v.wrong("stage", fmt.Sprintf("%q", p.Stage), "before_plating or after_plating")
	}
	if p.Operation != tooling.Routing {
		v.wrong("operation", fmt.Sprintf("%q", p.Operation), "rout")
	}
	p.SetUp.ValidateSaved(&v.Validation, "set_up")
	v.Fit("fit", p.Fit, "similarity")
	if err := p.Frame.Validate(); err != nil {
		v.wrong("frame", err.Error(), "a frame")
	}
	v.points("panel_mm", []orb.Point{p.Panel.Min, p.Panel.Max})
	if d := p.Direction; d != "" && d != tooling.Conventional && d != tooling.Climb {
		v.wrong("direction", fmt.Sprintf("%q", d), "conventional or climb")
	}
	v.Figure("drop_from_mm", p.DropFrom)
	for i, k := range p.Around {
		v.points(fmt.Sprintf("around[%d]", i), []orb.Point{k.Min, k.Max})
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
	v.paths(at+".paths", r.Paths)
	v.points(at+".home_via_mm", r.Home)
	v.Figure(at+".travel_mm", r.Path)
	v.Figure(at+".travel_seconds", r.Travel)
	v.Figure(at+".cut_mm", r.Cut)
	v.Figure(at+".cut_seconds", r.Cutting)
	v.Figure(at+".life", r.Life)
	v.Feed(at+".feed", r.Feed)
	v.Depth(at+".depth", r.Depth)
	v.Count(at+".again", r.Again, 0, len(r.Paths))
	if r.Again > 0 && !p.parks() {
		v.wrong(at+".again", fmt.Sprint(r.Again), "0, where the rest parks no spindles")
	}
	if !p.Mounted() {
		v.Count(at+".cutters", len(r.Cutters), 0, 0)
		return
	}
	next := 0
	for k, c := range r.Cutters {
		cutter := fmt.Sprintf("%s.cutters[%d]", at, k)
		v.Count(cutter+".place", c.Place, 1, stack.MostPlaces)
		v.Count(cutter+".first", c.First, next, next)
		v.Count(cutter+".paths", c.Paths, 1, len(r.Paths)-next)
		v.points(cutter+".home_via_mm", c.Home)
		v.Figure(cutter+".cut_mm", c.Cut)
		v.Figure(cutter+".worn_mm", c.Worn)
		next += c.Paths
	}
	if next != len(r.Paths) {
		v.wrong(at+".cutters", fmt.Sprintf("cutters for %d paths", next), fmt.Sprintf("for all %d", len(r.Paths)))
	}
}

func (v *passValidation) paths(at string, paths []Path) {
	for i, p := range paths {
		v.path(fmt.Sprintf("%s[%d]", at, i), p)
	}
}

func (v *passValidation) path(at string, p Path) {
	if p.Role != Finish && p.Role != Rough && p.Role != CleanUp && p.Role != Clear {
		v.wrong(at+".role", fmt.Sprintf("%q", p.Role), "finish, rough, clean-up or clear")
	}
	if p.Open != "" && p.Open != Centre && p.Open != Left && p.Open != Right {
		v.wrong(at+".open", fmt.Sprintf("%q", p.Open), "centre, left or right")
	}
	v.Count(at+".board", p.Board, -1, maxBoards)
	v.Count(at+".loop", p.Loop, 0, math.MaxInt32)
	v.points(at+".via_mm", p.Via)
	v.Point(at+".line_mm.start", p.Line.Start)
	if len(p.Line.Moves) == 0 {
		v.Add(at+".line_mm.moves", tooling.ErrMissing, "", "at least one move")
	}
	for k, m := range p.Line.Moves { // a path may go over its start again, which no contour of a board does
		move := fmt.Sprintf("%s.line_mm.moves[%d]", at, k)
		v.Point(move+".to", m.To)
		v.Point(move+".center", m.Center)
		v.Count(move+".turn", int(m.Turn), -1, 1)
	}
	v.Figure(at+".lead_in_mm", p.LeadIn)
	v.Figure(at+".lead_out_mm", p.LeadOut)
	v.Figure(at+".overlap_mm", p.Overlap)
	v.Figure(at+".entry_mm", p.Entry)
	v.Within(at+".allowance_mm", p.Allowance, -tooling.MaxLength, tooling.MaxLength, "mm")
}

func (v *passValidation) rest(p Pass) {
	r := p.Rest
	if !p.Mounted() {
		v.wrong("set_up", "none", "one: the rest after a stop is mounted")
	}
	v.Count("rest.stacks", r.Stacks, 1, stack.MostSpindles)
	v.Count("rest.stop.run", r.Stop.Run, 1, math.MaxInt32)
	v.Count("rest.stop.path", r.Stop.Path, 0, math.MaxInt32)
	for i, s := range r.Earlier {
		v.Count(fmt.Sprintf("rest.earlier[%d].run", i), s.Run, 1, math.MaxInt32)
		v.Count(fmt.Sprintf("rest.earlier[%d].path", i), s.Path, 0, math.MaxInt32)
	}
	v.paths("rest.again", r.Again)
	for i, d := range r.Done {
		at := fmt.Sprintf("rest.done[%d]", i)
		v.Within(at+".diameter_mm", d.Diameter, 1e-3, tooling.MaxLength, "mm")
		v.paths(at+".paths", d.Paths)
	}
	for i, l := range r.LeftOut {
		at := fmt.Sprintf("rest.left_out[%d]", i)
		v.Within(at+".diameter_mm", l.Diameter, 1e-3, tooling.MaxLength, "mm")
		v.path(at+".path", l.Path)
		if l.Why != Fragment && l.Why != Beside && l.Why != Scrapped {
			v.wrong(at+".why", fmt.Sprintf("%q", l.Why), "fragment, beside a fragment or scrapped")
		}
	}
	if r.Parked && !r.Stop.some(p) {
		v.wrong("rest.stop.spindles", fmt.Sprint(r.Stop.Spindles), "some of the spindles in use, where others are parked")
	}
}
