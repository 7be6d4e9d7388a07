package tooling

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// FeedRow is one line of a feed table: how a tool of one diameter is run in
// one material.
type FeedRow struct {
	Material string   `json:"material"`
	Kind     ToolKind `json:"kind"`
	Diameter float64  `json:"diameter_mm"`
	Speed    float64  `json:"rev_per_min,omitempty"`       // rev/min; 0: from Surface
	Surface  float64  `json:"surface_m_per_min,omitempty"` // cutting speed Vc; used where Speed is 0
	ChipLoad float64  `json:"chip_load_mm"`                // per revolution
	Retract  float64  `json:"retract_mm_per_min"`          // bits; cutters: upward rapid
	Plunge   float64  `json:"plunge_mm_per_min,omitempty"` // cutters only
}

// FeedTable is a shop's feeds by material, kind and diameter. A material
// without a row of its own is refused: [ErrNoRow].
type FeedTable struct {
	Rows []FeedRow `json:"rows"`
}

// Feed is how a tool will be run: the table's values clamped to the machine
// and the tool.
type Feed struct {
	Speed    float64 `json:"rev_per_min"`
	ChipLoad float64 `json:"chip_load_mm"`                // per revolution, as run
	Infeed   float64 `json:"infeed_mm_per_min"`           // bits: down; cutters: along the path
	Plunge   float64 `json:"plunge_mm_per_min,omitempty"` // cutters: down
	Retract  float64 `json:"retract_mm_per_min"`
	Clamped  string  `json:"clamped,omitempty"` // which limit changed the table's speed
}

// Lowered returns the feed as run by a spindle that may not reach its speed:
// slower at the same chip load. The feeds are rounded down to whole mm/min. It
// is not ok where the spindle cannot turn so slowly.
func (f Feed) Lowered(s SpeedLimits) (Feed, bool) {
	if f.Speed < s.Min {
		return f, false
	}
	if s.Max > 0 && f.Speed > s.Max {
		speed := math.Floor(s.Max)
		less := func(feed float64) float64 { return max(1, math.Floor(float64(feed*speed)/f.Speed)) }
		f.Infeed = less(f.Infeed)
		if f.Plunge > 0 {
			f.Plunge = less(f.Plunge)
		}
		f.Speed, f.ChipLoad, f.Clamped = speed, Snap(f.Infeed/speed), "spindle max"
	}
	return f, true
}

// SurfaceSpeed returns the cutting speed in m/min at a diameter in mm and a
// speed in rev/min: V = pi D n / 1000.
func SurfaceSpeed(diameter, speed float64) float64 { return math.Pi * diameter * speed / 1000 }

// SpindleSpeed returns n = 1000 Vc / (pi D) in rev/min for a cutting speed in
// m/min and a diameter in mm (the formula of any machining handbook).
func SpindleSpeed(surface, diameter float64) float64 { return 1000 * surface / (math.Pi * diameter) }

// At returns the row for a material, kind and diameter, piecewise linear
// between the rows on either side. Slot bits use the rows of bits where they
// have none of their own. Outside the diameters of the table, and for a
// material or kind without rows, the error is an [*InputError] wrapping
// [ErrNoRow]. Cost O(rows).
func (t FeedTable) At(material string, kind ToolKind, diameter float64) (FeedRow, error) {
	rows := t.of(material, kind)
	if len(rows) == 0 && kind == SlotBit {
		rows = t.of(material, Bit)
	}
	lo, hi, w, ok := bracket(rows, func(r FeedRow) float64 { return r.Diameter }, diameter)
	if !ok || !InRange(diameter) {
		return FeedRow{}, noRow("feeds", material, kind, diameter, len(rows))
	}
	a, b := rows[lo], rows[hi]
	return FeedRow{
		Material: material, Kind: kind, Diameter: diameter,
		Speed:    mix(a.speed(), b.speed(), w),
		ChipLoad: mix(a.ChipLoad, b.ChipLoad, w),
		Retract:  mix(a.Retract, b.Retract, w),
		Plunge:   mix(a.Plunge, b.Plunge, w),
	}, nil
}

func (t FeedTable) of(material string, kind ToolKind) []FeedRow {
	var rows []FeedRow
	for _, r := range t.Rows {
		if r.Material == material && r.Kind == kind {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b FeedRow) int { return cmp.Compare(a.Diameter, b.Diameter) })
	return rows
}

func (r FeedRow) speed() float64 {
	if r.Speed != 0 {
		return r.Speed
	}
	return SpindleSpeed(r.Surface, r.Diameter)
}

// bracket finds the rows on either side of x in rows sorted by key, and the
// weight of the upper one. Lengths are compared in whole nanometres, so that
// the last bit of a computed diameter does not push it off the table.
func bracket[R any](rows []R, key func(R) float64, x float64) (lo, hi int, w float64, ok bool) {
	for i := range rows {
		k := key(rows[i])
		if Nanometres(k) == Nanometres(x) {
			return i, i, 0, true
		}
		if k > x {
			if i == 0 {
				return 0, 0, 0, false
			}
			below := key(rows[i-1])
			return i - 1, i, (x - below) / (k - below), true
		}
	}
	return 0, 0, 0, false
}

// mix interpolates; the product is rounded on its own so that no processor
// fuses it with the sum.
func mix(a, b, w float64) float64 { return a + float64((b-a)*w) }

func noRow(table, material string, kind ToolKind, diameter float64, rows int) error {
	expected := fmt.Sprintf("a row for %s in %s", kind, quote(material))
	if rows > 0 {
		expected = fmt.Sprintf("a diameter inside the %d rows for %s in %s", rows, kind, quote(material))
	}
	return &InputError{
		Source: Source{Path: table}, Found: fmt.Sprintf("%s of %.3f mm", kind, diameter), Expected: expected, Err: ErrNoRow,
	}
}

// SpeedLimits is the range of a spindle in rev/min; zero ends do not limit.
type SpeedLimits struct{ Min, Max float64 }

// Feed returns how a tool runs in a material on a spindle with the given
// limits. The table's speed is clamped to the spindle and the tool at both
// ends, infeed = speed x chip load, and never above the table's own. Speeds
// come out in whole rev/min and feeds in whole mm/min, the grid on which
// programs are written, the infeed rounded down.
//
// Errors are [*InputError]: [ErrNoRow] from the table, [ErrConflict] when
// spindle and tool have no common whole speed, [ErrValue] for an infeed below
// 1 mm/min.
func (r Rules) Feed(t Tool, material string, spindle SpeedLimits) (Feed, error) {
	row, err := r.Feeds.At(material, t.Kind, t.Diameter)
	if err != nil {
		return Feed{}, err
	}
	lo := math.Ceil(max(t.MinSpeed, spindle.Min, 1))
	hi := math.Floor(least(t.MaxSpeed, spindle.Max))
	if limited := t.MaxSpeed != 0 || spindle.Max != 0; !limited {
		hi = math.Inf(1)
	}
	if !(lo <= hi) {
		return Feed{}, &InputError{
			Source: Source{Tool: t.ID}, Err: ErrConflict, Found: "speeds from " + number(lo) + " up to " + number(hi) + " rev/min",
			Expected: "a speed that both spindle and tool allow",
		}
	}
	f := Feed{Speed: math.Round(row.Speed), Retract: math.Round(row.Retract), Plunge: math.Round(row.Plunge)}
	if f.Speed > hi {
		f.Speed, f.Clamped = hi, limitName("max", hi, math.Floor(t.MaxSpeed))
	}
	if f.Speed < lo {
		f.Speed, f.Clamped = lo, limitName("min", lo, math.Ceil(t.MinSpeed))
	}
	// The sliver keeps a product such as 299.99999999999994 from losing 1 mm/min.
	f.Infeed = math.Floor(float64(min(f.Speed, row.Speed)*row.ChipLoad) + 1e-6)
	if !(f.Infeed >= 1) {
		return Feed{}, &InputError{
			Source: Source{Tool: t.ID}, Err: ErrValue, Expected: "an infeed of at least 1 mm/min",
			Found: number(f.Speed) + " rev/min at a chip load of " + number(row.ChipLoad) + " mm",
		}
	}
	f.ChipLoad = Snap(f.Infeed / f.Speed)
	return f, nil
}

func least(a, b float64) float64 {
	if a == 0 {
		return b
	}
	if b == 0 {
		return a
	}
	return min(a, b)
}

func limitName(end string, limit, tool float64) string {
	if limit == tool {
		return "tool " + end
	}
	return "spindle " + end
}

func (t FeedTable) validate(v *Validation, path string) {
	v.Count(path+".rows", len(t.Rows), 1, maxTools)
	type key struct {
		material string
		kind     ToolKind
		d        int64
	}
	seen := make(map[key]int, len(t.Rows))
	for i, r := range t.Rows {
		p := index(path+".rows", i)
		r.validate(v, p)
		if !InRange(r.Diameter) {
			continue
		}
		k := key{r.Material, r.Kind, Nanometres(r.Diameter)}
		if first, ok := seen[k]; ok {
			v.Add(p, ErrDuplicate, fmt.Sprintf("%s %.3f mm again", r.Kind, r.Diameter), fmt.Sprintf("one row; rows[%d] has it", first))
		} else {
			seen[k] = i
		}
	}
}

func (r FeedRow) validate(v *Validation, p string) {
	if r.Material == "" {
		v.Add(p+".material", ErrMissing, "nothing", "a material's name")
	}
	r.Kind.validate(v, p+".kind")
	v.Within(p+".diameter_mm", r.Diameter, 0.01, 50, "mm")
	switch {
	case r.Speed == 0 && r.Surface == 0:
		v.Add(p+".rev_per_min", ErrMissing, "neither speed nor surface speed", "one of them")
	case r.Speed != 0:
		v.Within(p+".rev_per_min", r.Speed, 1, 1e6, "rev/min")
	}
	if r.Surface != 0 {
		v.Within(p+".surface_m_per_min", r.Surface, 0.1, 2000, "m/min")
	}
	// Both may be given where they say the same: 1 % covers rounded figures.
	if both := SurfaceSpeed(r.Diameter, r.Speed); r.Speed != 0 && r.Surface != 0 && !(math.Abs(both-r.Surface) <= float64(0.01*r.Surface)) {
		v.Add(p+".surface_m_per_min", ErrConflict, number(r.Surface), "the surface speed of rev_per_min at this diameter, "+number(both)+" m/min, or only one of the two")
	}
	v.Within(p+".chip_load_mm", r.ChipLoad, 0.0001, 1, "mm")
	v.Within(p+".retract_mm_per_min", r.Retract, 1, 1e6, "mm/min")
	if r.Kind == Cutter || r.Plunge != 0 {
		v.Within(p+".plunge_mm_per_min", r.Plunge, 1, 1e6, "mm/min")
	}
}
