package artwork

import "fmt"

// maxDigits is the most digits before or behind the point that are read; the
// format allows six.
const maxDigits = 7

// format reads the rest of a format statement, in whatever order its parts
// come: L, T or D for the zeros, A or I for the counting, N, G, D and M with
// the digits of codes, X and Y with two digits each.
func (r *reader) format(b []byte, at int) error {
	f := Format{Inch: r.layer.Format.Inch}
	zeros, axes, counting := false, [2]bool{}, false
	incremental := false
	for i := 0; i < len(b); {
		c := b[i]
		i++
		n := i
		for n < len(b) && (digit(b[n]) || blank(b[n])) {
			n++
		}
		digits := compact(b[i:n])
		switch {
		case blank(c):
		case (c == 'L' || c == 'T') && digits == "":
			zeros, f.Trailing = true, c == 'T'
		case c == 'D' && digits == "":
			zeros = true // no zeros omitted: reads as leading ones omitted
		case (c == 'A' || c == 'I') && digits == "":
			counting, incremental = true, c == 'I'
		case c == 'N' || c == 'G' || c == 'D' || c == 'M' || c == 'Z':
		case c == 'X' || c == 'Y':
			k := int(c - 'X')
			if len(digits) != 2 || digits[0] > '0'+maxDigits || digits[1] > '0'+maxDigits || axes[k] {
				return r.failHere(at+i-1, ErrFormat, excerpt(b[i-1:n]), fmt.Sprintf("%c once with two digits of at most %d", c, maxDigits))
			}
			axes[k] = true
			f.Integers[k], f.Decimals[k] = int(digits[0]-'0'), int(digits[1]-'0')
			if f.Integers[k]+f.Decimals[k] == 0 {
				return r.failHere(at+i-1, ErrFormat, excerpt(b[i-1:n]), "at least one digit")
			}
		default:
			return r.failHere(at+i-1, ErrFormat, excerpt(b[i-1:]), "L or T, A or I, X and Y with two digits")
		}
		i = n
	}
	if !axes[0] || !axes[1] {
		return r.failHere(0, ErrFormat, excerpt(r.scan.text), "the digits of X and Y")
	}
	f.Incremental = incremental
	if r.formatSet && f != r.layer.Format {
		if r.used {
			return r.failHere(0, ErrFormat, excerpt(r.scan.text)+" after coordinates in another form", "one format statement")
		}
		r.note("format-again", "a second format statement says something else: the last one counts", 0)
	}
	if !zeros {
		r.note("zeros-missing", "the format statement does not say which zeros are omitted: read as leading ones", 0)
	}
	if !counting {
		r.note("counting-missing", "the format statement does not say absolute or incremental: read as absolute", 0)
	}
	if f.Integers[0] != f.Integers[1] || f.Decimals[0] != f.Decimals[1] {
		r.note("format-uneven", "X and Y have different digits", 0)
	}
	if !usualDigits(f) {
		r.note("format-unusual", "digits other than 2:3 to 4:6 are taken as they are said", 0)
	}
	if f.Incremental || f.Trailing {
		r.note("deprecated", "trailing zeros omitted and incremental coordinates are deprecated", 0)
	}
	r.formatSet, r.layer.Format, r.incremental = true, f, f.Incremental
	return nil
}

// usualDigits tells whether a format has the digits that are in use: 2 to 4 before the
// point and 3 to 6 behind it.
func usualDigits(f Format) bool {
	for axis := range 2 {
		if f.Integers[axis] < 2 || f.Integers[axis] > 4 || f.Decimals[axis] < 3 || f.Decimals[axis] > 6 {
			return false
		}
	}
	return true
}

// units takes MO, or G70 and G71.
func (r *reader) units(inch bool, word string, at int) error {
	if r.unitsSet && inch != r.layer.Format.Inch {
		return r.failHere(at, ErrUnits, fmt.Sprintf("%s after %s", word, r.unitsBy), "one unit in a file")
	}
	if word[0] == 'G' {
		r.note("deprecated", "G70 and G71 tell the units", at)
	}
	if !r.unitsSet {
		r.unitsBy = word
	}
	r.unitsSet, r.layer.Format.Inch = true, inch
	for _, k := range r.unscaled {
		if !r.layer.Apertures[k].scale(inch) {
			return r.failHere(at, ErrAperture, "an aperture beyond 10 m", "a size")
		}
	}
	r.unscaled = nil
	return nil
}
