package main

import "math"

// hole is a round hole, or a slot where to differs from at; mm.
type hole struct {
	tool   int
	at, to [2]float64
	wall   float64 // drilled diameter, mm: what must keep clear of its neighbours
}

// board collects the holes of one board and keeps scattered ones clear of
// what is there already.
type board struct {
	width, height float64
	holes         []hole
	cutOuts       [][4]float64 // x0, y0, x1, y1
}

func (b *board) hit(tool int, wall, x, y float64) {
	b.slot(tool, wall, x, y, x, y)
}

func (b *board) slot(tool int, wall, x0, y0, x1, y1 float64) {
	b.holes = append(b.holes, hole{tool, [2]float64{x0, y0}, [2]float64{x1, y1}, wall})
}

// grid adds columns x rows hits from a corner at a pitch.
func (b *board) grid(tool int, wall, x, y float64, columns, rows int, dx, dy float64) {
	for c := range columns {
		for r := range rows {
			b.hit(tool, wall, x+float64(c)*dx, y+float64(r)*dy)
		}
	}
}

// scatter adds a hit unless it comes too near an edge, a cut-out or another
// hole, and tells whether it did.
func (b *board) scatter(tool int, wall, x, y, edge, web float64) bool {
	r := wall / 2
	if x-r < edge || y-r < edge || x+r > b.width-edge || y+r > b.height-edge {
		return false
	}
	for _, c := range b.cutOuts {
		if x+r > c[0]-edge && x-r < c[2]+edge && y+r > c[1]-edge && y-r < c[3]+edge {
			return false
		}
	}
	for _, h := range b.holes {
		mx, my := (h.at[0]+h.to[0])/2, (h.at[1]+h.to[1])/2
		reach := r + h.wall/2 + math.Hypot(h.to[0]-h.at[0], h.to[1]-h.at[1])/2 + web
		if math.Hypot(x-mx, y-my) < reach {
			return false
		}
	}
	b.hit(tool, wall, x, y)
	return true
}
