package nc

import "bytes"

// windowBytes is how much of a file is looked at before its form is decided.
// Both doors look at the same bytes, so they decide alike.
const windowBytes = 1 << 20

// maxSample bounds the coordinates kept as evidence.
const maxSample = 4096

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
	sizesIn        Units    // unit of the tool sizes told in comments
	sizesMixed     bool     // they are told in both

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
			if w.endsFirst() {
				break
			}
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
		skipCoordinates := w.lookAlike() != 0
		times := 0
		if w.has('R') {
			times = int(min(w.get('R').mant, maxSample))
			skipCoordinates = skipCoordinates || times == 0
		}
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
				!rout && w.canned.num == 0, relative || times > 0, times, tool}, line, &w)
		}
		if w.canned.num == 85 && (w.has2('X') || w.has2('Y')) {
			s.coordinates(sample{w.val2['X'-'A'], w.val2['Y'-'A'], w.has2('X'), w.has2('Y'), false, relative, 0, tool}, line, &w)
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
