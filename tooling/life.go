package tooling

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// LifeRow says how long a tool lasts at one drilled depth.
type LifeRow struct {
	Material string   `json:"material"`
	Kind     ToolKind `json:"kind"`
	Diameter float64  `json:"diameter_mm"`
	Depth    float64  `json:"depth_mm"` // drilled depth n t in the stack
	Life     float64  `json:"life"`     // bits: hits; cutters: mm of path
}

// Fall is how life goes down past the deepest row of a diameter: life x
// (ref/depth) x Factor for each further Step. The zero value allows no depth
// past the last row.
type Fall struct {
	Factor float64 `json:"factor,omitempty"`  // 0 < factor <= 1; default table: 0.85
	Step   float64 `json:"step_mm,omitempty"` // default table: 1.6
}

// LifeTable is a shop's tool life by material, kind, diameter and drilled
// depth, and what shortens it.
type LifeTable struct {
	Rows    []LifeRow   `json:"rows"`
	Fall    Fall        `json:"fall,omitzero"`
	Factors LifeFactors `json:"factors,omitzero"`
}

// At returns the life of a new tool at a drilled depth in mm: hits for bits,
// millimetres of path for cutters, rounded down to whole ones.
//
// Up to the shallowest row of a diameter the life is that row's; between rows
// it is piecewise linear; past the deepest it falls by [Fall]. Between the
// diameters on either side it is linear too, so more depth never means more
// life. A material without rows uses those of [MaterialFactor.Like]. Outside
// the table, or past the deepest row with no Fall, the error is an
// [*InputError] wrapping [ErrNoRow]; where less than one hit or millimetre is
// left it wraps [ErrDepth], and for a depth that is none [ErrValue]. Slot bits
// use the rows of bits where they have none. Cost O(rows).
func (t LifeTable) At(material string, kind ToolKind, diameter, depth float64) (float64, error) {
	return t.life(material, kind, diameter, depth, 1)
}

// life is At with a further factor, applied before the rounding down.
func (t LifeTable) life(material string, kind ToolKind, diameter, depth, factor float64) (float64, error) {
	if !(depth >= 0 && depth <= MaxLength) {
		return 0, &InputError{Source: Source{Path: "life"}, Err: ErrValue, Found: "a depth of " + number(depth) + " mm", Expected: "0 to 10 m"}
	}
	like, share := t.like(material, kind)
	below, above, w, rows := t.neighbours(like, kind, diameter)
	if len(below) == 0 || len(above) == 0 {
		return 0, noRow("life", material, kind, diameter, rows)
	}
	a, err := t.down(below, depth)
	if err != nil {
		return 0, err
	}
	b, err := t.down(above, depth)
	if err != nil {
		return 0, err
	}
	// Rounded before it is cut: 2999.9999999996 is 3000 on every processor.
	life := math.Floor(math.Round(float64(mix(a, b, w)*share)*factor*1e6) / 1e6)
	if !(life >= 1) {
		return 0, &InputError{
			Source: Source{Path: "life"}, Err: ErrDepth, Expected: "a depth that leaves a life of 1 or more",
			Found: fmt.Sprintf("%s %.3f mm at %.3f mm depth", kind, diameter, depth),
		}
	}
	return life, nil
}

// neighbours returns the rows of the nearest diameters at and below, and at
// and above, one asked for, each by depth; the weight of the upper ones; and
// how many rows the material and kind have. Slot bits without rows get those
// of bits. Diameters are compared in whole nanometres.
func (t LifeTable) neighbours(material string, kind ToolKind, diameter float64) (below, above []LifeRow, w float64, rows int) {
	kind = t.kind(material, kind)
	x := Nanometres(diameter)
	var lo, hi int64 = math.MinInt64, math.MaxInt64
	for _, r := range t.Rows {
		if r.Material != material || r.Kind != kind {
			continue
		}
		rows++
		if d := Nanometres(r.Diameter); d <= x {
			lo = max(lo, d)
		}
		if d := Nanometres(r.Diameter); d >= x {
			hi = min(hi, d)
		}
	}
	if lo == math.MinInt64 || hi == math.MaxInt64 || !InRange(diameter) {
		return nil, nil, 0, rows
	}
	below = t.column(material, kind, lo)
	if lo == hi {
		return below, below, 0, rows
	}
	return below, t.column(material, kind, hi), float64(x-lo) / float64(hi-lo), rows
}

// column returns the rows of one diameter in nm, by depth.
func (t LifeTable) column(material string, kind ToolKind, diameter int64) []LifeRow {
	var rows []LifeRow
	for _, r := range t.Rows {
		if r.Material == material && r.Kind == kind && Nanometres(r.Diameter) == diameter {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b LifeRow) int { return cmp.Compare(a.Depth, b.Depth) })
	return rows
}

// kind is the kind of the rows that stand for one asked for.
func (t LifeTable) kind(material string, kind ToolKind) ToolKind {
	if kind == SlotBit && !t.has(material, kind) {
		return Bit
	}
	return kind
}

func (t LifeTable) has(material string, kind ToolKind) bool {
	return slices.ContainsFunc(t.Rows, func(r LifeRow) bool { return r.Material == material && r.Kind == kind })
}

func (t LifeTable) down(column []LifeRow, depth float64) (float64, error) {
	first, last := column[0], column[len(column)-1]
	if Nanometres(depth) <= Nanometres(first.Depth) {
		return first.Life, nil
	}
	if lo, hi, w, ok := bracket(column, func(r LifeRow) float64 { return r.Depth }, depth); ok {
		return mix(column[lo].Life, column[hi].Life, w), nil
	}
	if t.Fall == (Fall{}) {
		return 0, &InputError{
			Source: Source{Path: "life"}, Err: ErrNoRow,
			Found:    fmt.Sprintf("%s %.3f mm at %.3f mm depth", last.Kind, last.Diameter, depth),
			Expected: fmt.Sprintf("a depth up to the table's %.3f mm", last.Depth),
		}
	}
	fall := math.Pow(t.Fall.Factor, (depth-last.Depth)/t.Fall.Step)
	return last.Life * last.Depth / depth * fall, nil
}

func (t LifeTable) validate(v *Validation, path string) {
	v.Count(path+".rows", len(t.Rows), 1, maxTools)
	type column struct {
		material string
		kind     ToolKind
		d        int64
	}
	columns := make(map[column][]int)
	var order []column
	for i, r := range t.Rows {
		p := index(path+".rows", i)
		if r.Material == "" {
			v.Add(p+".material", ErrMissing, "nothing", "a material's name")
		}
		r.Kind.validate(v, p+".kind")
		v.Within(p+".diameter_mm", r.Diameter, 0.01, 50, "mm")
		v.Within(p+".depth_mm", r.Depth, 0.01, 100, "mm")
		v.Within(p+".life", r.Life, 1, 1e9, "hits or mm")
		if !InRange(r.Diameter) || !InRange(r.Depth) {
			continue
		}
		c := column{r.Material, r.Kind, Nanometres(r.Diameter)}
		if columns[c] == nil {
			order = append(order, c)
		}
		columns[c] = append(columns[c], i)
	}
	for _, c := range order {
		t.validateColumn(v, path, columns[c])
	}
	if t.Fall != (Fall{}) {
		v.Within(path+".fall.factor", t.Fall.Factor, 0.01, 1, "")
		v.Within(path+".fall.step_mm", t.Fall.Step, 0.01, 100, "mm")
	}
	t.Factors.validate(v, path+".factors")
}

// validateColumn compares each row of one diameter, by index, with the next
// shallower one: the fault goes to the later of the two in the table.
func (t LifeTable) validateColumn(v *Validation, path string, rows []int) {
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(t.Rows[a].Depth, t.Rows[b].Depth) })
	for k := 1; k < len(rows); k++ {
		first, again := min(rows[k-1], rows[k]), max(rows[k-1], rows[k])
		up, deep := t.Rows[rows[k-1]], t.Rows[rows[k]]
		switch {
		case Nanometres(up.Depth) == Nanometres(deep.Depth):
			v.Add(index(path+".rows", again), ErrDuplicate, fmt.Sprintf("%s %.3f mm at %.3f mm again", up.Kind, up.Diameter, up.Depth),
				fmt.Sprintf("one row; rows[%d] has it", first))
		case deep.Life > up.Life:
			o := t.Rows[first]
			v.Add(index(path+".rows", again)+".life", ErrConflict, number(t.Rows[again].Life)+" at "+number(t.Rows[again].Depth)+" mm",
				fmt.Sprintf("no more life in a taller stack: rows[%d] has %s at %s mm", first, number(o.Life), number(o.Depth)))
		}
	}
}
