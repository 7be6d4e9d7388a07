package route_test

import (
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
)

func TestPlanOneBoard(t *testing.T) {
	in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
	l := lay(t, in)
	t.Log(l.Cutter.ID, len(l.Tabs), l.Report)
	for _, tab := range l.Tabs {
		t.Log(tab)
	}
	p := mounted(t, l, route.Options{})
	for _, r := range p.Runs {
		t.Log(r.Tool.ID, r.Cut, r.Travel, r.Path)
		for _, q := range r.Paths {
			t.Log(q.Role, q.Board, q.Loop, len(q.Line.Moves), q.Length(), q.LeadIn, q.Overlap, q.Line.Start, q.Line.End())
		}
	}
	t.Log(p.Report)
	t.Log(text(t, p))
}

func TestCheckOneBoard(t *testing.T) {
	in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	for _, f := range route.Check(l, p, parse(t, text(t, p))) {
		t.Log(f.OK, f.Rule, f.Detail, f.Value, f.Limit, f.Places)
	}
}
