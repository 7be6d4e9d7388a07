package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Side says where the cutter runs along an open path, seen in the direction in
// which the path is drawn.
type Side string

// The sides of an open path.
const (
	Centre Side = "centre" // on it
	Left   Side = "left"   // on its left, with the cutter's edge on it
	Right  Side = "right"  // on its right
)

// OpenPath is a line of a board that a cutter follows without coming back to
// its start, such as a slit. It may begin and end off the board.
type OpenPath struct {
	Line   contour.Contour `json:"line_mm"`
	Side   Side            `json:"side"`
	Width  float64         `json:"width_mm,omitempty"` // of the channel: the diameter of its cutter; 0: the outlines' cutter, for a path with a side only
	Plated bool            `json:"plated,omitempty"`   // its walls get copper: cut before plating
	Source tooling.Source  `json:"source,omitzero"`
}

// validate reports what is wrong with a path, and where; "" nothing.
func (o OpenPath) validate() (at orb.Point, found, expected string, err error) {
	at = o.Line.Start
	switch {
	case o.Side != Centre && o.Side != Left && o.Side != Right:
		return at, fmt.Sprintf("side %q", o.Side), "centre, left or right", ErrOpenPath
	case !(o.Width >= 0 && o.Width <= tooling.MaxLength):
		return at, fmt.Sprintf("a width of %g mm", o.Width), "a cutter's diameter in mm", ErrOpenPath
	case o.Side == Centre && o.Width == 0:
		return at, "a path on centre without a width", "the diameter of its cutter: it makes the channel's width", ErrOpenPath
	}
	if err := o.Line.Validate(); err != nil {
		return at, "", "", fmt.Errorf("%w: %w", ErrOpenPath, kind(err))
	}
	if o.Line.Closed() {
		return at, "a closed path", "two ends apart: a closed one is a cut-out", ErrOpenPath
	}
	return at, "", "", nil
}

// sourceOf is where an open path is given: in a file of its own, or with its board.
func (b Board) sourceOf(o OpenPath) tooling.Source {
	if o.Source == (tooling.Source{}) {
		return b.Source
	}
	return o.Source
}

// openLine is an open path on the panel.
type openLine struct {
	board, number int // index into Panel.Boards; index into the board's Open
	path          OpenPath
	line          contour.Contour
	ps            []piece
	edges         *edges // ps; what they belong to does not matter
	tool          tooling.Tool
}

// name says which path it is, for people.
func (o *openLine) name() string { return fmt.Sprintf("open path %d", o.number) }

// beside is how far to the left of the line the centre of a cutter runs that
// keeps allowance mm from it beyond its radius.
func (o *openLine) beside(allowance float64) float64 {
	switch o.path.Side {
	case Left:
		return o.tool.Diameter/2 + allowance
	case Right:
		return -o.tool.Diameter/2 - allowance
	}
	return 0
}

// layOpen puts the boards' open paths on the panel and gives each its cutter.
func (l *Layout) layOpen() error {
	in := l.Input
	for i, place := range in.Panel.Boards {
		for k, path := range in.Boards[place.Board].Open {
			o := openLine{board: i, number: k, path: path, tool: l.Cutter, line: apply(path.Line, place)}
			o.ps = pieces(o.line)
			o.edges = setOf(o.ps)
			if path.Width > 0 {
				t, err := l.cutterOf(path.Width)
				if err != nil {
					return l.openFault(&o, o.line.Start, fmt.Sprintf("a width of %.3f mm", path.Width), "the diameter of a cutter of the crib", ErrNoCutter)
				}
				o.tool = t
			}
			l.openLines = append(l.openLines, o)
		}
	}
	return nil
}

// lineOf is the open path that a path cuts; nil when it cuts none.
func (l *Layout) lineOf(p *Path) *openLine {
	if p == nil || p.Open == "" {
		return nil
	}
	for i := range l.openLines {
		if o := &l.openLines[i]; o.board == p.Board && o.number == p.Loop {
			return o
		}
	}
	return nil
}

func (l *Layout) openFault(o *openLine, at orb.Point, found, expected string, err error) error {
	b := l.Input.Boards[l.Input.Panel.Boards[o.board].Board]
	return &BoardError{Board: o.board, Other: -1, At: at, Source: b.sourceOf(o.path), Found: o.name() + ": " + found, Expected: expected, Err: err}
}

// meetsOpen tells whether the channel of an open path may come to a stretch of
// edge, such as a tab's.
func (l *Layout) meetsOpen(edge *piece) bool {
	for i := range l.openLines {
		o := &l.openLines[i]
		if _, k, _ := o.edges.clearance(edge, o.tool.Diameter); k >= 0 {
			return true
		}
	}
	return false
}

// openPaths plans the boards' open paths, rough and finish. Those with a side
// run in the sense of the rules, with the edge they leave as the material; those
// on centre as drawn.
func (p *planner) openPaths() error {
	for i := range p.l.openLines {
		o := &p.l.openLines[i]
		before := len(p.items)
		if o.path.Side != Centre && p.o.Rough > 0 {
			if err := p.openPath(o, Rough, p.o.Rough-p.l.Input.Rules.Rout.Deflection); err != nil {
				return err
			}
		}
		rough := len(p.items)
		allowance := -p.l.Input.Rules.Rout.Deflection
		if o.path.Side == Centre {
			allowance = 0
		}
		if err := p.openPath(o, Finish, allowance); err != nil {
			return err
		}
		for k := rough; k < len(p.items); k++ {
			for j := before; j < rough; j++ {
				p.items[k].after = append(p.items[k].after, j)
			}
		}
	}
	return nil
}

func (p *planner) openPath(o *openLine, role Role, allowance float64) error {
	by := o.beside(allowance)
	lines, err := contour.OffsetPath(o.line, by)
	if err != nil {
		return p.l.openFault(o, o.line.Start, o.name(), "", fmt.Errorf("%w: %w", ErrOffset, err))
	}
	var made []piece
	for _, line := range lines {
		if (o.path.Side == Left) == (p.sense == tooling.Conventional) && o.path.Side != Centre {
			line = line.Reverse()
		}
		it := item{tool: o.tool, plated: o.path.Plated, boards: []int{o.board}}
		it.path = Path{Role: role, Board: o.board, Loop: o.number, Open: o.path.Side, Allowance: tooling.Snap(allowance), Line: line}
		if err := p.openClear(o, &it); err != nil {
			return err
		}
		made = append(made, pieces(line)...)
		p.items = append(p.items, it)
	}
	if role == Finish {
		return p.openLeft(o, made, math.Abs(by))
	}
	return nil
}

// openClear refuses a path whose cutter meets another board, a tab, or a hole
// with copper on its wall, and notes holes that it cuts open.
func (p *planner) openClear(o *openLine, it *item) error {
	r := it.tool.Diameter / 2
	opened := map[int]bool{} // holes
	for _, q := range pieces(it.path.Line) {
		b := q.box().Pad(r)
		for i := range p.l.loops {
			other := &p.l.loops[i]
			if other.inner() || other.board == o.board || !other.box.Intersects(b) {
				continue
			}
			if other.inside(q.a) {
				return p.l.openFault(o, q.a, fmt.Sprintf("it runs in board %d", other.board), "a path that keeps to its board", ErrOpenPath)
			}
			for k := range other.ps {
				if d, at := q.between(&other.ps[k]); d < r-onLine {
					return p.l.openFault(o, at, fmt.Sprintf("%.3f mm from board %d", d, other.board), fmt.Sprintf("at least the cutter's radius, %.3f mm", r), ErrOpenPath)
				}
			}
		}
		n := max(1, int(math.Ceil(q.length/edgeStep)))
		for k := range n + 1 {
			if at := q.at(q.length * float64(k) / float64(n)); p.inTab(at, it.tool.Diameter, 0) {
				return p.l.openFault(o, at, "it cuts a tab", "a path clear of the tabs", ErrTabPlace)
			}
		}
		for _, m := range p.l.holesAt(&q, r-onLine) {
			h := p.l.Input.Holes[m.hole]
			switch {
			case h.Half || opened[m.hole]:
			case h.Size.Plated && h.Stage() == tooling.BeforePlating:
				return p.l.openFault(o, m.at, fmt.Sprintf("it cuts into hole %d at X%.3f Y%.3f", m.hole, h.At[0], h.At[1]), "a path clear of plated holes, or a declared half hole", ErrHole)
			default:
				opened[m.hole] = true
				p.report.Note("hole-cut-open", it.tool.ID, "an open path runs into an unplated hole, mm of wall", tooling.Snap(m.wall+r-m.d), 0, h.At)
			}
		}
	}
	return nil
}

// openLeft reports the stretches of an open path that its cutter does not come
// to: inside corners, and straits of the line with itself.
func (p *planner) openLeft(o *openLine, made []piece, by float64) error {
	if len(made) == 0 {
		return p.l.openFault(o, o.line.Start, fmt.Sprintf("no room for its cutter of %.3f mm", o.tool.Diameter), "a path that turns and comes back less sharply", ErrOpenPath)
	}
	e := setOf(made)
	left, at := 0.0, orb.Point{}
	for k := range o.ps {
		q := &o.ps[k]
		n := max(1, int(math.Ceil(q.length/edgeStep)))
		for j := range n {
			m := q.at(q.length * (float64(j) + 0.5) / float64(n))
			if _, i, _ := e.near(m, by+onLine); i < 0 {
				left, at = left+q.length/float64(n), m
			}
		}
	}
	if left > 0 {
		p.report.Note("unreachable", o.tool.ID, "inside corners keep the cutter's radius, mm of edge", tooling.Snap(left), 0, at)
	}
	return nil
}
