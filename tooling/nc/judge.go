package nc

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// judge weighs every reading that is open and picks the one that clearly wins.
func (f form) judge(s *survey, o *ReadOptions) (form, error) {
	allUnits := []Units{f.units}
	if f.units == UnitsUnknown {
		allUnits = []Units{Millimetres, Inches}
	}
	allZeros := []Zeros{f.zeros}
	if f.zeros == ZerosUnknown && s.plain > 0 {
		allZeros = []Zeros{LeadingZeros, TrailingZeros}
		if s.points > 0 {
			allZeros = append(allZeros, DecimalPoint)
		}
	} else if f.zerosHow == Stated && f.zeros != DecimalPoint && f.digits == (Digits{}) && s.points > 0 && s.plain > 0 {
		// A word on zeros that some numbers do not heed: the others may not either.
		allZeros = append(allZeros, DecimalPoint)
	}
	var kept, dropped []Candidate
	for _, u := range allUnits {
		for _, z := range allZeros {
			forms := []Digits{f.digits}
			if z == DecimalPoint || z == ZerosUnknown {
				forms = []Digits{{}}
			} else if f.digits == (Digits{}) {
				forms = digitForms(u)
			}
			for _, d := range forms {
				c := Candidate{Units: u, Zeros: z, Digits: d}
				if !s.weigh(&c, o, len(allUnits) > 1, len(forms) > 1) {
					dropped = append(dropped, c)
					continue
				}
				// Of forms of one effect the one that is better founded stands for all.
				k := slices.IndexFunc(kept, func(k Candidate) bool { return s.same(k, c) })
				switch {
				case k < 0:
					kept = append(kept, c)
				case c.Score > kept[k].Score:
					kept[k] = c
				}
			}
		}
	}
	byScore := func(a, b Candidate) int { return cmp.Compare(b.Score, a.Score) }
	slices.SortStableFunc(kept, byScore)
	if len(kept) == 0 {
		slices.SortStableFunc(dropped, byScore)
		return f, f.ambiguous(s, o, dropped)
	}
	if kept[0].Score < 0 || len(kept) > 1 && kept[0].Score-kept[1].Score < winMargin {
		return f, f.ambiguous(s, o, kept)
	}
	best := kept[0]
	var what []string
	if f.unitsHow == HowUnknown {
		f.units, f.unitsHow = best.Units, Judged
		what = append(what, "units "+best.Units.String())
	}
	if (f.zerosHow == HowUnknown || f.zeros != best.Zeros) && s.plain > 0 {
		f.zeros, f.zerosHow = best.Zeros, Judged
		what = append(what, "zeros "+best.Zeros.String())
	}
	if f.digitsHow == HowUnknown && best.Digits != (Digits{}) {
		f.digits, f.digitsHow = best.Digits, Judged
		what = append(what, "digits "+best.Digits.String())
	}
	detail := fmt.Sprintf("%s judged: %v", strings.Join(what, ", "), best)
	if len(kept) > 1 {
		detail += "; next: " + kept[1].String()
	} else {
		detail += "; no other reading is left"
	}
	f.notes = append(f.notes, Note{Rule: "judged-form", Line: s.place().line, Column: s.place().col, Count: 1, Detail: detail})
	return f, nil
}

// place is where the meaning first hangs on the form.
func (s *survey) place() statement {
	switch {
	case s.first.line != 0:
		return s.first
	case s.firstAny.line != 0:
		return s.firstAny
	}
	return statement{line: 1, col: 1}
}

func (f *form) ambiguous(s *survey, o *ReadOptions, cs []Candidate) error {
	cause := ErrDigits
	for _, c := range cs {
		if c.Zeros != cs[0].Zeros {
			cause = ErrZeros
		}
	}
	if f.units == UnitsUnknown {
		cause = ErrUnits
	}
	at := s.place()
	return &AmbiguousError{File: o.File, Line: at.line, Column: at.col, Candidates: cs, Err: cause}
}
