package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// Perforations returns the holes of the perforated tabs, in the order of the
// tabs: a row along the board's edge, centres Inset inside it so that the stub
// stays within the outline, and a second row on the other board's edge where
// the tab joins two boards.
//
// They are unplated mechanical holes of the rule's diameter, so they belong to
// the drill pass after plating, before the routing. They are declared half
// holes: the outline runs through them by design, and they lie in the web that
// the cutter leaves, or are opened by the round end of its path.
func (l Layout) Perforations() []drill.Hole {
	var out []drill.Hole
	r := l.Input.Rules.Tabs
	size := tooling.Size{Diameter: r.Hole, Basis: tooling.Finished, Class: tooling.Mechanical}
	for _, t := range l.Tabs {
		if !t.Perforated {
			continue
		}
		for _, y := range t.rows(r) {
			for _, at := range t.row(y, r) {
				h := drill.Round(at, size)
				h.Half = true
				h.Source = tooling.Source{Path: "tab perforation"}
				out = append(out, h)
			}
		}
	}
	return out
}

// row is where the perforations of one row lie.
func (t Tab) row(y float64, r tooling.TabRules) (out []orb.Point) {
	for k := range r.Count {
		x := float64((float64(k) - float64(r.Count-1)/2) * r.Pitch)
		out = append(out, tooling.SnapPoint(t.perforation(x, y)))
	}
	return out
}

// rows are how far from its edge, away from the board, a tab's rows of
// perforations lie: on its board's edge, and on the other board's where it joins two.
func (t Tab) rows(r tooling.TabRules) []float64 {
	rows := []float64{-r.Inset}
	if t.Across > 0 {
		rows = append(rows, t.Across+r.Inset)
	}
	return rows
}
