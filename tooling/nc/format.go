package nc

import "fmt"

// Units is the length unit a file is written in.
type Units uint8

// The units of a file. The zero value means not known, or in options: not asked for.
const (
	UnitsUnknown Units = iota
	Millimetres
	Inches
)

// String returns "mm", "inch" or "unknown".
func (u Units) String() string {
	switch u {
	case Millimetres:
		return "mm"
	case Inches:
		return "inch"
	}
	return "unknown"
}

// Zeros says which zeros of a coordinate without a decimal point are written.
type Zeros uint8

// The zero forms. LeadingZeros (the word LZ) keeps leading zeros and may drop
// trailing ones; TrailingZeros (TZ) the other way round; DecimalPoint means
// that coordinates carry a point and no rule is needed.
const (
	ZerosUnknown Zeros = iota
	LeadingZeros
	TrailingZeros
	DecimalPoint
)

// String returns "LZ", "TZ", "decimal" or "unknown".
func (z Zeros) String() string {
	switch z {
	case LeadingZeros:
		return "LZ"
	case TrailingZeros:
		return "TZ"
	case DecimalPoint:
		return "decimal"
	}
	return "unknown"
}

// Digits is a number form: how many digits stand before and after the point
// that is not written. The zero value means not known.
type Digits struct {
	Int int // digits before the point
	Dec int // digits after it
}

// String returns the form as "2:4", or "" when it is not known.
func (d Digits) String() string {
	if d == (Digits{}) {
		return ""
	}
	return fmt.Sprintf("%d:%d", d.Int, d.Dec)
}

// How says where a fact about a file comes from.
type How uint8

// The origins of a fact, from none to the caller's word.
const (
	HowUnknown How = iota // nothing needed it, or nothing told it
	Stated                // the file says so
	Judged                // decided from the evidence in the file; a Note says why
	Given                 // the caller said so
)

// String returns "stated", "judged", "given" or "unknown".
func (h How) String() string {
	switch h {
	case Stated:
		return "stated"
	case Judged:
		return "judged"
	case Given:
		return "given"
	}
	return "unknown"
}

// FeedUnit is the unit of the F and B words of a tool table.
type FeedUnit uint8

// The feed units. Controls differ, so the usual one for the file's units is
// an assumption: m/min in metric files, inch/min in inch files.
const (
	FeedUsual FeedUnit = iota
	MetresPerMinute
	MillimetresPerMinute
	MillimetresPerSecond
	InchesPerMinute
)

// String returns the unit as written in header comments, such as "m/min".
func (f FeedUnit) String() string {
	switch f {
	case MetresPerMinute:
		return "m/min"
	case MillimetresPerMinute:
		return "mm/min"
	case MillimetresPerSecond:
		return "mm/s"
	case InchesPerMinute:
		return "inch/min"
	}
	return "usual"
}

// resolve replaces FeedUsual by the unit usual for files in u.
func (f FeedUnit) resolve(u Units) FeedUnit {
	if f != FeedUsual {
		return f
	}
	if u == Inches {
		return InchesPerMinute
	}
	return MetresPerMinute
}

// factor returns the mm/min in one of the unit.
func (f FeedUnit) factor() float64 {
	switch f {
	case MetresPerMinute:
		return 1000
	case MillimetresPerSecond:
		return 60
	case InchesPerMinute:
		return 25.4
	}
	return 1
}
