package route

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// ErrRegistration says that drill files and outline of one board do not agree
// in unit, origin or side.
var ErrRegistration = errors.New("route: drill files and outline do not agree")

// Agree tells whether the holes of a board lie on it: inside its outline and
// outside its cut-outs, declared half holes apart. It looks at the files that
// the holes' sources name one by one. Where one does not agree, the error is a
// [*BoardError] wrapping [ErrRegistration] that counts the strays, names the
// first, and says which single mistake would explain all of them: inches read
// as millimetres or the reverse, a file mirrored or turned over, another
// origin. A file of four holes or more that lies crowded at the origin and would
// spread over the board in inches is refused too. It never moves anything. Cost
// O(holes x moves).
func Agree(b Board, holes []drill.Hole) error {
	var files []string
	of := map[string][]drill.Hole{}
	for _, h := range holes {
		if _, ok := of[h.Source.File]; !ok {
			files = append(files, h.Source.File)
		}
		of[h.Source.File] = append(of[h.Source.File], h)
	}
	for _, f := range files {
		if err := agree(b, of[f]); err != nil {
			return err
		}
	}
	return nil
}

// leastCrowd is how many holes of one file must lie at the origin to say that
// they are in inches.
const leastCrowd = 4

// agree looks at the holes of one file.
func agree(b Board, holes []drill.Hole) error {
	stray, first := strays(b, holes, func(p orb.Point) orb.Point { return p })
	var found string
	switch {
	case stray > 0:
		found = fmt.Sprintf("%d of %d holes outside the outline", stray, len(holes))
		if why := explain(b, holes); why != "" {
			found += "; all would lie inside if " + why
		}
	case len(holes) >= leastCrowd && crowded(b, holes):
		found = fmt.Sprintf("all %d holes at the origin; they would spread over the board if its numbers were inches", len(holes))
	default:
		return nil
	}
	h := holes[first]
	return &BoardError{
		Board: -1, Other: -1, At: h.At, Source: h.Source, Err: ErrRegistration,
		Found: found, Expected: fmt.Sprintf("every hole of board %q on it, the first stray at X%.3f Y%.3f", b.Name, h.At[0], h.At[1]),
	}
}

// crowded tells whether the holes of one file fill a corner of the board that
// would be all of it in inches.
func crowded(b Board, holes []drill.Hole) bool {
	box, all := b.Outline.Bound(), centres(holes)
	wide, side := max(all.Max[0]-all.Min[0], all.Max[1]-all.Min[1]), max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	if inch*wide < side/2 {
		return false
	}
	n, _ := strays(b, holes, func(p orb.Point) orb.Point {
		return tooling.SnapPoint(orb.Point{float64(inch * p[0]), float64(inch * p[1])})
	})
	return n == 0
}

// strays counts the holes whose centres are off the board once moved.
func strays(b Board, holes []drill.Hole, move func(orb.Point) orb.Point) (n, first int) {
	box := b.Outline.Bound()
	for i, h := range holes {
		if h.Half {
			continue
		}
		if p, q := move(h.At), move(h.To); !onBoard(b, box, p) || (q != p && !onBoard(b, box, q)) {
			if n == 0 {
				first = i
			}
			n++
		}
	}
	return n, first
}

func onBoard(b Board, box orb.Bound, p orb.Point) bool {
	if !box.Contains(p) || !b.Outline.Contains(p) {
		return false
	}
	for _, c := range b.CutOuts {
		if c.Contains(p) {
			return false
		}
	}
	return true
}

// inch is the number of mm in an inch.
const inch = 25.4

// leastSpan is the share of the outline's box that holes must span, one way
// at least, for a mistake to explain them.
const leastSpan = 0.25

// mistake is one way in which a file may have been read or made wrongly.
type mistake struct {
	why  string // completes "all would lie inside if ..."
	move func(orb.Point) orb.Point
}

// explain tries one mistake at a time and says the first that would bring
// every hole onto the board.
func explain(b Board, holes []drill.Hole) string {
	box, all := b.Outline.Bound(), centres(holes)
	at := func(sx, sy float64, from, to orb.Point) func(orb.Point) orb.Point {
		return func(p orb.Point) orb.Point {
			return tooling.SnapPoint(orb.Point{to[0] + float64(sx*(p[0]-from[0])), to[1] + float64(sy*(p[1]-from[1]))})
		}
	}
	zero := orb.Point{}
	centre, middle := all.Center(), box.Center()
	for _, t := range []mistake{
		{"its numbers were inches", at(inch, inch, zero, zero)},
		{"its numbers were millimetres", at(1/inch, 1/inch, zero, zero)},
		{"it were mirrored left to right about the origin", at(-1, 1, zero, zero)},
		{"it were mirrored bottom to top about the origin", at(1, -1, zero, zero)},
		{"it were turned by half a turn about the origin", at(-1, -1, zero, zero)},
		{fmt.Sprintf("it were moved by about X%+.2f Y%+.2f mm", middle[0]-centre[0], middle[1]-centre[1]), at(1, 1, centre, middle)},
		{"it were mirrored left to right and moved", at(-1, 1, centre, middle)},
		{"it were mirrored bottom to top and moved", at(1, -1, centre, middle)},
	} {
		lo, hi := t.move(all.Min), t.move(all.Max)
		if math.Abs(hi[0]-lo[0]) < leastSpan*(box.Max[0]-box.Min[0]) && math.Abs(hi[1]-lo[1]) < leastSpan*(box.Max[1]-box.Min[1]) {
			continue // shrunk to a corner anything fits anywhere
		}
		if n, _ := strays(b, holes, t.move); n == 0 {
			return t.why
		}
	}
	return ""
}

// centres is the box of all hole centres that are not declared half holes.
func centres(holes []drill.Hole) orb.Bound {
	out := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, h := range holes {
		if !h.Half {
			out = out.Extend(h.At).Extend(h.To)
		}
	}
	return out
}
