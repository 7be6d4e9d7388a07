package nc

// sample is one block of coordinates as evidence.
type sample struct {
	x, y     number
	hasX     bool
	hasY     bool
	hit      bool // drilled, not routed
	relative bool // G91, ICI,ON, or a repeat
	times    int  // of a repeat; 0 for none
	tool     int  // index into survey.tools, -1 none
}

// widthCount counts numbers of one width.
type widthCount struct{ endZero, startZero int }

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

// against counts the numbers that keep zeros which the rule drops. A number of
// the widest may be of full width, unless the form is wider still or all are
// padded to less.
func (s *survey) against(z Zeros, d Digits) int {
	zeros := func(c widthCount) int { return c.endZero }
	n := s.endZero
	if z == TrailingZeros {
		zeros = func(c widthCount) int { return c.startZero }
		n = s.startZero
	}
	if s.plain > 0 && !s.padded() && d.Int+d.Dec > s.maxWidth {
		n += zeros(s.widths[s.maxWidth])
	}
	return n
}

// padded tells that all numbers are written with the same width.
func (s *survey) padded() bool { return s.plain > 0 && s.minWidth == s.maxWidth }

// padding tells that numbers of one width show the zeros that fill them up:
// under TZ one at least must begin with a zero, or their width is chance.
func (s *survey) padding(z Zeros) bool {
	return s.padded() && (z != TrailingZeros || s.widths[s.maxWidth].startZero > 0)
}
