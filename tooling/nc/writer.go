package nc

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// writer turns operations into text.
type writer struct {
	o         WriteOptions
	buf       []byte
	blocks    []block
	tools     map[int]bool
	toolLines []int
	feeds     bool

	grid     ratio   // nanometres to last digits
	back     ratio   // and back
	rounded  int     // points that did not fall on the grid
	worst    int64   // by how many nanometres at most
	largest  int64   // largest whole number that fits the form, 0 for no bound
	tool     int     // selected
	mode     int     // 5 drilling, 0 routing, -1 at the start
	down     bool    // tool down
	at       point   // in last digits: where the tool is
	placed   bool    // at is known
	last     point   // in last digits: the place written last
	ended    bool    // OpEnd was met
	repeated int     // hits written as repeats or copies
	held     []point // hits of a run, in last digits, while Rows or Patterns look for repeats
	least    int     // digits written at least
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
	case o.Units > Inches || o.Zeros > DecimalPoint || o.FeedUnit > InchesPerMinute || o.Slots > SlotRout || o.Table > TableByDiameter:
		return nil, bad("an option has no such value")
	case o.Digits.Int < 0 || o.Digits.Dec < 1 || o.Digits.Int > 6 || o.Digits.Dec > 6:
		return nil, bad("digits %v: at most 6 on a side, at least one decimal", o.Digits)
	case o.Zeros != DecimalPoint && o.Digits.Int < 1:
		return nil, bad("digits %v: at least one before the point", o.Digits)
	case o.Exchange && (o.Zeros != DecimalPoint || o.Rows || o.Patterns || o.End != "M30"):
		return nil, bad("the exchange subset has decimal points, no repeats and ends with M30")
	case o.Exchange && (o.Index || len(o.Words) > 0):
		return nil, bad("the exchange subset has no compensation index and no header words")
	case o.Incremental && (o.Exchange || o.Patterns):
		return nil, bad("steps are neither for the exchange subset nor for step and repeat")
	case o.End != "M30" && o.End != "M00":
		return nil, bad("end word %q: M30 or M00", o.End)
	}
	for _, word := range o.Words {
		if !slices.Contains(headerWords(), word) {
			return nil, bad("header word %q: one of %s", word, strings.Join(headerWords(), "; "))
		}
	}
	for _, h := range o.Header {
		var s survey
		s.comment([]byte(h), statement{line: 1})
		if !oneLine(h) || s.commentAt.line != 0 || s.feedUnit != FeedUsual {
			return nil, bad("header line %q is not one line, or would be read as a statement of form", h)
		}
	}
	if o.Exchange {
		o.NoFeeds, o.Attributes = true, true
	}
	w := &writer{o: o, mode: -1, tools: make(map[int]bool, len(tools))}
	unit := nanoPerUnit(o.Units)
	w.back = perPower(unit, o.Digits.Dec)
	w.grid = ratio{w.back.div, w.back.mul}
	if o.Zeros != DecimalPoint {
		w.largest = 1
		for range o.Digits.Int + o.Digits.Dec {
			w.largest *= 10
		}
		w.largest--
	}
	w.least = o.Digits.Dec + 1
	if o.Zeros != DecimalPoint {
		w.least = o.Digits.Int + o.Digits.Dec
	}
	with := 0
	for _, t := range tools {
		switch {
		case t.Number < 1 || t.Number > maxToolNumber:
			return nil, bad("tool number %d: from 1 to %d", t.Number, maxToolNumber)
		case o.Index && t.Number > 99:
			return nil, bad("T%d: numbers up to 99 have a compensation index", t.Number)
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

// headerWords lists the words of letters that a header may carry beside the
// units: those that change no hit.
func headerWords() []string {
	return []string{"FMAT,2", "VER,1", "ICI,OFF", "DETECT,ON", "DETECT,OFF", "ATC,ON", "ATC,OFF"}
}

// fits tells whether v is a finite number from 0 to most.
func fits(v, most float64) bool { return v >= 0 && v <= most }

// oneLine tells whether text can stand in a comment or message.
func oneLine(s string) bool { return !strings.ContainsAny(s, "\r\n") && len(s) < 1000 }

// line appends one line.
func (w *writer) line(s string) {
	start := len(w.buf)
	w.buf = append(w.buf, s...)
	w.close(start)
}

// close ends the line that began at start.
func (w *writer) close(start int) {
	if len(w.blocks) == cap(w.blocks) {
		w.blocks = slices.Grow(w.blocks, len(w.blocks)+64)
	}
	if cap(w.buf)-len(w.buf) < 256 {
		w.buf = slices.Grow(w.buf, len(w.buf)+4096) // doubled: append alone grows large slices by a quarter
	}
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
	nx, ny := int64(math.Round(x*1e6)), int64(math.Round(y*1e6))
	p.x, p.y = w.digits(nx), w.digits(ny)
	if off := max(w.off(nx, p.x), w.off(ny, p.y)); off > 0 {
		w.rounded++
		w.worst = max(w.worst, off)
	}
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

// off returns by how many nanometres a rounded coordinate stands off.
func (w *writer) off(nano, digits int64) int64 {
	back, _ := w.back.apply(uint64(max(digits, -digits)))
	return max(max(nano, -nano)-back, back-max(nano, -nano))
}

// number appends a whole number of last digits in the file's form. Digits are
// made in pairs from the right, 32 bits at a time where they suffice.
func (w *writer) number(b []byte, v int64) []byte {
	if v < 0 {
		b = append(b, '-')
		v = -v
	}
	var scratch [24]byte
	i := len(scratch)
	for v >= 1<<32 {
		i--
		scratch[i] = byte('0' + v%10)
		v /= 10
	}
	u := uint32(v)
	for u >= 10 {
		pair := u % 100
		u /= 100
		scratch[i-1] = byte('0' + pair%10)
		scratch[i-2] = byte('0' + pair/10)
		i -= 2
	}
	if u > 0 {
		i--
		scratch[i] = byte('0' + u)
	}
	for len(scratch)-i < w.least {
		i--
		scratch[i] = '0'
	}
	for len(scratch)-i > w.least && scratch[i] == '0' {
		i++ // a pair may bring one zero too many
	}
	if w.o.Zeros != DecimalPoint {
		return append(b, scratch[i:]...)
	}
	point := len(scratch) - w.o.Digits.Dec
	b = append(b, scratch[i:point]...)
	b = append(b, '.')
	return append(b, scratch[point:]...)
}

// xy appends the X and Y of a place: as a step from the one before in a program
// of steps. Both are whole last digits, so that no rounding adds up.
func (w *writer) xy(p point) {
	if w.o.Incremental {
		w.last, p = p, p.minus(w.last)
	}
	w.pair(p)
}

// pair appends X and Y as they are.
func (w *writer) pair(p point) {
	w.buf = append(w.buf, 'X')
	w.buf = w.number(w.buf, p.x)
	w.buf = append(w.buf, 'Y')
	w.buf = w.number(w.buf, p.y)
}
