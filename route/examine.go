package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// examine checks how the boards lie and chooses the outlines' cutter.
func (l *Layout) examine() error {
	outlines := l.outlines()
	for _, o := range outlines {
		b := l.Input.Panel.Bound()
		if !b.Contains(o.box.Min) || !b.Contains(o.box.Max) {
			return l.fault(o, nil, o.box.Min, fmt.Sprintf("X%.3f to %.3f, Y%.3f to %.3f", o.box.Min[0], o.box.Max[0], o.box.Min[1], o.box.Max[1]),
				fmt.Sprintf("the panel, %.3f x %.3f mm", b.Max[0], b.Max[1]), ErrOffPanel)
		}
		if err := l.scoreAcross(o); err != nil {
			return err
		}
	}
	narrow, err := l.narrowest(outlines)
	if err != nil {
		return err
	}
	if l.Cutter, err = l.chooseCutter(outlines, narrow); err != nil {
		return err
	}
	if in := l.Input.Rules.Rout; l.Cutter.Diameter > 0 && in.Deflection >= l.Cutter.Diameter/2 {
		return &BoardError{Board: -1, Other: -1, Source: tooling.Source{Path: "rout.deflection_mm"}, Err: ErrNoCutter,
			Found: fmt.Sprintf("%.3f mm a side", in.Deflection), Expected: fmt.Sprintf("less than the radius of the cutter, %.3f mm", l.Cutter.Diameter/2)}
	}
	if narrow.d < l.Cutter.Diameter-onLine {
		return l.fault(narrow.a, narrow.b, narrow.at, fmt.Sprintf("a gap of %.3f mm", narrow.d),
			fmt.Sprintf("at least the cutter, %.3f mm, or no gap on a score line", l.Cutter.Diameter), ErrGap)
	}
	for _, o := range outlines {
		if err := l.obstacles(o); err != nil {
			return err
		}
	}
	l.slivers(outlines)
	return nil
}

// slivers notes boards a little over two cutters apart: between their channels
// a thin strip is left standing.
func (l *Layout) slivers(outlines []*loop) {
	d := l.Cutter.Diameter
	for i, a := range outlines {
		for _, b := range outlines[:i] {
			if !a.box.Pad(2*d+bar).Intersects(b.box) || l.divided(a, b) {
				continue
			}
			if got, at := apart(b, a, 2*d+bar-onLine); got > 2*d+onLine && got < 2*d+bar {
				l.Report.Note("sliver", "", "a thin strip is left between two channels, mm: lay the boards nearer or farther apart", tooling.Snap(got-2*d), bar, at)
			}
		}
	}
}

func (l *Layout) outlines() []*loop {
	var out []*loop
	for i := range l.loops {
		if !l.loops[i].inner() {
			out = append(out, &l.loops[i])
		}
	}
	return out
}

func (l *Layout) fault(a, b *loop, at orb.Point, found, expected string, err error) error {
	e := &BoardError{Board: a.board, Other: -1, At: at, Found: found, Expected: expected, Err: err}
	if !a.hole {
		e.Loop = a.number
		e.Source = l.Input.Boards[l.Input.Panel.Boards[a.board].Board].Source
	}
	if b != nil {
		e.Other = b.board
	}
	return e
}

// scoreAcross refuses a score line with parts of the board on both sides.
func (l *Layout) scoreAcross(o *loop) error {
	for i, s := range l.Input.Panel.Scores {
		k, v := axis(s)
		if o.box.Min[k] < v-onLine && o.box.Max[k] > v+onLine {
			at := o.box.Center()
			at[k] = v
			err := l.fault(o, nil, at, fmt.Sprintf("score line %d at %c%.3f", i, 'X'+rune(k), v), "a line along the board's edge or clear of it", ErrScore)
			err.(*BoardError).Source = tooling.Source{Path: fmt.Sprintf("scores[%d]", i)}
			return err
		}
	}
	return nil
}

// strait is the narrowest gap a cutter must pass.
type strait struct {
	d    float64 // mm; +Inf: none
	a, b *loop   // b nil: the panel's edge
	at   orb.Point
}

// narrowest finds the narrowest gap between outlines that no score line
// parts on a common edge, and refuses overlaps.
func (l *Layout) narrowest(outlines []*loop) (strait, error) {
	least := strait{d: math.Inf(1)}
	limit := 0.0
	for _, t := range l.Input.Crib.Tools {
		if t.Kind == tooling.Cutter {
			limit = max(limit, t.Diameter)
		}
	}
	limit = max(limit, l.Input.Rules.Rout.Cutter)
	for i, a := range outlines {
		for _, b := range outlines[:i] {
			if !a.box.Pad(limit).Intersects(b.box) || l.flush(a, b) {
				continue
			}
			d, at := apart(b, a, limit)
			if d <= onLine || a.inside(b.line.Start) || b.inside(a.line.Start) {
				if math.IsInf(d, 1) {
					at = a.line.Start
				}
				return least, l.fault(b, a, at, "boards that overlap or touch", "boards apart by a cutter, or flush on a score line", ErrOverlap)
			}
			if d < least.d {
				least = strait{d, b, a, at}
			}
		}
	}
	return least, nil
}

// flush tells whether two boards lie with edges on the same score line, on either
// side of it.
func (l *Layout) flush(a, b *loop) bool {
	return slices.ContainsFunc(l.Input.Panel.Scores, func(s tooling.Score) bool {
		return between(a, b, s) && a.touches(s) && b.touches(s)
	})
}

// divided tells whether a score line runs between two boards and one of them
// has an edge on it: then there is one channel between them, or none.
func (l *Layout) divided(a, b *loop) bool {
	return slices.ContainsFunc(l.Input.Panel.Scores, func(s tooling.Score) bool {
		return between(a, b, s) && (a.touches(s) || b.touches(s))
	})
}

// between tells whether a score line has two boards on either side.
func between(a, b *loop, s tooling.Score) bool {
	k, v := axis(s)
	return a.box.Max[k] <= v+onLine && b.box.Min[k] >= v-onLine || b.box.Max[k] <= v+onLine && a.box.Min[k] >= v-onLine
}

func (l *loop) touches(s tooling.Score) bool {
	for i := range l.ps {
		if l.scored[i] && offScore(s, l.ps[i].a) <= onLine {
			return true
		}
	}
	return false
}

// obstacles refuses panel edges, pins and keep-outs that stand on the board's
// channel or on its edge.
func (l *Layout) obstacles(o *loop) error {
	d := l.Cutter.Diameter
	panel := l.Input.Panel
	frame := newLoop(rectangle(panel.Bound()))
	for i := range o.ps {
		if o.scored[i] {
			continue
		}
		p := &o.ps[i]
		for k := range frame.ps {
			if got, at := p.between(&frame.ps[k]); got < d-onLine {
				return l.fault(o, nil, at, fmt.Sprintf("%.3f mm to the panel's edge", got), fmt.Sprintf("room for the cutter, %.3f mm", d), ErrOffPanel)
			}
		}
		for _, f := range panel.Pins(2) {
			if got, at := p.to(f.At); got-f.Diameter/2 < channel(d, o, f.At) {
				return l.fault(o, nil, at, fmt.Sprintf("the pin at X%.3f Y%.3f, %.3f mm off", f.At[0], f.At[1], got-f.Diameter/2),
					fmt.Sprintf("at least the channel's %.3f mm", d), ErrObstacle)
			}
		}
		for _, k := range panel.KeepOuts {
			box := newLoop(rectangle(k.Bound()))
			for j := range box.ps {
				if got, at := p.between(&box.ps[j]); got < channel(d, o, box.ps[j].a) {
					return l.fault(o, nil, at, fmt.Sprintf("keep-out %s, %.3f mm off", k.Name, got), fmt.Sprintf("at least the channel's %.3f mm", d), ErrObstacle)
				}
			}
		}
	}
	return nil
}

// channel is how far from the edge the cutter's channel goes on the side of q:
// nothing inside the board.
func channel(d float64, o *loop, q orb.Point) float64 {
	if o.inside(q) {
		return 0
	}
	return d
}
