package job

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// maxLot and maxPlaced bound what a job file may ask for.
const (
	maxLot    = 10_000_000
	maxPlaced = 10_000
)

func (f *File) validate(name string) error {
	v := tooling.Validation{File: name}
	if f.Schema != Schema {
		v.Add("schema", tooling.ErrValue, fmt.Sprint(f.Schema), fmt.Sprintf("%d, the form this version reads", Schema))
	}
	for _, s := range []struct{ path, text string }{{"job", f.Job}, {"revision", f.Revision}} {
		if !plain(s.text) {
			v.Add(s.path, tooling.ErrValue, fmt.Sprintf("%q", s.text), "1 to 60 letters, digits, dots, dashes or underscores: it names files")
		}
	}
	v.Count("panels", f.Panels, 1, maxLot)
	f.validateStack(&v)
	f.validateRout(&v)
	if _, ok := machine.Preset(f.Machine); !ok {
		var known []string
		for _, m := range machine.Presets() {
			known = append(known, m.Name)
		}
		v.Add("machine", tooling.ErrValue, fmt.Sprintf("%q", f.Machine), "a preset: "+strings.Join(known, ", "))
	}
	if len(f.Panel.Boards) > 0 {
		v.Add("panel.boards", tooling.ErrConflict, "boards on the panel", "none: the job's placements put them there")
	}
	f.validateBoards(&v)
	f.validatePlacements(&v)
	f.Writing.validate(&v, f.Panel)
	if err := v.Err(); err != nil {
		return err
	}
	var list tooling.InputErrors
	errors.As(f.panel().Validate(), &list)
	for _, e := range list {
		v.Add("panel."+e.Source.Path, e.Err, e.Found, e.Expected)
	}
	return v.Err()
}

// options is what the file asks of the stack planner.
func (f *File) options() stack.Options {
	s := f.Stack
	due := s.Due
	if !(due >= 0 && due <= maxDue) { // no duration: validate refuses it
		due = 0
	}
	return stack.Options{
		Objective: stack.Objective(f.Objective), Height: f.Height, Tiers: s.Tiers, SecondPass: s.SecondPass, Mode: s.Mode, Policy: s.Policy, StockOnly: s.StockOnly,
		Due: time.Duration(math.Round(due * 1e9)), HourPrice: s.HourPrice, Speeds: s.Speeds, Taylor: s.Taylor,
	}
}

// maxDue bounds a due time in seconds, about 31 years.
const maxDue = 1e9

// validateStack lists what the stack planner would refuse, under the file's
// own keys.
func (f *File) validateStack(v *tooling.Validation) {
	v.Within("stack.due_s", f.Stack.Due, 0, maxDue, "s")
	var list tooling.InputErrors
	if !errors.As(f.options().Validate(), &list) {
		return
	}
	for _, e := range list {
		path := e.Source.Path
		switch path {
		case "height", "objective":
		case "mode":
			path = "stack.bit_mode"
		default:
			path = "stack." + path
		}
		v.Add(path, e.Err, e.Found, e.Expected)
	}
}

// inCrib refuses a clean-up by a cutter that the crib does not have.
func (r RoutFile) inCrib(crib tooling.Crib, name string) error {
	has := func(t tooling.Tool) bool {
		return t.Kind == tooling.Cutter && tooling.Nanometres(t.Diameter) == tooling.Nanometres(r.CleanUp)
	}
	if r.CleanUp == 0 || slices.ContainsFunc(crib.Tools, has) {
		return nil
	}
	return &tooling.InputError{Source: tooling.Source{File: name, Path: "rout.clean_up_mm"}, Err: route.ErrNoCutter, Found: fmt.Sprintf("%.3f mm", r.CleanUp), Expected: "the diameter of a cutter of the crib"}
}

// validateRout lists what the rout planner would refuse, under the file's own
// keys.
func (f *File) validateRout(v *tooling.Validation) {
	var list tooling.InputErrors
	errors.As(Options{}.planned(f.Rout).Validate(), &list)
	for _, e := range list {
		v.Add(strings.Replace(e.Source.Path, "options.", "rout.", 1), e.Err, e.Found, e.Expected)
	}
}

func plain(s string) bool {
	ok := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune(".-_", r)
	}
	return len(s) > 0 && len(s) <= 60 && s[0] != '.' && !strings.ContainsFunc(s, func(r rune) bool { return !ok(r) })
}

func (f *File) validateBoards(v *tooling.Validation) {
	v.Count("boards", len(f.Boards), 1, maxPlaced)
	for i, b := range f.Boards {
		at := fmt.Sprintf("boards[%d]", i)
		if b.Name == "" {
			v.Add(at+".name", tooling.ErrMissing, "nothing", "a name for the board")
		}
		for k, o := range f.Boards[:i] {
			if o.Name == b.Name {
				v.Add(at+".name", tooling.ErrDuplicate, fmt.Sprintf("%q", b.Name), fmt.Sprintf("a name not used by boards[%d]", k))
			}
		}
		if f.outlined() && b.Outline == "" {
			v.Add(at+".outline", tooling.ErrMissing, "nothing", "an outline, as the other boards have one")
		}
		for k, o := range b.Open {
			if o.File == "" {
				v.Add(fmt.Sprintf("%s.open_paths[%d].file", at, k), tooling.ErrMissing, "nothing", "a file name")
			}
		}
		if len(b.Open) > 0 && b.Outline == "" {
			v.Add(at+".outline", tooling.ErrMissing, "open paths", "an outline: they are routed with it")
		}
		for k, d := range b.Drill {
			d.validate(v, fmt.Sprintf("%s.drill[%d]", at, k))
		}
	}
}

// outlined tells whether the job routs boards: all of them have an outline, or
// none has.
func (f *File) outlined() bool {
	return slices.ContainsFunc(f.Boards, func(b BoardFile) bool { return b.Outline != "" })
}

func (d DrillFile) validate(v *tooling.Validation, at string) {
	oneOf := func(key, got string, allowed ...string) {
		if got != "" && !slices.Contains(allowed, got) {
			v.Add(at+"."+key, tooling.ErrValue, fmt.Sprintf("%q", got), strings.Join(allowed, ", "))
		}
	}
	if d.File == "" {
		v.Add(at+".file", tooling.ErrMissing, "nothing", "a file name")
	}
	oneOf("sizes", string(d.Sizes), string(tooling.Finished), string(tooling.Drilled))
	oneOf("plating", string(d.Plating), string(drill.Plated), string(drill.Unplated))
	oneOf("class", string(d.Class), string(tooling.Via), string(tooling.Component), string(tooling.PressFit), string(tooling.Mechanical))
	oneOf("units", d.Units, "mm", "inch")
	oneOf("zeros", d.Zeros, "LZ", "TZ")
	v.Within(at+".position_mm", d.Position, 0, 100, "mm")
	for k, t := range d.Tools {
		v.Within(fmt.Sprintf("%s.tools[%d].position_mm", at, k), t.Position, 0, 100, "mm")
	}
	for _, n := range d.Digits {
		v.Count(at+".digits", n, 0, 8)
	}
}

func (f *File) validatePlacements(v *tooling.Validation) {
	placed := 0
	for i, p := range f.Placements {
		faults := len(v.Errs)
		at := fmt.Sprintf("placements[%d]", i)
		if !slices.ContainsFunc(f.Boards, func(b BoardFile) bool { return b.Name == p.Board }) {
			v.Add(at+".board", tooling.ErrValue, fmt.Sprintf("%q", p.Board), "the name of one of the boards")
		}
		v.Point(at+".at_mm", p.At)
		v.Point(at+".step_mm", p.Step)
		v.Count(at+".quarters", p.Quarters, 0, 3)
		v.Count(at+".columns", p.Columns, 0, maxPlaced)
		v.Count(at+".rows", p.Rows, 0, maxPlaced)
		if len(v.Errs) == faults { // the last of them is the farthest
			v.Point(at+".step_mm", p.place(max(p.Columns, 1)-1, max(p.Rows, 1)-1))
		}
		placed += min(max(p.Columns, 1), maxPlaced+1) * min(max(p.Rows, 1), maxPlaced+1)
	}
	v.Count("placements", placed, 1, maxPlaced)
}

// panel is the blank with the boards placed, columns fastest.
func (f *File) panel() tooling.Panel {
	p := f.Panel
	p.Boards = nil
	for _, at := range f.Placements {
		board := slices.IndexFunc(f.Boards, func(b BoardFile) bool { return b.Name == at.Board })
		for row := range max(at.Rows, 1) {
			for column := range max(at.Columns, 1) {
				offset := orb.Point{at.At[0] + float64(at.Step[0]*float64(column)), at.At[1] + float64(at.Step[1]*float64(row))}
				p.Boards = append(p.Boards, tooling.Placement{Board: board, Offset: tooling.SnapPoint(offset), Quarters: at.Quarters})
			}
		}
	}
	return p
}

// place is where the board of a column and a row lies.
func (p PlacementFile) place(column, row int) orb.Point {
	return tooling.SnapPoint(orb.Point{p.At[0] + float64(p.Step[0]*float64(column)), p.At[1] + float64(p.Step[1]*float64(row))})
}

func (d DrillFile) format() (u nc.Units, z nc.Zeros, digits nc.Digits) {
	switch d.Units {
	case "mm":
		u = nc.Millimetres
	case "inch":
		u = nc.Inches
	}
	switch d.Zeros {
	case "LZ":
		z = nc.LeadingZeros
	case "TZ":
		z = nc.TrailingZeros
	}
	return u, z, nc.Digits{Int: d.Digits[0], Dec: d.Digits[1]}
}

func (d DrillFile) marking() drill.Marking {
	m := drill.Marking{Plating: d.Plating, Sizes: d.Sizes, Class: d.Class, Tented: d.Tented, Half: d.Half, Waived: d.Waived, Position: d.Position}
	for _, t := range d.Tools {
		m.Tools = append(m.Tools, drill.ToolMarking(t))
	}
	return m
}

// object is an empty JSON object where nothing was given.
func object(raw json.RawMessage) []byte {
	if len(raw) == 0 {
		return []byte("{}")
	}
	return raw
}
