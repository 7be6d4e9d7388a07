package nc

import "bytes"

// windowBytes is how much of a file is looked at before its form is decided.
// Both doors look at the same bytes, so they decide alike.
const windowBytes = 1 << 20

// maxSample bounds the coordinates kept as evidence.
const maxSample = 4096

// sample is one block of coordinates as evidence.
type sample struct {
	x, y     number
	hasX     bool
	hasY     bool
	hit      bool // drilled, not routed
	relative bool // G91 or ICI,ON
	tool     int  // index into survey.tools, -1 none
}

// surveyedTool is a tool definition as written.
type surveyedTool struct {
	number   int
	diameter number
}

// statement is something the file says about its form.
type statement struct {
	line, col int // 1-based; 0 when not said
	comment   bool
}

// survey is what the first part of a file says about itself.
type survey struct {
	headerless bool // no M48 before the first coordinates
	tableEnds  bool // headerless, yet "%" or M95 ends a tool table

	units    Units
	unitsAt  statement
	zeros    Zeros
	zerosAt  statement
	digits   Digits
	digitsAt statement
	clash    *SyntaxError // two statements of the file that cannot both hold

	commentZeros   Zeros // what a FORMAT comment says
	commentDigits  Digits
	commentUnits   Units
	commentDecimal bool
	commentAt      statement
	feedUnit       FeedUnit // what a FEED_UNIT comment says

	tools   []surveyedTool
	samples []sample

	points    int // numbers with a point
	plain     int // numbers without one, 0 not counted
	minWidth  int // of those: digits written
	maxWidth  int
	endZero   int // of those: end with 0, narrower than the widest
	startZero int // of those: begin with 0, narrower than the widest
	widths    [maxDigits + 1]widthCount
	first     statement // first number without a point
	firstAny  statement // first coordinate
}

// widthCount counts numbers of one width.
type widthCount struct{ all, endZero, startZero int }

// look surveys the window. last tells that the window is the whole file.
func look(window []byte, last bool) survey {
	s := survey{minWidth: maxDigits + 1}
	var w words
	line := 0
	tool := -1
	rout, relative, inHeader, seenM48, sawTable := false, false, false, false, false
	for off := bomLength(window); off < len(window); {
		n, skip, ok := cutLine(window[off:], last)
		if !ok {
			break
		}
		b := window[off : off+n]
		off += skip
		line++
		if w.lex(b) != nil {
			continue
		}
		for _, c := range w.comments[:w.ncomment] {
			s.comment(b[c.from:c.to], statement{line, c.from, true})
		}
		if w.percent {
			if !seenM48 && sawTable && s.firstAny.line == 0 {
				s.tableEnds = true
			}
			inHeader = false
			continue
		}
		if w.ident != nil {
			if s.firstAny.line == 0 {
				s.word(w.ident, statement{line, w.identCol + 1, false})
			}
			if bytes.EqualFold(w.ident, []byte("ICI,ON")) {
				relative = true
			}
			if bytes.EqualFold(w.ident, []byte("ICI,OFF")) || bytes.EqualFold(w.ident, []byte("ICI")) {
				relative = false
			}
			continue
		}
		skipCoordinates := w.has('R') || w.lookAlike() != 0
		for _, g := range w.g[:w.ng] {
			switch g.num {
			case 0, 1, 2, 3:
				rout = true
			case 5, 81:
				rout = false
			case 90:
				relative = false
			case 91:
				relative = true
			case 4, 93:
				skipCoordinates = true
			}
		}
		ended := false
		for _, m := range w.m[:w.nm] {
			switch m.num {
			case 48:
				if s.firstAny.line == 0 {
					seenM48, inHeader = true, true
				}
			case 95:
				if !seenM48 && sawTable && s.firstAny.line == 0 {
					s.tableEnds = true
				}
				inHeader = false
			case 71, 72:
				if s.firstAny.line == 0 {
					u := Millimetres
					if m.num == 72 {
						u = Inches
					}
					s.setUnits(u, statement{line, m.col + 1, false})
				}
			case 2:
				skipCoordinates = true
			case 30:
				ended = true
			}
		}
		if w.has('T') {
			tool = s.tool(w.get('T'), w.has('C'), w.get('C'), inHeader)
			sawTable = sawTable || w.has('C')
		}
		if ended {
			break
		}
		if skipCoordinates {
			continue
		}
		if w.has('X') || w.has('Y') {
			s.coordinates(sample{w.val['X'-'A'], w.val['Y'-'A'], w.has('X'), w.has('Y'),
				!rout && w.canned.num == 0, relative, tool}, line, &w)
		}
		if w.canned.num == 85 && (w.has2('X') || w.has2('Y')) {
			s.coordinates(sample{w.val2['X'-'A'], w.val2['Y'-'A'], w.has2('X'), w.has2('Y'), false, relative, tool}, line, &w)
		}
	}
	s.headerless = !seenM48
	s.count()
	return s
}

// tool records a definition or selection and returns its index.
func (s *survey) tool(t number, defined bool, c number, header bool) int {
	k := -1
	for i := range s.tools {
		if s.tools[i].number == int(t.mant) {
			k = i
		}
	}
	if k < 0 && t.digits >= 4 && !defined {
		for i := range s.tools {
			if s.tools[i].number == int(t.mant/100) {
				k = i
			}
		}
	}
	if defined && k < 0 && len(s.tools) < DefaultMaxTools && t.mant < 1<<20 {
		s.tools = append(s.tools, surveyedTool{int(t.mant), c})
		k = len(s.tools) - 1
	}
	if header {
		return -1
	}
	return k
}

// coordinates counts one block as evidence.
func (s *survey) coordinates(p sample, line int, w *words) {
	if s.firstAny.line == 0 {
		col := w.col['X'-'A']
		if !w.has('X') {
			col = w.col['Y'-'A']
		}
		s.firstAny = statement{line, col + 1, false}
	}
	if p.hasX {
		s.number(p.x, line, w.col['X'-'A'])
	}
	if p.hasY {
		s.number(p.y, line, w.col['Y'-'A'])
	}
	if len(s.samples) < maxSample {
		s.samples = append(s.samples, p)
	}
}

// number counts how one coordinate is written.
func (s *survey) number(n number, line, col int) {
	if n.frac >= 0 {
		s.points++
		return
	}
	if n.mant == 0 {
		return
	}
	if s.plain == 0 {
		s.first = statement{line, col + 1, false}
	}
	s.plain++
	d := int(n.digits)
	s.minWidth, s.maxWidth = min(s.minWidth, d), max(s.maxWidth, d)
	s.widths[d].all++
	if n.mant%10 == 0 {
		s.widths[d].endZero++
	}
	if n.digits > significant(n.mant) {
		s.widths[d].startZero++
	}
}

// significant returns the digits of m without leading zeros.
func significant(m uint64) uint8 {
	d := uint8(0)
	for ; m > 0; m /= 10 {
		d++
	}
	return d
}

// count sums the evidence over the widths: a number of full width may carry
// zeros at either end under either rule, so only narrower ones tell.
func (s *survey) count() {
	for d := s.minWidth; d < s.maxWidth; d++ {
		s.endZero += s.widths[d].endZero
		s.startZero += s.widths[d].startZero
	}
}

// padded tells that all numbers are written with the same width.
func (s *survey) padded() bool { return s.plain > 0 && s.minWidth == s.maxWidth }

func (s *survey) setUnits(u Units, at statement) {
	if s.unitsAt.line != 0 && s.units != u {
		if s.clash == nil {
			s.clash = &SyntaxError{Line: at.line, Column: at.col, Err: ErrContradiction, Found: u.String(),
				Expected: s.units.String() + ", as said before"}
		}
		return
	}
	if s.unitsAt.line == 0 {
		s.units, s.unitsAt = u, at
	}
}

// word reads a units word with what hangs on it: INCH, METRIC, LZ, TZ, 000.000.
func (s *survey) word(b []byte, at statement) {
	for i := 0; len(b) > 0; i++ {
		var part []byte
		if k := bytes.IndexByte(b, ','); k >= 0 {
			part, b = b[:k], b[k+1:]
		} else {
			part, b = b, nil
		}
		part = bytes.TrimSpace(part)
		u, z, d := formWord(part)
		switch {
		case i == 0 && u == UnitsUnknown:
			return
		case u != UnitsUnknown:
			s.setUnits(u, at)
		case z != ZerosUnknown:
			if s.zerosAt.line != 0 && s.zeros != z && s.clash == nil {
				s.clash = &SyntaxError{Line: at.line, Column: at.col, Err: ErrContradiction, Found: z.String(),
					Expected: s.zeros.String() + ", as said before"}
			}
			if s.zerosAt.line == 0 {
				s.zeros, s.zerosAt = z, at
			}
		case d != (Digits{}):
			if s.digitsAt.line == 0 {
				s.digits, s.digitsAt = d, at
			}
		}
	}
}

// formWord reads one part of a units word.
func formWord(part []byte) (Units, Zeros, Digits) {
	switch {
	case bytes.EqualFold(part, []byte("INCH")):
		return Inches, 0, Digits{}
	case bytes.EqualFold(part, []byte("METRIC")):
		return Millimetres, 0, Digits{}
	case bytes.EqualFold(part, []byte("LZ")):
		return 0, LeadingZeros, Digits{}
	case bytes.EqualFold(part, []byte("TZ")):
		return 0, TrailingZeros, Digits{}
	}
	point := bytes.IndexByte(part, '.')
	if point <= 0 || point == len(part)-1 || len(part) > maxDigits {
		return 0, 0, Digits{}
	}
	for i, c := range part {
		if i != point && c != '0' {
			return 0, 0, Digits{}
		}
	}
	return 0, 0, Digits{point, len(part) - point - 1}
}
