package nc

import (
	"fmt"
)

// form is how a file is read and how that came to be known.
type form struct {
	units     Units
	unitsHow  How
	zeros     Zeros
	zerosHow  How
	digits    Digits
	digitsHow How
	feedUnit  FeedUnit
	decimal   bool // every number looked at has its point
	pointed   bool // every number looked at has its point, nothing says how to read one without
	headered  bool // the file begins in its header though M48 is missing
	notes     []Note
}

// usualDigits returns the form meant when none is stated.
func usualDigits(u Units) Digits {
	if u == Inches {
		return Digits{2, 4}
	}
	return Digits{3, 3}
}

// digitForms lists the number forms met in the trade, the usual one first.
func digitForms(u Units) []Digits {
	if u == Inches {
		return []Digits{{2, 4}, {2, 3}, {2, 5}, {3, 4}, {3, 5}}
	}
	return []Digits{{3, 3}, {3, 2}, {4, 2}, {4, 3}, {4, 4}, {2, 4}}
}

// told merges what the caller and the file say about one fact.
func told[T comparable](said T, saidAt statement, given T, force bool, what string, notes *[]Note) (T, How) {
	var none T
	if given != none && said != none && given != said {
		follow := "the file"
		if force {
			follow = "the caller"
		}
		*notes = append(*notes, Note{Rule: "contradiction", Line: saidAt.line, Column: saidAt.col, Count: 1,
			Detail: fmt.Sprintf("%s: the file says %v, the caller %v; %s is followed", what, said, given, follow)})
	}
	switch {
	case given != none && (force || said == none):
		return given, Given
	case said != none:
		return said, Stated
	}
	return none, HowUnknown
}

// decide settles the form of a file from what it says, what the caller says
// and the evidence of its numbers.
func decide(s *survey, o *ReadOptions) (form, error) {
	if o.Units > Inches || o.Zeros > DecimalPoint || o.FeedUnit > InchesPerMinute {
		return form{}, &SyntaxError{File: o.File, Line: 1, Column: 1, Err: ErrUnits, Found: "an option with no such value", Expected: "one of the constants"}
	}
	f := form{headered: s.headerless && s.tableEnds, feedUnit: s.feedUnit}
	if o.FeedUnit != FeedUsual {
		f.feedUnit = o.FeedUnit
	}
	if s.clash != nil && !(o.Force && o.Units != UnitsUnknown) {
		e := *s.clash
		e.File = o.File
		return f, &e
	}
	units, unitsAt := s.units, s.unitsAt
	if units == UnitsUnknown {
		units, unitsAt = s.commentUnits, s.commentAt
	} else if s.commentUnits != UnitsUnknown && s.commentUnits != units {
		f.disagrees(s.commentAt, "units", s.commentUnits, units)
	}
	zeros, zerosAt := s.zeros, s.zerosAt
	if zeros == ZerosUnknown {
		zeros, zerosAt = s.commentZeros, s.commentAt
		if s.commentDecimal {
			zeros = DecimalPoint
		}
	} else if s.commentZeros != ZerosUnknown && s.commentZeros != zeros {
		f.disagrees(s.commentAt, "zeros", s.commentZeros, zeros)
	}
	digits, digitsAt := s.digits, s.digitsAt
	if digits == (Digits{}) {
		digits, digitsAt = s.commentDigits, s.commentAt
	} else if s.commentDigits != (Digits{}) && s.commentDigits != digits {
		f.disagrees(s.commentAt, "digits", s.commentDigits, digits)
	}
	f.units, f.unitsHow = told(units, unitsAt, o.Units, o.Force, "units", &f.notes)
	f.zeros, f.zerosHow = told(zeros, zerosAt, o.Zeros, o.Force, "zeros", &f.notes)
	f.digits, f.digitsHow = told(digits, digitsAt, o.Digits, o.Force, "digits", &f.notes)
	if f.digits.Int < 0 || f.digits.Dec < 0 || f.digits.Int+f.digits.Dec > maxDigits {
		return f, &SyntaxError{File: o.File, Line: 1, Column: 1, Err: ErrDigits, Found: f.digits.String(),
			Expected: fmt.Sprintf("at most %d digits in all", maxDigits)}
	}
	if s.plain == 0 && s.points > 0 {
		// Every number carries its point: nothing hangs on zeros and digits, but
		// a later number without one is read as they say.
		if f.zerosHow == HowUnknown {
			f.zeros, f.pointed = DecimalPoint, true
		}
		f.zerosHow, f.decimal = Stated, true
	}
	openZeros := s.plain > 0 && f.zeros == ZerosUnknown
	openDigits := s.plain > 0 && f.zeros != DecimalPoint && f.digits == (Digits{})
	openUnits := f.units == UnitsUnknown && (len(s.tools) > 0 || s.plain+s.points > 0)
	if openZeros || openDigits || openUnits {
		var err error
		if f, err = f.judge(s, o); err != nil {
			return f, err
		}
	}
	f.doubt(s)
	return f, nil
}

func (f *form) disagrees(at statement, what string, comment, word any) {
	f.notes = append(f.notes, Note{Rule: "contradiction", Line: at.line, Column: at.col, Count: 1,
		Detail: fmt.Sprintf("%s: a comment says %v, the header %v; the header is followed", what, comment, word)})
}
