package nc

import (
	"fmt"
	"math"
)

// point is a place in whole nanometres.
type point struct{ x, y int64 }

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
	uncut     bool // the tool went down and has cut nothing yet
	waiting   bool // a rapid move has not led to a cut yet
	relative  bool
	zero      point // G93
	reach     int64 // largest coordinate
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
	starts    []markingStart
	missing   map[int]int // tools without a diameter, and how many comments had been looked at
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
	it.reach = maxNano
	switch {
	case o.MaxReach == 0 || o.MaxReach >= millimetres(maxNano):
	case o.MaxReach > 0:
		it.reach = int64(math.Round(o.MaxReach * 1e6))
	default: // negative or not a number: nothing fits
		it.reach = -1
	}
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
	if f.decimal {
		// What the header says about zeros and digits is not used, but holds
		// should a number without a point turn up later.
		it.facts.Zeros, it.facts.Digits, it.facts.DigitsHow = DecimalPoint, Digits{}, HowUnknown
	}
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
		if found := wide(b); found != "" {
			return it.fail(0, ErrEncoding, found, "a text of single bytes, as ASCII, UTF-8 and Latin-1 are: save it as one of those")
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
		if !it.w.endsFirst() {
			return it.fail(e.col, e.err, e.found, e.expected)
		}
		// The program has ended when the text begins that is no word.
		it.note("after-end", e.col, 0, fmt.Sprintf("text after the end of the program is not read: %q", clip(b[e.col:])))
	}
	if it.w.nulls {
		it.note("null-bytes", 0, 0, "bytes of value 0 are passed by, as on the leader of a tape")
	}
	if it.w.comma >= 0 {
		it.note("decimal-comma", it.w.comma, 0, "a comma between digits is taken for a point")
	}
	return it.block()
}

// beyond tells whether a place is off the machine.
func (it *interp) beyond(p point) bool {
	return p.x > it.reach || p.x < -it.reach || p.y > it.reach || p.y < -it.reach
}

// within says how far coordinates may reach, for messages.
func (it *interp) within() string { return fmt.Sprintf("at most %g mm", millimetres(it.reach)) }
