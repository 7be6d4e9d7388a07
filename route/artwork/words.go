package artwork

import "fmt"

// motion is what one block says about coordinates.
type motion struct {
	has   [4]bool  // X, Y, I, J
	value [4]int64 // raw
	first int      // byte of the block at which its first coordinate stands
}

func (m motion) any() bool { return m.has[0] || m.has[1] || m.has[2] || m.has[3] }

// words does what a block of words says: its G codes as they come, then its
// coordinates under its D code or the one before.
func (r *reader) words() error {
	text := r.scan.text
	if isComment(text) {
		r.comment(text)
		return nil
	}
	var m motion
	operation, operationAt := 0, 0
	for i := 0; i < len(text); {
		c := text[i]
		if blank(c) {
			i++
			continue
		}
		if c >= 'a' && c <= 'z' {
			c -= 'a' - 'A'
		}
		n, length := scanNumber(text[i+1:], r.digits[:0])
		if length == 0 && c != 'D' {
			return r.failHere(i, ErrSyntax, excerpt(text[i:]), "a code letter and its number")
		}
		switch c {
		case 'X', 'Y', 'I', 'J':
			if err := r.coordinate(&m, c, n, i); err != nil {
				return err
			}
		case 'G':
			end, err := r.general(n, i)
			if err != nil {
				return err
			}
			if end { // a comment behind other words
				length = len(text) - i - 1
			}
		case 'D':
			code, ok := n.whole()
			switch {
			case length == 0:
				return r.failHere(i, ErrSyntax, excerpt(text[i:]), "D and its number")
			case ok && code >= 10:
				r.choose(code, i)
			case ok && code >= 1 && code <= 3:
				if operation != 0 {
					return r.failHere(i, ErrSyntax, excerpt(text[i:]), "one operation in a block")
				}
				operation, operationAt = code, i
			case ok && code == 0:
				r.note("unknown-word", "D00 is not understood and not used", i)
			default:
				return r.failHere(i, ErrSyntax, excerpt(text[i:]), "D01, D02, D03 or an aperture from D10 on")
			}
		case 'M':
			if err := r.machine(n, i); err != nil {
				return err
			}
		case 'N':
			r.note("line-number", "line numbers are not used", i)
		default:
			return r.failHere(i, ErrSyntax, excerpt(text[i:]), "one of the letters G, D, M, N, X, Y, I, J")
		}
		i += 1 + length
	}
	if operation == 0 && !m.any() {
		return nil
	}
	if operation != 0 {
		if !m.any() {
			m.first = operationAt
		}
	} else if r.operation == 0 {
		r.note("operation-missing", "a point stands before any operation: taken as a move", m.first)
		operation = 2
	} else {
		operation = r.operation
		r.note("operation-modal", "an operation is not written again (deprecated)", m.first)
	}
	r.operation = operation
	return r.operate(operation, m)
}

// whole is the number's value where it is a plain whole number.
func (n number) whole() (int, bool) {
	if n.negative || n.point >= 0 || len(n.digits) > 9 || len(n.digits) == 0 {
		return 0, false
	}
	v := 0
	for _, d := range n.digits {
		v = v*10 + int(d-'0')
	}
	return v, true
}

// coordinate takes one coordinate word.
func (r *reader) coordinate(m *motion, c byte, n number, i int) error {
	var k int
	switch c {
	case 'X':
		k = 0
	case 'Y':
		k = 1
	case 'I':
		k = 2
	case 'J':
		k = 3
	}
	if !m.any() {
		m.first = i
	}
	if m.has[k] {
		return r.failHere(i, ErrSyntax, fmt.Sprintf("%c a second time", c), "each coordinate once in a block; is a '*' missing before it?")
	}
	f := r.layer.Format
	switch {
	case n.point >= 0:
		r.note("decimal-point", "a coordinate is written with a decimal point", i)
	case !r.formatSet:
		return r.failHere(i, ErrFormat, "a coordinate before any format statement", "%FSLAX..Y..*% before it")
	}
	if !r.unitsSet {
		return r.failHere(i, ErrUnits, "a coordinate before the units are told", "%MOMM*% or %MOIN*% before it")
	}
	r.used = true
	axis := k % 2
	if n.point < 0 && len(n.digits) > f.Integers[axis]+f.Decimals[axis] {
		if f.Trailing {
			return r.failHere(i, ErrNumber, fmt.Sprintf("%d digits", len(n.digits)), fmt.Sprintf("at most %d, since trailing zeros are omitted", f.Integers[axis]+f.Decimals[axis]))
		}
		r.note("long-number", "a coordinate has more digits than the format statement tells", i)
	}
	v, ok := n.raw(f.Integers[axis], f.Decimals[axis], f.Trailing)
	if !ok {
		return r.failHere(i, ErrRange, excerpt(r.scan.text[i:]), "a length within 10 m")
	}
	m.has[k], m.value[k] = true, v
	return nil
}

// general takes a G code; true: the rest of the block is a comment.
func (r *reader) general(n number, i int) (bool, error) {
	code, ok := n.whole()
	if !ok {
		return false, r.failHere(i, ErrSyntax, excerpt(r.scan.text[i:]), "a G code")
	}
	switch code {
	case 0:
		r.note("deprecated", "G00 is taken as G01", i)
		r.turn, r.modeSet = 0, true
	case 1:
		r.turn, r.modeSet = 0, true
	case 2:
		r.turn, r.modeSet = -1, true
	case 3:
		r.turn, r.modeSet = 1, true
	case 4:
		return true, nil
	case 36:
		return false, r.beginRegion(i)
	case 37:
		if r.region == nil {
			r.note("region-end", "G37 without G36", i)
			return false, nil
		}
		return false, r.endRegion()
	case 54, 55:
		r.note("deprecated", "G54 and G55 are not needed", i)
	case 70, 71:
		return false, r.units(code == 70, fmt.Sprintf("G%d", code), i)
	case 74:
		r.quadrant = quadrantSingle
	case 75:
		r.quadrant = quadrantMulti
	case 90, 91:
		r.note("deprecated", "G90 or G91 says how coordinates count", i)
		r.incremental = code == 91
	case 10, 11, 12, 60:
		return false, r.failHere(i, ErrUnsupported, fmt.Sprintf("G%d, which changes the scale", code), "coordinates of one scale")
	default:
		return false, r.failHere(i, ErrSyntax, fmt.Sprintf("G%02d", code), "a G code of the format")
	}
	return false, nil
}

// machine takes an M code.
func (r *reader) machine(n number, i int) error {
	code, ok := n.whole()
	if !ok {
		return r.failHere(i, ErrSyntax, excerpt(r.scan.text[i:]), "an M code")
	}
	switch code {
	case 2:
		r.done = true
	case 0, 30:
		r.note("deprecated", "M00 or M30 is taken as the end", i)
		r.done = true
	case 1:
		r.note("deprecated", "M01 is not used", i)
	default:
		return r.failHere(i, ErrSyntax, fmt.Sprintf("M%02d", code), "M00, M01 or M02")
	}
	return nil
}

// choose selects an aperture.
func (r *reader) choose(code, i int) {
	k, ok := r.codes[code]
	if !ok {
		r.note("aperture-undefined", "an aperture is selected that is not defined", i)
		k = -1
	}
	r.aperture = k
}
