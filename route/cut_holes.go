package route

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// clearHoles refuses holes that an outline, a cut-out or a score line cuts,
// unless they are declared half holes, and notes walls nearer to an edge than
// the rules ask for. Cost O(holes x boards), less for holes far from a
// board.
func (l *Layout) clearHoles() error {
	edges := placedContours(l.Input)
	for i, h := range l.Input.Holes {
		if h.Half {
			continue
		}
		r := l.Input.Rules.Allowance.Target(h.Size) / 2
		for _, e := range edges {
			gap := fromEdge(e, h, r+l.Input.Rules.EdgeWeb) - r
			switch {
			case gap < 0:
				return l.cut(i, e.board, fmt.Sprintf("its wall crosses the edge of board %d by %.3f mm", e.board, -gap))
			case gap < l.Input.Rules.EdgeWeb:
				l.Report.Note("edge-web", fmt.Sprintf("%.3f mm", 2*r), "less laminate between a hole and a routed edge than the rule asks for", tooling.Snap(gap), l.Input.Rules.EdgeWeb, h.At)
			}
		}
		for k, s := range l.Input.Panel.Scores {
			if between(h, s) < r {
				return l.cut(i, -1, fmt.Sprintf("score line %d cuts it", k))
			}
		}
	}
	return nil
}

func (l *Layout) cut(hole, board int, found string) error {
	h := l.Input.Holes[hole]
	return &BoardError{
		Board: board, Other: -1, At: h.At, Source: h.Source, Err: ErrHole,
		Found: found, Expected: "a hole clear of edges and score lines, or a declared half hole",
	}
}

// edge is an outline or cut-out where it lies on the panel.
type edge struct {
	board int // index into Panel.Boards
	line  contour.Contour
	bound orb.Bound
}

func placedContours(in Input) []edge {
	var out []edge
	for i, p := range in.Panel.Boards {
		b := in.Boards[p.Board]
		for _, c := range append([]contour.Contour{b.Outline}, b.CutOuts...) {
			c = c.Rotate(p.Quarters).Translate(p.Offset[0], p.Offset[1])
			out = append(out, edge{i, c, c.Bound()})
		}
	}
	return out
}

// fromEdge is the distance in mm between a hole's centre line and an edge, or
// +Inf where it is more than reach. Along a slot it is taken at steps of a
// tenth of its width or less.
func fromEdge(e edge, h drill.Hole, reach float64) float64 {
	if !e.bound.Pad(reach).Intersects(orb.MultiPoint{h.At, h.To}.Bound()) {
		return math.Inf(1)
	}
	steps := max(1, int(math.Ceil(10*h.Length()/h.Size.Diameter)))
	best := math.Inf(1)
	for k := range steps + 1 {
		t := float64(k) / float64(steps)
		p := orb.Point{h.At[0] + float64((h.To[0]-h.At[0])*t), h.At[1] + float64((h.To[1]-h.At[1])*t)}
		best = min(best, e.line.Distance(p))
	}
	return best
}

// between is the distance in mm between a hole's centre line and a score line,
// which runs along an axis over the whole panel.
func between(h drill.Hole, s tooling.Score) float64 {
	axis := 0
	if s[0][1] == s[1][1] {
		axis = 1
	}
	a, b := h.At[axis]-s[0][axis], h.To[axis]-s[0][axis]
	if (a < 0) != (b < 0) {
		return 0
	}
	return min(math.Abs(a), math.Abs(b))
}
