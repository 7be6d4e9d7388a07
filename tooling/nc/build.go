package nc

import (
	"fmt"
	"iter"
	"math"
	"strconv"
	"strings"
)

// BuildError is an operation or option that cannot be written.
type BuildError struct {
	Index  int // which operation, from 0; -1 for the options or the tool table
	Op     Op
	Detail string
	Err    error // one of the sentinels
}

// Error renders the cause with the operation it is about.
func (e *BuildError) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("%v: %s", e.Err, e.Detail)
	}
	return fmt.Sprintf("%v: operation %d, %v: %s", e.Err, e.Index, e.Op, e.Detail)
}

// Unwrap returns the sentinel.
func (e *BuildError) Unwrap() error { return e.Err }

// Build writes operations as a program in the one dialect of the options:
// format 2, absolute, both coordinates in every block, G05 before hits, every
// rout path entered by G00 and M15 and left by M16. Points are rounded to the
// last digit written, so none moves by more than half of it; arcs are written
// with A in blocks of at most a quarter turn, and one that rounds to nothing
// vanishes. Lines that round to nothing vanish as well.
//
// It refuses, as a [*BuildError]: what has no tool or a tool outside the
// table, a move that does not start where the last one ended, a rapid move,
// change or end with the tool down, unknown words, text with line ends, tools
// of which some have feed and speed and some have not, numbers that are not
// finite or beyond 10 m. Op.Line and Op.Tool of other kinds than OpTool are not
// looked at. Cost: O(operations).
func Build(ops iter.Seq[Op], tools []ToolDef, o WriteOptions) (*Program, error) {
	w, err := newWriter(tools, o)
	if err != nil {
		return nil, err
	}
	w.head(tools)
	index := 0
	for op := range ops {
		if detail, err := w.op(&op); err != nil {
			return nil, &BuildError{Index: index, Op: op, Detail: detail, Err: err}
		}
		index++
		if len(w.buf) > math.MaxUint32/2 {
			return nil, &BuildError{Index: index, Op: op, Detail: "the text grows beyond 2 GiB", Err: ErrLimit}
		}
	}
	if w.down {
		return nil, &BuildError{Index: -1, Detail: "the program would end with the tool down", Err: ErrWrite}
	}
	w.flushRow()
	w.line(w.o.End)
	p := &Program{
		Tools: append([]ToolDef(nil), tools...),
		Units: w.o.Units, UnitsHow: Stated,
		Zeros: w.o.Zeros, ZerosHow: Stated,
		Digits: w.o.Digits, DigitsHow: Stated,
		source: w.buf, blocks: w.blocks,
	}
	if w.o.Zeros == DecimalPoint {
		p.Digits, p.DigitsHow = Digits{}, HowUnknown
	}
	for i := range p.Tools {
		p.Tools[i].Line = w.toolLines[i]
	}
	p.FeedUnit = w.o.FeedUnit
	p.form = form{feedUnit: w.o.FeedUnit, units: p.Units, unitsHow: Stated, zeros: p.Zeros, zerosHow: Stated, digits: p.Digits, digitsHow: p.DigitsHow}
	return p, nil
}

// writer turns operations into text.
type writer struct {
	o         WriteOptions
	buf       []byte
	blocks    []block
	tools     map[int]bool
	toolLines []int
	feeds     bool

	grid    ratio // nanometres to last digits
	back    ratio // and back
	largest int64 // largest whole number that fits the form, 0 for no bound
	tool    int   // selected
	mode    int   // 5 drilling, 0 routing, -1 at the start
	down    bool  // tool down
	at      point // in last digits: where the tool is
	placed  bool  // at is known
	ended   bool  // OpEnd was met
	row     row   // hits waiting to be written as a repeat
	scratch [24]byte
}

// row is a run of evenly spaced hits: the last one written or repeated, and
// the repeats pending.
type row struct {
	live  bool
	last  point
	step  point
	times int
}

// newWriter checks the options and the tool table.
func newWriter(tools []ToolDef, o WriteOptions) (*writer, error) {
	bad := func(format string, args ...any) error {
		return &BuildError{Index: -1, Detail: fmt.Sprintf(format, args...), Err: ErrWrite}
	}
	if o.Units == UnitsUnknown {
		o.Units = Millimetres
	}
	if o.Zeros == ZerosUnknown {
		o.Zeros = DecimalPoint
	}
	if o.Digits == (Digits{}) {
		o.Digits = usualDigits(o.Units)
	}
	if o.End == "" {
		o.End = "M30"
	}
	o.FeedUnit = o.FeedUnit.resolve(o.Units)
	switch {
	case o.Units > Inches || o.Zeros > DecimalPoint || o.FeedUnit > InchesPerMinute || o.Slots > SlotRout:
		return nil, bad("an option has no such value")
	case o.Digits.Int < 0 || o.Digits.Dec < 1 || o.Digits.Int > 6 || o.Digits.Dec > 6:
		return nil, bad("digits %v: at most 6 on a side, at least one decimal", o.Digits)
	case o.Zeros != DecimalPoint && o.Digits.Int < 1:
		return nil, bad("digits %v: at least one before the point", o.Digits)
	case o.End != "M30" && o.End != "M00":
		return nil, bad("end word %q: M30 or M00", o.End)
	}
	for _, h := range o.Header {
		if !oneLine(h) {
			return nil, bad("header line %q is not one line", h)
		}
	}
	w := &writer{o: o, mode: -1, tools: make(map[int]bool, len(tools))}
	unit := nanoPerUnit(o.Units)
	power := uint64(1)
	for range o.Digits.Dec {
		power *= 10
	}
	w.back = perPower(unit, o.Digits.Dec)
	w.grid = ratio{w.back.div, w.back.mul}
	if o.Zeros != DecimalPoint {
		w.largest = 1
		for range o.Digits.Int + o.Digits.Dec {
			w.largest *= 10
		}
		w.largest--
	}
	with := 0
	for _, t := range tools {
		switch {
		case t.Number < 1 || t.Number > maxToolNumber:
			return nil, bad("tool number %d: from 1 to %d", t.Number, maxToolNumber)
		case w.tools[t.Number]:
			return nil, bad("T%d stands twice in the table", t.Number)
		case !(t.Diameter > 0 && t.Diameter <= 1000):
			return nil, &BuildError{Index: -1, Detail: fmt.Sprintf("T%d: diameter %v mm", t.Number, t.Diameter), Err: ErrToolDiameter}
		case !fits(t.Feed, 1e6) || !fits(t.Speed, 1e7) || !fits(t.Retract, 1e6) || t.HitLimit < 0:
			return nil, bad("T%d: feed %v, speed %v, retract %v, hit limit %d", t.Number, t.Feed, t.Speed, t.Retract, t.HitLimit)
		case t.HasZ && !(t.Z >= -1000 && t.Z <= 1000):
			return nil, bad("T%d: Z %v mm", t.Number, t.Z)
		case (t.Feed > 0) != (t.Speed > 0):
			return nil, bad("T%d has feed %v and speed %v: both or neither", t.Number, t.Feed, t.Speed)
		}
		w.tools[t.Number] = true
		if t.Feed > 0 {
			with++
		}
	}
	if !o.NoFeeds && with != 0 && with != len(tools) {
		return nil, bad("%d of %d tools have feed and speed: all or none", with, len(tools))
	}
	w.feeds = with > 0 && !o.NoFeeds
	if !w.feeds {
		w.o.FeedUnit = FeedUsual.resolve(o.Units) // nothing is written in it
	}
	return w, nil
}

// fits tells whether v is a finite number from 0 to most.
func fits(v, most float64) bool { return v >= 0 && v <= most }

// oneLine tells whether text can stand in a comment or message.
func oneLine(s string) bool { return !strings.ContainsAny(s, "\r\n") && len(s) < 1000 }

// head writes the header.
func (w *writer) head(tools []ToolDef) {
	w.line("M48")
	for _, h := range w.o.Header {
		w.line("; " + h)
	}
	if w.feeds {
		w.line("; FEED_UNIT=" + w.o.FeedUnit.String())
	} else {
		w.line("; feeds and speeds are not in this program")
	}
	w.line("FMAT,2")
	units := "METRIC"
	if w.o.Units == Inches {
		units = "INCH"
	}
	if w.o.Zeros != DecimalPoint {
		units += "," + w.o.Zeros.String() + "," + strings.Repeat("0", w.o.Digits.Int) + "." + strings.Repeat("0", w.o.Digits.Dec)
	}
	w.line(units)
	for _, t := range tools {
		if w.o.Attributes {
			w.attributes(t)
		}
		w.toolLines = append(w.toolLines, len(w.blocks)+1)
		w.tool0(t)
	}
	w.line("%")
	w.line("G90")
}

// attributes writes what is known about a tool as comments.
func (w *writer) attributes(t ToolDef) {
	var v []string
	switch t.Marking {
	case plated:
		v = append(v, "Plated", "PTH")
	case unplated:
		v = append(v, "NonPlated", "NPTH")
	}
	switch t.Function {
	case "via":
		v = append(v, "ViaDrill")
	case "component":
		v = append(v, "ComponentDrill")
	case "mechanical":
		v = append(v, "MechanicalDrill")
	}
	w.line("; #@! TD")
	if len(v) > 0 {
		w.line("; #@! TA.AperFunction," + strings.Join(v, ","))
	}
}

// tool0 writes one line of the tool table. The diameter gets as many decimals
// as it takes to read the same nanometres back.
func (w *writer) tool0(t ToolDef) {
	b := fmt.Appendf(nil, "T%dC%s", t.Number, w.exact(t.Diameter))
	if w.feeds {
		f := w.o.FeedUnit.factor()
		b = append(append(b, 'F'), trimmed(t.Feed/f, 1)...)
		b = append(append(b, 'S'), trimmed(t.Speed/1000, 0)...)
		if t.Retract > 0 {
			b = append(append(b, 'B'), trimmed(t.Retract/f, 1)...)
		}
	}
	if t.HitLimit > 0 {
		b = fmt.Appendf(b, "H%d", t.HitLimit)
	}
	if t.HasZ {
		b = append(append(b, 'Z'), w.exact(t.Z)...)
	}
	w.line(string(b))
}

// exact renders a length in the file's unit with at least the file's decimals
// and as many more as nanometres need.
func (w *writer) exact(mm float64) string {
	nano := int64(math.Round(mm * 1e6))
	u, m := 1.0, uint64(max(nano, -nano))
	if w.o.Units == Inches {
		u = 25.4
	}
	for dec := w.o.Digits.Dec; ; dec++ {
		s := strconv.FormatFloat(millimetres(nano)/u, 'f', dec, 64)
		n, _, ok := parseNumber([]byte(s), 0)
		if !ok || dec > 9 {
			return s
		}
		sc := newScale(w.o.Units, DecimalPoint, Digits{})
		if v, ok := sc.nano(n); ok && uint64(max(v, -v)) == m {
			return s
		}
	}
}

// trimmed renders a rate with three decimals less trailing zeros, and six
// where three would say nothing.
func trimmed(v float64, least int) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	if v > 0 && v < 0.001 {
		s = strconv.FormatFloat(v, 'f', 6, 64)
	}
	point := strings.IndexByte(s, '.')
	for len(s)-point-1 > least && s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	return strings.TrimSuffix(s, ".")
}

// line appends one line.
func (w *writer) line(s string) {
	start := len(w.buf)
	w.buf = append(w.buf, s...)
	w.close(start)
}

// close ends the line that began at start.
func (w *writer) close(start int) {
	w.blocks = append(w.blocks, block{uint32(start), uint32(len(w.buf) - start)})
	if w.o.CRLF {
		w.buf = append(w.buf, '\r')
	}
	w.buf = append(w.buf, '\n')
}

// round takes a point in mm to whole last digits.
func (w *writer) round(x, y float64) (p point, ok bool) {
	if !(x >= -10_000 && x <= 10_000 && y >= -10_000 && y <= 10_000) {
		return p, false
	}
	p.x, p.y = w.digits(int64(math.Round(x*1e6))), w.digits(int64(math.Round(y*1e6)))
	if w.largest > 0 && (p.x > w.largest || p.x < -w.largest || p.y > w.largest || p.y < -w.largest) {
		return p, false
	}
	return p, true
}

// digits rounds nanometres to last digits, halves away from zero.
func (w *writer) digits(nano int64) int64 {
	m := uint64(max(nano, -nano))
	// m < 2^34 and the factor is at most 10, so nothing overflows.
	v := int64((m*w.grid.mul + w.grid.div/2) / w.grid.div)
	if nano < 0 {
		return -v
	}
	return v
}

// nano takes last digits back to nanometres.
func (w *writer) nano(v int64) int64 {
	m, _ := w.back.apply(uint64(max(v, -v)))
	if v < 0 {
		return -m
	}
	return m
}

// number appends a whole number of last digits in the file's form.
func (w *writer) number(b []byte, v int64) []byte {
	if v < 0 {
		b = append(b, '-')
		v = -v
	}
	// Digits are made from the right into the scratch buffer.
	i := len(w.scratch)
	dec := w.o.Digits.Dec
	least := dec + 1
	if w.o.Zeros != DecimalPoint {
		least = w.o.Digits.Int + dec
	}
	for n := 0; v > 0 || n < least; n++ {
		if n == dec && w.o.Zeros == DecimalPoint {
			i--
			w.scratch[i] = '.'
		}
		i--
		w.scratch[i] = byte('0' + v%10)
		v /= 10
	}
	return append(b, w.scratch[i:]...)
}

// xy appends X and Y.
func (w *writer) xy(p point) {
	w.buf = append(w.buf, 'X')
	w.buf = w.number(w.buf, p.x)
	w.buf = append(w.buf, 'Y')
	w.buf = w.number(w.buf, p.y)
}
