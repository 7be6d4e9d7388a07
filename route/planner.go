package route

import (
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// item is a path before it is ordered: an open one with its line, or a closed
// one that may begin at any of its entries.
type item struct {
	path    Path
	tool    tooling.Tool
	plated  bool
	outline bool
	cleanUp bool
	ring    *ruler // closed: the loop to begin anywhere on; nil: open
	entries []entry
	boards  []int // placements whose edge the path cuts
	after   []int // items that must be cut before this one
}

// planner holds what the paths of one layout are made from.
type planner struct {
	l       Layout
	o       Options
	sense   tooling.Direction
	boards  *edges // all outlines; owners are indices into l.loops
	solid   *edges // all edges the cutter must keep away from
	centres *edges // the outlines' finishing centre lines; owners as boards
	scored  map[int]*edges
	tabs    tabSet
	items   []item
	report  tooling.Report
	kicks   int64 // of the last run, for the statistics, as are
	tried   int64 // the moves looked at
}

func newPlanner(l Layout, o Options) *planner {
	p := &planner{l: l, o: o, sense: l.Input.Rules.Rout.Direction, scored: map[int]*edges{}}
	p.boards = edgesOf(l.loops, func(o *loop) bool { return !o.inner() })
	p.solid = edgesOf(l.loops, func(*loop) bool { return true })
	p.tabs = newTabSet(l.Tabs, l.Cutter.Diameter, l.Cutter.Diameter+o.Rough)
	for i := range l.loops {
		if o := &l.loops[i]; o.anyScored() {
			var ps []piece
			for k := range o.ps {
				if o.scored[k] {
					ps = append(ps, o.ps[k])
				}
			}
			p.scored[i] = setOf(ps)
		}
	}
	return p
}

// radius is how far the finishing centre line of a cutter lies from the edge.
func (p *planner) radius(t tooling.Tool) float64 {
	return t.Diameter/2 - p.l.Input.Rules.Rout.Deflection
}

// directed turns an offset loop, whose region lies on its left, to the sense
// asked for: conventional has the material on the left. Growing a board the
// region holds the board; shrinking a cut-out it lies away from the material.
func (p *planner) directed(c contour.Contour, inner bool) contour.Contour {
	if inner == (p.sense == tooling.Conventional) {
		return c.Reverse()
	}
	return c
}

// finish is one outline's finishing centre lines, directed.
type finish struct {
	loop  int // index into l.loops
	lines []contour.Contour
}

// outlines plans the paths round the boards.
func (p *planner) outlines() error {
	var all []finish
	var ps []piece
	var owner []int32
	for i := range p.l.loops {
		o := &p.l.loops[i]
		if o.inner() {
			continue
		}
		got, _, err := o.centreLine(p.radius(p.l.Cutter))
		if err != nil {
			return err
		}
		p.unreachable(o, p.l.Cutter, got)
		f := finish{loop: i}
		for _, c := range got.Loops {
			if size := extent([]contour.Contour{c}) - p.l.Cutter.Diameter; c.Area() < 0 && size > mostWaste {
				p.report.Note("slug-drops", p.l.Cutter.ID, "waste in a pocket of an outline comes loose in one piece", tooling.Snap(size), 0, c.Start)
			}
			c = p.directed(c, false)
			f.lines = append(f.lines, c)
			for _, q := range pieces(c) {
				ps, owner = append(ps, q), append(owner, int32(i))
			}
		}
		all = append(all, f)
	}
	p.centres = newEdges(ps, owner)
	for _, f := range all {
		if err := p.rough(f.loop, p.l.Cutter); err != nil {
			return err
		}
		for _, c := range f.lines {
			p.around(f.loop, p.l.Cutter, c, Finish, -p.l.Input.Rules.Rout.Deflection)
		}
	}
	p.chain()
	p.roughFirst()
	for _, f := range all {
		if err := p.cleanUp(f.loop, p.l.Cutter, f.lines); err != nil {
			return err
		}
	}
	return nil
}

// rough adds the paths that leave material for the finish.
func (p *planner) rough(i int, t tooling.Tool) error {
	if p.o.Rough == 0 {
		return nil
	}
	o := &p.l.loops[i]
	got, err := o.offset(p.radius(t) + p.o.Rough)
	if err != nil {
		return err
	}
	for _, c := range got.Loops {
		p.around(i, t, p.directed(c, o.inner()), Rough, p.o.Rough-p.l.Input.Rules.Rout.Deflection)
	}
	return nil
}

// roughFirst puts the finishing paths of each board behind its rough ones.
func (p *planner) roughFirst() {
	if p.o.Rough == 0 {
		return
	}
	for k := range p.items {
		for j := range p.items {
			if p.items[k].path.Role == Finish && p.items[j].path.Role == Rough && slices.Contains(p.items[k].boards, p.items[j].path.Board) {
				p.items[k].after = append(p.items[k].after, j)
			}
		}
	}
}

// chain joins open finishing paths where one ends at another's start: boards
// flush on a score line are cut in one go.
func (p *planner) chain() {
	for i := 0; i < len(p.items); i++ {
		for {
			k := p.next(i)
			if k < 0 {
				break
			}
			a, b := &p.items[i], &p.items[k]
			b.path.Line.Start = a.path.Line.End()
			a.path.Line.Moves = append(append([]contour.Move{}, a.path.Line.Moves...), b.path.Line.Moves...)
			a.boards = append(a.boards, b.boards...)
			p.items = append(p.items[:k], p.items[k+1:]...)
			if k < i {
				i--
			}
		}
	}
}

func (p *planner) next(i int) int {
	a := &p.items[i]
	if a.ring != nil {
		return -1
	}
	for k := range p.items {
		b := &p.items[k]
		if k != i && b.ring == nil && b.path.Role == a.path.Role && b.tool.ID == a.tool.ID && gap(a.path.Line.End(), b.path.Line.Start) <= 2*onLine {
			return k
		}
	}
	return -1
}

// unreachable lists what the cutter leaves of a loop's edge: corners, and apart from
// them what is deeper, which is not as drawn.
func (p *planner) unreachable(o *loop, t tooling.Tool, got contour.Offsets) {
	for _, u := range got.Unreachable {
		if !p.onScore(o, u.At) {
			p.report.Note("unreachable", t.ID, "inside corners keep the cutter's radius, mm of edge", tooling.Snap(u.Size), 0, u.At)
		}
	}
	for _, n := range o.notches(got, p.radius(t)) {
		if !p.onScore(o, n.at) {
			p.report.Note("notch-left", t.ID, "a notch or a pocket behind a neck that the cutter does not come into is not as drawn: depth left, mm", tooling.Snap(n.depth), 0, n.at)
		}
	}
}

func (p *planner) onScore(o *loop, at orb.Point) bool {
	for k := range o.ps {
		if d, _ := o.ps[k].to(at); o.scored[k] && d <= onLine {
			return true
		}
	}
	return false
}
