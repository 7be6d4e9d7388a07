package route_test

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// grid lays n x m boards of 60 x 40 mm with corners of radius r a gap apart.
func grid(n, m int, r, g float64) route.Input {
	var at []orb.Point
	for y := range m {
		for x := range n {
			at = append(at, orb.Point{20 + float64(x)*(60+g), 20 + float64(y)*(40+g)})
		}
	}
	in := input(route.Board{Outline: rounded(60, 40, r)}, panel(40+float64(n)*(60+g), 40+float64(m)*(40+g), at...))
	in.Rules.Rout.Cutter = 2.4
	return in
}

func finished(d float64, plated bool) tooling.Size {
	return tooling.Size{Diameter: d, Basis: tooling.Finished, Plated: plated}
}

// samples are layouts of all kinds, each of which must plan and pass its check.
func samples() map[string]route.Input {
	out := map[string]route.Input{}
	one := input(sensor(), panel(120, 100, orb.Point{30, 30}))
	out["one board"] = one
	small := one
	small.Rules.Rout.Cutter = 0.8
	out["small cutter"] = small
	rough := one
	rough.Rules.Rout.Deflection = 0.05
	out["deflection"] = rough
	plainTabs := one
	plainTabs.Rules.Tabs.Perforated, plainTabs.Rules.Tabs.Width = false, 3
	out["plain tabs"] = plainTabs
	climb := one
	climb.Rules.Rout.Direction = tooling.Climb
	out["climb"] = climb
	noLead := one
	noLead.Rules.Rout.LeadIn, noLead.Rules.Rout.Overlap = 0, 0
	out["no lead, no overlap"] = noLead
	free := one
	free.NoTabs = true
	out["left to drop"] = free
	out["far apart"] = grid(2, 2, 3, 12)
	for name, r := range map[string]float64{"square": 0, "1 mm": 1, "3 mm": 3, "5 mm": 5} {
		out["shared channels, corners "+name] = grid(2, 2, r, 2.4)
	}
	out["one and a half cutters apart"] = grid(2, 2, 3, 3.6)
	out["just over two cutters apart"] = grid(2, 1, 3, 5)
	turned := grid(2, 1, 3, 30)
	turned.Panel.Boards[1].Quarters = 1
	turned.Panel.Boards[1].Offset[0] += 50
	out["a quarter turn"] = turned
	scored := grid(3, 1, 0, 0)
	for k := range 4 {
		x := 20 + 60*float64(k)
		scored.Panel.Scores = append(scored.Panel.Scores, tooling.Score{{x, 0}, {x, scored.Panel.Height}})
	}
	out["scored"] = scored
	roundScored := grid(2, 1, 4, 0)
	for k := range 3 {
		x := 20 + 60*float64(k)
		roundScored.Panel.Scores = append(roundScored.Panel.Scores, tooling.Score{{x, 0}, {x, roundScored.Panel.Height}})
	}
	out["scored, round corners"] = roundScored
	hand := one
	b := sensor()
	b.Tabs = []route.Tab{{At: orb.Point{30, 0}, Width: 4}, {At: orb.Point{30, 40}, Width: 4}, {At: orb.Point{30, 15}, Width: 3, Loop: 1}}
	hand.Boards = []route.Board{b}
	out["tabs by hand, one in the cut-out"] = hand
	fine := hand
	fb := b
	fb.CutOuts = []contour.Contour{rounded(20, 10, 0.4).Translate(20, 15)}
	fine.Boards = []route.Board{fb}
	out["a tab in a cut-out of a smaller cutter"] = fine
	holes := one
	holes.Holes = []drill.Hole{
		drill.Round(orb.Point{40, 40}, finished(8, false)), drill.Round(orb.Point{80, 40}, finished(15, false)), drill.Round(orb.Point{80, 60}, finished(3, false)),
	}
	out["routed holes"] = holes
	bare := one
	bare.Boards, bare.Panel.Boards, bare.Holes = nil, nil, []drill.Hole{drill.Round(orb.Point{40, 40}, finished(8, false)), drill.Slot(orb.Point{60, 40}, orb.Point{70, 50}, finished(7, true))}
	out["routed holes and no board"] = bare
	cornered := one
	cornered.Boards = []route.Board{{Outline: contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 15}, {40, 15}, {40, 25}, {60, 25}, {60, 40}, {0, 40}, {0, 0}}),
		CutOuts: []contour.Contour{rounded(12, 8, 0).Translate(15, 16)}}}
	out["sharp inside corners"] = cornered
	neck := one
	neck.Boards = []route.Board{{Outline: contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 19.5}, {45, 19.5}, {45, 10}, {25, 10}, {25, 30}, {45, 30}, {45, 20.5}, {60, 20.5}, {60, 40}, {0, 40}, {0, 0}})}}
	out["a pocket behind a neck"] = neck
	return out
}
