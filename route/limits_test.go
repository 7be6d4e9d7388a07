package route_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// um is a number of micrometres in mm, on the grid.
func um(n int) float64 { return float64(n) / 1000 }

// limit is a panel that changes with one length: at each of the lengths it is
// laid and planned.
type limit struct {
	name string
	at   []int // um
	in   func(x float64) route.Input
	o    route.Options
}

// lone is a plain board of 30 x 20 mm, 12 mm from the panel's edges, for a cutter
// of 2.4 mm with plain tabs of 3 mm.
func lone() route.Input {
	in := input(plain(30, 20), panel(54, 44, orb.Point{12, 12}))
	in.Boards[0].Source = tooling.Source{File: "board.rte"}
	in.Rules.Rout.Cutter = 2.4
	in.Rules.Tabs.Perforated, in.Rules.Tabs.Width, in.Rules.Tabs.CornerClear = false, 3, 2
	return in
}

// level is for a second board that is not moved this way.
const level = -1000.0

// pair is lone with a second board so far to the right and above.
func pair(x, y float64) route.Input {
	in := lone()
	in.Panel.Width, in.Panel.Height = 100, 80
	at := orb.Point{12, 12}
	if x != level {
		at[0] += 30 + x
	}
	if y != level {
		at[1] += 20 + y
	}
	in.Panel.Boards = append(in.Panel.Boards, tooling.Placement{Offset: at})
	return in
}

func holed(h ...drill.Hole) route.Input {
	in := lone()
	in.Holes = h
	return in
}

// bored is a hole of a drilled diameter.
func bored(at orb.Point, d float64, plated bool) drill.Hole {
	return drill.Round(at, tooling.Size{Diameter: d, Plated: plated, Basis: tooling.Drilled, Class: tooling.Mechanical})
}

func withTabs(tabs ...route.Tab) route.Input {
	in := lone()
	in.Boards[0].Tabs = tabs
	return in
}

func withOpen(o route.OpenPath) route.Input {
	in := lone()
	in.Boards[0].Open = []route.OpenPath{o}
	return in
}

func placed(in route.Input, at orb.Point) route.Input {
	in.Panel.Boards = []tooling.Placement{{Offset: at}}
	return in
}

func pinned(at orb.Point, d float64) route.Input {
	in := lone()
	in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: at, Diameter: d}}
	return in
}

func clamped(box orb.Bound, height float64) route.Input {
	in := lone()
	in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: box.Min, Max: box.Max, Height: height}}
	return in
}

func cutOut(c contour.Contour) route.Input {
	in := lone()
	in.Boards[0].CutOuts = []contour.Contour{c}
	return in
}

func limits() []limit {
	near := func(n int) []int { return []int{n - 2, n - 1, n, n + 1, n + 2} }
	edge := near(2400) // the channel's width
	return []limit{
		{"board so far from the left rim", edge, func(x float64) route.Input { return placed(lone(), orb.Point{x, 12}) }, route.Options{}},
		{"from the right rim", edge, func(x float64) route.Input { return placed(lone(), orb.Point{24 - x, 12}) }, route.Options{}},
		{"from the lower rim", edge, func(x float64) route.Input { return placed(lone(), orb.Point{12, x}) }, route.Options{}},
		{"from the upper rim", edge, func(x float64) route.Input { return placed(lone(), orb.Point{12, 24 - x}) }, route.Options{}},
		{"over the left rim", []int{-1, 0}, func(x float64) route.Input { return placed(lone(), orb.Point{x, 12}) }, route.Options{}},
		{"over the upper rim", []int{-1, 0}, func(x float64) route.Input { return placed(lone(), orb.Point{12, 24 - x}) }, route.Options{}},
		{"boards side by side", append(edge, 0, 1, 2, -5000, 3000, 3600, 4799, 4800, 4801, 4802, 4803, 6797, 6798, 6799, 6800, 6801), func(x float64) route.Input { return pair(x, level) }, route.Options{}},
		{"boards above each other", append(edge, 1, 4801, 6800), func(x float64) route.Input { return pair(level, x) }, route.Options{}},
		{"boards across a corner", []int{1696, 1697, 1698, 1699, 2399}, func(x float64) route.Input { return pair(x, x) }, route.Options{}},
		{"the largest cutter for a gap", []int{799, 800, 801, 1000, 2399, 2400, 3174, 3175, 3176}, func(x float64) route.Input {
			in := pair(x, level)
			in.Rules.Rout.Cutter = 0
			return in
		}, route.Options{}},
		{"a score line on the left edge", near(12000), func(x float64) route.Input {
			in := lone()
			in.Panel.Scores = []tooling.Score{{{x, 0}, {x, 44}}}
			return in
		}, route.Options{}},
		{"a score line on the upper edge", near(32000), func(x float64) route.Input {
			in := lone()
			in.Panel.Scores = []tooling.Score{{{0, x}, {54, x}}}
			return in
		}, route.Options{}},
		{"a score line between two boards", []int{0, 1, 2, 1000, 2399, 2400}, func(x float64) route.Input {
			in := pair(x, level)
			in.Panel.Scores = []tooling.Score{{{42, 0}, {42, 80}}}
			return in
		}, route.Options{}},
		{"a score line on the lower of two boards", []int{0, 1, 2, 1000, 2399, 2400}, func(x float64) route.Input {
			in := pair(level, x)
			in.Panel.Scores = []tooling.Score{{{0, 32}, {100, 32}}}
			return in
		}, route.Options{}},
		{"a pin beside the left edge", near(2400), func(x float64) route.Input { return pinned(orb.Point{12 - x - 1.5, 20}, 3) }, route.Options{Margin: -1}},
		{"a pin in the board", near(0), func(x float64) route.Input { return pinned(orb.Point{12 + x + 1.5, 20}, 3) }, route.Options{Margin: -1}},
		{"a pin and the margin", near(2900), func(x float64) route.Input { return pinned(orb.Point{12 - x - 1.5, 20}, 3) }, route.Options{}},
		{"a pin in the board's first set-up only", []int{0, 2400}, func(x float64) route.Input {
			in := pinned(orb.Point{12 - x - 1.5, 20}, 3)
			in.Panel.Features[0].SetUp = 1
			return in
		}, route.Options{}},
		{"a flush keep-out beside the lower edge", near(2400), func(x float64) route.Input {
			return clamped(orb.Bound{Min: orb.Point{20, 2}, Max: orb.Point{30, 12 - x}}, 0)
		}, route.Options{Margin: -1}},
		{"a flush keep-out and the margin", near(2900), func(x float64) route.Input {
			return clamped(orb.Bound{Min: orb.Point{20, 2}, Max: orb.Point{30, 12 - x}}, 0)
		}, route.Options{}},
		{"a flush keep-out in the board", near(0), func(x float64) route.Input {
			return clamped(orb.Bound{Min: orb.Point{20, 12 + x}, Max: orb.Point{30, 18}}, 0)
		}, route.Options{Margin: -1}},
		{"a clamp and the foot", near(7700), func(x float64) route.Input {
			return clamped(orb.Bound{Min: orb.Point{20, 2}, Max: orb.Point{30, 12 - x}}, 1)
		}, route.Options{}},
		{"a clamp at the clearance", []int{1499, 1500, 1501}, func(x float64) route.Input {
			return clamped(orb.Bound{Min: orb.Point{20, 1}, Max: orb.Point{30, 3}}, x)
		}, route.Options{}},
		{"a clamp round a board", []int{0}, func(float64) route.Input { return clamped(orb.Bound{Min: orb.Point{2, 2}, Max: orb.Point{50, 40}}, 0) }, route.Options{}},
		{"deflection and radius", []int{398, 399, 400, 401}, func(x float64) route.Input {
			in := lone()
			in.Rules.Rout.Cutter = 0.8
			in.Rules.Rout.Deflection = x
			return in
		}, route.Options{}},
		{"a tab as wide as room between corners", near(12800), func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{30, 10}, Width: x}) }, route.Options{}},
		{"a tab as wide as its edge", near(20001), func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{30, 10}, Width: x}) }, route.Options{}},
		{"a tab beside the edge's start", near(5100), func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{x, 0}, Width: 3}) }, route.Options{}},
		{"a tab beside the edge's end", near(24900), func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{x, 0}, Width: 3}) }, route.Options{}},
		{"a tab so far off its edge", []int{0, 8, 9, 10, 11}, func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{15, -x}, Width: 3}) }, route.Options{}},
		{"two tabs apart", near(6100), func(x float64) route.Input {
			return withTabs(route.Tab{At: orb.Point{9, 20}, Width: 3}, route.Tab{At: orb.Point{9 + x, 20}, Width: 4})
		}, route.Options{}},
		{"a tab's width", []int{-1, 0, 1_000_000, 1_000_001}, func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{15, 0}, Width: x}) }, route.Options{}},
		{"a tab's loop", []int{-1000, 0, 1000}, func(x float64) route.Input { return withTabs(route.Tab{At: orb.Point{15, 0}, Width: 3, Loop: int(x)}) }, route.Options{}},
		{"a tab over a half hole", near(9000), func(x float64) route.Input {
			in := withTabs(route.Tab{At: orb.Point{15, 0}, Width: 3})
			h := bored(orb.Point{12 + x, 12}, 9, false)
			h.Half = true
			in.Holes = []drill.Hole{h}
			return in
		}, route.Options{}},
		{"a tab half across a channel", append(append(near(6800), near(13200)...), 0, 10000, 20000), func(x float64) route.Input {
			in := pair(2.4, level)
			in.Panel.Boards[1].Offset[1] = 12 + x
			in.Boards[0].Tabs = []route.Tab{{At: orb.Point{30, 10}, Width: 4}}
			return in
		}, route.Options{}},
		{"edges for the rule's tab", []int{3000, 10199, 10200, 10201, 10202, 12000}, func(x float64) route.Input {
			in := lone()
			in.Boards[0].Outline = rounded(x, x, 0)
			return in
		}, route.Options{}},
		{"edges for a tab with clear corners", []int{14999, 15000, 15001}, func(x float64) route.Input {
			in := lone()
			in.Boards[0].Outline = rounded(x, x, 0)
			in.Rules.Tabs.CornerClear = 6
			return in
		}, route.Options{}},
		{"the spacing of tabs", []int{20000, 24999, 25000, 33333, 33334, 50000}, func(x float64) route.Input {
			in := lone()
			in.Rules.Tabs.Spacing, in.Rules.Tabs.PerBoard = x, 2
			return in
		}, route.Options{}},
		{"tabs off a round board", []int{6000, 7800, 7900, 8000, 9000, 12000}, func(x float64) route.Input {
			in := lone()
			in.Panel.Width, in.Panel.Height = 54, 54
			in.Boards[0].Outline = contour.Circle(orb.Point{x, x}, x)
			return in
		}, route.Options{}},
		{"wide tabs off a round board, a small cutter", []int{13600, 16700, 16799, 16800, 16801, 17000}, func(x float64) route.Input {
			in := lone()
			in.Rules.Rout.Cutter, in.Rules.Tabs.Width = 0.8, 6.4
			in.Panel.Width, in.Panel.Height = 60, 60
			in.Boards[0].Outline = contour.Circle(orb.Point{x, x}, x)
			return in
		}, route.Options{}},
		{"a square cut-out beside the edge", []int{0, 1, 2}, func(x float64) route.Input { return cutOut(rounded(8, 6, 0).Translate(x, 7)) }, route.Options{}},
		{"boards shifted along a shared channel", []int{0, 2500, 5000, 8000, 11000, 14000, 17600, 20000}, func(x float64) route.Input {
			in := pair(2.4, x-20)
			in.Rules.Tabs.PerSide = 1
			return in
		}, route.Options{}},
		{"boards shifted along a wide channel", []int{0, 2500, 5000, 8000, 11000, 14000, 17600, 20000}, func(x float64) route.Input {
			in := pair(5.5, x-20)
			in.Rules.Tabs.PerSide = 1
			return in
		}, route.Options{}},
		{"boards shifted along a channel and a bar", []int{0, 5000, 11000, 17600}, func(x float64) route.Input {
			in := pair(6.9, x-20)
			in.Rules.Tabs.PerSide = 1
			return in
		}, route.Options{}},
		{"a round board beside a square one", []int{2400, 3000, 4799, 4800, 6800, 7000}, func(x float64) route.Input {
			in := pair(x, level)
			in.Boards = append(in.Boards, route.Board{Outline: contour.Circle(orb.Point{10, 10}, 10)})
			in.Panel.Boards[1].Board = 1
			return in
		}, route.Options{}},
		{"a half round board", []int{7000, 10000}, func(x float64) route.Input {
			in := lone()
			in.Boards[0].Outline = contour.Contour{Start: orb.Point{x, 0}, Moves: []contour.Move{{To: orb.Point{x, 2 * x}}, {To: orb.Point{x, 0}, Center: orb.Point{x, x}, Turn: 1}}}
			return in
		}, route.Options{}},
		{"a hole beside an edge", append(near(500), 0, 999, 1000, 1001), func(x float64) route.Input { return holed(bored(orb.Point{12 + x, 20}, 1, true)) }, route.Options{}},
		{"a slot beside an edge", near(500), func(x float64) route.Input {
			h := bored(orb.Point{20, 12 + x}, 1, true)
			h.To = orb.Point{24, 12 + x}
			return holed(h)
		}, route.Options{}},
		{"a hole beside a score line", near(500), func(x float64) route.Input {
			in := holed(bored(orb.Point{48 + x, 5}, 1, false))
			in.Panel.Scores = []tooling.Score{{{48, 0}, {48, 44}}}
			return in
		}, route.Options{}},
		{"a hole beside a perforation", near(750), func(x float64) route.Input {
			in := withTabs(route.Tab{At: orb.Point{15, 0}, Width: 6.4, Perforated: true})
			in.Holes = []drill.Hole{bored(orb.Point{27, 12.1 + x}, 1, false)}
			return in
		}, route.Options{}},
		{"perforations of the rule beside holes", near(1250), func(x float64) route.Input {
			in := lone()
			in.Rules.Tabs.Perforated, in.Rules.Tabs.Width = true, 6.4
			for k := range 7 { // one after another along the lower edge
				in.Holes = append(in.Holes, bored(orb.Point{15 + 4*float64(k), 12.1 + x}, 1, false))
			}
			return in
		}, route.Options{}},
		{"a half hole into the next board", []int{2399, 2400, 2401, 2402}, func(x float64) route.Input {
			in := pair(2.4, level)
			h := bored(orb.Point{42, 20}, 2*x, false)
			h.Half = true
			in.Holes = []drill.Hole{h}
			return in
		}, route.Options{}},
		{"a half hole between boards", []int{1199, 1200, 1201, 1300}, func(x float64) route.Input {
			in := pair(2.4, level)
			h := bored(orb.Point{42 + x, 20}, 3, false)
			h.Half = true
			in.Holes = []drill.Hole{h}
			return in
		}, route.Options{}},
		{"a routed hole at the rim", []int{3999, 4000, 4001}, func(x float64) route.Input { return holed(bored(orb.Point{x, 5}, 8, false)) }, route.Options{}},
		{"a routed hole's size", []int{0, 6500, 6501, 7000, 9400}, func(x float64) route.Input { return holed(bored(orb.Point{27, 22}, x, true)) }, route.Options{}},
		{"a slot's size", []int{790, 799, 800, 801, 2450, 6501}, func(x float64) route.Input {
			h := bored(orb.Point{22, 22}, x, true)
			h.To = orb.Point{30, 24}
			in := holed(h)
			in.Crib.Tools = cuttersOf(in.Crib)
			return in
		}, route.Options{}},
		{"a cut-out's width", []int{799, 800, 801, 1600, 2399, 2400, 2401, 3000}, func(x float64) route.Input { return cutOut(rounded(12, x, 0).Translate(9, 8)) }, route.Options{}},
		{"a cut-out beside the edge", []int{0, 1, 2, 3}, func(x float64) route.Input { return cutOut(rounded(8, 6, 1).Translate(x, 7)) }, route.Options{}},
		{"two cut-outs apart", []int{-8000, 0, 1, 2, 3}, func(x float64) route.Input {
			in := cutOut(rounded(8, 6, 1).Translate(3, 7))
			in.Boards[0].CutOuts = append(in.Boards[0].CutOuts, rounded(8, 6, 1).Translate(11+x, 7))
			return in
		}, route.Options{}},
		{"a cut-out's corners", []int{0, 398, 399, 400, 799, 1199, 1200, 1201}, func(x float64) route.Input { return cutOut(rounded(12, 8, x).Translate(9, 6)) }, route.Options{CleanUp: 0.8}},
		{"an outline's fillets", []int{1, 398, 399, 400, 1199, 1200, 1201, 1587, 1588}, func(x float64) route.Input {
			in := lone()
			in.Rules.Rout.Cutter = 0
			in.Boards[0].Outline = contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{
				{To: orb.Point{30, 0}}, {To: orb.Point{30, 10}}, {To: orb.Point{15 + x, 10}}, {To: orb.Point{15, 10 + x}, Center: orb.Point{15 + x, 10 + x}, Turn: -1},
				{To: orb.Point{15, 20}}, {To: orb.Point{0, 20}}, {To: orb.Point{0, 0}},
			}}
			return in
		}, route.Options{}},
		{"a bay's width", []int{500, 799, 800, 801, 2399, 2400, 2401}, func(x float64) route.Input {
			in := lone()
			in.Panel.Width, in.Panel.Height, in.Rules.Rout.Cutter = 84, 64, 0
			in.Boards[0].Outline = bay(x)
			return in
		}, route.Options{}},
		{"slugs to be cleared", []int{9149, 9150, 9151, 9152, 13000}, func(x float64) route.Input {
			in := cutOut(rounded(x, 6, 1.2).Translate(9, 7))
			return in
		}, route.Options{}},
		{"a cutter to clean up with", []int{800, 1000, 2000, 2399, 2400, 2401}, func(float64) route.Input { return cutOut(rounded(12, 8, 0).Translate(9, 6)) }, route.Options{}},
		{"the room of an entry", []int{1100, 1149, 1150, 1200, 1250, 1300}, func(x float64) route.Input { return cutOut(rounded(12, x, 0).Translate(9, 8)) }, route.Options{EnterBelow: 1}},
		{"an open path beside a plated hole", near(1000), func(x float64) route.Input {
			in := withOpen(route.OpenPath{Line: through(orb.Point{10, 5}, orb.Point{10, 15}), Side: route.Centre, Width: 1})
			in.Holes = []drill.Hole{bored(orb.Point{22 + x, 22}, 1, true), bored(orb.Point{22 - x, 20}, 1, false)}
			return in
		}, route.Options{}},
		{"an open path on its left beside a hole", near(1500), func(x float64) route.Input {
			in := withOpen(route.OpenPath{Line: through(orb.Point{10, 5}, orb.Point{10, 15}), Side: route.Left, Width: 1})
			in.Holes = []drill.Hole{bored(orb.Point{22 - x, 22}, 1, true)}
			return in
		}, route.Options{}},
		{"an open path beside the next board", near(500), func(x float64) route.Input {
			in := pair(2.4, level)
			in.Boards = append(in.Boards, plain(30, 20))
			in.Panel.Boards[1].Board = 1
			in.Boards[0].Open = []route.OpenPath{{Line: through(orb.Point{20, 10}, orb.Point{32.4 - x, 10}), Side: route.Centre, Width: 1}}
			in.Boards[0].Tabs = []route.Tab{{At: orb.Point{15, 0}, Width: 3}, {At: orb.Point{15, 20}, Width: 3}}
			return in
		}, route.Options{}},
		{"an open path beside a tab", near(2000), func(x float64) route.Input {
			in := withOpen(route.OpenPath{Line: through(orb.Point{15 + x, 10}, orb.Point{15 + x, -2}), Side: route.Centre, Width: 1})
			in.Boards[0].Tabs = []route.Tab{{At: orb.Point{15, 0}, Width: 3}, {At: orb.Point{8, 20}, Width: 3}}
			return in
		}, route.Options{}},
		{"an open path that keeps tabs off", []int{0, 4000, 10000}, func(x float64) route.Input {
			return withOpen(route.OpenPath{Line: through(orb.Point{5 + x, -1}, orb.Point{5 + x, 5}, orb.Point{28, 8 + x/2}), Side: route.Right, Width: 1})
		}, route.Options{Rough: 0.1}},
		{"an open path with no room for its cutter", []int{300, 1100, 1200, 1300}, func(x float64) route.Input {
			line := contour.Contour{Start: orb.Point{10, 10}, Moves: []contour.Move{{To: orb.Point{10 + 2*x, 10}, Center: orb.Point{10 + x, 10}, Turn: -1}}}
			return withOpen(route.OpenPath{Line: line, Side: route.Right, Width: 2.4})
		}, route.Options{}},
	}
}

// Two tabs on one edge are refused, or stand far enough apart for a cut between:
// the check finds both webs as wide as asked.
func TestTabsByHandLeaveACutBetween(t *testing.T) {
	for n := 5890; n <= 6400; n += 15 {
		in := withTabs(route.Tab{At: orb.Point{9, 20}, Width: 3}, route.Tab{At: orb.Point{9 + um(n), 20}, Width: 4})
		l, err := route.Lay(in)
		if n < 6100 {
			require.ErrorIs(t, err, route.ErrTabPlace, n)
			require.ErrorContains(t, err, "places 6.100 mm apart", n)
			continue
		}
		require.NoError(t, err, n)
		p := mounted(t, l, route.Options{})
		require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err(), n)
	}
}

func cuttersOf(c tooling.Crib) (out []tooling.Tool) {
	for _, t := range c.Tools {
		if t.Kind == tooling.Cutter {
			out = append(out, t)
		}
	}
	return out
}

// wholeError is an error with every field.
func wholeError(err error) string {
	var be *route.BoardError
	if !errors.As(err, &be) {
		return err.Error()
	}
	return fmt.Sprintf("%v [board %d, other %d, loop %d at %s, %s %s]", err, be.Board, be.Other, be.Loop, xy(be.At), be.Source, be.Source.Path)
}

// TestLimitsGolden goes through the lengths that decide, a micrometre to either
// side of each: what is laid and planned, and what is refused with which error.
func TestLimitsGolden(t *testing.T) {
	t.Parallel()
	all := goldenCases(t, "limits.txt")
	for _, c := range limits() {
		all.run(t, c.name, func(t *testing.T, b *strings.Builder) { toldLimit(b, c) })
	}
}

// toldLimit lays and plans one panel at every length.
func toldLimit(b *strings.Builder, c limit) {
	for _, n := range c.at {
		x := um(n)
		o := c.o
		if c.name == "a cutter to clean up with" {
			o.CleanUp = x
		}
		fmt.Fprintf(b, " at %s\n", mm(x))
		l, err := route.Lay(c.in(x))
		if err != nil {
			fmt.Fprintf(b, "  not laid: %s\n", wholeError(err))
			continue
		}
		fmt.Fprintf(b, "  cutter %s, tabs", mm(l.Cutter.Diameter))
		for _, tab := range l.Tabs {
			fmt.Fprintf(b, " %d %s across %s;", tab.Board, xy(tab.At), mm(tab.Across))
		}
		b.WriteByte('\n')
		told(b, l.Report)
		if _, err := l.Entries(context.Background(), o); err != nil {
			fmt.Fprintf(b, "  no entries: %s\n", wholeError(err))
		}
		passes, err := route.Plan(context.Background(), l, o)
		if err != nil {
			fmt.Fprintf(b, "  not planned: %s\n", wholeError(err))
		}
		for _, p := range passes {
			for _, r := range p.Runs {
				fmt.Fprintf(b, "  %s by %s: %d paths, %s mm, home%s:", p.Name, mm(r.Tool.Diameter), len(r.Paths), mm(r.Cut), places(r.Home))
				for _, q := range r.Paths {
					fmt.Fprintf(b, " %s %s %08x", q.Role, mm(q.Entry), digest(q.Line))
				}
				b.WriteByte('\n')
			}
			told(b, p.Report)
		}
	}
}

// The web of a tab between two channels is measured in both: a cut that runs on
// into it beside either board is refused.
func TestTabWebIsMeasuredBesideBothBoards(t *testing.T) {
	in := pair(5.5, level)
	in.Boards[0].Tabs = []route.Tab{{At: orb.Point{30, 10}, Width: 3}, {At: orb.Point{9, 0}, Width: 3}, {At: orb.Point{9, 20}, Width: 3}}
	in.Boards = append(in.Boards, plain(30, 20))
	in.Boards[1].Tabs = []route.Tab{{At: orb.Point{15, 0}, Width: 3}, {At: orb.Point{15, 20}, Width: 3}}
	in.Panel.Boards[1].Board = 1
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	src := text(t, p)
	require.NoError(t, route.Check(l, p, parse(t, src)).Err())
	for _, x := range []string{"X43.200", "X46.300"} { // a cutter's radius off either board
		end := x + "Y24.700"
		require.Contains(t, src, end)
		report := route.Check(l, p, parse(t, strings.ReplaceAll(src, end, x+"Y24.600")))
		f := finding(t, report, "tab-width")
		require.False(t, f.OK, x)
		require.InDelta(t, 2.9, f.Value, 0.001, x)
		require.Equal(t, []orb.Point{{42, 22}}, f.Places)
	}
}
