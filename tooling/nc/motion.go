package nc

import (
	"fmt"
)

// length converts a number as written.
func (it *interp) length(n number, col int) (int64, error) {
	if it.sc.units == UnitsUnknown {
		return 0, it.fail(col, ErrUnits, "a length", "INCH or METRIC before it")
	}
	if n.frac < 0 && !it.sc.known && n.mant != 0 {
		return 0, it.fail(col, ErrZeros, fmt.Sprintf("%q, a number without a point", clip(it.w.src[col:])), "LZ or TZ and a number form, or a point")
	}
	if n.frac < 0 && n.mant != 0 && int(n.digits) > it.sc.digits.Int+it.sc.digits.Dec && it.sc.zeros != DecimalPoint {
		it.note("long-number", col, 0, fmt.Sprintf("%d digits in the form %v", n.digits, it.sc.digits))
	}
	v, ok := it.sc.nano(n)
	if !ok {
		return 0, it.fail(col, ErrRange, fmt.Sprintf("%q", clip(it.w.src[col:])), "at most 10 m")
	}
	return v, nil
}

// target reads X and Y against a place. Absent coordinates keep their value.
func (it *interp) target(from point, set uint32, val *[26]number, col *[26]int) (point, error) {
	p := from
	hasX, hasY := set&(1<<('X'-'A')) != 0, set&(1<<('Y'-'A')) != 0
	if it.lost && (it.relative || !hasX || !hasY) {
		at := col['X'-'A']
		if !hasX {
			at = col['Y'-'A']
		}
		return p, it.fail(at, ErrPosition, "a coordinate that builds on an earlier one", "both coordinates, absolute: copies or an unknown word came between")
	}
	for _, axis := range [2]struct {
		letter byte
		has    bool
		at     *int64
		zero   int64
	}{{'X', hasX, &p.x, it.zero.x}, {'Y', hasY, &p.y, it.zero.y}} {
		if !axis.has {
			continue
		}
		k := axis.letter - 'A'
		v, err := it.length(val[k], col[k])
		if err != nil {
			return p, err
		}
		if it.relative {
			v += *axis.at
		} else {
			v += axis.zero
		}
		if v > it.reach || v < -it.reach {
			return p, it.fail(col[k], ErrRange, fmt.Sprintf("%c at %.3f mm", axis.letter, millimetres(v)), it.within())
		}
		*axis.at = v
	}
	it.lost, it.moved = false, true
	return p, nil
}

// xy masks X and Y.
const xy = 1<<('X'-'A') | 1<<('Y'-'A')

// firstCol returns the byte of the block's first X or Y.
func (w *words) firstCol() int {
	switch {
	case w.has('X') && w.has('Y'):
		return min(w.col['X'-'A'], w.col['Y'-'A'])
	case w.has('X'):
		return w.col['X'-'A']
	case w.has('Y'):
		return w.col['Y'-'A']
	}
	return 0
}

// needTool checks that the tool in the spindle can make something.
func (it *interp) needTool(col int) error {
	if it.tool == 0 {
		return it.fail(col, ErrNoTool, "a hit or cut", "T with a tool of the table before it")
	}
	if it.drilling == 0 {
		return it.fail(col, ErrToolDiameter, fmt.Sprintf("a hit or cut by T%d", it.tool), "its diameter in the tool table")
	}
	return nil
}

// motionWords does what the coordinates of the block ask for.
func (it *interp) motionWords() error {
	w := &it.w
	has := w.seen&xy != 0
	if w.canned.num != 0 {
		return it.cannedWord()
	}
	if w.hasG(32) || w.hasG(33) {
		return it.routedCircle()
	}
	if w.hasM(2) || w.hasG(4) || w.hasG(93) {
		if w.has('R') && !w.hasM(2) {
			return it.fail(w.col['R'-'A'], ErrRepeat, "R", "a repeat in a block of its own")
		}
		return nil
	}
	if w.has('R') {
		return it.repeatWord()
	}
	if !has {
		return nil
	}
	p, err := it.target(it.at, w.seen, &w.val, &w.col)
	if err != nil {
		return err
	}
	col := w.firstCol()
	if !it.routing {
		if err := it.needTool(col); err != nil {
			return err
		}
		it.at = p
		return it.hit()
	}
	it.lastHit = false
	from := it.at
	it.at = p
	s := step{kind: OpRapid, tool: it.tool, to: p, line: it.line}
	it.idle(col)
	switch {
	case it.motion == 0 && it.down:
		it.note("rapid-down", col, it.tool, "a rapid move with the tool down")
	case it.motion != 0 && !it.down:
		it.note("feed-move-up", col, it.tool, "a cutting move with the tool up cuts nothing: M15 is missing")
	case it.motion == 1:
		s.kind = OpLine
	case it.motion != 0:
		s.kind, s.clockwise = OpArc, it.motion == 2
		if s.center, err = it.arcCenter(from, p, s.clockwise); err != nil {
			return err
		}
	}
	it.waiting = s.kind == OpRapid && !it.down
	it.uncut = it.uncut && (s.kind == OpRapid || s.kind == OpLine && from == p)
	if s.kind != OpRapid {
		if err := it.needTool(col); err != nil {
			return err
		}
	}
	return it.emit(&s)
}

// idle remarks on a rapid move that led to nothing: another move, a hit, a
// change or the end came before the tool went down. Where the word G05 is lost,
// hits turn into such moves.
func (it *interp) idle(col int) {
	if it.waiting {
		it.waiting = false
		it.note("idle-rapid", col, it.tool, "a rapid move before this block leads to no cut")
	}
}
