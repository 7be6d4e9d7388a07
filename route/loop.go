package route

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// onLine is how near in mm a point must lie to count as on a line or an edge:
// the writing grid.
const onLine = 0.001

// loop is one closed contour on the panel, counter-clockwise: an outline, a
// cut-out or a routed hole.
type loop struct {
	board  int // index into Panel.Boards; holes: of the board they lie in, -1 none
	number int // 0 outline, k cut-out k-1; holes: index into Input.Holes
	hole   bool
	plated bool // holes: cut before plating
	line   contour.Contour
	ps     []piece
	scored []bool // by piece: on a score line
	near   *edges // ps, for distances
	box    orb.Bound
}

// inner tells whether the material lies outside of the loop.
func (l *loop) inner() bool { return l.hole || l.number > 0 }

// name says which loop it is, for people.
func (l *loop) name() string {
	switch {
	case l.hole:
		return fmt.Sprintf("hole %d", l.number)
	case l.number > 0:
		return fmt.Sprintf("board %d cut-out %d", l.board, l.number-1)
	}
	return fmt.Sprintf("board %d outline", l.board)
}

func newLoop(c contour.Contour) loop {
	if c.Area() < 0 {
		c = c.Reverse()
	}
	l := loop{board: -1, line: c, ps: pieces(c)}
	l.scored, l.near = make([]bool, len(l.ps)), setOf(l.ps)
	l.box = l.ps[0].box()
	for i := range l.ps {
		l.box = l.box.Union(l.ps[i].box())
	}
	return l
}

// placed returns the loops of all placements in order, each outline followed
// by its cut-outs.
func placed(in Input) []loop {
	var out []loop
	for i, p := range in.Panel.Boards {
		b := in.Boards[p.Board]
		for k, c := range append([]contour.Contour{b.Outline}, b.CutOuts...) {
			l := newLoop(apply(c, p))
			l.board, l.number = i, k
			if k == 0 {
				l.markScored(in.Panel.Scores)
			}
			out = append(out, l)
		}
	}
	return out
}

// apply moves a contour of a board onto the panel.
func apply(c contour.Contour, p tooling.Placement) contour.Contour {
	out := contour.Contour{Start: p.Apply(c.Start), Moves: make([]contour.Move, len(c.Moves))}
	for i, m := range c.Moves {
		out.Moves[i] = contour.Move{To: p.Apply(m.To), Turn: m.Turn}
		if m.Turn != 0 {
			out.Moves[i].Center = p.Apply(m.Center)
		}
	}
	return out
}

func (l *loop) markScored(scores []tooling.Score) {
	for i := range l.ps {
		p := &l.ps[i]
		for _, s := range scores {
			if p.turn == 0 && offScore(s, p.a) <= onLine && offScore(s, p.b) <= onLine {
				l.scored[i] = true
			}
		}
	}
}

// anyScored tells whether a score line holds the board.
func (l *loop) anyScored() bool {
	for _, s := range l.scored {
		if s {
			return true
		}
	}
	return false
}

// axis is the coordinate that is constant along a score line, and its value.
func axis(s tooling.Score) (int, float64) {
	if s[0][1] == s[1][1] {
		return 1, s[0][1]
	}
	return 0, s[0][0]
}

func offScore(s tooling.Score, p orb.Point) float64 {
	k, v := axis(s)
	return math.Abs(p[k] - v)
}

// edgesOf gathers the loops that keep says into one set with inside tests;
// owners are indices into loops.
func edgesOf(loops []loop, keep func(*loop) bool) *edges {
	var ps []piece
	var owner []int32
	for i := range loops {
		if !keep(&loops[i]) {
			continue
		}
		for _, p := range loops[i].ps {
			ps = append(ps, p)
			owner = append(owner, int32(i))
		}
	}
	e := newEdges(ps, owner)
	e.monotone()
	e.sortSpans()
	return e
}

// inside tells whether q lies inside a loop.
func (l *loop) inside(q orb.Point) bool {
	if !l.box.Contains(q) {
		return false
	}
	e := &edges{pieces: l.ps, owner: make([]int32, len(l.ps))}
	e.monotone()
	odd := false
	e.crossings(q, func(int32) { odd = !odd })
	return odd
}

// validate reports the first fault of a board's contours.
func (b Board) validate(i int) error {
	fault := func(loop int, at orb.Point, found, expected string, err error) error {
		return &BoardError{Board: i, Other: -1, Loop: loop, At: at, Source: b.Source, Found: found, Expected: expected, Err: err}
	}
	all := append([]contour.Contour{b.Outline}, b.CutOuts...)
	for k, c := range all {
		if err := usable(c); err != nil {
			var ce *contour.ContourError
			at := c.Start
			if errors.As(err, &ce) {
				at = ce.At
			}
			return fault(k, at, "", "", err)
		}
	}
	loops := make([]loop, len(all))
	for k, c := range all {
		loops[k] = newLoop(c)
	}
	for k := range loops {
		for j := range k {
			if d, at := apart(&loops[j], &loops[k], onLine); d <= onLine {
				return fault(k, at, fmt.Sprintf("%s within %.3f mm of %s", loopName(k), d, loopName(j)), "contours that stay apart", ErrCrossing)
			}
			if in := loops[j].inside(loops[k].line.Start); in != (j == 0) || loops[k].inside(loops[j].line.Start) {
				return fault(k, loops[k].line.Start, loopName(k)+" not where a cut-out can be", "a cut-out inside the outline and outside the others", ErrBoard)
			}
		}
	}
	for k, o := range b.Open {
		if at, found, expected, err := o.validate(); err != nil {
			return &BoardError{Board: i, Other: -1, At: at, Source: b.sourceOf(o), Found: strings.TrimSuffix(fmt.Sprintf("open path %d: %s", k, found), ": "), Expected: expected, Err: err}
		}
	}
	for k, t := range b.Tabs {
		if !tooling.InRange(t.At[0]) || !tooling.InRange(t.At[1]) || !(t.Width >= 0 && t.Width <= 1000) || t.Loop < 0 || t.Loop > len(b.CutOuts) {
			return fault(0, t.At, fmt.Sprintf("tab %d: loop %d, width %g", k, t.Loop, t.Width), "a place on a loop of the board and a width in mm", ErrTabPlace)
		}
	}
	return nil
}

func loopName(k int) string {
	if k == 0 {
		return "the outline"
	}
	return fmt.Sprintf("cut-out %d", k-1)
}

// apart is the least distance of two loops as far as limit mm, and where; +Inf
// beyond it.
func apart(a, b *loop, limit float64) (float64, orb.Point) {
	best, at := math.Inf(1), orb.Point{}
	if !a.box.Pad(limit).Intersects(b.box) {
		return best, at
	}
	for i := range a.ps {
		reach := min(limit, best)
		if !a.ps[i].box().Pad(reach).Intersects(b.box) {
			continue
		}
		if d, _, f := b.near.clearance(&a.ps[i], reach); d < best {
			best, at = d, f
		}
	}
	return best, at
}
