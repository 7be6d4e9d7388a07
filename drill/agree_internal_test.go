package drill

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// corners is a file of holes at the corners of a box, and one within it.
func corners(file string, x, y, w, h, d float64) []Hole {
	var out []Hole
	for _, p := range []orb.Point{{x, y}, {x + w, y}, {x, y + h}, {x + w, y + h}, {x + w/4, y + h/8}} {
		hole := Round(p, tooling.Size{Diameter: d, Basis: tooling.Finished})
		hole.Source.File = file
		out = append(out, hole)
	}
	return out
}

// How far apart two files may lie: a quarter of the larger side without a word,
// its whole side with one, and no farther.
func TestFilesApartAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		name  string
		x     float64 // where the second file begins; the first ends at 64
		says  string
		error bool
	}{
		{"a quarter apart", 80, "", false},
		{"and some", 80.5, "the two lie 16.50 mm apart", false},
		{"a side apart", 128, "the two lie 64.00 mm apart", false},
		{"and some", 128.5, "the two lie 64.50 mm apart, farther than either is large", true},
	} {
		report, err := Agree(append(corners("a.drl", 0, 0, 64, 32, 1), corners("b.drl", c.x, 0, 56, 24, 1)...), orb.Bound{})
		got := ""
		switch {
		case err != nil:
			got = err.Error()
		case len(report) > 0:
			got = report[0].Detail
		}
		if (err != nil) != c.error || !strings.Contains(got, c.says) || c.says == "" && got != "" {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

func TestRegistrationMeasures(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want bool
	}{{10, 10, true}, {5, 10, true}, {4.99, 10, false}, {15, 10, true}, {15.01, 10, false}} {
		if got := similar(c.a, c.b); got != c.want {
			t.Errorf("%v and %v are similar: %v", c.a, c.b, got)
		}
	}
	box := func(x, y, w, h float64) orb.Bound {
		return orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + w, y + h}}
	}
	for _, c := range []struct {
		a, b  orb.Bound
		apart float64
		other bool // on different sides of the origin
	}{
		{box(0, 0, 10, 10), box(-10, 3, 10, 2), 0, true},
		{box(0, 0, 10, 10), box(-10, 3, 10.5, 2), 0, false},
		{box(0, 0, 10, 10), box(-14, 3, 10, 2), 4, true},
		{box(-14, 3, 10, 2), box(0, 0, 10, 10), 4, true},
		{box(-14, 3, 14, 2), box(0, 0, 10, 10), 0, true},
		{box(-14, 3, 14.5, 2), box(0, 0, 10, 10), 0, false},
		{box(1, 0, 10, 10), box(3, -8, 2, 8), 0, true},
		{box(1, 0, 10, 10), box(3, -8, 2, 8.5), 0, false},
		{box(3, -18, 2, 8), box(1, 0, 10, 10), 10, true},
		{box(3, -18, 2, 18), box(1, 0, 10, 10), 0, true},
		{box(3, -18, 2, 18.5), box(1, 0, 10, 10), 0, false},
		{box(1, 1, 10, 10), box(17, 1, 5, 5), 6, false},
		{box(1, 1, 10, 10), box(3, 19, 5, 5), 8, false},
	} {
		if got := apart(c.a, c.b); got != c.apart {
			t.Errorf("%v and %v lie %v apart, want %v", c.a, c.b, got, c.apart)
		}
		if got := opposite(c.a, c.b); got != c.other {
			t.Errorf("%v and %v on different sides: %v", c.a, c.b, got)
		}
	}
	if got := side(box(2, 3, 5, 7)); got != 7 {
		t.Errorf("the longer side is %v", got)
	}
	if got := side(box(2, 3, 9, 7)); got != 9 {
		t.Errorf("the longer side is %v", got)
	}
}

// Half the holes of sizes that no board has make a file odd; the limits
// themselves are sizes.
func TestOddSizes(t *testing.T) {
	file := func(d ...float64) *drillFile {
		var holes []Hole
		for k, x := range d {
			holes = append(holes, Round(orb.Point{float64(20 * k), 0}, tooling.Size{Diameter: x}))
		}
		return newDrillFile("a.drl", holes)
	}
	for _, c := range []struct {
		d     []float64
		scale float64
		want  bool
	}{
		{[]float64{1, 1}, 1, false}, {[]float64{0.07, 1}, 1, true}, {[]float64{0.07, 1, 1}, 1, false}, {[]float64{leastDrill}, 1, false},
		{[]float64{mostDrill}, 1, false}, {[]float64{12.01}, 1, true}, {[]float64{0.5}, 0.125, true}, {[]float64{0.5}, 25, true},
	} {
		if got := file(c.d...).odd(c.scale); got != c.want {
			t.Errorf("%v times %v is odd: %v", c.d, c.scale, got)
		}
	}
	if f := file(1, 3, 2); f.widest != 3 || f.box != (orb.Bound{Max: orb.Point{40, 0}}) {
		t.Errorf("widest %v in %v", f.widest, f.box)
	}
}

// Two holes cut into each other when they overlap by more than 0.05 mm, and
// are one when they fall together to 5 um and are of one size.
func TestHolesOfTwoFilesAtTheirLimits(t *testing.T) {
	one := newDrillFile("a.drl", []Hole{Round(orb.Point{8, 8}, tooling.Size{Diameter: 2}), Slot(orb.Point{16, 8}, orb.Point{20, 8}, tooling.Size{Diameter: 1})})
	for _, c := range []struct {
		name         string
		hole         Hole
		cuts, common int
	}{
		{"clear", Round(orb.Point{8, 11}, tooling.Size{Diameter: 1}), 0, 0},
		{"touching", Round(orb.Point{8, 9.5}, tooling.Size{Diameter: 1}), 0, 0},
		{"a little in", Round(orb.Point{8, 9.46}, tooling.Size{Diameter: 1}), 0, 0},
		{"too far in", Round(orb.Point{8, 9.44}, tooling.Size{Diameter: 1}), 1, 0},
		{"the same", Round(orb.Point{8, 8}, tooling.Size{Diameter: 2}), 0, 1},
		{"nearly the same", Round(orb.Point{8.004, 8}, tooling.Size{Diameter: 2}), 0, 1},
		{"beside it", Round(orb.Point{8.006, 8}, tooling.Size{Diameter: 2}), 1, 0},
		{"in its place, of another size", Round(orb.Point{8, 8}, tooling.Size{Diameter: 1}), 0, 0},
		{"into the slot", Round(orb.Point{18, 8.9}, tooling.Size{Diameter: 1}), 1, 0},
		{"beside the slot", Round(orb.Point{18, 9}, tooling.Size{Diameter: 1}), 0, 0},
		{"the slot itself", Slot(orb.Point{16, 8}, orb.Point{20, 8}, tooling.Size{Diameter: 1}), 0, 1},
		{"a slot whose end cuts in", Slot(orb.Point{8, 12}, orb.Point{8, 9.4}, tooling.Size{Diameter: 1}), 1, 0},
		{"a slot that passes by", Slot(orb.Point{5, 9.4}, orb.Point{11, 9.4}, tooling.Size{Diameter: 1}), 1, 0},
	} {
		one.index(4)
		o := newDrillFile("b.drl", []Hole{c.hole})
		cuts, common := one.against(o, func(p orb.Point) orb.Point { return p })
		if cuts != c.cuts || common != c.common {
			t.Errorf("%s: %d cuts, %d common, want %d and %d", c.name, cuts, common, c.cuts, c.common)
		}
	}
}

// Every mistake that is tried moves holes the way its name says, and brings
// those of a file that was made so back to where they belong.
func TestSlipsMoveAsTheySay(t *testing.T) {
	file := func(x, y float64) *drillFile { return newDrillFile("a.drl", corners("a.drl", x, y, 16, 8, 1)) }
	large, small := file(100, 50), file(200, 90) // middles at 108/54 and 208/94
	at := orb.Point{2, 5}
	want := map[string]orb.Point{
		"were in inches":      {50.8, 127},
		"were in millimetres": {0.07874, 0.19685},
		"were mirrored left to right about the origin":              {-2, 5},
		"were mirrored bottom to top about the origin":              {2, -5},
		"were turned by half a turn about the origin":               {-2, -5},
		"were mirrored left to right about the other file's middle": {214, 5},
		"were mirrored bottom to top about the other file's middle": {2, 103},
		"were turned by half a turn about the other file's middle":  {214, 103},
		"were mirrored left to right about its own middle":          {414, 5},
		"were mirrored bottom to top about its own middle":          {2, 183},
		"were turned by half a turn about its own middle":           {414, 183},
		"were moved by about X-100.00 Y-40.00 mm":                   {-98, -35},
	}
	all := slips(large, small)
	if len(all) != len(want) {
		t.Errorf("%d mistakes, want %d", len(all), len(want))
	}
	for _, s := range all {
		got := s.move(at)
		if w, ok := want[s.why]; !ok || tooling.SnapPoint(w) != got {
			t.Errorf("if it %s: %v goes to %v, want %v", s.why, at, got, w)
		}
	}
	// Moved over the other file a file fits, and half a side beside it does not.
	if last := all[len(all)-1]; !last.fits(large, small) || all[2].fits(large, small) {
		t.Error("what was moved back fits, and nothing else")
	}
}
