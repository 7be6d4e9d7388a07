package route_test

import (
	"context"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// rounded is a rectangle from the origin with corners of radius r;
// counter-clockwise from the lower left.
func rounded(w, h, r float64) contour.Contour {
	if r == 0 {
		return contour.FromBound(orb.Bound{Max: orb.Point{w, h}})
	}
	return contour.Contour{Start: orb.Point{r, 0}, Moves: []contour.Move{
		{To: orb.Point{w - r, 0}},
		{To: orb.Point{w, r}, Center: orb.Point{w - r, r}, Turn: 1},
		{To: orb.Point{w, h - r}},
		{To: orb.Point{w - r, h}, Center: orb.Point{w - r, h - r}, Turn: 1},
		{To: orb.Point{r, h}},
		{To: orb.Point{0, h - r}, Center: orb.Point{r, h - r}, Turn: 1},
		{To: orb.Point{0, r}},
		{To: orb.Point{r, 0}, Center: orb.Point{r, r}, Turn: 1},
	}}
}

// ballScrew is the preset, with an operator who takes 20 s to answer a stop.
func ballScrew() machine.Machine {
	m, _ := machine.Preset("ball screw")
	m.Stop = 20 * time.Second
	return m
}

// panel of w x h with one board kind at the given places.
func panel(w, h float64, at ...orb.Point) tooling.Panel {
	p := tooling.Panel{Width: w, Height: h, Thickness: 1.6, Material: tooling.FR4}
	for _, o := range at {
		p.Boards = append(p.Boards, tooling.Placement{Offset: o})
	}
	return p
}

func input(b route.Board, p tooling.Panel) route.Input {
	return route.Input{Boards: []route.Board{b}, Panel: p, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: ballScrew()}
}

// sensor is a board of 60 x 40 mm with rounded corners and a cut-out.
func sensor() route.Board {
	return route.Board{Name: "greenhouse-sensor", Outline: rounded(60, 40, 3), CutOuts: []contour.Contour{rounded(20, 10, 2).Translate(20, 15)}}
}

func lay(t testing.TB, in route.Input) route.Layout {
	t.Helper()
	l, err := route.Lay(in)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func plan(t testing.TB, l route.Layout, o route.Options) []route.Pass {
	t.Helper()
	passes, err := route.Plan(context.Background(), l, o)
	if err != nil {
		t.Fatal(err)
	}
	return passes
}

// cutters counts how many cutters of a life make the pieces in their order.
func cutters(pieces []float64, life float64) int {
	n, used := 1, 0.0
	for _, p := range pieces {
		if used+p > life {
			n, used = n+1, 0
		}
		used += p
	}
	return n
}

// setUp is a set-up of height panels for one pass, with as many cutters as its
// runs need.
func setUp(t testing.TB, in route.Input, p route.Pass, height int) stack.SetUp {
	t.Helper()
	s := stack.SetUp{Number: 2, Height: height, Loads: 1}
	if p.Stage == tooling.BeforePlating {
		s.Number = 1
	}
	for _, w := range p.Work() {
		feed, err := in.Rules.Feed(w.Tool, in.Panel.Material, in.Machine.Speeds())
		if err != nil {
			t.Fatal(err)
		}
		depth, err := in.Rules.Stack.Rout(w.Tool, in.Rules.Rout, height, in.Panel.Thickness)
		if err != nil {
			t.Fatal(err)
		}
		life, err := in.Rules.Life.At(in.Panel.Material, w.Tool.Kind, w.Tool.Diameter, depth.Stack)
		if err != nil {
			t.Fatal(err)
		}
		s.Tools = append(s.Tools, stack.Share{Pass: w.Pass, Place: w.Place, Tool: w.Tool, Feed: feed, Depth: depth, Life: life, PerLoad: cutters(w.Pieces, life)})
	}
	return s
}

// mounted plans the layout and mounts its last pass two high.
func mounted(t testing.TB, l route.Layout, o route.Options) route.Pass {
	t.Helper()
	passes := plan(t, l, o)
	p := passes[len(passes)-1]
	m, err := p.Mount(setUp(t, l.Input, p, 2), l.Input.Machine)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// text writes a mounted pass.
func text(t testing.TB, p route.Pass) string {
	t.Helper()
	prog, err := p.Program(nc.WriteOptions{Header: []string{"invented sample"}})
	if err != nil {
		t.Fatal(err)
	}
	var b buffer
	if _, err := prog.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return string(b)
}

type buffer []byte

func (b *buffer) Write(p []byte) (int, error) {
	*b = append(*b, p...)
	return len(p), nil
}

func parse(t testing.TB, src string) *nc.Program {
	t.Helper()
	p, err := nc.Parse([]byte(src), nc.ReadOptions{File: "rout.nc"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
