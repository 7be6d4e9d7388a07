package tooling

import (
	"strconv"

	"github.com/paulmach/orb"
)

// Validation collects [InputError]s under JSON paths while a value is
// examined. It is exported for the other packages of this module whose inputs
// come from JSON. The zero value is ready for use.
type Validation struct {
	File string
	Errs InputErrors
}

// Err is nil when nothing was wrong.
func (v *Validation) Err() error { return v.Errs.Err() }

// Add notes one error at a JSON path.
func (v *Validation) Add(path string, err error, found, expected string) {
	v.Errs = append(v.Errs, &InputError{
		Source: Source{File: v.File, Path: path}, Found: found, Expected: expected, Err: err,
	})
}

// Within wants lo <= x <= hi; NaN and infinities fail.
func (v *Validation) Within(path string, x, lo, hi float64, unit string) {
	if !(x >= lo && x <= hi) {
		v.Add(path, ErrValue, number(x), number(lo)+" to "+number(hi)+" "+unit)
	}
}

// Count wants lo <= n <= hi.
func (v *Validation) Count(path string, n, lo, hi int) {
	if n < lo || n > hi {
		v.Add(path, ErrValue, strconv.Itoa(n), strconv.Itoa(lo)+" to "+strconv.Itoa(hi))
	}
}

// Point wants both coordinates within [MaxLength] mm.
func (v *Validation) Point(path string, p orb.Point) {
	if !InRange(p[0]) || !InRange(p[1]) {
		v.Add(path, ErrValue, number(p[0])+", "+number(p[1]), "coordinates within 10 m")
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

func index(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }
