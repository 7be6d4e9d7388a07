package tooling

import "fmt"

// Rules is how a shop works: its tables, its allowances, how it builds
// stacks, places tabs and routs. [DefaultRules] gives the usual ones.
type Rules struct {
	Feeds     FeedTable  `json:"feeds"`
	Life      LifeTable  `json:"life"`
	Allowance Allowance  `json:"allowance"`
	Spread    float64    `json:"process_spread_mm"` // a side, kept back when sizes share a bit
	ShareBits bool       `json:"share_bits"`        // let sizes share a bit inside their tolerance
	Web       float64    `json:"min_web_mm"`        // residual laminate between hole walls
	EdgeWeb   float64    `json:"min_edge_web_mm"`   // hole wall to a routed edge
	ClosePair float64    `json:"close_pair_mm"`     // walls nearer than this: the second hole in a later run; 0: never
	PilotFrom float64    `json:"pilot_from_mm"`     // bits from here get a pilot hole; 0: none
	Pilot     float64    `json:"pilot_mm"`          // the pilot bit's diameter
	MaxDrill  float64    `json:"max_drill_mm"`      // larger holes are routed
	Bump      float64    `json:"slot_bump_mm"`      // scallop height left by nibbled slots
	Stack     StackRules `json:"stack"`
	Tabs      TabRules   `json:"tabs"`
	Rout      RoutRules  `json:"rout"`
}

// TabRules says how boards are held until the end.
type TabRules struct {
	Perforated  bool    `json:"perforated"`
	Width       float64 `json:"width_mm"`        // web left by the cutter
	Spacing     float64 `json:"spacing_mm"`      // aimed distance between tabs along the edge
	PerBoard    int     `json:"per_board"`       // at least so many
	PerSide     int     `json:"per_side"`        // at least so many on each of the four sides that has room: 0, 1 or 2
	CornerClear float64 `json:"corner_clear_mm"` // tab's end to a corner or arc
	Hole        float64 `json:"hole_mm"`         // perforation diameter
	Pitch       float64 `json:"pitch_mm"`        // perforation pitch
	Count       int     `json:"count"`           // perforations a tab edge
	Inset       float64 `json:"inset_mm"`        // centres inside the outline
}

// Direction is the sense of a cut seen from the work.
type Direction string

// With the spindle clockwise seen from above, clockwise round an outline is
// climb and counter-clockwise conventional; inside a cut-out the other way.
const (
	Conventional Direction = "conventional"
	Climb        Direction = "climb"
)

// RoutRules says how outlines and cut-outs are cut.
type RoutRules struct {
	Direction  Direction `json:"direction"`
	Cutter     float64   `json:"cutter_mm"`     // wanted diameter; 0: largest that fits
	Deflection float64   `json:"deflection_mm"` // a side: the path keeps this much nearer
	Overlap    float64   `json:"overlap_mm"`    // past the start of a closed loop
	LeadIn     float64   `json:"lead_in_mm"`    // length of the approach in scrap; 0: none
	Depth      float64   `json:"depth_mm"`      // into the backup

	// SlugStop is the longer side in mm of waste that must not lie loose while
	// the cutter goes on: the program stops after the path that frees a piece so
	// long or longer, for the operator to take it out of every stack; 0: never.
	SlugStop float64 `json:"slug_stop_mm,omitempty"`
}

// StackRules says how a stack is built and how deep a tool may go.
type StackRules struct {
	Entry       float64 `json:"entry_mm"`
	Backup      float64 `json:"backup_mm"`
	BackupFloor float64 `json:"backup_floor_mm"` // left under the tip
	Margin      float64 `json:"margin_mm"`       // past the point length
	MinDepth    float64 `json:"min_depth_mm"`    // at least so far into the backup
	Clearance   float64 `json:"clearance_mm"`    // tip over the entry while travelling
	ChipRoom    float64 `json:"chip_room_mm"`    // flute kept free: the larger of this and one diameter
	Ratio       float64 `json:"max_ratio"`       // n t / D in one stroke
	PeckRatio   float64 `json:"max_peck_ratio"`  // n t / D pecked; below Ratio: no pecking
	PeckLife    float64 `json:"peck_life"`       // share of its life a bit has where holes are pecked; 0 counts as 1
	Wander      float64 `json:"wander_mm"`       // growth of a bit's wander, mm at ten diameters deep; 0: none
	Position    float64 `json:"position_mm"`     // position tolerance of every drilled hole under the stack, mm either way; 0: only where the work states one
	MaxHeight   int     `json:"max_height"`      // panels
	EntryPrice  float64 `json:"entry_price"`     // money a sheet
	BackupPrice float64 `json:"backup_price"`    // money a sheet, one face
	SetUpLabour float64 `json:"set_up_labour"`   // money a set-up of the lot
	StackLabour float64 `json:"stack_labour"`    // money a stack pinned
}

// Validate returns nil or [InputErrors] with a JSON path for each fault.
func (r Rules) Validate() error {
	var v Validation
	r.validate(&v, "")
	return v.Err()
}

func (r Rules) validate(v *Validation, prefix string) {
	r.Feeds.validate(v, prefix+"feeds")
	r.Life.validate(v, prefix+"life")
	r.validateGaps(v, prefix+"feeds.rows")
	r.Allowance.validate(v, prefix+"allowance")
	v.Within(prefix+"process_spread_mm", r.Spread, 0, 0.5, "mm")
	v.Within(prefix+"min_web_mm", r.Web, 0, 10, "mm")
	v.Within(prefix+"min_edge_web_mm", r.EdgeWeb, 0, 10, "mm")
	v.Within(prefix+"close_pair_mm", r.ClosePair, 0, 10, "mm")
	v.Within(prefix+"pilot_from_mm", r.PilotFrom, 0, 50, "mm")
	v.Within(prefix+"max_drill_mm", r.MaxDrill, 0.1, 50, "mm")
	v.Within(prefix+"slot_bump_mm", r.Bump, 0.0001, 1, "mm")
	if r.PilotFrom > 0 {
		v.Within(prefix+"pilot_mm", r.Pilot, 0.1, r.PilotFrom, "mm")
	}
	r.Stack.validate(v, prefix+"stack")
	r.Tabs.validate(v, prefix+"tabs")
	r.Rout.validate(v, prefix+"rout")
}

// validateGaps wants a life for whatever has a feed: the lot cannot be planned
// without, and it is better said when the tables are read.
func (r Rules) validateGaps(v *Validation, path string) {
	type group struct {
		material string
		kind     ToolKind
	}
	reach := make(map[group][2]float64, 4) // least and largest diameter with a life
	for _, l := range r.Life.Rows {
		if !InRange(l.Diameter) {
			continue
		}
		g := group{l.Material, l.Kind}
		ends, ok := reach[g]
		if !ok {
			ends = [2]float64{l.Diameter, l.Diameter}
		}
		reach[g] = [2]float64{min(ends[0], l.Diameter), max(ends[1], l.Diameter)}
	}
	like := make(map[group]group, 4)
	for i, f := range r.Feeds.Rows {
		asked := group{f.Material, f.Kind}
		g, ok := like[asked]
		if !ok {
			g.material, _ = r.Life.like(f.Material, f.Kind)
			g.kind = r.Life.kind(g.material, f.Kind)
			like[asked] = g
		}
		ends, ok := reach[g]
		if ok && Nanometres(f.Diameter) >= Nanometres(ends[0]) && Nanometres(f.Diameter) <= Nanometres(ends[1]) || !InRange(f.Diameter) {
			continue
		}
		v.Add(index(path, i), ErrNoRow, fmt.Sprintf("%s %.3f mm in %s without a life", f.Kind, f.Diameter, quote(f.Material)),
			"a life table whose diameters reach as far as the feeds")
	}
}

func (s StackRules) validate(v *Validation, p string) {
	v.Within(p+".entry_mm", s.Entry, 0, 5, "mm")
	v.Within(p+".backup_mm", s.Backup, 0.1, 20, "mm")
	v.Within(p+".backup_floor_mm", s.BackupFloor, 0, s.Backup, "mm")
	v.Within(p+".margin_mm", s.Margin, 0, 5, "mm")
	v.Within(p+".min_depth_mm", s.MinDepth, 0, 5, "mm")
	v.Within(p+".clearance_mm", s.Clearance, 0.1, 50, "mm")
	v.Within(p+".chip_room_mm", s.ChipRoom, 0, 20, "mm")
	v.Within(p+".max_ratio", s.Ratio, 1, 40, "")
	v.Within(p+".max_peck_ratio", s.PeckRatio, 0, 60, "")
	v.Within(p+".peck_life", s.PeckLife, 0, 1, "")
	v.Within(p+".wander_mm", s.Wander, 0, 10, "mm")
	v.Within(p+".position_mm", s.Position, 0, 100, "mm")
	v.Count(p+".max_height", s.MaxHeight, 1, 50)
	v.Within(p+".entry_price", s.EntryPrice, 0, 1e6, "money")
	v.Within(p+".backup_price", s.BackupPrice, 0, 1e6, "money")
	v.Within(p+".set_up_labour", s.SetUpLabour, 0, 1e6, "money")
	v.Within(p+".stack_labour", s.StackLabour, 0, 1e6, "money")
}

func (t TabRules) validate(v *Validation, p string) {
	v.Within(p+".width_mm", t.Width, 0.1, 50, "mm")
	v.Within(p+".spacing_mm", t.Spacing, 1, 1000, "mm")
	v.Count(p+".per_board", t.PerBoard, 0, 100)
	v.Count(p+".per_side", t.PerSide, 0, 2)
	v.Within(p+".corner_clear_mm", t.CornerClear, 0, 100, "mm")
	if t.Perforated {
		v.Within(p+".hole_mm", t.Hole, 0.1, 3, "mm")
		v.Within(p+".pitch_mm", t.Pitch, t.Hole, 10, "mm")
		v.Count(p+".count", t.Count, 1, 50)
		v.Within(p+".inset_mm", t.Inset, -1, 2, "mm")
		if row := float64(float64(t.Count-1)*t.Pitch) + t.Hole; Nanometres(row) > Nanometres(t.Width) {
			v.Add(p+".count", ErrConflict, fmt.Sprintf("%d perforations over %s mm", t.Count, number(row)), "no more than the tab's width of "+number(t.Width)+" mm")
		}
	}
}

func (r RoutRules) validate(v *Validation, p string) {
	if r.Direction != Climb && r.Direction != Conventional {
		v.Add(p+".direction", ErrValue, quote(string(r.Direction)), "climb or conventional")
	}
	v.Within(p+".cutter_mm", r.Cutter, 0, 50, "mm")
	v.Within(p+".deflection_mm", r.Deflection, 0, 0.5, "mm")
	v.Within(p+".overlap_mm", r.Overlap, 0, 5, "mm")
	v.Within(p+".lead_in_mm", r.LeadIn, 0, 10, "mm")
	v.Within(p+".depth_mm", r.Depth, 0, 5, "mm")
	v.Within(p+".slug_stop_mm", r.SlugStop, 0, 1000, "mm")
}
