package route_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// plain is a board of w x h mm with square corners.
func plain(w, h float64) route.Board { return route.Board{Outline: rounded(w, h, 0)} }

func bowTie() contour.Contour {
	return contour.FromRing(orb.Ring{{0, 0}, {40, 30}, {40, 0}, {0, 30}, {0, 0}})
}

// drilled is a plain board with one hole of the panel.
func drilled(h drill.Hole) route.Input {
	in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
	in.Holes = []drill.Hole{h}
	return in
}

// TestTabsKeepOffHoles puts a row of holes along each edge but for a few places:
// perforated tabs must stand in those.
func TestTabsKeepOffHoles(t *testing.T) {
	in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
	for x := 22.0; x < 80; x += 2 {
		if x > 45 && x < 55 {
			continue
		}
		in.Holes = append(in.Holes, drill.Round(orb.Point{x, 21.5}, finished(1, true)), drill.Round(orb.Point{x, 58.5}, finished(1, true)))
	}
	l := lay(t, in)
	if len(l.Tabs) < 3 {
		t.Fatalf("%d tabs", len(l.Tabs))
	}
	for _, p := range l.Perforations() {
		for _, h := range in.Holes {
			d := math.Hypot(p.At[0]-h.At[0], p.At[1]-h.At[1]) - p.Size.Diameter/2 - in.Rules.Allowance.Target(h.Size)/2
			if d < in.Rules.Web-1e-9 {
				t.Fatalf("perforation at %v is %v mm from the hole at %v", p.At, d, h.At)
			}
		}
	}
	if r := lay(t, drilled(drill.Round(orb.Point{21.2, 40}, finished(2, true)))).Report; len(r) == 0 || r[0].Rule != "edge-web" {
		t.Errorf("a thin web to the edge is not told: %v", r)
	}
	half := drilled(drill.Round(orb.Point{20, 40}, finished(1, true)))
	half.Holes[0].Half = true
	lay(t, half)
}

func TestLayRefuses(t *testing.T) {
	score := func(x float64) tooling.Score { return tooling.Score{{x, 0}, {x, 100}} }
	two := func(g float64) tooling.Panel { return panel(200, 100, orb.Point{20, 20}, orb.Point{20 + 60 + g, 20}) }
	tests := []struct {
		name, reason string
		in           func() route.Input
		want         error
		says         string // a part of the message: the place or the figure
	}{
		{"open outline", "a cutter cannot go round it", func() route.Input {
			b := plain(60, 40)
			b.Outline.Moves = b.Outline.Moves[:3]
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrOpen, "X0.0000 Y40.0000"},
		{"crossing outline", "no inside", func() route.Input {
			return input(route.Board{Outline: bowTie(), Source: tooling.Source{File: "bow.rou", Line: 7}}, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrCrossing, "bow.rou:7"},
		{"crossing cut-out", "a cut-out over the edge", func() route.Input {
			b := sensor()
			b.CutOuts[0] = b.CutOuts[0].Translate(30, 0)
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrCrossing, "X60.000"},
		{"cut-out outside", "a cut-out that cuts nothing", func() route.Input {
			b := sensor()
			b.CutOuts[0] = b.CutOuts[0].Translate(100, 0)
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrBoard, "cut-out 0"},
		{"NaN outline", "no place", func() route.Input {
			b := plain(60, 40)
			b.Outline.Moves[1].To[0] = math.NaN()
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrBoard, "finite"},
		{"huge outline", "beyond 10 m", func() route.Input {
			b := plain(60, 40)
			b.Outline.Moves[1].To[0] = 1e300
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrBoard, "range"},
		{"placement without a board", "nothing to place", func() route.Input {
			p := panel(120, 100, orb.Point{20, 20})
			p.Boards[0].Board = 3
			return input(plain(60, 40), p)
		}, route.ErrBoard, "board 3"},
		{"off the panel", "nothing to cut it from", func() route.Input {
			return input(plain(60, 40), panel(120, 100, orb.Point{70, 20}))
		}, route.ErrOffPanel, "X70.000 to 130.000"},
		{"at the panel's rim", "no room for the cutter", func() route.Input {
			return input(plain(60, 40), panel(120, 100, orb.Point{1, 20}))
		}, route.ErrOffPanel, "1.000 mm to the panel's edge"},
		{"overlap", "two boards of one material", func() route.Input { return input(plain(60, 40), two(-5)) }, route.ErrOverlap, "board 0 and board 1"},
		{"board in a board", "two boards of one material", func() route.Input {
			in := input(plain(60, 40), panel(200, 100, orb.Point{20, 20}, orb.Point{30, 30}))
			in.Boards = append(in.Boards, plain(10, 10))
			in.Panel.Boards[1].Board = 1
			return in
		}, route.ErrOverlap, "board 0 and board 1"},
		{"flush without a score line", "nothing parts them", func() route.Input { return input(plain(60, 40), two(0)) }, route.ErrOverlap, "score line"},
		{"gap narrower than the cutter", "the cutter spoils one of them", func() route.Input {
			in := input(plain(60, 40), two(2))
			in.Rules.Rout.Cutter = 2.4
			return in
		}, route.ErrGap, "2.000 mm"},
		{"gap narrower than any cutter", "nothing fits", func() route.Input { return input(plain(60, 40), two(0.5)) }, route.ErrGap, "0.500 mm"},
		{"wanted cutter not in the crib", "nothing to mount", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Rules.Rout.Cutter = 2.2
			return in
		}, route.ErrNoCutter, "2.200 mm"},
		{"crib without cutters", "nothing to mount", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Crib.Tools = in.Crib.Tools[:10]
			return in
		}, route.ErrNoCutter, "cutters"},
		{"score line over a board", "the blade cuts the board", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Panel.Scores = []tooling.Score{score(50)}
			return in
		}, route.ErrScore, "scores[0]"},
		{"score line part of the way", "a scoring machine runs over the whole panel", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Panel.Scores = []tooling.Score{{{20, 0}, {20, 60}}}
			return in
		}, tooling.ErrValue, "scores[0]"},
		{"pin in the channel", "the cutter meets it", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{50, 64}, Diameter: 3.175}}
			return in
		}, route.ErrObstacle, "X50.000 Y64.000"},
		{"clamp in the channel", "the cutter meets it", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: orb.Point{0, 30}, Max: orb.Point{19, 40}}}
			return in
		}, route.ErrObstacle, "clamp"},
		{"tab longer than its edge", "no edge to stand on", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{60, 20}, Width: 45}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabLong, "40.000 mm"},
		{"tab past a corner", "half of it hangs on nothing", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{60, 2}, Width: 6}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabPlace, "too near to the end"},
		{"tab on an arc", "tabs stand on straight edges", func() route.Input {
			b := sensor()
			b.Tabs = []route.Tab{{At: orb.Point{60 - 3 + 3*math.Sqrt2/2, 3 - 3*math.Sqrt2/2}, Width: 1}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabPlace, "straight edge"},
		{"tab off the board", "nothing there", func() route.Input {
			b := sensor()
			b.Tabs = []route.Tab{{At: orb.Point{30, 20}, Width: 1}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabPlace, "straight edge"},
		{"tab on a score line", "that edge is not routed", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{0, 20}, Width: 5}}
			in := input(b, panel(120, 100, orb.Point{20, 20}))
			in.Panel.Scores = []tooling.Score{score(20)}
			return in
		}, route.ErrTabPlace, "score line"},
		{"tab that faces a board in part", "half of it ends on nothing", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{60, 20}, Width: 5}}
			in := input(b, panel(200, 120, orb.Point{20, 20}, orb.Point{82.4, 41}))
			in.Rules.Rout.Cutter = 2.4
			return in
		}, route.ErrTabPlace, "faces another board"},
		{"two tabs on one place", "no cut between them", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{60, 20}, Width: 5}, {At: orb.Point{60, 24}, Width: 5}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabPlace, "another tab"},
		{"rule's tab longer than every edge", "a small board", func() route.Input {
			return input(plain(5, 5), panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabLong, "5.000 mm"},
		{"rule's tab with no room beside corners", "a small round board has no edge at all", func() route.Input {
			return input(route.Board{Outline: contour.Circle(orb.Point{20, 20}, 8)}, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabLong, "0.000 mm"},
		{"NaN tab", "no width", func() route.Input {
			b := plain(60, 40)
			b.Tabs = []route.Tab{{At: orb.Point{60, 20}, Width: math.NaN()}}
			return input(b, panel(120, 100, orb.Point{20, 20}))
		}, route.ErrTabPlace, "NaN"},
		{"hole cut by an outline", "half a hole that nobody declared", func() route.Input { return drilled(drill.Round(orb.Point{20.3, 40}, finished(1, false))) }, route.ErrHole, "0.200 mm"},
		{"hole cut by a cut-out", "half a hole that nobody declared", func() route.Input {
			in := input(sensor(), panel(120, 100, orb.Point{20, 20}))
			in.Holes = []drill.Hole{drill.Round(orb.Point{50, 35.2}, finished(1, true))}
			return in
		}, route.ErrHole, "hole 0"},
		{"slot cut by an outline", "its middle is clear, its end is not", func() route.Input {
			return drilled(drill.Slot(orb.Point{21, 40}, orb.Point{30, 40}, finished(2.2, false)))
		}, route.ErrHole, "hole 0"},
		{"hole cut by a score line", "half a hole that nobody declared", func() route.Input {
			in := drilled(drill.Round(orb.Point{100.2, 10}, finished(1, false)))
			in.Panel.Scores = []tooling.Score{score(100)}
			return in
		}, route.ErrHole, "score line 0"},
		{"hole cut by a tab's perforation", "two holes of one wall", func() route.Input {
			in := drilled(drill.Round(orb.Point{22, 40}, finished(3.4, false)))
			in.Boards[0].Tabs = []route.Tab{{At: orb.Point{0, 20}, Width: 6, Perforated: true}}
			return in
		}, route.ErrHole, "perforation"},
		{"NaN hole", "no place", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Holes = []drill.Hole{drill.Round(orb.Point{math.NaN(), 0}, tooling.Size{Diameter: 8})}
			return in
		}, route.ErrHole, "NaN"},
		{"hole of no size", "nothing to rout", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Holes = []drill.Hole{drill.Round(orb.Point{40, 40}, tooling.Size{Diameter: math.Inf(1)})}
			return in
		}, route.ErrHole, "+Inf"},
		{"routed hole off the panel", "nothing there", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Holes = []drill.Hole{drill.Round(orb.Point{118, 40}, tooling.Size{Diameter: 8, Basis: tooling.Finished})}
			return in
		}, route.ErrOffPanel, "8.000 mm"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := route.Lay(tt.in())
			if !errors.Is(err, tt.want) {
				t.Fatalf("got %v, want %v: %s", err, tt.want, tt.reason)
			}
			if !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %q, want it to say %q", err, tt.says)
			}
			var be *route.BoardError
			var ie tooling.InputErrors
			if !errors.As(err, &be) && !errors.As(err, &ie) {
				t.Errorf("%T is no typed error of ours", err)
			}
		})
	}
}

func TestLayAllows(t *testing.T) {
	tests := []struct {
		name, reason string
		in           func() route.Input
	}{
		{"flush on a score line", "the score parts them", func() route.Input {
			in := input(plain(60, 40), panel(200, 100, orb.Point{20, 20}, orb.Point{80, 20}))
			in.Panel.Scores = []tooling.Score{{{80, 0}, {80, 100}}}
			return in
		}},
		{"one cutter apart", "they share a channel", func() route.Input {
			in := input(plain(60, 40), panel(200, 100, orb.Point{20, 20}, orb.Point{82.4, 20}))
			in.Rules.Rout.Cutter = 2.4
			return in
		}},
		{"a strip between two score lines", "the scores part them from the strip", func() route.Input {
			in := input(plain(60, 40), panel(200, 100, orb.Point{20, 20}, orb.Point{81, 20}))
			in.Panel.Scores = []tooling.Score{{{80, 0}, {80, 100}}, {{81, 0}, {81, 100}}}
			return in
		}},
		{"a pin inside the board", "it stands in a hole of the board", func() route.Input {
			in := input(plain(60, 40), panel(120, 100, orb.Point{20, 20}))
			in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{25, 25}, Diameter: 3.175}}
			return in
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := lay(t, tt.in())
			p := mounted(t, l, route.Options{})
			if err := route.Check(l, p, parse(t, text(t, p))).Err(); err != nil {
				t.Errorf("%v: %s", err, tt.reason)
			}
		})
	}
}
