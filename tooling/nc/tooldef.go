package nc

import "fmt"

// maxToolNumber is the largest T number read.
const maxToolNumber = 9999

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

// addTool appends to the table and returns the index.
func (it *interp) addTool(t ToolDef, nano int64) int {
	it.facts.Tools = append(it.facts.Tools, t)
	it.nanos = append(it.nanos, nano)
	it.tools[t.Number] = len(it.facts.Tools) - 1
	return len(it.facts.Tools) - 1
}
