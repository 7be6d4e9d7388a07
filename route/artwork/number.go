package artwork

import "strconv"

// Coordinates are kept as whole multiples of 1e-9 of the file's unit until they
// are turned into nanometres: so incremental ones add up without rounding, and
// every digit form gives the same point.
const rawDigits = 9

// maxRaw bounds a number before it is scaled, a million units: beyond it no unit gives a
// length of use, and below it no product overflows.
const maxRaw = 1_000_000 * 1_000_000_000

// nanometres turns a raw length into whole nanometres, ties away from zero.
func nanometres(raw int64, inch bool) int64 {
	if inch {
		return divide(raw*254, 10_000) // 25.4e6 nm an inch over 1e9
	}
	return divide(raw, 1000)
}

func divide(n, d int64) int64 {
	if n < 0 {
		return -((-n + d/2) / d)
	}
	return (n + d/2) / d
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// number is a coordinate as written.
type number struct {
	negative bool
	digits   []byte // without sign, point and blanks
	point    int    // digits before a decimal point, -1 where there is none
}

// scanNumber reads a number at the front of b and returns its length, 0 where
// there is none. Blanks before and within it are passed over.
func scanNumber(b []byte, buf []byte) (n number, length int) {
	n.point = -1
	n.digits = buf[:0]
	i := 0
	for i < len(b) && blank(b[i]) {
		i++
	}
	if i < len(b) && (b[i] == '+' || b[i] == '-') {
		n.negative = b[i] == '-'
		i++
	}
	for ; i < len(b); i++ {
		switch {
		case digit(b[i]):
			n.digits = append(n.digits, b[i])
		case b[i] == '.' && n.point < 0:
			n.point = len(n.digits)
		case blank(b[i]):
		default:
			return n.finish(i)
		}
	}
	return n.finish(i)
}

func (n number) finish(i int) (number, int) {
	if len(n.digits) == 0 {
		return n, 0
	}
	return n, i
}

// raw gives the number's value in 1e-9 of a unit, with false where it is out of
// all range.
func (n number) raw(integers, decimals int, trailing bool) (int64, bool) {
	shift := rawDigits - decimals
	switch {
	case n.point >= 0:
		shift = rawDigits - (len(n.digits) - n.point)
	case trailing:
		shift = rawDigits + integers - len(n.digits)
	}
	var v int64
	for _, d := range n.digits {
		if v = v*10 + int64(d-'0'); v > maxRaw {
			return 0, false
		}
	}
	for ; shift > 0; shift-- {
		if v *= 10; v > maxRaw {
			return 0, false
		}
	}
	round := int64(0)
	for ; shift < 0; shift++ {
		round = v % 10
		v /= 10
	}
	if round >= 5 {
		v++
	}
	if n.negative {
		v = -v
	}
	return v, true
}

// decimal reads a plain decimal number that fills b, such as an aperture's size.
func decimal(b []byte) (float64, bool) {
	s := string(b)
	for _, c := range b {
		if !digit(c) && c != '.' && c != '+' && c != '-' {
			return 0, false // no exponents, no Inf, no NaN
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}
