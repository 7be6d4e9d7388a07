package nc

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Compare reports how the things two programs make differ: hits, slots,
// canned circles and cut paths, by the diameter of the tool that makes them,
// each within tol mm. Text, units, number forms, tool numbers, order, direction
// and the way a path is cut into blocks do not count, so it tells whether a
// re-issued file changed anything. Words that are not understood but could make
// something are compared as text.
//
// Notes carry the rules "missing" (in a, not in b) and "extra" (in b, not in
// a), one per tool and kind, with the count, the first three lines (of a and of
// b) and the first place in Detail; Tool is the number in the program the lines
// are of. They are sorted by rule, tool and line. No note means no difference.
//
// The error is that of reading either program, or of a tol that is not a
// finite number of 0 or more. Cost: O(n log n) for n operations on places of
// their own, or on one place, and more where many lie within tol of each other
// without sharing a place.
func Compare(a, b *Program, tol float64) ([]Note, error) {
	if !(tol >= 0) || math.IsInf(tol, 0) {
		return nil, errors.New("nc: the tolerance of a comparison must be a finite number of 0 or more")
	}
	as, err := features(a, tol)
	if err != nil {
		return nil, err
	}
	bs, err := features(b, tol)
	if err != nil {
		return nil, err
	}
	pair(as, bs, tol)
	notes := append(unmatched(as, "missing"), unmatched(bs, "extra")...)
	return notes, nil
}

// featureKind is what a feature is.
type featureKind uint8

const (
	aHit featureKind = iota
	aSlot
	aCircle
	aLine
	anArc
	aPlunge // tool down and up again without a cut: a hole of the cutter's size
	aWord
)

var featureNames = [...]string{"hit", "slot", "circle", "line", "arc", "plunge", "word"}

// feature is one thing a program makes, its ends in a fixed order so that
// direction does not count.
type feature struct {
	kind     featureKind
	diameter float64 // mm, of the tool
	p, q, m  [2]float64
	size     float64 // circles: diameter; arcs: radius
	text     string
	tool     int
	line     int
	matched  bool
}

// features lists what a program makes, cut paths joined where they go straight on.
func features(p *Program, tol float64) ([]feature, error) {
	var out []feature
	var path []segment
	var plunge *feature
	side := "" // compensation in force, "" for none: it changes what is cut
	flush := func() {
		if plunge != nil && len(path) == 0 {
			out = append(out, *plunge)
		}
		plunge = nil
		out = appendPath(out, path, tol)
		path = path[:0]
	}
	diameters := make(map[int]float64, len(p.Tools))
	for _, t := range p.Tools {
		diameters[t.Number] = t.Diameter
	}
	for op, err := range p.Ops() {
		if err != nil {
			return nil, err
		}
		f := feature{diameter: diameters[op.Tool], tool: op.Tool, line: op.Line, p: op.To, q: op.To, m: op.To}
		switch op.Kind {
		case OpHit:
			f.kind = aHit
		case OpSlot:
			f.kind = aSlot
			f.q = op.From
			f.m = midpoint(op.From, op.To)
		case OpCircle:
			f.kind, f.size = aCircle, op.Diameter
		case OpUnknown:
			if !op.Motion {
				continue
			}
			f.kind, f.text = aWord, op.Text
			out = append(out, f)
			continue
		case OpLine, OpArc:
			if op.Kind == OpArc || op.To != op.From {
				path = append(path, segment{op: op, diameter: f.diameter, side: side})
			}
			continue
		case OpPlunge:
			if plunge != nil {
				continue // it is down already
			}
			flush()
			f.kind = aPlunge
			plunge = &f
			continue
		case OpCompensation:
			if side = op.Text; side == "G40" {
				side = ""
			}
			continue
		case OpComment, OpMessage, OpDwell, OpStop:
			continue // the path goes on after them
		default:
			flush()
			continue
		}
		flush()
		f.order()
		out = append(out, f)
	}
	flush()
	return out, nil
}

// order puts the ends in a fixed order.
func (f *feature) order() {
	if cmp.Or(cmp.Compare(f.q[0], f.p[0]), cmp.Compare(f.q[1], f.p[1])) < 0 {
		f.p, f.q = f.q, f.p
	}
}

func midpoint(a, b [2]float64) [2]float64 { return [2]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

// close2 tells whether two points lie within tol.
func close2(a, b [2]float64, tol float64) bool {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return float64(dx*dx)+float64(dy*dy) <= float64(tol*tol)
}

// same tells whether two features are one within tol. Their diameters may
// differ by a micrometre, which is what other units cost.
func (f *feature) same(g *feature, tol float64) bool {
	if f.kind != g.kind || math.Abs(f.diameter-g.diameter) > 0.001 || f.text != g.text || math.Abs(f.size-g.size) > max(2*tol, 1e-9) && f.kind == aCircle {
		return false
	}
	return close2(f.m, g.m, tol) &&
		(close2(f.p, g.p, tol) && close2(f.q, g.q, tol) || close2(f.p, g.q, tol) && close2(f.q, g.p, tol))
}

// cell is a square of a hashing grid.
type cell struct {
	kind featureKind
	x, y int64
}

// pair matches features one to one, each of as with the nearest free one of
// bs, ties to the lower index. What was taken leaves its cell, and a partner at
// the very place ends the search, so that a thousand hits on one place cost no
// more than a thousand apart.
func pair(as, bs []feature, tol float64) {
	size := max(2*tol, 0.001)
	at := func(f *feature) cell {
		return cell{f.kind, int64(math.Floor(f.m[0] / size)), int64(math.Floor(f.m[1] / size))}
	}
	free := make(map[cell][]int32, len(bs)) // indices into bs, rising
	for i := range bs {
		c := at(&bs[i])
		free[c] = append(free[c], int32(i))
	}
	for i := range as {
		f := &as[i]
		var from cell
		best, bestD := -1, 0.0
		for _, c := range at(f).around() {
			for _, k := range free[c] {
				g := &bs[k]
				if !f.same(g, tol) {
					continue
				}
				ex, ey := f.m[0]-g.m[0], f.m[1]-g.m[1]
				d := float64(ex*ex) + float64(ey*ey)
				if best < 0 || d < bestD || d == bestD && int(k) < best {
					from, best, bestD = c, int(k), d
				}
				if bestD == 0 {
					break
				}
			}
			if best >= 0 && bestD == 0 {
				break
			}
		}
		if best >= 0 {
			f.matched, bs[best].matched = true, true
			list := free[from]
			if n, _ := slices.BinarySearch(list, int32(best)); n == 0 {
				free[from] = list[1:]
			} else {
				free[from] = slices.Delete(list, n, n+1)
			}
		}
	}
}

// around lists a cell and its neighbours, the cell itself first.
func (c cell) around() [9]cell {
	out, n := [9]cell{c}, 1
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			if dx != 0 || dy != 0 {
				out[n] = cell{c.kind, c.x + dx, c.y + dy}
				n++
			}
		}
	}
	return out
}

// unmatched groups what found no partner.
func unmatched(fs []feature, rule string) []Note {
	var left []*feature
	for i := range fs {
		if !fs[i].matched {
			left = append(left, &fs[i])
		}
	}
	slices.SortStableFunc(left, func(f, g *feature) int {
		return cmp.Or(cmp.Compare(f.tool, g.tool), cmp.Compare(f.kind, g.kind), cmp.Compare(f.line, g.line))
	})
	var notes []Note
	for i, f := range left {
		if i > 0 && left[i-1].tool == f.tool && left[i-1].kind == f.kind {
			n := &notes[len(notes)-1]
			n.Count++
			if len(n.Lines) < notePlaces {
				n.Lines = append(n.Lines, f.line)
			}
			continue
		}
		detail := fmt.Sprintf("%s of %.4f mm at %.4f, %.4f", featureNames[f.kind], f.diameter, f.m[0], f.m[1])
		if f.kind == aWord {
			detail = fmt.Sprintf("word %q", clip([]byte(f.text)))
		}
		notes = append(notes, Note{Rule: rule, Line: f.line, Column: 1, Tool: f.tool, Count: 1, Lines: []int{f.line}, Detail: detail})
	}
	return notes
}
