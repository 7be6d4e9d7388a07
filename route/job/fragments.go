package job

import (
	"fmt"
	"slices"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// A piece of a tool that stays in the panel lies in the way of every pass that comes
// after: a cutter along the edge through a half hole, one that plunges where a hole was
// to be, a pin.

// DrillFragments tells what of the plan, which is as it was before the stop, comes to
// the holes that a rest of one of its drill passes leaves out: hits and paths, of the
// rest and of later passes, that meet a hole with a piece of a bit in it, one finding
// for each hole and run ("meets-fragment"), and pins of the second set-up where no
// hole is made for them ("pin-left-out"). Cost is the product of the holes left out
// and all hits and moves.
func (p Plan) DrillFragments(rest drill.Pass) tooling.Report {
	var out tooling.Report
	if rest.Rest == nil {
		return out
	}
	drills, routs := []drill.Pass{rest}, []route.Pass(nil)
	for _, d := range p.Drill {
		if d.SetUp.Number > rest.SetUp.Number {
			drills = append(drills, d)
		}
	}
	for _, r := range p.Rout {
		if r.SetUp.Number >= rest.SetUp.Number { // drilling comes first in a set-up
			routs = append(routs, r)
		}
	}
	for _, l := range rest.Rest.LeftOut {
		h := p.Job.Drill.Holes[l.Hole]
		left := leftOut{line: contour.Contour{Start: h.At}, radius: p.Job.Drill.Rules.Allowance.Target(h.Size) / 2, name: "hole"}
		if h.IsSlot() {
			left.line.Moves, left.name = []contour.Move{{To: h.To}}, "slot"
		}
		if l.Why == drill.Fragment {
			left.met(&out, drills, routs)
		}
		if rest.Stage == tooling.BeforePlating && slices.Contains(p.stages(), tooling.AfterPlating) {
			left.pinned(&out, p.Job.Drill.Panel)
		}
	}
	return out
}

// RoutFragments is [Plan.DrillFragments] for the channels that the rest of a rout pass
// leaves out because a piece of a cutter is in them: what of later passes meets them.
func (p Plan) RoutFragments(rest route.Pass) tooling.Report {
	var out tooling.Report
	if rest.Rest == nil {
		return out
	}
	var drills []drill.Pass
	for _, d := range p.Drill {
		if d.SetUp.Number > rest.SetUp.Number {
			drills = append(drills, d)
		}
	}
	own := slices.IndexFunc(p.Rout, func(r route.Pass) bool { return r.Name == rest.Name })
	for _, l := range rest.Rest.LeftOut {
		if l.Why == route.Fragment {
			leftOut{l.Path.Line, l.Diameter / 2, "channel"}.met(&out, drills, p.Rout[own+1:])
		}
	}
	return out
}

// leftOut is a place that a rest makes no more.
type leftOut struct {
	line   contour.Contour // its centre line
	radius float64         // mm
	name   string
}

func (l leftOut) at() string {
	return fmt.Sprintf("%s at X%.3f Y%.3f", l.name, l.line.Start[0], l.line.Start[1])
}

// meets tells whether a tool along a line comes to the place, by a nanometre at least.
func (l leftOut) meets(line contour.Contour, diameter float64) bool {
	return tooling.Nanometres(route.Gap(l.line, line)) < tooling.Nanometres(l.radius+diameter/2)
}

// met notes what of the passes comes to the piece.
func (l leftOut) met(out *tooling.Report, drills []drill.Pass, routs []route.Pass) {
	tell := func(pass string, run int, noun string, numbers []int) {
		verb := "comes"
		if len(numbers) > 1 {
			verb = "come"
		}
		if len(numbers) > 0 {
			out.Note("meets-fragment", pass, fmt.Sprintf("%s of run %d of pass %s %s to the piece left in the %s: take the piece out first, or leave that out too",
				tooling.Numbers(noun, "", numbers), run, pass, verb, l.at()), 0, 0, l.line.Start)
		}
	}
	for _, d := range drills {
		for _, r := range d.Runs {
			var numbers []int
			for i, h := range r.Hits {
				if l.meets(contour.Contour{Start: h.At}, r.Tool.Diameter) {
					numbers = append(numbers, i+1)
				}
			}
			tell(d.Name, r.Number, "hit", numbers)
		}
	}
	for _, d := range routs {
		for _, r := range d.Runs {
			var numbers []int
			for i, path := range r.Paths {
				if l.meets(path.Line, r.Tool.Diameter) {
					numbers = append(numbers, i+1)
				}
			}
			tell(d.Name, r.Number, "path", numbers)
		}
	}
}

// pinned notes the pins of the second set-up that are to stand in the place.
func (l leftOut) pinned(out *tooling.Report, panel tooling.Panel) {
	for _, f := range panel.Pins(2) {
		if f.SetUp != 0 && l.meets(contour.Contour{Start: f.At}, f.Diameter) {
			out.Note("pin-left-out", "", fmt.Sprintf("a pin of the set-up after plating is to stand in the %s, which is left out: take out what is in it and make the hole before that set-up", l.at()), 0, 0, f.At)
		}
	}
}
