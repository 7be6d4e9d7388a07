package route

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// A notch is a stretch of an edge that a cutter is kept out of by what stands before
// it: a slit, a bay, a pocket behind a neck. A mere corner keeps a cutter's radius,
// whatever its size.
type notch struct {
	at    orb.Point // middle of the stretch
	size  float64   // mm along the edge
	depth float64   // mm from its bottom to what is cut
}

const (
	depthLooks = 32   // at how many places along a stretch its depth is taken
	atVertex   = 1e-5 // mm from a vertex that count as at it
)

// notches lists what a cutter is kept out of, from half its radius r deep; got is
// the loop's offset by r. Where the cutter touches the end of such a stretch the edge turns away
// from it, at a corner that points at it or on a bulge; in corners it touches the
// corner's own two sides.
func (l *loop) notches(got contour.Offsets, r float64) (out []notch) {
	edge, centre := contour.NewIndex([]contour.Contour{l.line}), contour.NewIndex(got.Loops)
	for _, u := range got.Unreachable {
		n := notch{at: u.At, size: u.Size}
		middle := edge.Nearest(u.At).Along
		if !l.bulges(middle-u.Size/2) && !l.bulges(middle+u.Size/2) {
			continue
		}
		for k := range depthLooks + 1 {
			p, _ := l.line.At(middle + float64(u.Size*(float64(k)/depthLooks-0.5)))
			n.depth = max(n.depth, centre.Distance(p)-r)
		}
		if n.depth > r/2 {
			out = append(out, n)
		}
	}
	return out
}

// bulges tells whether the edge, so far along it, turns away from a cutter that
// runs beside it: to the left along an outline, to the right along a cut-out.
func (l *loop) bulges(s float64) bool {
	length := 0.0
	for k := range l.ps {
		length += l.ps[k].length
	}
	s = math.Mod(math.Mod(s, length)+length, length)
	sense := 1.0
	if l.inner() {
		sense = -1
	}
	for k := range l.ps {
		p := &l.ps[k]
		if s > p.length+atVertex {
			s -= p.length
			continue
		}
		before, after := k, k
		switch {
		case s < atVertex:
			before = (k + len(l.ps) - 1) % len(l.ps)
		case s > p.length-atVertex:
			after = (k + 1) % len(l.ps)
		}
		if before == after {
			return float64(p.turn)*sense > 0
		}
		a, b := &l.ps[before], &l.ps[after]
		return cross(a.headingAt(a.b), b.headingAt(b.a))*sense > leastTurn
	}
	return false
}

// leastTurn is the sine of the angle at a vertex that counts as a corner rather than
// as a chord of an arc.
const leastTurn = 0.02

// opens tells whether a smaller cutter comes into one of the notches that a larger
// one leaves, of those deeper than its radius: shallower ones are not worth another
// cutter round the whole board. In a mere corner what stays shrinks as the cutter does.
func opens(left []notch, larger float64, rest []notch, smaller float64) bool {
	return slices.ContainsFunc(left, func(n notch) bool {
		depth := 0.0
		for _, m := range rest {
			if gap(m.at, n.at) <= n.size/2+onLine {
				depth = max(depth, m.depth)
			}
		}
		return n.depth > larger/2 && depth < 0.95*n.depth*smaller/larger
	})
}

// open returns the largest of some cutters, the largest first, that comes into
// every notch of the loop that any of them comes into, with its offset and the
// notches left even so. Cutters that find no room are passed over.
func (l *loop) open(cutters []tooling.Tool, deflection float64) (best tooling.Tool, got contour.Offsets, left []notch, err error) {
	for _, t := range cutters {
		r := t.Diameter/2 - deflection
		off, rest, err := l.centreLine(r)
		if err != nil {
			return t, off, nil, err
		}
		if len(off.Loops) == 0 {
			continue
		}
		if len(got.Loops) == 0 || len(off.Loops) != len(got.Loops) && l.inner() || opens(left, best.Diameter, rest, t.Diameter) {
			best, got, left = t, off, rest
		}
	}
	if l.inner() && len(got.Loops) == 0 {
		return l.fill(cutters, deflection)
	}
	return best, got, left, nil
}

// fill returns the cutter that is exactly as wide as a slot no cutter goes round in,
// with the centre line that runs up and down its middle.
func (l *loop) fill(cutters []tooling.Tool, deflection float64) (best tooling.Tool, got contour.Offsets, left []notch, err error) {
	for _, t := range cutters {
		r := t.Diameter/2 - deflection - hair
		near, err := l.offset(r)
		if err != nil {
			return t, near, nil, err
		}
		if extent(near.Loops) > 10*onLine { // more than a plunge
			return t, near, l.notches(near, r), nil
		}
	}
	return best, got, left, nil
}

// hair is how much nearer in mm a centre line may run to come into a channel
// exactly as wide as the cutter, which the exact offset closes: half the writing
// grid, within what the grid's rounding moves a path anyway.
const hair = onLine / 2

// centreLine is the loop moved by a cutter's radius r off its material, and the
// notches it does not come into: through channels exactly as wide as the cutter
// where there are any.
func (l *loop) centreLine(r float64) (contour.Offsets, []notch, error) {
	off, err := l.offset(r)
	if err != nil {
		return off, nil, err
	}
	left := l.notches(off, r)
	if len(left) == 0 {
		return off, left, nil
	}
	near, err := l.offset(r - hair)
	if err != nil {
		return off, nil, err
	}
	if rest := l.notches(near, r-hair); len(rest) < len(left) {
		return near, rest, nil
	}
	return off, left, nil
}

// offset moves the loop off its material by r mm.
func (l *loop) offset(r float64) (contour.Offsets, error) {
	if l.inner() {
		r = -r
	}
	got, err := contour.Offset([]contour.Contour{l.line}, r)
	if err != nil {
		return got, &BoardError{Board: l.board, Other: -1, At: l.line.Start, Found: l.name(), Err: fmt.Errorf("%w: %w", ErrOffset, err)}
	}
	return got, nil
}

// cutters are the crib's up to a diameter in mm, the largest first.
func cutters(c tooling.Crib, most float64) (out []tooling.Tool) {
	for _, t := range c.Tools {
		if t.Kind == tooling.Cutter && t.Diameter <= most {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b tooling.Tool) int { return cmp.Compare(b.Diameter, a.Diameter) })
	return out
}

// FitCutter returns the largest cutter of a crib, up to a diameter in mm, that
// follows a board's outline: every hollow arc that some cutter of the crib
// follows, and every notch that some cutter comes into; the zero tool where the
// crib has none so small. Cost is an offset of the outline for each cutter.
//
// The error is a [*BoardError] wrapping [ErrOffset].
func FitCutter(b Board, crib tooling.Crib, most, deflection float64) (tooling.Tool, error) {
	l := newLoop(b.Outline)
	in := Input{Crib: crib, Rules: tooling.Rules{Rout: tooling.RoutRules{Deflection: deflection}}}
	fit := cutters(crib, min(most, 2*l.insideRadius(in.tightest())+2*deflection)+onLine)
	t, _, _, err := l.open(fit, deflection)
	return t, err
}
