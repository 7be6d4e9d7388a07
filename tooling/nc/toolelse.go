package nc

import (
	"fmt"
	"math"
)

// lookElsewhere finds a diameter that the table lacks: from the caller, else
// from a comment.
func (it *interp) lookElsewhere(number, col int) (int, bool) {
	k, ok := it.tools[number]
	if n, tried := it.missing[number]; tried && n == len(it.described) {
		return k, ok // nothing new was said since the last time
	}
	if !ok && len(it.facts.Tools) >= limit(it.o.MaxTools, DefaultMaxTools) {
		return 0, false
	}
	var nano int64
	var found ToolDef
	for _, t := range it.o.Tools {
		if t.Number == number && t.Diameter > 0 && t.Diameter < 1000 {
			found, nano = t, int64(math.Round(t.Diameter*1e6))
			it.note("tool-given", col, number, fmt.Sprintf("T%d is %.4f mm by the caller's word", number, t.Diameter))
		}
	}
	if nano == 0 {
		for _, d := range it.described {
			if d.tool != number {
				continue
			}
			u := d.units
			if u == UnitsUnknown {
				u = it.sc.units
			}
			v := int64(math.Round(d.diameter * float64(nanoPerUnit(u))))
			if u != UnitsUnknown && v > 0 && v < 1_000_000_000 {
				found, nano = ToolDef{Number: number, Line: d.line, Marking: d.marking}, v
				it.note("tool-comment", col, number, fmt.Sprintf("T%d is %.4f mm by the comment of line %d only", number, millimetres(v), d.line))
			}
			break
		}
	}
	if nano == 0 {
		if it.missing == nil {
			it.missing = make(map[int]int)
		}
		it.missing[number] = len(it.described)
		return k, ok
	}
	if !ok {
		k = it.addTool(ToolDef{Number: number, Line: found.Line, Feed: found.Feed, Speed: found.Speed, Retract: found.Retract,
			Marking: found.Marking, Function: found.Function}, nano)
		it.attributeTool(k, col)
	}
	it.nanos[k] = nano
	it.facts.Tools[k].Diameter = millimetres(nano)
	return k, true
}
