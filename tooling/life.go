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
// depth.
type LifeTable struct {
	Rows []LifeRow `json:"rows"`
	Fall Fall      `json:"fall,omitzero"`
}

// At returns the life of a tool at a drilled depth in mm: hits for bits,
// millimetres of path for cutters, rounded down to whole ones.
//
// Up to the shallowest row of a diameter the life is that row's; between rows
// it is piecewise linear; past the deepest it falls by [Fall]. Between the
// diameters on either side it is linear too, so more depth never means more
// life. Outside the table, or past the deepest row with no Fall, the error is
// an [*InputError] wrapping [ErrNoRow]. Slot bits use the rows of bits where
// they have none. Cost O(rows log rows).
func (t LifeTable) At(material string, kind ToolKind, diameter, depth float64) (float64, error) {
	columns := t.columns(material, kind)
	if len(columns) == 0 && kind == SlotBit {
		columns = t.columns(material, Bit)
	}
	lo, hi, w, ok := bracket(columns, func(c []LifeRow) float64 { return c[0].Diameter }, diameter)
	if !ok {
		return 0, noRow("life", material, kind, diameter, len(columns))
	}
	a, err := t.down(columns[lo], depth)
	if err != nil {
		return 0, err
	}
	b, err := t.down(columns[hi], depth)
	if err != nil {
		return 0, err
	}
	return math.Floor(mix(a, b, w) + 1e-9), nil
}

// columns groups the rows of a material and kind by diameter, both sorted.
func (t LifeTable) columns(material string, kind ToolKind) [][]LifeRow {
	var rows []LifeRow
	for _, r := range t.Rows {
		if r.Material == material && r.Kind == kind {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b LifeRow) int {
		return cmp.Or(cmp.Compare(a.Diameter, b.Diameter), cmp.Compare(a.Depth, b.Depth))
	})
	var columns [][]LifeRow
	for i, r := range rows {
		if i == 0 || r.Diameter != rows[i-1].Diameter {
			columns = append(columns, nil)
		}
		columns[len(columns)-1] = append(columns[len(columns)-1], r)
	}
	return columns
}

func (t LifeTable) down(column []LifeRow, depth float64) (float64, error) {
	first, last := column[0], column[len(column)-1]
	if depth <= first.Depth {
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
	type key struct {
		material string
		kind     ToolKind
		d, depth int64
	}
	seen := make(map[key]int, len(t.Rows))
	for i, r := range t.Rows {
		p := index(path+".rows", i)
		if r.Material == "" {
			v.Add(p+".material", ErrMissing, "nothing", "a material's name")
		}
		v.Within(p+".diameter_mm", r.Diameter, 0.01, 50, "mm")
		v.Within(p+".depth_mm", r.Depth, 0.01, 100, "mm")
		v.Within(p+".life", r.Life, 1, 1e9, "hits or mm")
		k := key{r.Material, r.Kind, Nanometres(r.Diameter), Nanometres(r.Depth)}
		if first, ok := seen[k]; ok {
			v.Add(p, ErrDuplicate, fmt.Sprintf("%s %.3f mm at %.3f mm again", r.Kind, r.Diameter, r.Depth), fmt.Sprintf("one row; rows[%d] has it", first))
		}
		seen[k] = i
		for j, o := range t.Rows[:i] {
			if o.Material != r.Material || o.Kind != r.Kind || o.Diameter != r.Diameter {
				continue
			}
			if (r.Depth > o.Depth && r.Life > o.Life) || (r.Depth < o.Depth && r.Life < o.Life) {
				v.Add(p+".life", ErrConflict, number(r.Life)+" at "+number(r.Depth)+" mm",
					fmt.Sprintf("no more life in a taller stack: rows[%d] has %s at %s mm", j, number(o.Life), number(o.Depth)))
			}
		}
	}
	if t.Fall != (Fall{}) {
		v.Within(path+".fall.factor", t.Fall.Factor, 0.01, 1, "")
		v.Within(path+".fall.step_mm", t.Fall.Step, 0.01, 100, "mm")
	}
}
