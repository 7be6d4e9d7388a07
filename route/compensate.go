package route

import (
	"errors"
	"fmt"
	"iter"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// ErrCompensation says that a path cannot be left to the control's cutter
// compensation.
var ErrCompensation = errors.New("route: the path cannot be written for the control to compensate")

// CompensationError names the path that cannot be written under G41 or G42.
type CompensationError struct {
	Run  int // Run.Number
	Path int // index into Run.Paths
	Role Role
	At   orb.Point // mm
	Why  string
}

// Error prints the path, the place and the reason.
func (e *CompensationError) Error() string {
	return fmt.Sprintf("run %d path %d, %s, at X%.3f Y%.3f: %v: %s", e.Run, e.Path, e.Role, e.At[0], e.At[1], ErrCompensation, e.Why)
}

// Unwrap gives [ErrCompensation].
func (e *CompensationError) Unwrap() error { return ErrCompensation }

// Lengths in mm that decide about edges under compensation.
const (
	vanished = 0.002 // an edge's arc of a smaller radius is a corner
	meeting  = 0.004 // how far apart the ends of two edges may lie: twice the grid's rounding either way
)

// compensated writes the edges of the pass's paths in place of its centre
// lines: rapid above the start of the edge, G41 or G42, down, along the edge, up,
// G40. The control is taken to put the cutter down beside the start, square to
// the first move, to run round outside corners on an arc, and to lift beside the
// end (from memory; controls differ in how they start).
//
// Only finishing paths on one edge can be written so: rough ones keep an
// allowance the index does not know, clearing and clean-up paths follow no edge,
// and an inside corner sharper than the cutter has no edge that it follows.
func (p Pass) compensated() (map[*Path]contour.Contour, error) {
	out := map[*Path]contour.Contour{}
	if p.Direction != tooling.Climb && p.Direction != tooling.Conventional {
		return nil, &CompensationError{Why: fmt.Sprintf("a pass of direction %q, expected climb or conventional", p.Direction)}
	}
	for i := range p.Runs {
		r := &p.Runs[i]
		for k := range r.Paths {
			path := &r.Paths[k]
			refuse := func(at orb.Point, why string) error {
				return &CompensationError{Run: r.Number, Path: k, Role: path.Role, At: at, Why: why}
			}
			switch {
			case path.Role != Finish:
				return nil, refuse(path.Line.Start, "only a finishing path follows one edge")
			case path.Open == Centre:
				return nil, refuse(path.Line.Start, "a path on centre follows no edge")
			case path.Allowance != r.Paths[0].Allowance:
				return nil, refuse(path.Line.Start, fmt.Sprintf("an allowance of %.3f mm where the index has %.3f mm", path.Allowance, r.Paths[0].Allowance))
			}
			edge, at, why := edgeOf(pieces(path.Line), r.Tool.Diameter/2+path.Allowance, p.materialLeft())
			if why != "" {
				return nil, refuse(at, why)
			}
			out[path] = edge
		}
	}
	return out, nil
}

// materialLeft is +1 where the material lies on the left of the cutter, -1
// where it lies on the right.
func (p Pass) materialLeft() float64 {
	if p.Direction == tooling.Climb {
		return -1
	}
	return 1
}

// compensation is the word for the side of the edge on which the cutter runs.
func (p Pass) compensation() string {
	if p.materialLeft() > 0 {
		return "G42"
	}
	return "G41"
}

// edgeOf moves a centre line by rho mm towards the material, on its left for
// side +1: back onto the edge it runs along. What has no edge comes with its
// place and the reason.
func edgeOf(ps []piece, rho, side float64) (edge contour.Contour, at orb.Point, why string) {
	var ends [][2]orb.Point // of each piece's edge
	var moves []contour.Move
	for k := range ps {
		q := &ps[k]
		a := along(q.a, left(q.headingAt(q.a)), float64(side*rho))
		b := along(q.b, left(q.headingAt(q.b)), float64(side*rho))
		m := contour.Move{To: b}
		if q.turn != 0 {
			r := q.r - float64(side*rho)*float64(q.turn)
			if r < -vanished {
				return edge, q.a, fmt.Sprintf("an arc of %.3f mm round the material, less than the cutter's %.3f mm", q.r, rho)
			}
			if m.Center, m.Turn = q.c, q.turn; r < vanished {
				a, b, m = q.c, q.c, contour.Move{To: q.c} // a sharp outside corner
			}
		}
		ends, moves = append(ends, [2]orb.Point{a, b}), append(moves, m)
	}
	for k := 1; k < len(ps); k++ {
		if gap(ends[k-1][1], ends[k][0]) > meeting {
			h, g := ps[k-1].headingAt(ps[k-1].b), ps[k].headingAt(ps[k].a)
			angle := math.Atan2(cross(h, g), dot(h, g)) * 180 / math.Pi
			return edge, ps[k].a, fmt.Sprintf("a corner of %.1f degrees in the cutter's path: an inside radius below the cutter's", math.Abs(angle))
		}
		// The corner belongs to the longer neighbour, whose direction rounding
		// has turned less.
		if joint := ends[k-1][1]; ps[k-1].length >= ps[k].length {
			ends[k][0] = joint
		} else {
			ends[k-1][1], moves[k-1].To = ends[k][0], ends[k][0]
		}
	}
	edge.Start = gridPoint(ends[0][0])
	last := edge.Start
	for k := range moves {
		m := moves[k]
		if m.To = gridPoint(m.To); m.To != last {
			edge.Moves = append(edge.Moves, m)
		}
		last = m.To
	}
	return edge, orb.Point{}, ""
}

// compensatedOps yields one path as its edge under compensation.
func (p Path) compensatedOps(edge contour.Contour, word string, at orb.Point, tool int) iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		put := func(op nc.Op, to orb.Point) bool {
			op.Tool, op.From, op.To = tool, at, to
			at = to
			return yield(op)
		}
		if !p.approach(put, edge.Start) || !put(nc.Op{Kind: nc.OpCompensation, Text: word}, at) || !put(nc.Op{Kind: nc.OpPlunge}, at) {
			return
		}
		for _, m := range edge.Moves {
			op := nc.Op{Kind: nc.OpLine}
			if m.Turn != 0 {
				op = nc.Op{Kind: nc.OpArc, Center: m.Center, Clockwise: m.Turn < 0}
			}
			if !put(op, m.To) {
				return
			}
		}
		_ = put(nc.Op{Kind: nc.OpRetract}, at) && put(nc.Op{Kind: nc.OpCompensation, Text: "G40"}, at)
	}
}

// indices says for the operator what the control's table has to hold.
func (p Pass) indices() []string {
	var out []string
	for _, r := range p.Runs {
		if len(r.Paths) == 0 {
			continue
		}
		for _, c := range r.Cutters {
			out = append(out, fmt.Sprintf("index %d is %.3f mm", c.Place, r.Tool.Diameter+2*r.Paths[0].Allowance))
		}
	}
	return out
}
