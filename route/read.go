package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// joinWithin is how far apart in mm two ends may lie and still be one corner:
// five steps of the usual writing grid.
const joinWithin = 0.005

// Read turns a rout program into closed outlines, in the order in which they
// begin in the file. The centre line of each cut is the outline (G40): the
// file draws the board's edge, it does not cut it. Cuts that meet end to end
// within 5 um are joined, reversed where need be, and the report says so.
//
// Errors: [*OpenError] naming both ends and the gap; [*ReadError] with line
// for holes among the outlines, compensated moves (G41, G42) and unknown words
// that could make motion, for outlines that cross themselves or have no area
// ([ErrCrossing], [ErrBoard]); or the program's own errors. Cost O(n log n)
// for n moves, and O(k^2) for k pieces to be joined.
func Read(p *nc.Program, file string) ([]contour.Contour, tooling.Report, error) {
	r := reader{file: file}
	if err := r.takeAll(p); err != nil {
		return nil, nil, err
	}
	if len(r.cuts) == 0 {
		return nil, nil, &ReadError{Source: tooling.Source{File: file}, Err: ErrBoard, Found: "no rout moves", Expected: "at least one closed outline"}
	}
	closed, err := r.join()
	if err != nil {
		return nil, nil, err
	}
	out := make([]contour.Contour, len(closed))
	for i, c := range closed {
		if err := usable(c.line); err != nil {
			return nil, nil, &ReadError{Source: c.source(file), Err: err, Found: "the outline that begins here"}
		}
		out[i] = c.line
	}
	return out, r.report, nil
}

// cut is one stretch with the tool down.
type cut struct {
	line    contour.Contour
	program int // source line of its first move
	tool    int
	side    Side
}

func (c cut) source(file string) tooling.Source { return tooling.Source{File: file, Line: c.program} }

type reader struct {
	file   string
	open   bool // the cuts are open paths, under compensation or on centre
	side   Side // of them
	report tooling.Report
	down   cut
	cuts   []cut
}

// takeAll takes all operations of a program.
func (r *reader) takeAll(p *nc.Program) error {
	for op, err := range p.Ops() {
		if err == nil {
			err = r.take(op)
		}
		if err != nil {
			return err
		}
	}
	r.lift()
	return nil
}

func (r *reader) source(op nc.Op) tooling.Source {
	return tooling.Source{File: r.file, Line: op.Line}
}

func (r *reader) take(op nc.Op) error {
	switch op.Kind {
	case nc.OpHit, nc.OpSlot, nc.OpCircle:
		return &ReadError{Source: r.source(op), Err: ErrWord, Found: op.String(), Expected: "rout moves only; holes belong in a drill file"}
	case nc.OpCompensation:
		if r.open {
			r.lift()
			r.side = sides[op.Text]
		} else if op.Text != "G40" {
			return &ReadError{Source: r.source(op), Err: ErrWord, Found: op.Text, Expected: "G40: the moves of an outline are its edge"}
		}
	case nc.OpUnknown:
		if op.Motion {
			return &ReadError{Source: r.source(op), Err: ErrWord, Found: fmt.Sprintf("%q", op.Text), Expected: "a word that is understood"}
		}
		r.report.Add(tooling.Finding{Rule: "unknown-word", OK: true, Source: r.source(op), Detail: fmt.Sprintf("%q is kept without being understood", op.Text)})
	case nc.OpLine, nc.OpArc:
		r.move(op)
	case nc.OpRetract, nc.OpTool, nc.OpEnd, nc.OpRapid:
		r.lift()
	}
	return nil
}

func (r *reader) move(op nc.Op) {
	if len(r.down.line.Moves) == 0 {
		r.down = cut{contour.Contour{Start: op.From}, op.Line, op.Tool, r.side}
	}
	m := contour.Move{To: op.To}
	if op.Kind == nc.OpArc {
		m.Center, m.Turn = op.Center, 1
		if op.Clockwise {
			m.Turn = -1
		}
	} else if op.To == op.From {
		return
	}
	r.down.line.Moves = append(r.down.line.Moves, m)
}

func (r *reader) lift() {
	if len(r.down.line.Moves) > 0 {
		r.cuts = append(r.cuts, r.down)
	}
	r.down = cut{}
}

// join makes closed contours of the cuts: each begins with the first cut left
// and takes the nearest end within joinWithin until it meets its own start.
func (r *reader) join() ([]cut, error) {
	left := r.cuts
	var out []cut
	for len(left) > 0 {
		c := left[0]
		left = left[1:]
		for {
			k, reverse, d := nearestEnd(c.line.End(), left)
			if own := gap(c.line.End(), c.line.Start); own <= joinWithin && (k < 0 || own <= d) {
				r.note(own, c.line.Start)
				c.line = closeAt(c.line)
				break
			}
			if k < 0 || d > joinWithin {
				return nil, r.openEnd(c, k, reverse, d, left)
			}
			next := left[k].line
			if reverse {
				next = next.Reverse()
			}
			r.note(d, next.Start)
			c.line = appendAt(c.line, next)
			left = append(append([]cut{}, left[:k]...), left[k+1:]...)
		}
		out = append(out, c)
	}
	return out, nil
}

func (r *reader) note(d float64, at orb.Point) {
	if d > 0 {
		r.report.Add(tooling.Finding{Rule: "outline-joined", OK: true, Source: tooling.Source{File: r.file}, Detail: "ends that nearly met were joined", Value: d, Limit: joinWithin, Places: []orb.Point{at}})
	}
}

func (r *reader) openEnd(c cut, k int, reverse bool, d float64, left []cut) error {
	e := &OpenError{Source: c.source(r.file), Start: c.line.Start, End: c.line.End(), Gap: gap(c.line.Start, c.line.End())}
	if k >= 0 && d < e.Gap {
		e.Start, e.Gap = left[k].line.Start, d
		if reverse {
			e.Start = left[k].line.End()
		}
	}
	return e
}

// nearestEnd finds the cut with the end nearest to p; reverse says that it is
// its far end.
func nearestEnd(p orb.Point, cuts []cut) (k int, reverse bool, d float64) {
	k = -1
	for i := range cuts {
		if e := gap(p, cuts[i].line.Start); k < 0 || e < d {
			k, reverse, d = i, false, e
		}
		if e := gap(p, cuts[i].line.End()); e < d {
			k, reverse, d = i, true, e
		}
	}
	return k, reverse, d
}

// closeAt moves the end of a contour onto its start.
func closeAt(c contour.Contour) contour.Contour {
	if c.Closed() {
		return c
	}
	return reach(c, c.Start)
}

// appendAt adds b to a, whose end is moved onto b's start.
func appendAt(a, b contour.Contour) contour.Contour {
	a = reach(a, b.Start)
	a.Moves = append(a.Moves, b.Moves...)
	return a
}

// reach ends the contour at p, which lies within joinWithin: the last move is
// led there, an arc with its centre moved the least that keeps both ends on it.
func reach(c contour.Contour, p orb.Point) contour.Contour {
	c.Moves = append([]contour.Move{}, c.Moves...)
	last := &c.Moves[len(c.Moves)-1]
	if last.Turn != 0 && last.To != p {
		from := c.Start
		if n := len(c.Moves); n > 1 {
			from = c.Moves[n-2].To
		}
		last.Center = recentre(from, p, last.Center)
	}
	last.To = p
	return c
}
