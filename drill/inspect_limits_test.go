package drill_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// inspected are the findings on holes, one line each, without those on pins.
func inspected(t *testing.T, in drill.Input) string {
	t.Helper()
	report, err := drill.Inspect(in)
	require.NoError(t, err)
	var out []string
	for _, f := range report {
		out = append(out, fmt.Sprintf("%s %s %.3f/%.3f x%d", f.Rule, f.Tool, f.Value, f.Limit, f.Count))
	}
	return strings.Join(out, "\n")
}

// The web between two walls may be as wide as the rule and no less; walls that
// touch are a thin web, and only what overlaps runs into one another.
func TestWebsAtTheirLimits(t *testing.T) {
	in := small()
	in.Panel.Features = nil
	in.Rules.Web = 0.25
	one := tooling.Size{Diameter: 1, Basis: tooling.Drilled}
	two := tooling.Size{Diameter: 2, Basis: tooling.Drilled}
	at := orb.Point{40, 40}
	for _, c := range []struct {
		name  string
		holes []drill.Hole
		want  string
	}{
		{"as wide as the rule", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{41.75, 40}, two)}, ""},
		{"a micrometre less", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{41.749, 40}, two)}, "thin-web 1.000/2.000 mm 0.249/0.250 x1"},
		{"above each other", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{40, 41.75}, two)}, ""},
		{"above, a micrometre less", []drill.Hole{drill.Round(orb.Point{40, 41.749}, two), drill.Round(at, one)}, "thin-web 1.000/2.000 mm 0.249/0.250 x1"},
		{"below, a micrometre less", []drill.Hole{drill.Round(at, two), drill.Round(orb.Point{40, 38.251}, one)}, "thin-web 1.000/2.000 mm 0.249/0.250 x1"},
		{"touching", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{41.5, 40}, two)}, "thin-web 1.000/2.000 mm 0.000/0.250 x1"},
		{"overlapping", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{41.499, 40}, two)}, "walls-overlap 1.000/2.000 mm -0.001/0.000 x1"},
		{"the end of a slot", []drill.Hole{drill.Slot(orb.Point{30, 40}, at, two), drill.Round(orb.Point{41.749, 40}, one)}, "thin-web 1.000/2.000 mm 0.249/0.250 x1"},
		{"clear of the end", []drill.Hole{drill.Slot(at, orb.Point{30, 40}, two), drill.Round(orb.Point{41.75, 40}, one)}, ""},
		{"the flank of a slot", []drill.Hole{drill.Slot(orb.Point{30, 40}, orb.Point{50, 40}, two), drill.Round(orb.Point{44, 41.749}, one)}, "thin-web 1.000/2.000 mm 0.249/0.250 x1"},
		{"slots that cross", []drill.Hole{drill.Slot(orb.Point{30, 40}, orb.Point{50, 40}, two), drill.Slot(orb.Point{40, 30}, orb.Point{40, 50}, two)}, "walls-overlap 2.000/2.000 mm -2.000/0.000 x1"},
		{"slots end to flank", []drill.Hole{drill.Slot(orb.Point{30, 40}, orb.Point{50, 40}, two), drill.Slot(orb.Point{40, 42.249}, orb.Point{40, 50}, two)}, "thin-web 2.000/2.000 mm 0.249/0.250 x1"},
		{"three in a row", []drill.Hole{drill.Round(at, one), drill.Round(orb.Point{41.2, 40}, one), drill.Round(orb.Point{42.4, 40}, one)}, "thin-web 1.000/1.000 mm 0.200/0.250 x2"},
		{"a slot as long as wide", []drill.Hole{drill.Slot(at, orb.Point{42, 40}, two)}, ""},
		{"a shorter one", []drill.Hole{drill.Slot(at, orb.Point{41.999, 40}, two)}, "short-slot 2.000 mm 1.999/2.000 x1"},
	} {
		in.Holes = c.holes
		got := inspected(t, in)
		if k := strings.Index(got, "pins-few"); k >= 0 {
			got = strings.TrimSpace(got[:k])
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// A pin of the second set-up stands in a tooling hole up to 0.15 mm wider; a
// stack fits another way where each pin comes within a millimetre of a pin.
func TestPinsAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		pin  float64 // diameter of the second set-up's pins in holes of 3.2 mm
		b    orb.Point
		want string
	}{
		{"tight", 3.2, orb.Point{110, 64}, ""},
		{"tighter than that", 3.201, orb.Point{110, 64}, "pin-fit 3.201 mm pin -0.001/0.150 x2"},
		{"as loose as may be", 3.05, orb.Point{110, 64}, ""},
		{"looser", 3.049, orb.Point{110, 64}, "pin-fit 3.049 mm pin 0.151/0.150 x2"},
		{"a millimetre from turned", 3.2, orb.Point{113, 70}, ""}, // turned it is at 112/70 of 120 x 90
		{"nearer", 3.2, orb.Point{112.999, 70}, "stack-fits-turned  0.000/0.000 x1"},
		{"a millimetre above turned", 3.2, orb.Point{112, 71}, ""},
		{"nearer to that", 3.2, orb.Point{112, 70.999}, "stack-fits-turned  0.000/0.000 x1"},
		{"flipped", 3.2, orb.Point{112, 20}, "stack-fits-flipped  0.000/0.000 x1"},
		{"tumbled", 3.2, orb.Point{8, 70}, "stack-fits-tumbled  0.000/0.000 x1"},
	} {
		in := small()
		in.Holes = []drill.Hole{drill.Round(orb.Point{40, 40}, mount)}
		a := orb.Point{8, 20}
		in.Panel.Features = []tooling.Feature{
			{Role: tooling.ToolingHole, At: a, Diameter: 3.2}, {Role: tooling.ToolingHole, At: c.b, Diameter: 3.2},
			{Role: tooling.Pin, At: a, Diameter: c.pin, SetUp: 2}, {Role: tooling.Pin, At: c.b, Diameter: c.pin, SetUp: 2},
		}
		if diff := cmp.Diff(c.want, inspected(t, in)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
	in := small()
	in.Holes = []drill.Hole{drill.Round(orb.Point{40, 40}, mount)}
	in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{8, 20}, Diameter: 3.2, SetUp: 2}}
	require.Equal(t, "pins-few  1.000/2.000 x1", inspected(t, in))
	in.Panel.Features = append(in.Panel.Features, tooling.Feature{Role: tooling.Pin, At: orb.Point{110, 64}, Diameter: 3.2, SetUp: 2})
	require.Equal(t, "pin-without-hole 3.200 mm pin 0.000/0.000 x2", inspected(t, in))
}
