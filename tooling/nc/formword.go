package nc

import "bytes"

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
