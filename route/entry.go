package route

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// Room in mm round a pre-drilled entry: what the hole is larger than its
// cutter, and what it keeps from the nearest edge [assumptions].
const (
	entryPlay = 0.1
	entryWeb  = 0.1
)

// Entries returns the holes in which small cutters enter the waste of cut-outs
// and routed holes, for Options.EnterBelow; none when that is 0. They belong to
// the drill pass of the loop's own stage, before its routing, and lie in waste
// that the path then cuts away. [Plan] with the same options begins its paths
// there.
//
// Outlines need none: cut at tabs they are entered beside a web, whole ones are
// led in from scrap. Errors as for [Plan]. The cost is that of the offsets.
func (l Layout) Entries(ctx context.Context, o Options) ([]drill.Hole, error) {
	if err := o.Validate(); err != nil || o.EnterBelow == 0 {
		return nil, err
	}
	p := newPlanner(l, o)
	if err := p.inners(); err != nil {
		return nil, err
	}
	if err := p.enter(ctx); err != nil {
		return nil, err
	}
	var out []drill.Hole
	for i := range p.items {
		it := &p.items[i]
		if it.path.Entry == 0 {
			continue
		}
		h := drill.Round(gridPoint(p.line(it, it.entries[0]).Line.Start), tooling.Size{Diameter: it.path.Entry, Basis: tooling.Drilled, Class: tooling.Mechanical})
		h.Tented = it.plated // made before plating, as what it is the entry of
		h.Source = tooling.Source{Path: "entry of a cutter"}
		out = append(out, h)
	}
	return out, nil
}

// enter finds the entries of the closed paths, and gives the first path of each
// cut-out and routed hole that a small cutter makes a hole to enter in: then it
// has that one entry alone.
func (p *planner) enter(ctx context.Context) error {
	seen := map[string]bool{}
	for i := range p.items {
		it := &p.items[i]
		if err := ctx.Err(); err != nil {
			return err
		}
		if it.ring == nil {
			continue
		}
		it.entries = p.entries(it)
		if it.outline || it.cleanUp || it.tool.Diameter > p.o.EnterBelow {
			continue
		}
		name := fmt.Sprint(it.path.Board, it.path.Loop, it.path.Hole)
		if seen[name] {
			continue
		}
		seen[name] = true
		p.predrill(it)
	}
	return nil
}

// predrill chooses the entry and the bit of a path that is entered in a hole.
func (p *planner) predrill(it *item) {
	for k, e := range it.entries {
		at := gridPoint(p.line(it, e).Line.Start)
		if d, ok := p.entryBit(at, it.tool); ok {
			it.path.Entry = d
			it.entries = it.entries[k : k+1]
			return
		}
	}
	p.report.Note("entry", it.tool.ID, "a small cutter plunges into solid waste: no room for a hole to enter in, or no bit for it", it.tool.Diameter, p.o.EnterBelow, it.ring.at(0))
}

// entryBit is the smallest bit of the crib that a cutter fits into and that
// keeps off the edges round a place.
func (p *planner) entryBit(at orb.Point, cutter tooling.Tool) (diameter float64, ok bool) {
	for _, t := range p.l.Input.Crib.Tools {
		if t.Kind != tooling.Bit || t.Diameter < cutter.Diameter+entryPlay-onLine || ok && t.Diameter >= diameter {
			continue
		}
		if _, k, _ := p.solid.near(at, t.Diameter/2+entryWeb); k < 0 {
			diameter, ok = t.Diameter, true
		}
	}
	return diameter, ok
}
