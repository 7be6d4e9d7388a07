package route

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

// askedRules are the rules about what was asked for.
func (c *checker) askedRules() []rule {
	out := []rule{{"opening-missing", "the opening message says what must be there"}}
	if c.l.Input.Rules.Rout.SlugStop > 0 {
		out = append(out, rule{"waste-stop", "the program stops where waste to be taken out comes loose"})
	}
	if c.asked.NoFeeds {
		out = append(out, rule{"feed-mixed", "no cutter has a feed or speed, as asked, and the opening message says so"})
	}
	if c.asked.MaxBytes > 0 {
		out = append(out, rule{"parts-differ", "all programs of the pass have the same tools"})
	}
	return out
}

// checkOpening wants the message before the first path, and in it what was
// asked for beside the usual.
func (c *checker) checkOpening() {
	want := c.pass.opening(c.asked)
	if len(c.messages) == 0 || c.messages[0].path != 0 || !strings.Contains(c.messages[0].text, want) {
		c.report.Refuse("opening-missing", "", "no opening message: "+want, 0, 0)
	}
}

// sameTable tells whether two programs have the same tools.
func sameTable(a, b *nc.Program) bool {
	if len(a.Tools) != len(b.Tools) {
		return false
	}
	for i := range a.Tools {
		x, y := a.Tools[i], b.Tools[i]
		x.Line, y.Line = 0, 0
		if x != y {
			return false
		}
	}
	return true
}

// compensate does G40, G41 and G42.
func (r *writtenReader) compensate(op nc.Op) {
	refuse := func(why string) {
		r.c.report.Refuse("compensation", toolName(op.Tool), fmt.Sprintf("line %d: %s, %s", op.Line, op.Text, why), 0, 0, op.To)
	}
	switch {
	case r.down:
		refuse("with the cutter down")
	case op.Text == "G40":
		r.side = 0
	case !r.c.asked.Compensated:
		refuse("where the path carries its own compensation")
	case r.side != 0:
		refuse("with compensation on")
	case op.Text == "G41":
		r.side = 1
	default:
		r.side = -1
	}
}

// uncancelled refuses what must not happen under compensation.
func (r *writtenReader) uncancelled(op nc.Op, what string) {
	if r.side != 0 {
		r.c.report.Refuse("compensation", toolName(op.Tool), fmt.Sprintf("line %d: %s with compensation on", op.Line, what), 0, 0, op.From)
		r.side = 0
	}
}

// run puts the path that the control makes of an edge in its place: beside the
// start, round outside corners on arcs, up beside the end. It works from the
// written edge and the diameter that the operator is told to enter for the
// index, and knows nothing of the planned path.
func (r *writtenReader) run() {
	if r.side == 0 {
		return
	}
	rho := r.open.radius - r.c.deflection()
	made, at, why := control(r.open.ps, rho, r.side)
	if why != "" {
		r.c.report.Refuse("compensation", toolName(r.open.tool), fmt.Sprintf("the path from line %d: %s", r.open.line, why), rho, 0, at)
		return
	}
	if start := r.open.ps[0].a; start != made[0].a {
		r.open.rapids = append(r.open.rapids, newPiece(start, contour.Move{To: made[0].a}))
	}
	r.open.ps = made
	end := made[len(made)-1].b
	r.at = newPiece(end, contour.Move{To: end})
}

// joined is how far apart in mm the paths beside two moves may end and still be
// one: the directions of short moves are rounded.
const joined = 0.004

// control runs a cutter of radius rho beside written moves: on the left for
// side +1, on the right for -1. What no control can run comes with its place
// and the reason.
func control(ps []piece, rho, side float64) (out []piece, at orb.Point, why string) {
	beside := func(q *piece, p orb.Point) orb.Point {
		return along(p, left(q.headingAt(p)), float64(side*rho))
	}
	for k := range ps {
		q := &ps[k]
		a, b := beside(q, q.a), beside(q, q.b)
		m := contour.Move{To: b, Center: q.c, Turn: q.turn}
		if q.turn != 0 && float64(side*float64(q.turn)*rho) > q.r {
			return nil, q.a, fmt.Sprintf("an inside radius of %.3f mm, below the cutter's %.3f mm", q.r, rho)
		}
		if len(out) > 0 {
			last := &out[len(out)-1]
			h, g := ps[k-1].headingAt(q.a), q.headingAt(q.a)
			turn := cross(h, g)
			switch d := gap(last.b, a); {
			case d <= joined && (last.turn == 0 || q.turn != 0): // lines keep their direction better than arcs
				a = last.b
			case d <= joined:
				*last = newPiece(last.a, contour.Move{To: a, Center: last.c, Turn: last.turn})
			case float64(turn*side) < 0: // the corner lies towards the edge: round it
				arc := contour.Move{To: a, Center: q.a, Turn: 1}
				if side > 0 {
					arc.Turn = -1
				}
				out = append(out, newPiece(last.b, arc))
			default:
				return nil, q.a, fmt.Sprintf("an inside corner of %.1f degrees", math.Abs(math.Atan2(turn, dot(h, g)))*180/math.Pi)
			}
		}
		if p := newPiece(a, m); p.length > 0 {
			out = append(out, p)
		}
	}
	return out, orb.Point{}, ""
}
