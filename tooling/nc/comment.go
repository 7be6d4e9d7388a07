package nc

import (
	"bytes"
	"strings"
)

// comment reads what a comment says about the number form:
//
//	FILE_FORMAT=2:5
//	FORMAT={3:3/ absolute / metric / suppress leading zeros}
//	FORMAT={-:-/ absolute / inch / decimal}
//	FEED_UNIT=mm/min
//	Units: mm
//
// FEED_UNIT is ours: [Build] writes it.
func (s *survey) comment(b []byte, at statement) {
	if t := bytes.TrimSpace(b); bytes.HasPrefix(t, []byte("FEED_UNIT=")) && s.feedUnit == FeedUsual {
		for u := MetresPerMinute; u <= InchesPerMinute; u++ {
			if string(t[len("FEED_UNIT="):]) == u.String() {
				s.feedUnit = u
			}
		}
		return
	}
	if _, _, u, ok := toolComment(b); ok && u != UnitsUnknown {
		if s.sizesMixed = s.sizesMixed || s.sizesIn != UnitsUnknown && s.sizesIn != u; s.sizesMixed {
			u = UnitsUnknown
		}
		s.sizesIn = u
		return
	}
	if u := unitsComment(b); u != UnitsUnknown && s.commentUnits == UnitsUnknown {
		s.commentUnits = u
		if s.commentAt.line == 0 {
			s.commentAt = at
		}
		return
	}
	k := indexFold(b, "FORMAT")
	if k < 0 {
		return
	}
	b = b[k+len("FORMAT"):]
	b = bytes.TrimLeft(b, " \t")
	if len(b) == 0 || b[0] != '=' && b[0] != ':' {
		return
	}
	b = bytes.TrimLeft(b[1:], " \t{")
	if len(b) >= 3 && isDigit(b[0]) && (b[1] == ':' || b[1] == '.') && isDigit(b[2]) && (len(b) == 3 || !isDigit(b[3])) {
		d := Digits{int(b[0] - '0'), int(b[2] - '0')}
		if s.commentDigits == (Digits{}) && d.Int+d.Dec > 0 {
			s.commentDigits = d
		}
	}
	if indexFold(b, "decimal") >= 0 {
		s.commentDecimal = true
	}
	if indexFold(b, "metric") >= 0 {
		s.commentUnits = Millimetres
	} else if indexFold(b, "inch") >= 0 {
		s.commentUnits = Inches
	}
	if indexFold(b, "suppress") >= 0 || indexFold(b, "omit") >= 0 {
		leading, trailing := indexFold(b, "leading") >= 0, indexFold(b, "trailing") >= 0
		if leading && !trailing {
			s.commentZeros = TrailingZeros
		} else if trailing && !leading {
			s.commentZeros = LeadingZeros
		}
	}
	if s.commentAt.line == 0 {
		s.commentAt = at
	}
}

// unitsComment reads "Units: mm", "UNITS = INCH" and their kin.
func unitsComment(b []byte) Units {
	t := bytes.TrimSpace(b)
	if indexFold(t, "UNIT") != 0 {
		return UnitsUnknown
	}
	t = t[len("UNIT"):]
	if len(t) > 0 && upper(t[0]) == 'S' {
		t = t[1:]
	}
	t = bytes.TrimLeft(t, " \t")
	if len(t) == 0 || t[0] != '=' && t[0] != ':' {
		return UnitsUnknown
	}
	switch strings.ToUpper(string(bytes.TrimSpace(t[1:]))) {
	case "MM", "METRIC", "MILLIMETERS", "MILLIMETRES", "MILLIMETER", "MILLIMETRE":
		return Millimetres
	case "INCH", "INCHES", "IN":
		return Inches
	}
	return UnitsUnknown
}

// indexFold finds an ASCII word in b without regard to case.
func indexFold(b []byte, word string) int {
	for i := 0; i+len(word) <= len(b); i++ {
		k := 0
		for k < len(word) && upper(b[i+k]) == upper(word[k]) {
			k++
		}
		if k == len(word) {
			return i
		}
	}
	return -1
}

// The markings of a tool; see [ToolDef].
const (
	plated   = "plated"
	unplated = "unplated"
)

// typeComment reads "TYPE=PLATED" and its kin. A kind that is not known, such
// as MIXED, is a marking of "": what was said before holds no longer.
func typeComment(b []byte) (marking string, ok bool) {
	t := bytes.TrimSpace(b)
	if indexFold(t, "TYPE") != 0 {
		return "", false
	}
	rest := bytes.TrimLeft(t[4:], " \t")
	switch {
	case len(rest) == 0:
		return "", false
	case rest[0] == '=' || rest[0] == ':':
		marking, _ = markingWord(string(rest[1:]))
		return marking, true
	case len(rest) == len(t)-4: // another word, such as TYPES
		return "", false
	}
	return markingWord(string(rest))
}

// markingWord reads a plating word however it is spelt.
func markingWord(s string) (marking string, ok bool) {
	s = strings.ToUpper(strings.TrimSpace(s))
	s = strings.NewReplacer("_", "", "-", "", " ", "").Replace(s)
	switch s {
	case "PLATED", "PTH":
		return plated, true
	case "NONPLATED", "NPTH", "UNPLATED":
		return unplated, true
	}
	return "", false
}

// startComment reads "NON-PLATED HOLES START AT T1": tools from that number on
// are so, up to the next such comment's.
func startComment(b []byte) (first int, marking string, ok bool) {
	k := indexFold(b, "START AT T")
	if k < 0 || indexFold(b[:k], "HOLES") < 0 {
		return 0, "", false
	}
	n, _, ok := parseNumber(b, k+len("START AT T"))
	if !ok || n.frac >= 0 || n.neg || n.mant < 1 || n.mant > maxToolNumber {
		return 0, "", false
	}
	for _, w := range strings.FieldsFunc(string(b[:k]), func(r rune) bool { return r == ' ' || r == '\t' || r == '(' || r == ')' }) {
		if m, ok := markingWord(w); ok {
			marking = m
		}
	}
	return int(n.mant), marking, marking != ""
}

// wordedMarking finds a plating word among the words of a comment.
func wordedMarking(b []byte) string {
	for _, w := range strings.Fields(string(b)) {
		if m, ok := markingWord(w); ok {
			return m
		}
	}
	return ""
}

// attribute reads "#@! TF.FileFunction,Plated,1,4,PTH".
func attribute(b []byte) (name string, values []string, ok bool) {
	t := bytes.TrimSpace(b)
	if !bytes.HasPrefix(t, []byte("#@!")) {
		return "", nil, false
	}
	t = bytes.TrimRight(bytes.TrimSpace(t[3:]), "*%")
	if len(t) < 2 || t[0] != 'T' {
		return "", nil, false
	}
	parts := strings.Split(string(t), ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts[0], parts[1:], true
}

// functionOf looks for a known function among attribute values: writers
// differ in where they put it.
func functionOf(values []string) string {
	for _, v := range values {
		switch {
		case strings.EqualFold(v, "ViaDrill"):
			return "via"
		case strings.EqualFold(v, "ComponentDrill"):
			return "component"
		case strings.EqualFold(v, "MechanicalDrill"):
			return "mechanical"
		}
	}
	return ""
}

// markingOf looks for a plating word among attribute values.
func markingOf(values []string) string {
	for _, v := range values {
		if m, ok := markingWord(v); ok {
			return m
		}
	}
	return ""
}

// toolComment reads a tool size told only in a comment:
//
//	T01 = 0.8 mm      TOOL 3 DIA 0.0315 INCH      T2 C0.5      T4 32 MIL
//	Holesize 1. = 32.0 Tolerance = +0/-0 PLATED MILS Quantity = 12
//	T01 Holesize 1. = 32.0 Tolerance = +0/-0 PLATED MILS Quantity = 12
//
// The unit is UnitsUnknown when it is not said; mils come as inches.
func toolComment(b []byte) (tool int, diameter float64, u Units, ok bool) {
	i := 0
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	long := false
	switch {
	case indexFold(b[i:], "HOLESIZE") == 0:
		i += len("HOLESIZE")
		long = true
	case indexFold(b[i:], "TOOL") == 0:
		i += len("TOOL")
	case i < len(b) && upper(b[i]) == 'T':
		i++
	default:
		return 0, 0, 0, false
	}
	n, i, ok := parseNumber(b, i)
	if !ok || n.frac > 0 || n.frac == 0 && !long || n.neg || n.mant == 0 || n.mant > maxToolNumber {
		return 0, 0, 0, false
	}
	if k := len(b) - len(bytes.TrimLeft(b[i:], " \t")); !long && indexFold(b[k:], "HOLESIZE") == 0 {
		// "T01 Holesize 1. = 13.0": the size's own number is passed by.
		if _, i, ok = parseNumber(b, k+len("HOLESIZE")); !ok {
			return 0, 0, 0, false
		}
		long = true
	}
	for i < len(b) && !isDigit(b[i]) && b[i] != '.' {
		if !isLetter(b[i]) && bytes.IndexByte([]byte(" \t=:-,("), b[i]) < 0 {
			return 0, 0, 0, false
		}
		if isLetter(b[i]) {
			end := i
			for end < len(b) && isLetter(b[end]) {
				end++
			}
			switch strings.ToUpper(string(b[i:end])) {
			case "C", "D", "DIA", "DIAM", "DIAMETER", "SIZE":
			default:
				return 0, 0, 0, false
			}
			i = end
			continue
		}
		i++
	}
	d, i, ok := parseNumber(b, i)
	if !ok || d.neg || d.mant == 0 {
		return 0, 0, 0, false
	}
	diameter = d.value()
	rest := bytes.TrimLeft(b[i:], " \t")
	if long {
		for _, unit := range []string{" MM", " MIL", " IN"} {
			if k := indexFold(b[i:], unit); k >= 0 {
				rest = b[i+k+1:]
				break
			}
		}
	}
	switch {
	case indexFold(rest, "MM") == 0:
		u = Millimetres
	case indexFold(rest, "MIL") == 0:
		u, diameter = Inches, diameter/1000
	case indexFold(rest, "IN") == 0 || len(rest) > 0 && rest[0] == '"':
		u = Inches
	case len(rest) > 0 && isLetter(rest[0]):
		return 0, 0, 0, false
	case u == UnitsUnknown && d.frac < 0:
		return 0, 0, 0, false
	}
	return int(n.mant), diameter, u, true
}
