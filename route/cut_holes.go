package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// centreLine is the way a hole's bit or cutter goes: a piece of no length for a
// round hole.
func centreLine(h drill.Hole) piece { return newPiece(h.At, contour.Move{To: h.To}) }

// clearHoles refuses holes that an outline, a cut-out, a score line or a tab's
// perforation cuts, unless they are declared half holes, and those that reach
// into another board than their own. It notes walls nearer to an edge than the rules
// ask for.
func (l *Layout) clearHoles() error {
	edges := edgesOf(l.loops, func(o *loop) bool { return !o.hole })
	outlines := edgesOf(l.loops, func(o *loop) bool { return !o.inner() })
	rows := l.Perforations()
	for i, h := range l.Input.Holes {
		if h.Half {
			if err := l.clearOthers(i, outlines); err != nil {
				return err
			}
			continue
		}
		r := l.Input.Rules.Allowance.Target(h.Size) / 2
		web := l.Input.Rules.EdgeWeb
		p := centreLine(h)
		if d, k, at := edges.clearance(&p, r+web); k >= 0 {
			board := l.loops[edges.owner[k]].board
			if d < r {
				return l.cutHole(i, board, at, fmt.Sprintf("its wall crosses the edge of board %d by %.3f mm", board, r-d))
			}
			if d < r+web {
				l.Report.Note("edge-web", fmt.Sprintf("%.3f mm", 2*r), "less laminate between a hole and a routed edge than the rule asks for", tooling.Snap(d-r), web, h.At)
			}
		}
		for k, s := range l.Input.Panel.Scores {
			line := newPiece(s[0], contour.Move{To: s[1]})
			if d, at := p.between(&line); d < r {
				return l.cutHole(i, -1, at, fmt.Sprintf("score line %d cuts it", k))
			}
		}
		for _, o := range rows {
			if d, at := p.to(o.At); d < r+o.Size.Diameter/2 {
				return l.cutHole(i, -1, at, "a tab's perforation cuts it")
			}
		}
	}
	return nil
}

// cutHole refuses a hole; what cuts it may be no board's, board -1, then the hole's own
// one is named. The place of a board's hole stands in At alone, which moves with the board.
func (l *Layout) cutHole(hole, board int, at orb.Point, found string) error {
	h := l.Input.Holes[hole]
	for i := range l.loops {
		if o := &l.loops[i]; board < 0 && !o.inner() && o.inside(h.At) {
			board = o.board
		}
	}
	what := fmt.Sprintf("hole %d", hole)
	if board < 0 {
		what += fmt.Sprintf(" at X%.3f Y%.3f", h.At[0], h.At[1])
	}
	return &BoardError{
		Board: board, Other: -1, At: at, Source: h.Source, Err: ErrHole,
		Found:    what + ": " + found,
		Expected: "a hole clear of edges, tabs and score lines, or a declared half hole",
	}
}
