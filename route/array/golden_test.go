package array_test

import (
	"context"
	"flag"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden holds lines to what they were.
func golden(t *testing.T, name string, lines []string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	got := strings.Join(lines, "\n") + "\n"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Error(d)
	}
}

// array1 says an array with all that follows from it.
func array1(c array.Choice) string {
	return fmt.Sprintf("%v; %d panels, %d spare, use %.9f, laminate %.4f, scoring %.4f, drilling %.4f, all %.4f, a board %.6f, heights %v, stock %d, variant %d",
		c, c.Panels, c.Spare, c.Use, c.Laminate, c.Scoring, c.Lot.Total, c.Total, c.PerBoard, c.Heights, c.Stock, c.Variant)
}

// digest is a short sum of texts and their order.
func digest(parts ...string) string {
	h := fnv.New32a()
	for _, p := range parts {
		fmt.Fprintf(h, "%s\n", p)
	}
	return fmt.Sprintf("%08x", h.Sum32())
}

// The arrays of random shops are the same on every machine and in every version:
// the best, the runner-up, how many were there and priced, and what was refused.
func TestArraysAreWhatTheyWere(t *testing.T) {
	var lines []string
	for seed := range uint64(80) {
		p := shop(t, rand.New(rand.NewPCG(seed, 23)))
		if seed%4 == 3 {
			p.StackHeight = 2
		}
		r, err := array.Solve(context.Background(), p, func(c array.Choice) error {
			if seed%3 == 2 && c.Boards()%3 == 0 {
				return fmt.Errorf("%d boards", c.Boards())
			}
			return nil
		})
		if err != nil {
			lines = append(lines, fmt.Sprintf("%d: %v", seed, err))
			continue
		}
		var refused []string
		for _, f := range r.Refused {
			refused = append(refused, f.What+": "+f.Reason)
		}
		lines = append(lines, fmt.Sprintf("%d: %s", seed, array1(r.Choice)), fmt.Sprintf("   of %d, %d priced, %d refused %s", r.Candidates, r.Priced, len(refused), digest(refused...)), "   "+r.Reason)
	}
	golden(t, "shops.txt", lines)
}

// placed says where everything of a panel lies.
func placed(p tooling.Panel) (out []string) {
	var boards []string
	for _, b := range p.Boards {
		boards = append(boards, fmt.Sprintf("%v %d", b.Offset, b.Quarters))
	}
	last := boards[len(boards)-1]
	out = append(out, fmt.Sprintf("   %g x %g, %d boards from %s to %s, %s", p.Width, p.Height, len(boards), boards[0], last, digest(boards...)))
	for _, s := range p.Scores {
		out = append(out, fmt.Sprintf("   score %v", s))
	}
	for _, f := range p.Features {
		out = append(out, fmt.Sprintf("   %s %g at %v, set-up %d", f.Role, f.Diameter, f.At, f.SetUp))
	}
	return out
}

// Boards, score lines, pins and holes of the panel stand where they stood, turned
// or not, whatever parts the boards.
func TestPlacesAreWhereTheyWere(t *testing.T) {
	var lines []string
	flush, gap, wide := array.Way{Score: true}, array.Way{Gap: 2.4}, array.Way{Gap: 7.3}
	for _, in := range []struct {
		name                  string
		w, h                  float64
		rails, coupon, target float64
	}{{"plain", 50, 30, 0, 0, 0}, {"all of it", 50.4005, 30.123, 10, 0.9, 3.2}, {"narrow", 4, 3, 0, 0.9, 3.2}} {
		input := sensor(in.w, in.h)
		input.Rails, input.Coupon, input.Target = in.rails, in.coupon, in.target
		p := array.Prepared{Input: input, Problem: array.Problem{Width: in.w, Height: in.h}}
		for _, c := range []array.Choice{
			{Columns: 1, Rows: 1, Across: gap, Up: gap},
			{Columns: 4, Rows: 3, Across: gap, Up: wide},
			{Columns: 3, Rows: 4, Across: flush, Up: gap},
			{Columns: 3, Rows: 4, Across: wide, Up: flush, Turned: true},
			{Columns: 5, Rows: 2, Across: flush, Up: flush},
			{Columns: 2, Rows: 5, Across: flush, Up: flush, Turned: true},
		} {
			c.Panel = array.NewStock(300, 400)
			if c.Turned {
				c.Panel = array.NewStock(457.2, 609.6)
			}
			at, step := p.Field(c)
			lines = append(lines, fmt.Sprintf("%s: %v, field at %v, step %v", in.name, c, at, step))
			lines = append(lines, placed(p.Place(c))...)
		}
	}
	golden(t, "places.txt", lines)
}

// Boards of many outlines are prepared and laid out as they were: cutter, tabs, ways
// that are left, what one board asks of the machine, and the panel.
func TestLayoutsAreWhatTheyWere(t *testing.T) {
	ring := func(points ...orb.Point) func(*array.Input) {
		return func(in *array.Input) {
			in.Board.Outline = contour.FromRing(orb.Ring(append(points, points[0])))
		}
	}
	var lines []string
	for _, c := range []struct {
		name   string
		w, h   float64
		change func(*array.Input)
	}{
		{"rectangle", 50, 30, func(*array.Input) {}},
		{"square", 36, 36, func(in *array.Input) { in.Quantity, in.Scrap, in.Rails = 250, 0.03, 8 }},
		{"thin panel", 50, 30, func(in *array.Input) { in.Blank.Thickness = 0.79 }},
		{"notched above", 60, 40, ring(orb.Point{100, -80}, orb.Point{160, -80}, orb.Point{160, -40}, orb.Point{140, -40}, orb.Point{140, -45}, orb.Point{120, -45}, orb.Point{120, -40}, orb.Point{100, -40})},
		{"chamfered", 60, 40, ring(orb.Point{101, -80}, orb.Point{160, -80}, orb.Point{160, -40}, orb.Point{100, -40}, orb.Point{100, -79})},
		{"small", 6, 5, func(in *array.Input) { in.Holes = nil }},
		{"with a cut-out", 50, 30, func(in *array.Input) {
			in.Board.CutOuts = []contour.Contour{contour.FromBound(orb.Bound{Min: orb.Point{115, -70}, Max: orb.Point{135, -62}})}
		}},
		{"scored one way at least", 50, 30, func(in *array.Input) { in.Scored = true }},
		{"two high", 50, 30, func(in *array.Input) { in.Height = 2 }},
		{"large holes", 50, 30, func(in *array.Input) {
			in.Holes = append(in.Holes, drill.Round(orb.Point{120, -65}, tooling.Size{Diameter: 8, Basis: tooling.Finished}), drill.Round(orb.Point{135, -65}, tooling.Size{Diameter: 9, Basis: tooling.Finished, Plated: true}))
		}},
	} {
		in := sensor(c.w, c.h)
		in.Quantity, in.Stocks = 36, []array.Stock{array.NewStock(250, 150), array.NewStock(200, 200)}
		c.change(&in)
		l, err := array.Best(context.Background(), in)
		if err != nil {
			lines = append(lines, c.name+": "+err.Error())
			continue
		}
		rules := l.Prepared.Input.Rules
		lines = append(lines, fmt.Sprintf("%s: %s, cutter %g, tabs %+v", c.name, array1(l.Result.Choice), rules.Rout.Cutter, rules.Tabs))
		for _, v := range l.Prepared.Problem.Variants {
			for k, works := range v.SetUps {
				for _, w := range works {
					lines = append(lines, fmt.Sprintf("   %v, %v, set-up %d: %s %s %s, %d hits, %.3f mm, %d plunges, travel %v, fixed %v", v.Columns, v.Rows, k+1, w.Pass, w.Operation, w.Tool.ID, w.Hits, w.Cut, w.Plunges, w.Travel, w.Fixed))
				}
			}
		}
		for _, r := range l.Result.Refused {
			lines = append(lines, "   refused "+r.What+": "+r.Reason)
		}
		for _, f := range l.Prepared.Report {
			lines = append(lines, fmt.Sprintf("   found %s %s %g of %g at %v", f.Rule, f.Detail, f.Value, f.Limit, f.Places))
		}
		lines = append(lines, fmt.Sprintf("   of %d, %d priced; %s", l.Result.Candidates, l.Result.Priced, l.Result.Reason))
		lines = append(lines, placed(l.Panel)...)
		var tabs []string
		for _, tab := range l.Laid.Tabs {
			tabs = append(tabs, fmt.Sprintf("%.3f", tab.At))
		}
		lines = append(lines, fmt.Sprintf("   %d tabs %s", len(tabs), digest(tabs...)))
		scene := &picture.Scene{Width: l.Panel.Width, Height: l.Panel.Height}
		l.Draw(scene)
		for _, layer := range scene.Layers {
			var marks []string
			for _, m := range layer.Marks {
				marks = append(marks, fmt.Sprintf("%v %.3f %.3f %.3f %q", m.Shape, m.Points, m.Center, m.Width, m.Label))
			}
			lines = append(lines, fmt.Sprintf("   drawn %s %s: %d marks %s", layer.Kind, layer.Name, len(marks), digest(marks...)))
		}
	}
	golden(t, "layouts.txt", lines)
}
