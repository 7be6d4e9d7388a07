package nc

import (
	"cmp"
	"fmt"
	"slices"
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
	pitchPoints  = 2.0  // times the share of neighbours a usual pitch apart
	boardSize    = 2.0  // largest side from 8 to 500 mm
	oddSize      = 3.0  // under 4 or over 700 mm
	hugeSize     = 6.0  // over 1500 mm
	oddTools     = 10.0 // times the share of tools outside 0.08 to 6.6 mm
)

// judgedHits bounds the hits whose neighbours are looked at.
const judgedHits = 1000

// form is how a file is read and how that came to be known.
type form struct {
	units     Units
	unitsHow  How
	zeros     Zeros
	zerosHow  How
	digits    Digits
	digitsHow How
	feedUnit  FeedUnit
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
		f.zerosHow = Stated
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

// doubt leaves a note when the settled form, stated or not, gives tools, sizes
// or overlaps that hardly any board has, or keeps zeros that its rule drops: a
// word of the header may be wrong.
func (f *form) doubt(s *survey) {
	var why []string
	sc := newScale(f.units, f.zeros, f.digits)
	diameters := s.diameters(&sc)
	if odd, absurd := oddDiameters(diameters); absurd || odd > doubtTools {
		why = append(why, fmt.Sprintf("%.0f %% of the tools are under 0.08 or over 6.6 mm", float64(odd*100)))
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

func (f *form) disagrees(at statement, what string, comment, word any) {
	f.notes = append(f.notes, Note{Rule: "contradiction", Line: at.line, Column: at.col, Count: 1,
		Detail: fmt.Sprintf("%s: a comment says %v, the header %v; the header is followed", what, comment, word)})
}

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
				if s.weigh(&c, o, len(forms) > 1) {
					if !slices.ContainsFunc(kept, func(k Candidate) bool { return s.same(k, c) }) {
						kept = append(kept, c)
					}
				} else {
					dropped = append(dropped, c)
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
	if len(kept) > 1 && kept[0].Score-kept[1].Score < winMargin {
		return f, f.ambiguous(s, o, kept)
	}
	best := kept[0]
	var what []string
	if f.unitsHow == HowUnknown {
		f.units, f.unitsHow = best.Units, Judged
		what = append(what, "units "+best.Units.String())
	}
	if f.zerosHow == HowUnknown && s.plain > 0 {
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
// makes no sense.
func (s *survey) weigh(c *Candidate, o *ReadOptions, openDigits bool) bool {
	var why []string
	add := func(points float64, reason string) {
		c.Score += points
		why = append(why, fmt.Sprintf("%+.1f %s", points, reason))
	}
	ok := true
	drop := func(reason string) {
		ok = false
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
		if s.padded() && d.Int+d.Dec == s.maxWidth {
			add(paddedForm, "padded to the form")
		}
		against := s.endZero
		if c.Zeros == TrailingZeros {
			against = s.startZero
		}
		if against >= 3 {
			add(-wrongZeros, fmt.Sprintf("%d numbers keep zeros that %v drops", against, c.Zeros))
		} else if against > 0 {
			add(-fewZeros, fmt.Sprintf("%d numbers keep zeros that %v drops", against, c.Zeros))
		}
	}
	sc := newScale(c.Units, c.Zeros, c.Digits)
	diameters := s.diameters(&sc)
	if odd, absurd := oddDiameters(diameters); absurd {
		drop("tools under 0.03 or over 30 mm")
	} else if odd > 0 {
		add(float64(-oddTools*odd), "odd tool diameters")
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

// judgedHit is a hit in nanometres.
type judgedHit struct{ x, y, d int64 }

// positions reads the sample under a form.
func (s *survey) positions(sc *scale, diameters []int64) (hits []judgedHit, box orb.Bound, ok bool) {
	var x, y int64
	for i, p := range s.samples {
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
	}
	return hits, box, true
}

// within tells whether box lies in the panel, a millimetre over at most.
func within(box, panel orb.Bound) bool {
	return box.Min[0] >= panel.Min[0]-1 && box.Min[1] >= panel.Min[1]-1 &&
		box.Max[0] <= panel.Max[0]+1 && box.Max[1] <= panel.Max[1]+1
}

// usualPitches are distances of neighbouring holes in nanometres: connector,
// header and package pitches in common use.
var usualPitches = [...]int64{
	400_000, 500_000, 635_000, 650_000, 800_000, 1_000_000, 1_270_000, 1_500_000, 2_000_000,
	2_500_000, 2_540_000, 3_500_000, 3_810_000, 5_000_000, 5_080_000, 7_620_000,
}

// neighbours returns the share of hits whose nearest other hit lies a usual
// pitch away, within 5 um, and the share that overlaps another hole. Hits on
// the same spot are left out. O(n^2) at worst for at most judgedHits hits.
func neighbours(hits []judgedHit) (onGrid, overlap float64) {
	slices.SortFunc(hits, func(a, b judgedHit) int {
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y), cmp.Compare(a.d, b.d))
	})
	hits = slices.CompactFunc(hits, func(a, b judgedHit) bool { return a.x == b.x && a.y == b.y })
	if len(hits) < 2 {
		return 0, 0
	}
	var widest int64
	for _, h := range hits {
		widest = max(widest, h.d)
	}
	grid, over := 0, 0
	for i := range hits {
		near, touch := -1.0, false // mm2
		for _, step := range [2]int{1, -1} {
			for j := i + step; j >= 0 && j < len(hits); j += step {
				reach := max(hits[j].x-hits[i].x, hits[i].x-hits[j].x)
				dx, dy := millimetres(reach), millimetres(hits[j].y-hits[i].y)
				if near >= 0 && float64(dx*dx) > near && reach > widest {
					break
				}
				d2 := float64(dx*dx) + float64(dy*dy)
				if near < 0 || d2 < near {
					near = d2
				}
				sum := millimetres(hits[i].d+hits[j].d) / 2
				touch = touch || d2 < float64(sum*sum)
			}
		}
		for _, p := range usualPitches {
			lo, hi := millimetres(p-5000), millimetres(p+5000)
			if near >= float64(lo*lo) && near <= float64(hi*hi) {
				grid++
				break
			}
		}
		if touch {
			over++
		}
	}
	return float64(grid) / float64(len(hits)), float64(over) / float64(len(hits))
}
