package tooling

import (
	"fmt"
	"math"
)

// MostFigure is the largest seconds, millimetres, hits, rev/min or mm/min that a
// saved pass may tell: above what any holds, below what overflows.
const MostFigure = 1e9

// Figure checks a number from 0 to [MostFigure].
func (v *Validation) Figure(path string, x float64) { v.Within(path, x, 0, MostFigure, "") }

// Feed checks a feed as it was saved, in rev/min and mm/min.
func (v *Validation) Feed(path string, f Feed) {
	v.Figure(path+".rev_per_min", f.Speed)
	v.Figure(path+".infeed_mm_per_min", f.Infeed)
	v.Figure(path+".plunge_mm_per_min", f.Plunge)
	v.Figure(path+".retract_mm_per_min", f.Retract)
}

// Depth checks a depth as it was saved, in mm.
func (v *Validation) Depth(path string, d Depth) {
	v.Figure(path+".into_backup_mm", d.IntoBackup)
	v.Figure(path+".above_table_mm", d.AboveTable)
	v.Figure(path+".down_mm", d.Down)
	v.Figure(path+".clearance_mm", d.Clearance)
	v.Count(path+".pecks", d.Pecks, 0, 100)
}

// Fit checks a fit as it was saved: of one of the kinds, none far from a plain turn,
// and such that [Fit.Undo] can undo it.
func (v *Validation) Fit(path string, f Fit, kinds ...string) {
	known, expected := f.Kind == "", ""
	for i, k := range kinds {
		known = known || f.Kind == k
		if i > 0 {
			expected += " or "
		}
		expected += k
	}
	if !known {
		v.Add(path+".kind", ErrValue, fmt.Sprintf("%q", f.Kind), expected)
	}
	v.Point(path+".about_mm", f.About)
	v.Point(path+".shift_mm", f.Shift)
	for i, x := range f.Map {
		v.Within(fmt.Sprintf("%s.map[%d]", path, i), x, -10, 10, "")
	}
	if det := float64(f.Map[0]*f.Map[3]) - float64(f.Map[1]*f.Map[2]); f.Kind != "" && math.Abs(det) < 0.01 {
		v.Add(path+".map", ErrValue, fmt.Sprintf("a map that makes %.3g of an area", det), "one that can be undone")
	}
}
