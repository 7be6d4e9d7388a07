package artwork

import (
	"example.org/pinstack/route/contour"

	"github.com/paulmach/orb"
)

// region is a filled area while it is read.
type region struct {
	done         []contour.Contour
	open         contour.Contour
	at           point
	started      bool
	line, column int
}

func (r *reader) beginRegion(i int) error {
	if r.region != nil {
		r.note("region-again", "G36 within a region", i)
		return nil
	}
	line, column := r.scan.position(r.scan.offset(i))
	r.region = &region{line: line, column: column}
	return nil
}

// beginContour starts a further contour of the region at p.
func (r *reader) beginContour(p point) error {
	r.region.close(r)
	r.region.open = contour.Contour{Start: p.orb()}
	r.region.at, r.region.started = p, true
	return nil
}

// draw adds a step to the open contour.
func (g *region) draw(r *reader, a arc) error {
	if err := r.count(1, 0); err != nil {
		return err
	}
	if !g.started {
		g.open, g.started = contour.Contour{Start: a.from.orb()}, true
		r.note("region-start", "a region's contour begins without D02: taken from the point before", 0, g.open.Start)
	}
	g.at = a.to
	if a.from == a.to && a.turn == 0 {
		return nil
	}
	m := contour.Move{To: a.to.orb(), Turn: a.turn}
	if a.turn != 0 {
		m.Center = orb.Point{a.center[0] / 1e6, a.center[1] / 1e6}
	}
	g.open.Moves = append(g.open.Moves, m)
	return nil
}

// close ends the open contour where it began.
func (g *region) close(r *reader) {
	c := g.open
	g.open, g.started = contour.Contour{}, false
	if len(c.Moves) == 0 {
		return
	}
	if !c.Closed() {
		gap := length(c.End()[0]-c.Start[0], c.End()[1]-c.Start[1])
		r.noteValue("region-closed", "a region's contour does not end where it began, mm: closed by a line", r.scan.offset(0), gap, 0, c.End())
		c.Moves = append(c.Moves, contour.Move{To: c.Start})
	}
	g.done = append(g.done, c)
}

func (r *reader) endRegion() error {
	g := r.region
	g.close(r)
	r.region = nil
	if len(g.done) == 0 {
		return nil
	}
	top := r.sinks[len(r.sinks)-1]
	top.regions = append(top.regions, Region{Contours: g.done, Clear: r.clear, Function: r.attribute[".AperFunction"], Line: g.line, Column: g.column})
	return nil
}
