package route_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// TestSharedChannelIsCutOnce compares the cut of two boards one cutter apart
// with that of the two alone: it is shorter by the shared edge.
func TestSharedChannelIsCutOnce(t *testing.T) {
	apart := grid(2, 1, 0, 30)
	apart.NoTabs = true
	shared := grid(2, 1, 0, 2.4)
	shared.NoTabs = true
	cut := func(in route.Input) float64 {
		in.Rules.Rout.LeadIn, in.Rules.Rout.Overlap = 0, 0
		return plan(t, lay(t, in), route.Options{})[0].Runs[0].Cut
	}
	// The straight 40 mm, and a micrometre's worth of the round corners that run
	// along the neighbour's line.
	if got := cut(apart) - cut(shared); got < 40 || got > 40.3 {
		t.Errorf("sharing saves %v mm, want the edge of 40 mm", got)
	}
}

func TestTabWebs(t *testing.T) {
	l := lay(t, grid(2, 2, 3, 2.4))
	shared := 0
	for _, tab := range l.Tabs {
		if tab.Across > 0 {
			shared++
			if math.Abs(tab.Across-2.4) > 1e-9 {
				t.Errorf("tab at %v reaches over %v mm, want the channel's 2.4", tab.At, tab.Across)
			}
		}
	}
	if shared == 0 {
		t.Fatal("no tab joins two boards")
	}
	r := l.Input.Rules.Tabs
	if got, want := len(l.Perforations()), (len(l.Tabs)+shared)*r.Count; got != want {
		t.Errorf("%d perforations, want %d: a row an edge", got, want)
	}
	size := tooling.Size{Diameter: r.Hole, Basis: tooling.Finished, Class: tooling.Mechanical}
	for _, h := range l.Perforations() {
		if h.Size != size || !h.Half || h.IsSlot() || h.Stage() != tooling.AfterPlating {
			t.Errorf("got %+v", h)
		}
		// Centres lie inside the outline by the inset, so the stub stays within it.
		inside := false
		for _, p := range l.Input.Panel.Boards {
			b := rounded(60, 40, 3).Translate(p.Offset[0], p.Offset[1])
			if b.Contains(h.At) && math.Abs(b.Distance(h.At)-r.Inset) < 1e-6 {
				inside = true
			}
		}
		if !inside {
			t.Errorf("perforation at %v is not %v mm inside an outline", h.At, r.Inset)
		}
	}
}

func TestSliversAreTold(t *testing.T) {
	tests := []struct {
		gap  float64
		want int
	}{{2.4, 0}, {4.8, 0}, {5, 1}, {6.7, 1}, {6.9, 0}}
	for _, tt := range tests {
		in := grid(2, 1, 3, tt.gap)
		got := 0
		for _, f := range lay(t, in).Report {
			if f.Rule == "sliver" {
				got += f.Count
			}
		}
		if got != tt.want {
			t.Errorf("gap %v mm: %d slivers told, want %d", tt.gap, got, tt.want)
		}
	}
}

// TestPinsHold leaves a board without tabs on two pins through its own holes,
// and then on one, and cuts its outline before its cut-out: two pins hold it for
// that, one does not.
func TestPinsHold(t *testing.T) {
	for pins, held := range map[int]bool{2: true, 1: false} {
		in := input(plain(60, 40), panel(120, 100, orb.Point{30, 30}))
		in.NoTabs = true
		for k := range pins {
			in.Panel.Features = append(in.Panel.Features, tooling.Feature{Role: tooling.Pin, At: orb.Point{40 + 40*float64(k), 60}, Diameter: 3.175})
		}
		in.Boards[0].CutOuts = []contour.Contour{rounded(14, 14, 4).Translate(23, 5)}
		l := lay(t, in)
		p := mounted(t, l, route.Options{})
		src := text(t, p)
		if err := route.Check(l, p, parse(t, src)).Err(); err != nil {
			t.Errorf("%d pins: %v", pins, err)
		}
		a, b := block(src, 0)
		c, d := block(src, 1)
		swapped := src[:a] + src[c:d] + src[b:c] + src[a:b] + src[d:]
		if got := !slices.Contains(broken(route.Check(l, p, parse(t, swapped))), "part-loose"); got != held {
			t.Errorf("%d pins: held is %v, want %v", pins, got, held)
		}
	}
}

func TestUnreachableIsListed(t *testing.T) {
	l := lay(t, samples()["sharp inside corners"])
	p := plan(t, l, route.Options{})[0]
	for _, f := range p.Report {
		if f.Rule == "unreachable" && f.OK && f.Count >= 2 {
			return
		}
	}
	t.Errorf("inside corners are not listed: %v", p.Report)
}

// TestNoTabInAPocket looks at a pocket that only a narrow neck joins to the
// outside: a tab in it would tie the board to the pocket's slug.
func TestNoTabInAPocket(t *testing.T) {
	in := samples()["a pocket behind a neck"]
	in.Rules.Tabs.PerBoard = 8
	for _, tab := range lay(t, in).Tabs {
		x, y := tab.At[0]-30, tab.At[1]-30
		if x > 1 && x < 59 && y > 1 && y < 39 {
			t.Errorf("a tab at %v, inside the outline's box", tab.At)
		}
	}
}

// TestPerforationWebs works out what a perforated tab is broken at: between two
// perforations the pitch less the hole, and at either end of the row what is left
// to the round end of the cut, a cutter's radius off the edge.
func TestPerforationWebs(t *testing.T) {
	in := input(plain(60, 40), panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	r := in.Rules.Tabs
	between := r.Pitch - r.Hole
	half := r.Pitch * float64(r.Count-1) / 2
	end := math.Hypot(r.Width/2+1.2-half, r.Inset+1.2) - 1.2 - r.Hole/2
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	webs := len(l.Tabs) * (r.Count - 1)
	if end > 0 {
		webs += 2 * len(l.Tabs)
	}
	report := route.Check(l, p, parse(t, text(t, p)))
	if err := report.Err(); err != nil {
		t.Fatal(err)
	}
	k := slices.IndexFunc(report, func(f tooling.Finding) bool { return f.Rule == "tab-perforation" })
	if k < 0 {
		t.Fatal("no finding")
	}
	f := report[k]
	least := between
	if end > 0 {
		least = min(least, end)
	}
	if want := fmt.Sprintf("%d webs", webs); !strings.HasPrefix(f.Detail, want) || math.Abs(f.Value-least) > 0.002 {
		t.Errorf("%s: %v, want %s, the narrowest %v (between %v, end %v)", f.Detail, f.Value, want, least, between, end)
	}
}
