package drill

import "example.org/pinstack/tooling"

// Place puts the holes of the boards onto the panel, placement after
// placement in the panel's order, each board's holes in theirs, and appends
// the panel's own holes: tooling holes and targets (unplated, tented) and
// coupon holes (plated). Pins are no holes.
//
// Placements of a board that boards does not have are skipped; Validate of
// the job refuses them.
func Place(boards [][]Hole, p tooling.Panel) []Hole {
	var out []Hole
	for _, at := range p.Boards {
		if at.Board < 0 || at.Board >= len(boards) {
			continue
		}
		for _, h := range boards[at.Board] {
			h.At, h.To = at.Apply(h.At), at.Apply(h.To)
			out = append(out, h)
		}
	}
	for _, f := range p.Features {
		if f.Role == tooling.Pin {
			continue
		}
		size := tooling.Size{Diameter: tooling.Snap(f.Diameter), Basis: tooling.Finished, Class: tooling.Mechanical, Plated: f.Role == tooling.Coupon}
		h := Round(tooling.SnapPoint(f.At), size)
		h.Tented = !size.Plated
		h.Source = tooling.Source{Path: "panel " + string(f.Role) + " hole"}
		out = append(out, h)
	}
	return out
}
