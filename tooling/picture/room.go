package picture

import (
	"math"
	"slices"
)

// Symbols larger than the hits they stand for run into one another where hits
// are dense, and a block of ink tells nothing.

// crowd bounds the neighbours looked at in one cell, for the sake of scenes in
// which everything lies in one place.
const crowd = 64

// signed reports whether the symbol of the run stands on a mark: pilots and
// nibbles keep the disc alone.
func (m *Mark) signed() bool { return m.Role == "" || m.Role == "finish" }

// room returns the half size, in micrometres, at which nine of ten symbols of a
// layer stay clear of their neighbours: a little less than half the distance
// between nearest hits.
func (d *drawing) room(l *Layer) int64 {
	cell := d.unit * 2 // a neighbour farther off than that leaves room for the largest symbol
	var at []um
	grid := map[um][]um{}
	for i := range l.Marks {
		if !l.Marks[i].signed() {
			continue
		}
		p := d.at(l.Marks[i].Points[0])
		at = append(at, p)
		key := um{p.x / cell, p.y / cell}
		if len(grid[key]) < crowd {
			grid[key] = append(grid[key], p)
		}
	}
	if len(at) == 0 {
		return cell
	}
	near := make([]int64, len(at))
	for i, p := range at {
		near[i] = cell * cell
		for k := range int64(9) { // the cell and those about it
			for _, q := range grid[um{p.x/cell + k%3 - 1, p.y/cell + k/3 - 1}] {
				if v := q.sub(p); v != (um{}) {
					near[i] = min(near[i], v.x*v.x+v.y*v.y)
				}
			}
		}
	}
	slices.Sort(near)
	return int64(math.Sqrt(float64(near[len(near)/10]))) * 2 / 5
}
