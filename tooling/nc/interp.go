package nc

import (
	"fmt"
	"io"
)

// point is a place in whole nanometres.
type point struct{ x, y int64 }

// step is an [Op] in whole nanometres, before it is handed out.
type step struct {
	kind             OpKind
	clockwise        bool
	motion           bool
	tool             int
	from, to, center point
	diameter         int64
	line             int
	text             string
}

// interp reads blocks in order and keeps what is modal: units and form, tool,
// mode, position, open patterns. One interp reads one file once.
type interp struct {
	o     ReadOptions
	facts Program
	book  noteBook
	yield func(Op) bool
	quiet bool // facts and notes are known already

	w    words
	line int

	sc        scale
	feed      float64 // mm/min in one F
	header    bool
	headered  bool // a header was seen
	moved     bool // a coordinate was seen
	ended     bool
	stopped   bool // the last block was M00: a stop or the end, as the next line tells
	shortStop bool // it was written M0, which may be the beginning of another word
	cut       bool // the consumer has had enough
	putAway   bool // the last block was T0 or "%"
	complete  bool // the last line has its line end
	format1   bool // FMAT,1

	tools     map[int]int // number -> facts.Tools
	nanos     []int64     // diameters of facts.Tools
	tool      int         // selected, 0 none
	spindle   int         // of the last operation: copies may change it
	drilling  int64       // its diameter, 0 when unknown
	routing   bool        // G00-G03 rather than G05
	motion    int         // 0 to 3
	down      bool
	waiting   bool // a rapid move has not led to a cut yet
	relative  bool
	zero      point // G93
	at        point // programmed position
	lost      bool  // position not known: after copies
	last      point // where the last operation ended
	lastHit   bool  // the last motion was a hit
	ops       int
	patterns  patterns
	marking   string       // TYPE comment in force
	clashed   map[int]bool // tools marked in two ways
	bodyMark  bool         // the TYPE comment stands in the body
	attr      toolAttributes
	described []described
}

// described is a tool size told in a comment.
type described struct {
	tool     int
	diameter float64
	units    Units
	marking  string
	line     int
}

// newInterp prepares to read a file of the given form.
func newInterp(o ReadOptions, f form) *interp {
	it := &interp{o: o, tools: make(map[int]int), header: f.headered, headered: f.headered}
	it.facts.read = o
	it.facts.form = f
	it.setForm(f)
	for _, n := range f.notes {
		it.book.add(n)
	}
	return it
}

// setForm puts a number form in force.
func (it *interp) setForm(f form) {
	it.facts.Units, it.facts.UnitsHow = f.units, f.unitsHow
	it.facts.Zeros, it.facts.ZerosHow = f.zeros, f.zerosHow
	it.facts.Digits, it.facts.DigitsHow = f.digits, f.digitsHow
	it.useScale(f.units, f.zeros, f.digits)
	if f.pointed {
		it.sc.known = false
	}
}

func (it *interp) useScale(u Units, z Zeros, d Digits) {
	it.sc = newScale(u, z, d)
	if z == LeadingZeros || z == TrailingZeros {
		it.sc.known = d != (Digits{})
	}
	unit := it.facts.form.feedUnit.resolve(u)
	it.feed = unit.factor()
	it.facts.FeedUnit = unit
}

// fail builds a syntax error at a 0-based byte of the current line.
func (it *interp) fail(col int, err error, found, expected string) error {
	return &SyntaxError{File: it.o.File, Line: it.line, Column: col + 1, Found: found, Expected: expected, Err: err}
}

// note leaves a finding at a 0-based byte of the current line.
func (it *interp) note(rule string, col, tool int, detail string) {
	if it.quiet || it.book.seen(rule, tool, it.line) {
		return
	}
	it.book.add(Note{Rule: rule, Line: it.line, Column: col + 1, Tool: tool, Detail: detail})
}

// feedLine reads one line without its end.
func (it *interp) feedLine(b []byte) error {
	it.line++
	if it.line == 1 {
		if wide(b) {
			return it.fail(0, ErrEncoding, "a mark of two-byte characters", "single bytes")
		}
		if n := bomLength(b); n > 0 {
			it.note("byte-order-mark", 0, 0, "skipped")
			// Columns still count from the start of the line.
			b = append([]byte("   "), b[n:]...)
		}
	}
	if it.stopped && !mark(b) {
		if err := it.stopHere(); err != nil {
			return err
		}
	}
	if it.ended {
		if !mark(b) {
			it.note("after-end", 0, 0, fmt.Sprintf("text after the end of the program is not read: %q", clip(b)))
		}
		return nil
	}
	if !it.header && !it.routing && !it.lost && !it.relative && it.drilling > 0 && it.quickHit(b) {
		return nil
	}
	if e := it.w.lex(b); e != nil {
		return it.fail(e.col, e.err, e.found, e.expected)
	}
	return it.block()
}

// mark tells whether a line is empty or holds a tape or end-of-file mark only.
func mark(b []byte) bool {
	b = trimRight(b)
	return len(b) == 0 || len(b) == 1 && (b[0] == '%' || b[0] == fileMark)
}

// fileMark is the byte that older systems end a text with.
const fileMark = 0x1A

// quickHit reads the commonest block, X and Y of a hit and nothing else,
// without taking it apart. It leaves anything else, mistakes too, to the lexer.
func (it *interp) quickHit(b []byte) bool {
	if len(b) < 2 {
		return false
	}
	p := it.at
	i := 0
	if b[0] == 'X' {
		n, end, ok := parseNumber(b, 1)
		if !ok || n.frac < 0 && !it.sc.known {
			return false
		}
		if p.x, ok = it.sc.nano(n); !ok {
			return false
		}
		p.x += it.zero.x
		i = end
	}
	if i < len(b) && b[i] == 'Y' {
		n, end, ok := parseNumber(b, i+1)
		if !ok || n.frac < 0 && !it.sc.known {
			return false
		}
		if p.y, ok = it.sc.nano(n); !ok {
			return false
		}
		p.y += it.zero.y
		i = end
	}
	if i != len(b) || p.x > maxNano || p.x < -maxNano || p.y > maxNano || p.y < -maxNano {
		return false
	}
	it.moved, it.putAway = true, false
	it.at = p
	return it.hit() == nil
}

// hit drills at the programmed position.
func (it *interp) hit() error {
	it.lastHit = true
	if it.ops < it.maxOps() && !it.patterns.active() {
		// The same as emit, without a step in between: this is the inner loop.
		it.ops++
		op := Op{Kind: OpHit, Tool: it.tool, Line: it.line}
		op.From[0], op.From[1] = millimetres(it.last.x), millimetres(it.last.y)
		op.To[0], op.To[1] = millimetres(it.at.x), millimetres(it.at.y)
		it.last = it.at
		it.cut = !it.yield(op)
		return nil
	}
	return it.emit(&step{kind: OpHit, tool: it.tool, to: it.at, line: it.line})
}

func (it *interp) maxOps() int { return limit(it.o.MaxOps, DefaultMaxOps) }

// limit resolves a limit option.
func limit(n, byDefault int) int {
	if n == 0 {
		return byDefault
	}
	return max(n, 0)
}

// over builds a limit error at the current line.
func (it *interp) over(col int, what string, most, found int) error {
	return &LimitError{File: it.o.File, Line: it.line, Column: col + 1, Limit: what, Max: most, Found: found}
}

// emit hands an operation out and keeps it while a pattern is open. From is
// filled in here except for slots, whose two ends are both their own.
func (it *interp) emit(s *step) error {
	if it.ops >= it.maxOps() {
		return it.over(0, "operations", it.maxOps(), it.ops+1)
	}
	it.ops++
	if s.kind != OpSlot {
		s.from = it.last
	}
	if !s.moves() {
		s.to = it.last
	}
	it.last = s.to
	if s.kind == OpTool {
		it.spindle = s.tool
	}
	if s.kind != OpComment && !it.patterns.keep(s) {
		return it.over(0, "operations in a pattern", maxKept, maxKept+1)
	}
	if it.cut {
		return nil
	}
	op := Op{Kind: s.kind, Clockwise: s.clockwise, Motion: s.motion, Tool: s.tool, Line: s.line, Text: s.text,
		Diameter: millimetres(s.diameter)}
	op.From[0], op.From[1] = millimetres(s.from.x), millimetres(s.from.y)
	op.To[0], op.To[1] = millimetres(s.to.x), millimetres(s.to.y)
	if s.kind == OpArc {
		op.Center[0], op.Center[1] = millimetres(s.center.x), millimetres(s.center.y)
	}
	it.cut = !it.yield(op)
	return nil
}

// moves tells whether the operation has a place of its own.
func (s *step) moves() bool {
	switch s.kind {
	case OpHit, OpSlot, OpCircle, OpRapid, OpLine, OpArc:
		return true
	}
	return false
}

// finish checks what must hold at the end of the file and completes the facts.
func (it *interp) finish() error {
	if err := it.endHere(); err != nil {
		return err
	}
	if !it.ended {
		at := it.line
		it.line = max(it.line, 1)
		tidy := it.putAway && it.complete && !it.header
		if !it.o.AllowMissingEnd && !tidy {
			e := it.fail(0, ErrTruncated, "the end of the file", "M30").(*SyntaxError)
			e.Line = at + 1
			return e
		}
		it.note("no-end", 0, 0, "the file ends without M30")
	}
	if it.patterns.open() {
		return it.fail(0, ErrRepeat, "the end of the program", fmt.Sprintf("M01 for the pattern of line %d", it.patterns.openedAt()))
	}
	it.finishTools()
	sortNotes(it.book.notes)
	it.facts.Notes = it.book.notes
	return nil
}

// run reads a whole file from memory.
func (it *interp) run(src []byte) error {
	for off := 0; off < len(src) && !it.cut; {
		n, skip, ok := cutLine(src[off:], true)
		if !ok {
			return io.ErrUnexpectedEOF // cannot happen: the last line always ends
		}
		it.complete = skip > n
		if n > maxLine {
			it.line++
			return it.over(0, "bytes in a line", maxLine, n)
		}
		if err := it.feedLine(src[off : off+n]); err != nil {
			return err
		}
		off += skip
	}
	if it.cut {
		return nil
	}
	return it.finish()
}
