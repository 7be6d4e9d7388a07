package nc

import "math/bits"

// maxDigits is the longest number read: 18 digits always fit 64 bits.
const maxDigits = 18

// number is a signed number as written, before anything is decided about it.
type number struct {
	mant   uint64 // all digits as one whole number
	digits uint8  // how many digits are written, leading zeros included
	frac   int8   // digits after the point, -1 without a point
	neg    bool
}

// parseNumber reads [+-]digits[.digits] at b[i:], blanks before it skipped,
// and returns the place behind it. ok is false when no digit stands there or
// more than maxDigits.
func parseNumber(b []byte, i int) (n number, end int, ok bool) {
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	n.frac = -1
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		n.neg = b[i] == '-'
		i++
	}
	start := i
	var m uint64
	for i < len(b) {
		d := b[i] - '0'
		if d > 9 {
			break
		}
		m = m*10 + uint64(d)
		i++
	}
	digits := i - start
	if i < len(b) && b[i] == '.' {
		i++
		point := i
		for i < len(b) {
			d := b[i] - '0'
			if d > 9 {
				break
			}
			m = m*10 + uint64(d)
			i++
		}
		if i-point > maxDigits {
			return n, i, false
		}
		n.frac = int8(i - point)
		digits += i - point
	}
	if digits == 0 || digits > maxDigits {
		return n, i, false
	}
	n.mant, n.digits = m, uint8(digits)
	return n, i, true
}

// ratio is an exact factor mul/div.
type ratio struct{ mul, div uint64 }

// apply returns m*r rounded half up, and false beyond maxNano.
func (r ratio) apply(m uint64) (int64, bool) {
	hi, lo := bits.Mul64(m, r.mul)
	if r.div != 1 {
		var carry uint64
		lo, carry = bits.Add64(lo, r.div/2, 0)
		hi += carry
		if hi >= r.div {
			return 0, false
		}
		lo, _ = bits.Div64(hi, lo, r.div)
		hi = 0
	}
	if hi != 0 || lo > maxNano {
		return 0, false
	}
	return int64(lo), true
}

// maxNano is the largest coordinate read, 10 m in nanometres.
const maxNano = 10_000_000_000

// nanoPerUnit returns the nanometres in one of the unit.
func nanoPerUnit(u Units) uint64 {
	if u == Inches {
		return 25_400_000
	}
	return 1_000_000
}

// perPower returns unit/10^k as a reduced ratio; negative k multiplies.
func perPower(unit uint64, k int) ratio {
	r := ratio{unit, 1}
	for ; k < 0; k++ {
		r.mul *= 10
	}
	for ; k > 0; k-- {
		if r.mul%10 == 0 {
			r.mul /= 10
		} else {
			r.div *= 10
		}
	}
	return r
}

// scale turns numbers as written into nanometres for one number form.
type scale struct {
	units  Units
	zeros  Zeros
	digits Digits
	whole  [maxDigits + 1]ratio // without a point, by digits written
	point  [maxDigits + 1]ratio // with a point, by digits after it
	known  bool                 // numbers without a point can be read
}

// newScale prepares the form. With DecimalPoint a number without a point is
// in whole units; with ZerosUnknown it cannot be read.
func newScale(u Units, z Zeros, d Digits) scale {
	s := scale{units: u, zeros: z, digits: d, known: z != ZerosUnknown}
	unit := nanoPerUnit(u)
	for k := range s.point {
		s.point[k] = perPower(unit, k)
		switch z {
		case LeadingZeros:
			s.whole[k] = perPower(unit, k-d.Int)
		case TrailingZeros:
			s.whole[k] = perPower(unit, d.Dec)
		default:
			s.whole[k] = ratio{unit, 1}
		}
	}
	return s
}

// nano converts a number to nanometres; false beyond 10 m. The caller checks
// known for numbers without a point.
func (s *scale) nano(n number) (int64, bool) {
	var r *ratio
	if n.frac >= 0 {
		r = &s.point[n.frac]
	} else {
		r = &s.whole[n.digits]
	}
	var v int64
	if r.div == 1 && n.mant < 1<<31 && r.mul < 1<<31 {
		v = int64(n.mant * r.mul)
		if v > maxNano {
			return 0, false
		}
	} else {
		var ok bool
		if v, ok = r.apply(n.mant); !ok {
			return 0, false
		}
	}
	if n.neg {
		v = -v
	}
	return v, true
}

// value returns the number itself, 0.25 for ".25" and 25 for "025".
func (n number) value() float64 {
	v := float64(n.mant)
	if n.frac > 0 {
		p := 1.0
		for range n.frac {
			p *= 10 // exact up to 1e22
		}
		v /= p
	}
	if n.neg {
		v = -v
	}
	return v
}

// millimetres converts nanometres: the division is correctly rounded, so
// equal nanometres give equal millimetres on every machine.
func millimetres(nano int64) float64 { return float64(nano) / 1e6 }
