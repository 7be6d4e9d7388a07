package nc

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// The points of a judgement. They are a house rule, tried on published boards
// with their statements taken out; a reading is picked only when it leads the
// next by winMargin. The usual form wins against evidence worth up to two
// points, zeros at the wrong end or overlapping holes beat it.
const (
	winMargin    = 3.0
	usualForm    = 5.0  // inch 2:4, metric 3:3: what is meant when nothing is said
	paddedForm   = 4.0  // every number is written with exactly the digits of the form
	toolForm     = 3.0  // the tool table is padded to the same digits
	toolDecimals = 0.5  // the tool table has as many decimals
	wrongZeros   = 10.0 // three or more numbers keep the zeros that the rule drops
	fewZeros     = 4.0  // one or two do
	overlapping  = 8.0  // times the share of hits that overlap another hole
	mixedPoints  = 9.0  // others have their point, and nothing says how to read one without
	sizesUnit    = 4.0  // comments give the tool sizes in the unit
	pitchPoints  = 2.0  // times the share of neighbours a usual pitch apart
	boardSize    = 2.0  // largest side from 8 to 500 mm
	oddSize      = 3.0  // under 4 or over 700 mm
	hugeSize     = 6.0  // over 1500 mm
	oddTools     = 10.0 // times the share of tools outside 0.08 to 6.6 mm
	noSense      = 20.0 // cannot be meant: more than all that speaks for a reading
)

// same tells that two readings give the same coordinates.
func (s *survey) same(a, b Candidate) bool {
	return a.Units == b.Units && s.power(a) == s.power(b)
}

// power tells what a form makes of the numbers: a value that is equal for
// forms of equal effect.
func (s *survey) power(c Candidate) [2]int {
	switch {
	case c.Zeros == TrailingZeros:
		return [2]int{1, c.Digits.Dec}
	case c.Zeros == LeadingZeros && s.padded():
		return [2]int{1, s.maxWidth - c.Digits.Int}
	case c.Zeros == LeadingZeros:
		return [2]int{2, c.Digits.Int}
	}
	return [2]int{3, 0}
}

// weigh fills in box, shares, score and reasons of a reading; false when it
// makes no sense. Odd tool sizes count where another unit is possible or would
// mend them: else they are odd in every reading and tell nothing. A reading that
// is less than nothing is not picked, see judge.
func (s *survey) weigh(c *Candidate, o *ReadOptions, openUnits, openDigits bool) bool {
	var why []string
	add := func(points float64, reason string) {
		c.Score += points
		why = append(why, fmt.Sprintf("%+.1f %s", points, reason))
	}
	ok := true
	drop := func(reason string) {
		ok = false
		c.Score -= noSense
		why = append(why, "no: "+reason)
	}
	defer func() { c.Why = strings.Join(why, ", ") }()

	d := c.Digits
	if c.Zeros == LeadingZeros || c.Zeros == TrailingZeros {
		if openDigits {
			if s.maxWidth > d.Int+d.Dec {
				drop(fmt.Sprintf("numbers of %d digits", s.maxWidth))
			}
			usual := usualDigits(c.Units)
			if d == usual || c.Zeros == TrailingZeros && d.Dec == usual.Dec || c.Zeros == LeadingZeros && d.Int == usual.Int {
				add(usualForm, "usual form")
			}
			s.weighToolForm(d, add)
		}
		if s.padding(c.Zeros) && d.Int+d.Dec == s.maxWidth {
			add(paddedForm, "padded to the form")
		}
		against := s.against(c.Zeros, d)
		if against >= 3 {
			add(-wrongZeros, fmt.Sprintf("%d numbers keep zeros that %v drops", against, c.Zeros))
		} else if against > 0 {
			add(-fewZeros, fmt.Sprintf("%d numbers keep zeros that %v drops", against, c.Zeros))
		}
	}
	if c.Zeros == DecimalPoint && s.plain > 0 && s.points >= s.plain {
		add(mixedPoints, fmt.Sprintf("%d of %d numbers have their point", s.points, s.points+s.plain))
	}
	if s.sizesIn == c.Units && s.sizesIn != UnitsUnknown {
		add(sizesUnit, "unit of the tool sizes in comments")
	}
	sc := newScale(c.Units, c.Zeros, c.Digits)
	diameters := s.diameters(&sc)
	if odd, absurd := oddDiameters(diameters); absurd {
		drop("tools under 0.03 or over 30 mm")
	} else if odd > 0 && openUnits {
		add(float64(-oddTools*odd), "odd tool diameters")
	} else if s.otherUnits(c.Units) {
		add(-noSense, "odd tool diameters that the other unit would make usual")
	}
	hits, box, inRange := s.positions(&sc, diameters)
	if !inRange {
		drop("coordinates beyond 10 m")
		return false
	}
	if len(s.samples) > 0 {
		c.Box = box
		if o.Panel != (orb.Bound{}) && !within(box, o.Panel) {
			drop("leaves the panel")
		}
		side := max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
		switch {
		case len(s.samples) < 4:
		case side > 1500:
			add(-hugeSize, "over 1500 mm")
		case side > 700 || side < 4:
			add(-oddSize, "odd size")
		case side >= 8 && side <= 500:
			add(boardSize, "size of a board")
		}
	}
	c.OnGrid, c.Overlap = neighbours(hits)
	if c.Overlap > 0 {
		add(float64(-overlapping*c.Overlap), "overlapping holes")
	}
	if c.OnGrid > 0 {
		add(float64(pitchPoints*c.OnGrid), "usual pitches")
	}
	return ok
}

// weighToolForm compares the digits of the tool table with a form.
func (s *survey) weighToolForm(d Digits, add func(float64, string)) {
	if len(s.tools) == 0 {
		return
	}
	whole, frac := true, true
	for _, t := range s.tools {
		n := t.diameter
		frac = frac && int(n.frac) == d.Dec
		whole = whole && int(n.digits)-int(n.frac) == d.Int
	}
	if frac && whole {
		add(toolForm, "digits of the tool table")
	} else if frac {
		add(toolDecimals, "decimals of the tool table")
	}
}

// diameters converts the tool table, in nanometres.
func (s *survey) diameters(sc *scale) []int64 {
	ds := make([]int64, len(s.tools))
	for i, t := range s.tools {
		ds[i], _ = diameterNano(t.diameter, sc)
	}
	return ds
}

// oddDiameters returns the share of tools outside the usual range, and
// whether one cannot be a drill or cutter at all.
func oddDiameters(ds []int64) (share float64, absurd bool) {
	odd, n := 0, 0
	for _, d := range ds {
		if d == 0 {
			continue
		}
		n++
		if d < 80_000 || d > 6_600_000 {
			odd++
		}
		absurd = absurd || d < 30_000 || d > 30_000_000
	}
	if n == 0 {
		return 0, false
	}
	return float64(odd) / float64(n), absurd
}

// otherUnits tells that most tools are odd in one unit and none in the other: the
// word for the units may be wrong.
func (s *survey) otherUnits(u Units) bool {
	other := Inches
	if u == Inches {
		other = Millimetres
	}
	here, there := newScale(u, DecimalPoint, Digits{}), newScale(other, DecimalPoint, Digits{})
	odd, _ := oddDiameters(s.diameters(&here))
	mended, _ := oddDiameters(s.diameters(&there))
	return odd > doubtTools && mended == 0
}

// judgedHit is a hit in nanometres.
type judgedHit struct{ x, y, d int64 }

// positions reads the sample under a form.
func (s *survey) positions(sc *scale, diameters []int64) (hits []judgedHit, box orb.Bound, ok bool) {
	var x, y int64
	for i, p := range s.samples {
		step := point{x, y}
		for _, axis := range []struct {
			n   number
			has bool
			at  *int64
		}{{p.x, p.hasX, &x}, {p.y, p.hasY, &y}} {
			if !axis.has {
				continue
			}
			v, fits := sc.nano(axis.n)
			if p.relative {
				v += *axis.at
			}
			if !fits || v > maxNano || v < -maxNano {
				return nil, box, false
			}
			*axis.at = v
		}
		pt := orb.Point{millimetres(x), millimetres(y)}
		if i == 0 {
			box = orb.Bound{Min: pt, Max: pt}
		}
		box = box.Extend(pt)
		if p.hit && len(hits) < judgedHits {
			h := judgedHit{x, y, 0}
			if p.tool >= 0 && p.tool < len(diameters) {
				h.d = diameters[p.tool]
			}
			hits = append(hits, h)
		}
		if p.times > 1 { // the first step of a repeat tells its pitch; the tool goes on
			x += int64(p.times-1) * (x - step.x)
			y += int64(p.times-1) * (y - step.y)
			if x > maxNano || x < -maxNano || y > maxNano || y < -maxNano {
				return nil, box, false
			}
			box = box.Extend(orb.Point{millimetres(x), millimetres(y)})
		}
	}
	return hits, box, true
}

// within tells whether box lies in the panel, a millimetre over at most.
func within(box, panel orb.Bound) bool {
	return box.Min[0] >= panel.Min[0]-1 && box.Min[1] >= panel.Min[1]-1 &&
		box.Max[0] <= panel.Max[0]+1 && box.Max[1] <= panel.Max[1]+1
}
