package nc

import "fmt"

// maxToolNumber is the largest T number read.
const maxToolNumber = 9999

// diameterNano converts a C word. With a point it is in the file's unit.
// Without one it is either whole units or coded like a coordinate: whole units
// when it has at most two digits and gives a size from 0.05 to 25 mm, else the
// code when that does.
func diameterNano(n number, sc *scale) (nano int64, ok bool) {
	if n.frac >= 0 {
		return sc.nano(n)
	}
	usable := func(v int64) bool { return v >= 50_000 && v <= 25_000_000 }
	whole, ok := sc.point[0].apply(n.mant)
	if ok && usable(whole) && n.digits <= 2 {
		return whole, true
	}
	if sc.known && sc.zeros != DecimalPoint {
		if coded, fits := sc.nano(n); fits && usable(coded) {
			return coded, true
		}
	}
	return whole, ok
}

// known tells whether the number of a T word is in the table.
func (it *interp) known(n number) bool {
	_, ok := it.tools[int(min(n.mant, maxToolNumber+1))]
	return ok
}

// toolWord does T with its parameters: a definition in the header, a
// definition and selection in the body, or a selection.
func (it *interp) toolWord() error {
	w := &it.w
	col := w.col['T'-'A']
	n := w.get('T')
	if n.frac >= 0 || n.neg || n.mant > maxToolNumber {
		return it.fail(col, ErrTool, fmt.Sprintf("%q", clip(w.src[col:])), fmt.Sprintf("T with a whole number up to %d", maxToolNumber))
	}
	number := int(n.mant)
	params := false
	for _, c := range []byte("CFSHBZ") {
		params = params || w.has(c)
	}
	if it.header || params {
		if number == 0 {
			return it.fail(col, ErrTool, "a definition of T0", "a tool number above 0")
		}
		if err := it.define(number, col); err != nil {
			return err
		}
	}
	if it.header {
		return nil
	}
	if !params && n.digits >= 4 && !it.known(n) && number >= 100 {
		it.note("tool-index", col, number/100, fmt.Sprintf("T%04d is read as tool %d with compensation index %d", number, number/100, number%100))
		number /= 100
	}
	return it.selectTool(number, col)
}

// selectTool puts a tool in the spindle.
func (it *interp) selectTool(number, col int) error {
	it.idle(col)
	if it.down {
		it.note("change-down", col, it.tool, "a tool change with the tool down")
	}
	it.tool, it.drilling, it.putAway = number, 0, number == 0
	it.lastHit = false
	if number != 0 {
		k, ok := it.tools[number]
		if !ok || it.facts.Tools[k].Diameter == 0 {
			k, ok = it.lookElsewhere(number, col)
		}
		if ok {
			t := &it.facts.Tools[k]
			it.drilling = it.nanos[k]
			if it.bodyMark && it.marking != "" {
				it.mark(t, it.marking, col)
			}
		}
	}
	return it.emit(&step{kind: OpTool, tool: number, diameter: it.drilling, line: it.line})
}

// mark records what is said about a tool's plating. Two words that differ
// leave it without one for good, and a note.
func (it *interp) mark(t *ToolDef, marking string, col int) {
	switch {
	case it.clashed[t.Number]:
	case t.Marking == "":
		t.Marking = marking
	case t.Marking != marking:
		it.note("marking-contradiction", col, t.Number, fmt.Sprintf("T%d is called %s and %s", t.Number, t.Marking, marking))
		if it.clashed == nil {
			it.clashed = make(map[int]bool)
		}
		it.clashed[t.Number] = true
		t.Marking = ""
	}
}

// define reads the parameters of a tool into the table. A diameter said twice
// must be the same; of other parameters the later holds.
func (it *interp) define(number, col int) error {
	w := &it.w
	k, again := it.tools[number]
	if !again {
		if most := limit(it.o.MaxTools, DefaultMaxTools); len(it.facts.Tools) >= most {
			return it.over(col, "tools", most, len(it.facts.Tools)+1)
		}
		k = it.addTool(ToolDef{Number: number, Line: it.line}, 0)
		it.attributeTool(k, col)
	} else {
		it.note("tool-again", col, number, fmt.Sprintf("T%d is defined again", number))
	}
	t := &it.facts.Tools[k]
	if w.has('C') {
		n, at := w.get('C'), w.col['C'-'A']
		if it.sc.units == UnitsUnknown {
			return it.fail(at, ErrUnits, "a diameter", "INCH or METRIC")
		}
		v, ok := diameterNano(n, &it.sc)
		if !ok || v < 0 || v > 1_000_000_000 {
			return it.fail(at, ErrTool, fmt.Sprintf("%q", clip(w.src[at:])), "a diameter from 0 to 1 m")
		}
		if n.frac < 0 && v != 0 {
			it.note("whole-diameter", at, number, fmt.Sprintf("a diameter without a point is taken as %.4f mm", millimetres(v)))
		}
		if it.nanos[k] != 0 && it.nanos[k] != v && v != 0 {
			return it.fail(at, ErrContradiction, fmt.Sprintf("diameter %.6f mm", millimetres(v)),
				fmt.Sprintf("%.6f mm, as in line %d", millimetres(it.nanos[k]), t.Line))
		}
		if v != 0 {
			it.nanos[k] = v
			t.Diameter = millimetres(v)
		}
	}
	return it.parameters(t)
}

// parameters reads F, S, B, H and Z. F00 and S00 are the same as none.
func (it *interp) parameters(t *ToolDef) error {
	w := &it.w
	set := func(letter byte, into *float64, factor float64) error {
		if !w.has(letter) {
			return nil
		}
		n := w.get(letter)
		if n.neg && n.mant != 0 {
			at := w.col[letter-'A']
			return it.fail(at, ErrTool, fmt.Sprintf("%q", clip(w.src[at:])), fmt.Sprintf("%c of 0 or more", letter))
		}
		v := float64(n.value() * factor)
		if v == 0 {
			return nil
		}
		if *into != 0 && *into != v {
			it.note("tool-changed", w.col[letter-'A'], t.Number, fmt.Sprintf("%c of T%d is said twice, the later holds", letter, t.Number))
		}
		*into = v
		return nil
	}
	if err := set('F', &t.Feed, it.feed); err != nil {
		return err
	}
	if err := set('S', &t.Speed, 1000); err != nil {
		return err
	}
	if err := set('B', &t.Retract, it.feed); err != nil {
		return err
	}
	if t.Feed > oddFeed || t.Speed > oddSpeed {
		it.note("odd-feed", w.col['T'-'A'], t.Number, fmt.Sprintf("%.0f mm/min at %.0f rev/min: is the unit of F or S another one?", t.Feed, t.Speed))
	}
	if w.has('H') {
		n := w.get('H')
		if n.frac >= 0 || n.neg || n.mant > 1<<31-1 {
			at := w.col['H'-'A']
			return it.fail(at, ErrTool, fmt.Sprintf("%q", clip(w.src[at:])), "H with a whole number of hits")
		}
		t.HitLimit = int(n.mant)
	}
	if w.has('Z') {
		v, err := it.length(w.get('Z'), w.col['Z'-'A'])
		if err != nil {
			return err
		}
		t.Z, t.HasZ = millimetres(v), v != 0 // 0 stands for no offset
	}
	return nil
}

// Feeds and speeds beyond these are probably in another unit.
const (
	oddFeed  = 60_000  // mm/min
	oddSpeed = 400_000 // rev/min
)

// addTool appends to the table and returns the index.
func (it *interp) addTool(t ToolDef, nano int64) int {
	it.facts.Tools = append(it.facts.Tools, t)
	it.nanos = append(it.nanos, nano)
	it.tools[t.Number] = len(it.facts.Tools) - 1
	return len(it.facts.Tools) - 1
}

// lookElsewhere finds a diameter that the table lacks: from the caller, else
// from a comment.
func (it *interp) lookElsewhere(number, col int) (int, bool) {
	k, ok := it.tools[number]
	if !ok && len(it.facts.Tools) >= limit(it.o.MaxTools, DefaultMaxTools) {
		return 0, false
	}
	var nano int64
	var found ToolDef
	for _, t := range it.o.Tools {
		if t.Number == number && t.Diameter > 0 && t.Diameter < 1000 {
			found, nano = t, int64(t.Diameter*1e6+0.5)
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
			v := int64(d.diameter*float64(nanoPerUnit(u)) + 0.5)
			if u != UnitsUnknown && v > 0 && v < 1_000_000_000 {
				found, nano = ToolDef{Number: number, Line: d.line, Marking: d.marking}, v
				it.note("tool-comment", col, number, fmt.Sprintf("T%d is %.4f mm by the comment of line %d only", number, millimetres(v), d.line))
			}
			break
		}
	}
	if nano == 0 {
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
