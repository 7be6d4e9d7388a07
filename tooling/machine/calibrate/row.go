package calibrate

import (
	"fmt"
	"iter"
	"strconv"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Kind says what a row measured.
type Kind string

// The kinds of row.
const (
	Move   Kind = "move"   // Count moves by DX, DY, settle included
	Stroke Kind = "stroke" // Count strokes
	Change Kind = "change" // Count tool changes, spin-up included, without the trip
	Load   Kind = "load"   // Count times unloading and loading
	Pass   Kind = "pass"   // Count hits, each a move by DX, DY and a stroke, and Changes and Loads
)

// Row is one line of a shop's log. Columns that a kind does not use are zero.
type Row struct {
	Kind    Kind    `json:"kind"`
	DX      float64 `json:"dx_mm"`
	DY      float64 `json:"dy_mm"`
	Depth   float64 `json:"depth_mm"`           // of a stroke, from the clearance
	Feed    float64 `json:"infeed_mm_per_min"`  // down
	Retract float64 `json:"retract_mm_per_min"` // up
	Pecks   int     `json:"pecks"`              // infeeds a stroke; 0 counts as 1
	Count   int     `json:"count"`              // 0 counts as 1
	Changes int     `json:"changes"`            // passes only
	Loads   int     `json:"loads"`              // passes only
	Seconds float64 `json:"seconds"`            // measured, for all of the row

	// Hops are the moves and strokes of a pass whose hits are not alike, as
	// [FromSteps] makes it; then DX to Count are zero.
	Hops []Hop `json:"-"`
	// Source says where the row came from; errors and residuals carry it.
	Source tooling.Source `json:"-"`
}

// Hop is Count times a move and, where Depth is not 0, a stroke after it.
type Hop struct {
	DX, DY, Depth float64 // mm
	Feed, Retract float64 // mm/min
	Pecks, Count  int
}

// maxRows bounds a log: Fit looks at each row some thousand times.
const maxRows = 100_000

// LoadLog reads and validates a log from comma separated text; the first row
// names the columns by the JSON keys of [Row], in any order, and may leave out
// those not needed. Errors are [*tooling.InputError] or [tooling.InputErrors]
// with file, line and column name; a log without rows wraps [ErrTooFew].
func LoadLog(src []byte, file string) ([]Row, error) {
	rows, lines, err := tooling.DecodeRows[Row](src, file, maxRows)
	if err != nil {
		return nil, err
	}
	for i := range rows {
		rows[i].Source = tooling.Source{File: file, Line: lines[i], Path: "rows[" + strconv.Itoa(i) + "]"}
	}
	if err := validate(rows); err != nil {
		return nil, err
	}
	return rows, nil
}

// FromSteps makes a pass row of the steps of a planned drill pass, which
// start at the change position, and the seconds the machine took for them,
// programmed stops left out. Steps of routing are refused with a
// [*tooling.InputError].
func FromSteps(m machine.Machine, steps iter.Seq[machine.Step], seconds float64) (Row, error) {
	row := Row{Kind: Pass, Seconds: seconds}
	at := m.ChangeAt
	index := make(map[Hop]int)
	add := func(h Hop) {
		i, ok := index[h]
		if !ok {
			i = len(row.Hops)
			index[h] = i
			row.Hops = append(row.Hops, h)
		}
		row.Hops[i].Count++
	}
	move := func(to orb.Point) {
		if dx, dy := tooling.Snap(to[0]-at[0]), tooling.Snap(to[1]-at[1]); dx != 0 || dy != 0 {
			add(Hop{DX: abs(dx), DY: abs(dy)})
		}
		at = to
	}
	for s := range steps {
		switch s.Kind {
		case machine.Change:
			move(s.To)
			row.Changes++
		case machine.Move:
			move(s.To)
		case machine.Stroke:
			add(Hop{Depth: s.Depth, Feed: s.Feed, Retract: s.Retract, Pecks: s.Pecks})
		case machine.Reload:
			row.Loads++
		case machine.Pause:
		default:
			return Row{}, &tooling.InputError{Err: tooling.ErrValue, Found: "a step " + strconv.Quote(string(s.Kind)), Expected: "the steps of a drill pass"}
		}
	}
	return row, nil
}

func abs(x float64) float64 { return max(x, -x) }

// validate returns every fault of every row.
func validate(rows []Row) error {
	var v tooling.Validation
	for i, r := range rows {
		path := r.Source.Path
		if path == "" {
			path = "rows[" + strconv.Itoa(i) + "]"
		}
		before := len(v.Errs)
		r.validate(&v, path)
		for _, e := range v.Errs[before:] {
			e.Source.File, e.Source.Line = r.Source.File, r.Source.Line
		}
	}
	if err := v.Err(); err != nil {
		return err
	}
	if len(rows) == 0 {
		return &DataError{What: "rows", Got: 0, Need: minRows}
	}
	return nil
}

func (r Row) validate(v *tooling.Validation, path string) {
	v.Within(path+".seconds", r.Seconds, 1e-6, 1e7, "s")
	v.Within(path+".dx_mm", r.DX, -tooling.MaxLength, tooling.MaxLength, "mm")
	v.Within(path+".dy_mm", r.DY, -tooling.MaxLength, tooling.MaxLength, "mm")
	v.Count(path+".count", r.Count, 0, 10_000_000)
	v.Count(path+".changes", r.Changes, 0, 1_000_000)
	v.Count(path+".loads", r.Loads, 0, 1_000_000)
	moves, strokes := r.DX != 0 || r.DY != 0, r.Depth != 0 || r.Feed != 0 || r.Retract != 0 || r.Pecks != 0
	if strokes {
		stroke(v, path, Hop{Depth: r.Depth, Feed: r.Feed, Retract: r.Retract, Pecks: r.Pecks})
	}
	totals := r.Changes != 0 || r.Loads != 0
	clash := func(is bool, what string) {
		if is {
			v.Add(path+".kind", tooling.ErrConflict, fmt.Sprintf("%q with %s", r.Kind, what), "only the columns of its kind")
		}
	}
	need := func(is bool, what string) {
		if !is {
			v.Add(path+".kind", tooling.ErrMissing, fmt.Sprintf("%q without %s", r.Kind, what), what)
		}
	}
	switch r.Kind {
	case Move:
		need(moves, "a distance")
		clash(strokes, "a depth or feed")
		clash(totals, "changes or loads")
	case Stroke:
		need(strokes, "a depth")
		clash(moves, "a distance")
		clash(totals, "changes or loads")
	case Change, Load:
		clash(moves || strokes, "a distance, depth or feed")
		clash(totals, "changes or loads: use count")
	case Pass:
		need(moves || strokes || totals || len(r.Hops) > 0, "anything it did")
		clash(len(r.Hops) > 0 && (moves || strokes || r.Count != 0), "hops and columns")
	default:
		v.Add(path+".kind", tooling.ErrValue, strconv.Quote(string(r.Kind)), "move, stroke, change, load or pass")
	}
	clash(r.Kind != Pass && len(r.Hops) > 0, "hops")
	for i, h := range r.Hops {
		p := fmt.Sprintf("%s.hops[%d]", path, i)
		v.Point(p, orb.Point{h.DX, h.DY})
		v.Count(p+".count", h.Count, 1, 10_000_000)
		if h.Depth != 0 {
			stroke(v, p, h)
		}
	}
}

func stroke(v *tooling.Validation, path string, h Hop) {
	v.Within(path+".depth_mm", h.Depth, 0.001, 1000, "mm")
	v.Within(path+".infeed_mm_per_min", h.Feed, 0.1, 1e6, "mm/min")
	v.Within(path+".retract_mm_per_min", h.Retract, 0.1, 1e6, "mm/min")
	v.Count(path+".pecks", h.Pecks, 0, 100)
}

// hops returns what a row did as hops, and how many changes and loads.
func (r Row) hops() (hops []Hop, changes, loads int) {
	n := max(r.Count, 1)
	switch r.Kind {
	case Change:
		return nil, n, 0
	case Load:
		return nil, 0, n
	case Pass:
		if len(r.Hops) > 0 || (r.DX == 0 && r.DY == 0 && r.Depth == 0) {
			return r.Hops, r.Changes, r.Loads
		}
	}
	return []Hop{{DX: r.DX, DY: r.DY, Depth: r.Depth, Feed: r.Feed, Retract: r.Retract, Pecks: r.Pecks, Count: n}}, r.Changes, r.Loads
}
