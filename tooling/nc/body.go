package nc

import (
	"bytes"
	"fmt"
)

// block does what the words of the current line say: tool, modes, motion,
// machine words, in that order.
func (it *interp) block() error {
	w := &it.w
	for _, c := range w.comments[:w.ncomment] {
		if err := it.comment(w.src[c.from:c.to], c.from); err != nil {
			return err
		}
	}
	if w.open {
		it.note("open-comment", w.comments[max(w.ncomment-1, 0)].from, 0, "a comment in brackets runs to the end of the line")
	}
	if w.percent {
		it.percent()
		return nil
	}
	if w.deleted {
		if it.o.SkipDeleted {
			it.note("block-delete", 0, 0, "blocks that begin with / are left out, as asked")
			return nil
		}
		it.note("block-delete", 0, 0, "blocks that begin with / are run")
	}
	if w.ident != nil {
		it.putAway = false
		return it.headerWord(w.ident, w.identCol)
	}
	if w.seen == 0 && w.ng == 0 && w.nm == 0 && w.canned.num == 0 {
		return nil
	}
	it.putAway = false
	if err := it.headerMarks(); err != nil {
		return err
	}
	if w.has('T') {
		if err := it.toolWord(); err != nil {
			return err
		}
	}
	if it.header {
		return it.headerBlock()
	}
	if foreign, col := it.foreign(); foreign {
		return it.unknown(col, true)
	}
	if c := w.lookAlike(); c != 0 {
		return it.fail(w.col[c-'A'], ErrSyntax, fmt.Sprintf("the letter %c beside coordinates", c), "a word of a drill program, or a digit")
	}
	for _, g := range w.g[:w.ng] {
		if err := it.mode(g); err != nil {
			return err
		}
	}
	if err := it.motionWords(); err != nil {
		return err
	}
	for i, m := range w.m[:w.nm] {
		if it.ended {
			it.note("after-end", m.col, 0, "words after the end of the program are not read")
			break
		}
		if err := it.machineWord(m, i); err != nil {
			return err
		}
	}
	return it.loose()
}

// foreign tells whether the block has a G or M word whose meaning is not
// known: then its coordinates cannot be taken for a hit.
func (it *interp) foreign() (bool, int) {
	w := &it.w
	for _, g := range w.g[:w.ng] {
		switch g.num {
		case 0, 1, 2, 3, 4, 5, 32, 33, 40, 41, 42, 81, 90, 91, 93:
		default:
			return true, g.col
		}
	}
	if w.text != nil && w.m[w.nm-1].num != 47 {
		return true, w.m[w.nm-1].col
	}
	for _, m := range w.m[:w.nm] {
		switch m.num {
		case 0, 2, 6, 8, 9, 15, 16, 17, 25, 30, 47, 48, 71, 72, 95:
		case 1, 70:
			if it.format1 {
				return true, m.col
			}
			if m.num == 70 && !w.hasM(2) {
				return true, m.col
			}
		case 80, 90:
			if !w.hasM(2) {
				return true, m.col
			}
		default:
			return true, m.col
		}
	}
	return false, 0
}

// hasM tells whether the block has the M word.
func (w *words) hasM(num int) bool {
	for _, m := range w.m[:w.nm] {
		if m.num == num {
			return true
		}
	}
	return false
}

// hasG tells whether the block has the G word.
func (w *words) hasG(num int) bool {
	for _, g := range w.g[:w.ng] {
		if g.num == num {
			return true
		}
	}
	return false
}

// lookAlike returns a letter that no control uses beside coordinates and that
// looks like a digit or the sign of a power: a slip of the keyboard.
func (w *words) lookAlike() byte {
	if w.seen&xy != 0 {
		for _, c := range [3]byte{'E', 'L', 'O'} {
			if w.has(c) {
				return c
			}
		}
	}
	return 0
}

// unknown keeps the whole block as it stands. A block that could move leaves
// the position unknown unless it gives both coordinates.
func (it *interp) unknown(col int, motion bool) error {
	w := &it.w
	text := string(bytes.TrimSpace(w.src))
	it.note("unknown-word", col, it.tool, fmt.Sprintf("%q is kept and not understood", clip(bytes.TrimSpace(w.src))))
	if motion && (w.has('X') || w.has('Y')) {
		it.lost = true
	}
	if motion {
		it.lastHit = false
	}
	return it.emit(&step{kind: OpUnknown, motion: motion, tool: it.tool, line: it.line, text: text})
}

// looseLetters are letters that change how a hit or cut is made. Z limits the
// depth, so it counts as a word that makes something.
const looseLetters = "BCDEFHIJKLOPQSUVWZA"

// loose keeps letters that belong to nothing in the block.
func (it *interp) loose() error {
	w := &it.w
	for i := range len(looseLetters) {
		c := looseLetters[i]
		if !w.has(c) || w.has('T') && bytes.IndexByte([]byte("CFSHBZ"), c) >= 0 {
			continue
		}
		if bytes.IndexByte([]byte("AIJ"), c) >= 0 && (it.routing && it.motion >= 2 || w.hasG(32) || w.hasG(33)) {
			continue
		}
		motion := bytes.IndexByte([]byte("FSHB"), c) < 0
		it.note("unknown-word", w.col[c-'A'], it.tool, fmt.Sprintf("%c in %q is kept and not understood", c, clip(w.src)))
		if err := it.emit(&step{kind: OpUnknown, motion: motion, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))}); err != nil {
			return err
		}
		break
	}
	return nil
}

// mode does the G words that set something.
func (it *interp) mode(g code) error {
	w := &it.w
	switch g.num {
	case 0, 1, 2, 3:
		it.routing, it.motion = true, g.num
	case 5, 81:
		it.idle(g.col)
		if it.down {
			it.note("down-in-drill", g.col, it.tool, "drilling begins with the tool down: M16 or M17 is missing")
		}
		it.routing = false
	case 90:
		it.relative = false
	case 91:
		it.incremental(g.col)
	case 40, 41, 42:
		if g.num != 40 {
			it.note("compensated", g.col, it.tool, "G41 and G42 leave the cutter's radius to the control's table")
		}
		return it.emit(&step{kind: OpCompensation, tool: it.tool, line: it.line, text: fmt.Sprintf("G%d", g.num)})
	case 4:
		if !w.has('X') {
			return it.fail(g.col, ErrSyntax, "G04", "X with the time")
		}
		return it.emit(&step{kind: OpDwell, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))})
	case 93:
		it.note("zero-set", g.col, 0, "G93 moves the zero of all later coordinates")
		for _, axis := range [2]struct {
			letter byte
			at     *int64
		}{{'X', &it.zero.x}, {'Y', &it.zero.y}} {
			if w.has(axis.letter) {
				v, err := it.length(w.get(axis.letter), w.col[axis.letter-'A'])
				if err != nil {
					return err
				}
				*axis.at = v
			}
		}
	}
	return nil
}

// incremental makes coordinates steps from the last place.
func (it *interp) incremental(col int) {
	it.relative = true
	it.note("incremental", col, 0, "coordinates are steps from the last place")
}

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
		if v > maxNano || v < -maxNano {
			return p, it.fail(col[k], ErrRange, fmt.Sprintf("%c at %.3f mm", axis.letter, millimetres(v)), "at most 10 m")
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

// cannedWord does G84, G85 and G87.
func (it *interp) cannedWord() error {
	w := &it.w
	if w.has('R') {
		return it.fail(w.col['R'-'A'], ErrRepeat, "R with a canned word", "a repeat in a block of its own")
	}
	if err := it.needTool(w.canned.col); err != nil {
		return err
	}
	start := it.at
	if w.seen&xy != 0 {
		var err error
		if start, err = it.target(it.at, w.seen, &w.val, &w.col); err != nil {
			return err
		}
	} else if it.lost {
		return it.fail(w.canned.col, ErrPosition, "a canned word after copies", "both coordinates before it")
	}
	it.lastHit = false
	if w.canned.num == 84 {
		if w.seen2 != 1<<('X'-'A') {
			return it.fail(w.canned.col, ErrSyntax, "G84", "X with the circle's diameter after it, and nothing else")
		}
		d, err := it.length(w.val2['X'-'A'], w.col2['X'-'A'])
		if err != nil {
			return err
		}
		if d <= 0 {
			return it.fail(w.col2['X'-'A'], ErrNumber, "a diameter of 0 or less", "a diameter above 0")
		}
		it.at = start
		return it.emit(&step{kind: OpCircle, tool: it.tool, to: start, diameter: d, line: it.line, text: "G84"})
	}
	if w.seen2&xy == 0 {
		return it.fail(w.canned.col, ErrSyntax, fmt.Sprintf("G%d", w.canned.num), "X or Y of the slot's other end")
	}
	end, err := it.target(start, w.seen2, &w.val2, &w.col2)
	if err != nil {
		return err
	}
	s := step{kind: OpSlot, tool: it.tool, from: start, to: end, line: it.line}
	if w.canned.num == 87 {
		s.text = "G87"
		it.note("stepped-slot", w.canned.col, it.tool, "G87 is read as a slot between its ends")
	}
	if start == end {
		it.note("zero-slot", w.canned.col, it.tool, "a slot whose ends are one place")
	}
	it.at = end
	if w.seen2&^xy != 0 {
		it.note("unknown-word", w.canned.col, it.tool, fmt.Sprintf("letters behind G%d are kept and not understood", w.canned.num))
		if err := it.emit(&s); err != nil {
			return err
		}
		return it.emit(&step{kind: OpUnknown, motion: true, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))})
	}
	return it.emit(&s)
}

// routedCircle does G32 (clockwise) and G33: a circle of radius A round X, Y.
func (it *interp) routedCircle() error {
	w := &it.w
	col := w.g[0].col
	if err := it.needTool(col); err != nil {
		return err
	}
	if !w.has('A') {
		return it.fail(col, ErrArc, "a circle without A", "A with its radius")
	}
	p, err := it.target(it.at, w.seen, &w.val, &w.col)
	if err != nil {
		return err
	}
	r, err := it.length(w.get('A'), w.col[0])
	if err != nil {
		return err
	}
	if r <= 0 {
		return it.fail(w.col[0], ErrArc, "a radius of 0 or less", "a radius above 0")
	}
	it.at, it.lastHit = p, false
	text := "G33"
	if w.hasG(32) {
		text = "G32"
	}
	return it.emit(&step{kind: OpCircle, clockwise: text == "G32", tool: it.tool, to: p, diameter: 2 * r, line: it.line, text: text})
}

// repeatWord does R#X#Y#.
func (it *interp) repeatWord() error {
	w := &it.w
	col := w.col['R'-'A']
	times, err := it.times()
	if err != nil {
		return err
	}
	if w.seen&xy == 0 {
		return it.fail(col, ErrRepeat, "R alone", "X or Y with the step, or M02")
	}
	d, err := it.delta()
	if err != nil {
		return err
	}
	return it.repeatHit(col, d, times)
}

// times reads R.
func (it *interp) times() (int, error) {
	w := &it.w
	if !w.has('R') {
		return 1, nil
	}
	n := w.get('R')
	if n.frac >= 0 || n.neg || n.mant == 0 {
		return 0, it.fail(w.col['R'-'A'], ErrRepeat, fmt.Sprintf("%q", clip(w.src[w.col['R'-'A']:])), "R with a whole number above 0")
	}
	return int(min(n.mant, 1<<31-1)), nil
}

// delta reads X and Y as a step, whatever the mode.
func (it *interp) delta() (point, error) {
	w := &it.w
	var d point
	var err error
	if w.has('X') {
		if d.x, err = it.length(w.get('X'), w.col['X'-'A']); err != nil {
			return d, err
		}
	}
	if w.has('Y') {
		d.y, err = it.length(w.get('Y'), w.col['Y'-'A'])
	}
	return d, err
}

// machineWord does an M word of the body.
func (it *interp) machineWord(m code, _ int) error {
	w := &it.w
	switch m.num {
	case 0:
		it.stopped, it.shortStop = true, m.digits == 1
	case 30:
		return it.end(m.col)
	case 1:
		return it.endPattern(m.col)
	case 2:
		if w.seen&xy == 0 {
			if it.format1 || !it.patterns.active() {
				it.note("end-word", m.col, 0, "M02 without an offset ends the program")
				return it.end(m.col)
			}
			return it.fail(m.col, ErrRepeat, "M02", "X or Y with the offset of the copy")
		}
		if it.format1 {
			return it.fail(m.col, ErrRepeat, "M02 with an offset in format 1", "format 2 for patterns")
		}
		times, err := it.times()
		if err != nil {
			return err
		}
		d, err := it.delta()
		if err != nil {
			return err
		}
		return it.copyPattern(m.col, d, times, w.hasM(70), w.hasM(80), w.hasM(90))
	case 6, 9:
		return it.emit(&step{kind: OpStop, tool: it.tool, line: it.line, text: fmt.Sprintf("M%02d", m.num)})
	case 8:
		return it.endRepeat(m.col)
	case 15:
		if err := it.needTool(m.col); err != nil {
			return err
		}
		it.waiting = false
		if it.down {
			it.note("down-twice", m.col, it.tool, "M15 with the tool down already")
		}
		it.down, it.routing = true, true
		return it.emit(&step{kind: OpPlunge, tool: it.tool, line: it.line})
	case 16, 17:
		it.down = false
		return it.emit(&step{kind: OpRetract, tool: it.tool, line: it.line})
	case 25:
		return it.beginPattern(m.col)
	case 47:
		return it.emit(&step{kind: OpMessage, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.text))})
	case 71:
		return it.changeUnits(m.col, Millimetres)
	case 72:
		return it.changeUnits(m.col, Inches)
	}
	return nil // M70, M80, M90 belong to M02; M48 and M95 were done before
}

// stopHere settles what an M00 was: a stop, since the program goes on.
func (it *interp) stopHere() error {
	it.stopped = false
	it.note("stop-m00", 0, it.tool, "M00 with more of the program after it is a stop")
	return it.emit(&step{kind: OpStop, tool: it.tool, line: it.line, text: "M00"})
}

// endHere settles what an M00 was: the end, since nothing follows. Written M0
// in a line without its end it may be the beginning of another word.
func (it *interp) endHere() error {
	if !it.stopped || it.shortStop && !it.complete {
		return nil
	}
	it.stopped = false
	return it.end(0)
}

// end ends the program.
func (it *interp) end(col int) error {
	it.idle(col)
	if it.down {
		it.note("end-down", col, it.tool, "the program ends with the tool down")
	}
	it.ended = true
	return it.emit(&step{kind: OpEnd, tool: it.tool, line: it.line})
}

// changeUnits does M71 and M72. Before the first coordinate they are part of
// the file's form, which is settled already.
func (it *interp) changeUnits(col int, u Units) error {
	if !it.moved || u == it.sc.units || it.o.Force && it.o.Units != UnitsUnknown {
		return nil
	}
	it.note("unit-change", col, 0, fmt.Sprintf("from here on in %v", u))
	d := it.sc.digits
	if d != (Digits{}) {
		d = usualDigits(u)
	}
	z := it.sc.zeros
	it.useScale(u, z, d)
	return nil
}
