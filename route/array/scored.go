package array

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// ErrUnscored says that what is drawn as scores scores no side of the board.
var ErrUnscored = errors.New("array: no side of the board is scored")

// onSide is how far in mm a score line may lie from the side that it is meant for, stop
// short of its ends, and a mark beside the board reach into it.
const onSide = 0.05

// ScoredSides says which ways a customer's score lines part the board: columns
// where lines run along the whole of its left or right side, rows along its lower or
// upper one. They may run on beyond the board, and be drawn in pieces. All else
// is listed in the report with its places, such as lettering and ticks beside the
// board. Nothing drawn scores nothing.
//
// Errors: a [*route.BoardError] with file, line and place, wrapping [route.ErrScore] for
// the first mark that lies on the board, else [ErrUnscored] where there are marks and none
// scores.
func ScoredSides(board route.Board, drawn *artwork.Profile) (columns, rows bool, report tooling.Report, err error) {
	box := board.Outline.Bound()
	inside := contour.NewIndex(append([]contour.Contour{board.Outline}, board.CutOuts...))
	var marks []mark
	for _, s := range drawn.Scores {
		marks = append(marks, mark{
			line: contour.FromLine(orb.LineString{s.From, s.To}), source: s.Source,
			what: fmt.Sprintf("a score line from X%.3f Y%.3f to X%.3f Y%.3f", s.From[0], s.From[1], s.To[0], s.To[1]),
		})
	}
	lines := len(marks)
	for _, i := range drawn.Items {
		if i.Kind == artwork.KindScore {
			marks = append(marks, mark{line: i.Line, source: i.Source, what: fmt.Sprintf("what is no straight line, drawn from X%.3f Y%.3f", i.Line.Start[0], i.Line.Start[1])})
		}
	}
	var along [2][2][]mark
	for k, m := range marks {
		if at, deep := m.reaches(inside, box); deep {
			return false, false, nil, &route.BoardError{Board: -1, Other: -1, At: tooling.SnapPoint(at), Source: m.source, Err: route.ErrScore,
				Found: m.what, Expected: "score lines along the board's sides"}
		}
		axis, high, ok := m.side(box)
		if k >= lines || !ok {
			report.Add(m.note("score-beside", "drawn as a score, but no line along a side of the board: it scores nothing"))
			continue
		}
		along[axis][high] = append(along[axis][high], m)
	}
	var scored [2]bool
	for axis := range along {
		var whole [2]bool
		for high, side := range along[axis] {
			if whole[high] = fills(side, 1-axis, box); whole[high] {
				continue
			}
			for _, m := range side {
				report.Add(m.note("score-short", "a score line that does not run along the whole side of the board scores nothing"))
			}
		}
		if scored[axis] = whole[0] || whole[1]; scored[axis] && whole[0] != whole[1] {
			high := slices.Index(whole[:], true)
			report.Add(along[axis][high][0].note("score-both", "one of two opposite sides has a score line: score lines run over the whole panel, both are scored"))
		}
	}
	if len(marks) > 0 && !scored[0] && !scored[1] {
		return false, false, report, &route.BoardError{Board: -1, Other: -1, At: marks[0].line.Start, Source: marks[0].source, Err: ErrUnscored,
			Found:    fmt.Sprintf("straight lines: %d, other marks: %d, the first from X%.3f Y%.3f", lines, len(marks)-lines, marks[0].line.Start[0], marks[0].line.Start[1]),
			Expected: "a straight line along a whole side of the board"}
	}
	return scored[0], scored[1], report, nil
}

// mark is what is drawn as a score.
type mark struct {
	line   contour.Contour // without moves: a point
	source tooling.Source
	what   string
}

func (m mark) note(rule, detail string) tooling.Finding {
	return tooling.Finding{Rule: rule, OK: true, Source: m.source, Detail: detail, Places: []orb.Point{m.line.Start}}
}

// side is the side of the box that the mark lies along, or runs on from.
func (m mark) side(box orb.Bound) (axis, high int, ok bool) {
	for axis := range 2 {
		for high, v := range [2]float64{box.Min[axis], box.Max[axis]} {
			if math.Abs(m.line.Start[axis]-v) <= onSide && math.Abs(m.line.End()[axis]-v) <= onSide {
				return axis, high, true
			}
		}
	}
	return 0, 0, false
}

// fills tells whether lines along a side leave none of it out.
func fills(side []mark, axis int, box orb.Bound) bool {
	var runs [][2]float64
	for _, m := range side {
		a, b := m.line.Start[axis], m.line.End()[axis]
		runs = append(runs, [2]float64{min(a, b), max(a, b)})
	}
	slices.SortFunc(runs, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	to := box.Min[axis]
	for _, r := range runs {
		if r[0] <= to+onSide {
			to = max(to, r[1])
		}
	}
	return to >= box.Max[axis]-onSide
}

// reaches gives the first place where the mark lies deeper than onSide in the
// board. The depth changes no faster than one goes along, so that steps as long as it
// lacks pass over nothing; the least step is what more depth may be missed.
func (m mark) reaches(board *contour.Index, box orb.Bound) (orb.Point, bool) {
	const least = 0.005
	if !box.Intersects(m.line.Bound()) {
		return orb.Point{}, false
	}
	length := m.line.Length()
	for s := 0.0; ; {
		at := m.line.Start
		if length > 0 {
			at, _ = m.line.At(min(s, length))
		}
		lacks := onSide + board.Distance(at)
		if board.Contains(at) {
			lacks = onSide - board.Distance(at)
		}
		if lacks < 0 {
			return at, true
		}
		if s >= length {
			return at, false
		}
		s += max(lacks, least)
	}
}
