package drill

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// ErrRegistration says that two drill files of one board do not agree in unit,
// origin or side.
var ErrRegistration = errors.New("drill: the drill files of one board do not agree")

// RegistrationError names two drill files of one board that cannot both lie
// where they say.
type RegistrationError struct {
	File, Other string // File is the one with fewer holes
	Found       string // the evidence
	Expected    string
}

// Error prints both files, what was found and what was expected.
func (e *RegistrationError) Error() string {
	return withFound(fmt.Sprintf("%s and %s: %v", e.Other, e.File, ErrRegistration), e.Found, e.Expected)
}

// Unwrap gives [ErrRegistration].
func (e *RegistrationError) Unwrap() error { return ErrRegistration }

// Shares and counts of [Agree], a house rule.
const (
	cutInto     = 0.05  // mm by which two holes must overlap to count
	certainCuts = 2     // holes of one file that cut into the other's
	certainPart = 0.10  // and their share of the smaller file
	unitRatio   = 8     // sizes that differ by more may be inches beside mm
	leastDrill  = 0.08  // mm: below it half a file's tools are in another unit
	mostDrill   = 12.0  // mm: above it too
	fitSlack    = 0.10  // share of the larger side by which a moved file may stand over
	nearBy      = 0.25  // of the larger file's side: how far apart two may lie without a word
	commonHoles = 3     // holes of one size that would fall together
	samePlace   = 0.005 // mm
)

// Agree holds the drill files of one board against each other, by the file
// names in the holes' sources: unit, origin, side and extent. It looks at holes
// of one file that cut into those of another, at boxes that lie apart or differ
// by about 25.4, at tools no board has, and at holes of one size that would
// fall together, as tooling holes do that every file repeats.
//
// Board is the box of the board's outline in the same coordinates, zero where it is
// not known.
//
// What can only be a mistake (holes that cut into each other and would not
// after one named mistake; sizes of another unit; a file on the other side of
// the origin or farther off than the board is large, unless both lie on the
// board) is a [*RegistrationError] with the evidence. What may be meant is a finding
// of rule "registration" that does not refuse. Nothing is ever moved. Cost O(n) for
// n holes, times the number of mistakes tried.
func Agree(holes []Hole, board orb.Bound) (tooling.Report, error) {
	var report tooling.Report
	var files []string
	of := map[string][]Hole{}
	for _, h := range holes {
		if _, ok := of[h.Source.File]; !ok {
			files = append(files, h.Source.File)
		}
		of[h.Source.File] = append(of[h.Source.File], h)
	}
	for i := range files {
		for k := range files[:i] {
			large, small := newDrillFile(files[k], of[files[k]]), newDrillFile(files[i], of[files[i]])
			if len(small.holes) > len(large.holes) {
				large, small = small, large
			}
			why, certain := disagree(large, small, board)
			if why == "" {
				continue
			}
			if certain {
				return report, &RegistrationError{File: small.name, Other: large.name, Found: why, Expected: "files in one unit, from one origin and one side"}
			}
			report.Add(tooling.Finding{Rule: "registration", OK: true, Source: tooling.Source{File: small.name}, Detail: fmt.Sprintf("against %s: %s", large.name, why)})
		}
	}
	return report, nil
}

// drillFile is the holes of one file with what is asked of them often.
type drillFile struct {
	name   string
	holes  []Hole
	box    orb.Bound
	widest float64 // mm
	cells  map[[2]int32][]int32
	cell   float64
}

func newDrillFile(name string, holes []Hole) *drillFile {
	f := &drillFile{name: name, holes: holes, box: orb.Bound{Min: holes[0].At, Max: holes[0].At}}
	for _, h := range holes {
		f.box = f.box.Extend(h.At).Extend(h.To)
		f.widest = max(f.widest, h.Size.Diameter)
	}
	return f
}

// index prepares to find holes that come as near as reach.
func (f *drillFile) index(reach float64) {
	f.cell = max(reach, 0.5)
	f.cells = map[[2]int32][]int32{}
	for i, h := range f.holes {
		lo, hi := f.at(orb.MultiPoint{h.At, h.To}.Bound().Min), f.at(orb.MultiPoint{h.At, h.To}.Bound().Max)
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				f.cells[[2]int32{x, y}] = append(f.cells[[2]int32{x, y}], int32(i))
			}
		}
	}
}

func (f *drillFile) at(p orb.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p[0] / f.cell)), int32(math.Floor(p[1] / f.cell))}
}

// near calls visit for the holes in the cells round a place.
func (f *drillFile) near(p orb.Point, visit func(Hole)) {
	c := f.at(p)
	for x := c[0] - 1; x <= c[0]+1; x++ {
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for _, i := range f.cells[[2]int32{x, y}] {
				visit(f.holes[i])
			}
		}
	}
}

// against counts the holes of o, once moved, that cut into holes of f, and
// those that fall on one of the same size.
func (f *drillFile) against(o *drillFile, move func(orb.Point) orb.Point) (cuts, common int) {
	for _, h := range o.holes {
		a, b := move(h.At), move(h.To)
		cut, same := false, false
		f.near(a, func(g Hole) {
			gap := toSegment(a, g.At, g.To)
			if b != a || g.At != g.To {
				gap = min(gap, toSegment(b, g.At, g.To), toSegment(g.At, a, b), toSegment(g.To, a, b))
			}
			here := toSegment(a, g.At, g.At) < samePlace && toSegment(b, g.To, g.To) < samePlace
			same = same || here && g.Size.Diameter == h.Size.Diameter
			cut = cut || !here && gap < (g.Size.Diameter+h.Size.Diameter)/2-cutInto
		})
		if cut {
			cuts++
		}
		if same {
			common++
		}
	}
	return cuts, common
}

// odd tells whether half a file's holes have sizes no board has.
func (f *drillFile) odd(scale float64) bool {
	n := 0
	for _, h := range f.holes {
		if d := h.Size.Diameter * scale; d < leastDrill || d > mostDrill {
			n++
		}
	}
	return 2*n >= len(f.holes)
}

// crowded tells whether holes of a file cut into each other.
func (f *drillFile) crowded() bool {
	f.index(f.widest)
	cuts, _ := f.against(f, func(p orb.Point) orb.Point { return p })
	return cuts > 0
}

// slip is one way in which a file may have been made or read wrongly.
type slip struct {
	why   string // completes "if it ..."
	scale float64
	move  func(orb.Point) orb.Point
}

// slips lists the mistakes that are tried, the likeliest first.
func slips(large, small *drillFile) []slip {
	at := func(sx, sy float64, from, to orb.Point) func(orb.Point) orb.Point {
		return func(p orb.Point) orb.Point {
			return tooling.SnapPoint(orb.Point{to[0] + float64(sx*(p[0]-from[0])), to[1] + float64(sy*(p[1]-from[1]))})
		}
	}
	zero, a, b := orb.Point{}, large.box.Center(), small.box.Center()
	const inch = 25.4
	out := []slip{
		{"were in inches", inch, at(inch, inch, zero, zero)},
		{"were in millimetres", 1 / inch, at(1/inch, 1/inch, zero, zero)},
		{"were mirrored left to right about the origin", 1, at(-1, 1, zero, zero)},
		{"were mirrored bottom to top about the origin", 1, at(1, -1, zero, zero)},
		{"were turned by half a turn about the origin", 1, at(-1, -1, zero, zero)},
	}
	for _, c := range []struct {
		name string
		at   orb.Point
	}{{"the other file's middle", a}, {"its own middle", b}} {
		out = append(out,
			slip{"were mirrored left to right about " + c.name, 1, at(-1, 1, c.at, c.at)},
			slip{"were mirrored bottom to top about " + c.name, 1, at(1, -1, c.at, c.at)},
			slip{"were turned by half a turn about " + c.name, 1, at(-1, -1, c.at, c.at)})
	}
	moved := orb.Point{a[0] - b[0], a[1] - b[1]}
	return append(out, slip{fmt.Sprintf("were moved by about X%+.2f Y%+.2f mm", moved[0], moved[1]), 1, at(1, 1, b, a)})
}

// fits tells whether a file, once moved, lies about where the other does.
func (s slip) fits(large, small *drillFile) bool {
	p, q := s.move(small.box.Min), s.move(small.box.Max)
	box := orb.MultiPoint{p, q}.Bound()
	slack := fitSlack * side(large.box)
	room := large.box.Pad(slack)
	return room.Contains(box.Min) && room.Contains(box.Max) || box.Pad(slack).Contains(large.box.Min) && box.Pad(slack).Contains(large.box.Max)
}

// side is the longer side of a box in mm.
func side(b orb.Bound) float64 { return max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) }

// apart is the gap in mm between two boxes, 0 where they meet.
func apart(a, b orb.Bound) float64 {
	return max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0], a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])
}

// disagree says what speaks against two files lying where they say, and
// whether that can only be a mistake; "" for nothing.
func disagree(large, small *drillFile, board orb.Bound) (why string, certain bool) {
	if why := otherUnit(large, small); why != "" {
		return why, true
	}
	large.index(large.widest + small.widest)
	cuts, common := large.against(small, func(p orb.Point) orb.Point { return p })
	all := slips(large, small)
	evidence := func(n int) string {
		return fmt.Sprintf("%d of %d holes cut into holes of the other file", n, len(small.holes))
	}
	best := -1 // the first mistake that would explain the cuts
	for i := range all {
		if all[i].scale != 1 && !similar(all[i].scale*side(small.box), side(large.box)) {
			continue // made small enough no file cuts into another
		}
		if n, _ := large.against(small, all[i].move); cuts > 0 && n == 0 && all[i].fits(large, small) {
			best = i
			break
		}
	}
	certain = cuts >= certainCuts && float64(cuts) >= certainPart*float64(len(small.holes))
	switch {
	case best >= 0:
		return fmt.Sprintf("%s, none would if it %s", evidence(cuts), all[best].why), certain
	case certain:
		return evidence(cuts), false // no single mistake explains it: it may be meant
	}
	if gap := apart(large.box, small.box); gap > 0 {
		far := gap > max(side(large.box), side(small.box))
		// Two groups of holes at opposite ends of a board lie as far apart as they like.
		both := large.box.Union(small.box)
		placed := !board.IsZero() && board.Contains(both.Min) && board.Contains(both.Max)
		for _, s := range all[2:5] {
			if s.fits(large, small) && len(small.holes) > 1 && opposite(large.box, small.box) {
				return fmt.Sprintf("it lies on the other side of the origin, %.2f mm off, and would lie with the other file if it %s", gap, s.why), !placed
			}
		}
		if far {
			return fmt.Sprintf("the two lie %.2f mm apart, farther than either is large: another origin? Their middles would meet if it %s", gap, all[len(all)-1].why), !placed
		}
		if gap > nearBy*side(large.box) && !placed {
			return fmt.Sprintf("the two lie %.2f mm apart", gap), false
		}
	}
	if common == 0 {
		for _, s := range all[2:] {
			if _, n := large.against(small, s.move); n >= commonHoles && n == len(small.holes) && s.fits(large, small) {
				return fmt.Sprintf("all its %d holes would fall on holes of the same size if it %s, and none does now", n, s.why), false
			}
		}
	}
	if r := side(large.box) / side(small.box); len(small.holes) >= 4 && (r > unitRatio || r < 1.0/unitRatio) {
		return fmt.Sprintf("one spans %.2f mm and the other %.2f mm: are both in the same unit?", side(large.box), side(small.box)), false
	}
	return "", false
}

// otherUnit looks for a file in another unit: far smaller or larger than the
// other, about right after 25.4, and with tools or crowding that only the wrong
// unit explains.
func otherUnit(large, small *drillFile) string {
	for _, s := range slips(large, small)[:2] {
		ratio := side(large.box) / side(small.box)
		if s.scale < 1 {
			ratio = 1 / ratio
		}
		if ratio < unitRatio || !s.fits(large, small) {
			continue
		}
		switch {
		case len(small.holes) >= commonHoles && similar(s.scale*side(small.box), side(large.box)):
			return fmt.Sprintf("its %d holes span %.2f mm beside %.2f mm, and would lie where the other file does if it %s", len(small.holes), side(small.box), side(large.box), s.why)
		case small.odd(1) && !small.odd(s.scale):
			return fmt.Sprintf("its holes span %.2f mm beside %.2f mm and are as a rule of sizes that no board has; both would be right if it %s", side(small.box), side(large.box), s.why)
		case s.scale > 1 && small.crowded():
			return fmt.Sprintf("its holes span %.2f mm beside %.2f mm and cut into each other; they would fit if it %s", side(small.box), side(large.box), s.why)
		}
	}
	// The file with more holes may be the one in the wrong unit.
	for _, s := range slips(small, large)[:2] {
		ratio := side(small.box) / side(large.box)
		if s.scale < 1 {
			ratio = 1 / ratio
		}
		if ratio > unitRatio && s.fits(small, large) && large.odd(1) && !large.odd(s.scale) {
			return fmt.Sprintf("%s spans %.2f mm beside %.2f mm and has sizes that no board has; both would be right if it %s", large.name, side(large.box), side(small.box), s.why)
		}
	}
	return ""
}

// similar tells whether two lengths are alike as boards' files are.
func similar(a, b float64) bool { return a >= b/2 && a <= b*1.5 }

// opposite tells whether two boxes lie on different sides of the origin, one
// way or the other.
func opposite(a, b orb.Bound) bool {
	return a.Min[0] >= 0 && b.Max[0] <= 0 || a.Max[0] <= 0 && b.Min[0] >= 0 || a.Min[1] >= 0 && b.Max[1] <= 0 || a.Max[1] <= 0 && b.Min[1] >= 0
}
