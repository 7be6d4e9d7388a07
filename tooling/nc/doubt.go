package nc

import (
	"fmt"
	"strings"
)

// toolDecimals returns the most decimals in the tool table, 0 without a point.
func (s *survey) toolDecimals() int {
	dec := 0
	for _, t := range s.tools {
		dec = max(dec, int(t.diameter.frac))
	}
	return dec
}

// Shares and sizes from which a settled form is called odd.
const (
	doubtTools   = 0.5
	doubtOverlap = 0.25
	doubtLarge   = 1500 // mm
	doubtSmall   = 4    // mm, with doubtHits hits or more
	doubtHits    = 10
	mostDecimals = 5 // a tool table with more is exact rather than in the file's digits
)

// mended says what to do where the word for the units may be wrong.
func (s *survey) mended(u Units) string {
	if !s.otherUnits(u) {
		return ""
	}
	other := "inch"
	if u == Inches {
		other = "mm"
	}
	return " and none would be in " + other + ": the word for the units may be wrong"
}

// doubt leaves a note when the settled form, stated or not, gives tools, sizes
// or overlaps that hardly any board has, or keeps zeros that its rule drops: a
// word of the header may be wrong.
func (f *form) doubt(s *survey) {
	var why []string
	sc := newScale(f.units, f.zeros, f.digits)
	diameters := s.diameters(&sc)
	if odd, absurd := oddDiameters(diameters); absurd || odd > doubtTools {
		why = append(why, fmt.Sprintf("%.0f %% of the tools are under 0.08 or over 6.6 mm", float64(odd*100))+s.mended(f.units))
	}
	if hits, box, ok := s.positions(&sc, diameters); ok && len(hits) >= 4 {
		side := max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
		if side > doubtLarge || side < doubtSmall && len(hits) >= doubtHits {
			why = append(why, fmt.Sprintf("the hits span %.3f mm", side))
		}
		if _, overlap := neighbours(hits); overlap > doubtOverlap {
			why = append(why, fmt.Sprintf("%.0f %% of the hits overlap another hole", float64(overlap*100)))
		}
	}
	against := 0
	switch {
	case f.zeros == LeadingZeros:
		against = s.endZero
	case f.zeros == TrailingZeros:
		against = s.startZero
	}
	if against >= 3 {
		why = append(why, fmt.Sprintf("%d numbers keep zeros that %v drops", against, f.zeros))
	}
	if s.points > 0 && s.plain > 0 && f.zeros != DecimalPoint {
		why = append(why, fmt.Sprintf("%d numbers have a point and %d have none and are read as %v %v", s.points, s.plain, f.zeros, f.digits))
	}
	if f.digitsHow == Stated && s.plain > 0 && f.digits != usualDigits(f.units) {
		if dec := s.toolDecimals(); dec > 0 && dec <= mostDecimals && dec != f.digits.Dec {
			why = append(why, fmt.Sprintf("the tool table has %d decimals", dec))
		}
	}
	if len(why) > 0 {
		at := s.place()
		f.notes = append(f.notes, Note{Rule: "odd-form", Line: at.line, Column: at.col, Count: 1,
			Detail: fmt.Sprintf("read as %v %v %v: %s", f.units, f.zeros, f.digits, strings.Join(why, ", "))})
	}
}
