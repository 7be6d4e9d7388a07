package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// blend is how far in mm a clean-up path runs on, at both ends, along the edge
// that the first cutter has made.
const blend = 0.3

// cleanUp adds paths of the smaller cutter in the inside corners of loop i that
// a first cutter running on lines leaves: the stretches of its own centre line
// whose nearest edge the first one did not touch, and a little of the edge on
// both sides. Corners stay with the smaller cutter's radius.
func (p *planner) cleanUp(i int, first tooling.Tool, lines []contour.Contour) error {
	if p.o.CleanUp == 0 || p.o.CleanUp >= first.Diameter {
		return nil
	}
	t, err := p.l.cutterOf(p.o.CleanUp)
	if err != nil {
		err.(*BoardError).Source.Path = "options.clean_up_mm"
		return err
	}
	o := &p.l.loops[i]
	got, err := o.offset(p.radius(t))
	if err != nil {
		return err
	}
	var ps []piece
	for _, c := range lines {
		ps = append(ps, pieces(c)...)
	}
	done := setOf(ps)
	edge := setOf(o.ps)
	for _, c := range got.Loops {
		r := newRuler(p.directed(c, o.inner()))
		keep := func(q, _ orb.Point) bool {
			_, k, foot := edge.near(q, p.radius(t)+10*onLine)
			if k < 0 || !p.wanted(i, q, t, p.radius(t), CleanUp) {
				return false
			}
			_, k, _ = done.near(foot, p.radius(first)+onLine/2)
			return k < 0
		}
		stretches, whole := r.trim(keep)
		if whole { // a part of the loop that the first cutter does not come into
			stretches = []kept{{0, r.length()}}
		}
		for _, k := range stretches {
			k = p.blended(i, r, k, t)
			p.items = append(p.items, item{tool: t, plated: o.plated, cleanUp: true, boards: []int{o.board},
				path: Path{Role: CleanUp, Board: o.board, Loop: o.number, Hole: o.hole, Allowance: tooling.Snap(-p.l.Input.Rules.Rout.Deflection), Line: r.cut(k.s, k.t)}})
		}
	}
	return nil
}

// blended lengthens a stretch at both ends as far as the path is wanted there.
func (p *planner) blended(i int, r *ruler, k kept, t tooling.Tool) kept {
	const n = 6
	for _, end := range [2]struct {
		s    *float64
		sign float64
	}{{&k.s, -1}, {&k.t, 1}} {
		for range n {
			if k.t-k.s+2*blend/n >= r.length() {
				break
			}
			s := *end.s + float64(end.sign*blend/n)
			if !p.wanted(i, r.at(s), t, p.radius(t), CleanUp) {
				break
			}
			*end.s = s
		}
	}
	return k
}
