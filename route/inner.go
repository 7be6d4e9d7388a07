package route

import (
	"fmt"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// inners plans the paths inside cut-outs and routed holes.
func (p *planner) inners() error {
	for i := range p.l.loops {
		o := &p.l.loops[i]
		if !o.inner() {
			continue
		}
		t, got, err := p.innerCutter(o)
		if err != nil {
			return err
		}
		p.unreachable(o, t, got)
		first := len(p.items)
		if err := p.clear(i, t); err != nil {
			return err
		}
		if err := p.rough(i, t); err != nil {
			return err
		}
		for k := first + 1; k < len(p.items); k++ {
			p.items[k].after = append(p.items[k].after, k-1)
		}
		before := len(p.items)
		for _, c := range got.Loops {
			p.around(i, t, p.directed(c, true), Finish, -p.l.Input.Rules.Rout.Deflection)
		}
		for k := before; k < len(p.items) && before > first; k++ {
			p.items[k].after = append(p.items[k].after, before-1)
		}
		if err := p.cleanUp(i, t, got.Loops); err != nil {
			return err
		}
	}
	return nil
}

// innerCutter is the largest cutter, up to the outlines', that follows every
// inside arc of a loop and comes through all its necks and into all its notches.
func (p *planner) innerCutter(o *loop) (tooling.Tool, contour.Offsets, error) {
	limit := 2*o.insideRadius(p.l.Input.tightest()) + 2*p.l.Input.Rules.Rout.Deflection
	if d := p.l.Cutter.Diameter; d > 0 {
		limit = min(limit, d)
	}
	best, got, _, err := o.open(cutters(p.l.Input.Crib, limit+onLine), p.l.Input.Rules.Rout.Deflection)
	if err != nil {
		return best, got, err
	}
	if len(got.Loops) == 0 {
		source := tooling.Source{}
		if o.hole {
			source = p.l.Input.Holes[o.number].Source
		}
		return best, got, &BoardError{Board: o.board, Other: -1, At: o.line.Start, Source: source,
			Found: fmt.Sprintf("%s, %.3f x %.3f mm", o.name(), o.box.Max[0]-o.box.Min[0], o.box.Max[1]-o.box.Min[1]), Expected: "room for a cutter of the crib", Err: ErrNoCutter}
	}
	return best, got, nil
}

// clear adds the paths that cut the waste inside a loop to nothing, innermost
// first, when the slug would be small. Neighbouring paths lie one cutter radius
// apart, so that nothing is left between them.
func (p *planner) clear(i int, t tooling.Tool) error {
	o := &p.l.loops[i]
	if p.o.ClearBelow < 0 {
		return nil
	}
	re := p.radius(t)
	slug, err := o.offset(re + t.Diameter/2)
	if err != nil || len(slug.Loops) == 0 {
		return err
	}
	size := extent(slug.Loops)
	if size > orDefault(p.o.ClearBelow, defaultClear) {
		if o.hole || !p.l.tabbed(o) {
			p.report.Note("slug-drops", t.ID, "waste inside a cut-out comes loose in one piece", tooling.Snap(size), 0, o.line.Start)
		}
		return nil
	}
	var rings [][]contour.Contour
	for k := 1; ; k++ {
		got, err := o.offset(re + float64(float64(k)*t.Diameter/2))
		if err != nil {
			return err
		}
		if len(got.Loops) == 0 {
			break
		}
		rings = append(rings, got.Loops)
	}
	for k := len(rings) - 1; k >= 0; k-- {
		for _, c := range rings[k] {
			p.around(i, t, p.directed(c, true), Clear, float64(float64(k+1)*t.Diameter/2)-p.l.Input.Rules.Rout.Deflection)
		}
	}
	return nil
}

// extent is the longest side, in mm, of the boxes round the loops.
func extent(cs []contour.Contour) (long float64) {
	for _, c := range cs {
		b := c.Bound()
		long = max(long, b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
	}
	return long
}
