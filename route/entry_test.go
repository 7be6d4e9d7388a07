package route_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// TestEntries gives small cutters holes to enter in: each first path of a
// cut-out begins in the middle of one that it fits into and that spoils no edge.
func TestEntries(t *testing.T) {
	in := input(route.Board{Outline: rounded(60, 40, 3), CutOuts: []contour.Contour{
		rounded(20, 10, 0.5).Translate(20, 15),                                 // a slug drops
		rounded(5, 4, 0.5).Translate(5, 5), rounded(1, 6, 0).Translate(50, 10), // cleared; no room beside the cutter
	}}, panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	in.Holes = []drill.Hole{drill.Slot(orb.Point{40, 60}, orb.Point{46, 60}, finished(7, true))}
	o := route.Options{EnterBelow: 1}
	l := lay(t, in)
	holes, err := l.Entries(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(holes) != 2 {
		t.Fatalf("%d entries, want those of the two cut-outs with sharp corners and room", len(holes))
	}
	found := map[orb.Point]bool{}
	for _, p := range plan(t, l, o) {
		for _, r := range p.Runs {
			for _, q := range r.Paths {
				if q.Entry == 0 {
					continue
				}
				found[q.Line.Start] = true
				if r.Tool.Diameter > 1 || q.Entry < r.Tool.Diameter+0.1-1e-9 {
					t.Errorf("cutter %v enters in a hole of %v mm", r.Tool.Diameter, q.Entry)
				}
			}
		}
		m, err := p.Mount(setUp(t, in, p, 1), in.Machine)
		if err != nil {
			t.Fatal(err)
		}
		if err := route.Check(l, m, parse(t, text(t, m))).Err(); err != nil {
			t.Error(err)
		}
		if p.Name == route.Rout {
			told := 0
			for _, f := range p.Report {
				if f.Rule == "entry" {
					told += f.Count
				}
			}
			if told != 1 {
				t.Errorf("%d cut-outs without room for an entry are told, want 1: %v", told, p.Report)
			}
		}
	}
	for _, h := range holes {
		if !found[h.At] || h.Stage() != tooling.AfterPlating || h.Size.Basis != tooling.Drilled {
			t.Errorf("no path begins in the hole %+v", h)
		}
		for _, c := range in.Boards[0].CutOuts {
			c = c.Translate(30, 30)
			if d := c.Distance(h.At); c.Contains(h.At) && d < h.Size.Diameter/2+0.1-1e-9 {
				t.Errorf("the hole at %v of %v mm is %v mm from its edge", h.At, h.Size.Diameter, math.Abs(d))
			}
		}
	}
	if none, err := l.Entries(t.Context(), route.Options{}); err != nil || none != nil {
		t.Errorf("without EnterBelow there are %v, %v", none, err)
	}
	if _, err := l.Entries(t.Context(), route.Options{EnterBelow: -1}); err == nil {
		t.Error("a negative diameter is taken")
	}
}
