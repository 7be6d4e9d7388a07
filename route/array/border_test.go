package array_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/array"
	"example.org/pinstack/tooling"
)

// faults lists what is wrong with the pins and holes of a panel: what package drill says of
// them, and what is measured here.
func faults(in array.Input, p tooling.Panel) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	holes := drill.Input{Holes: drill.Place(nil, p), Panel: p, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine}
	if err := holes.Validate(); err != nil {
		say("%v", err)
		return out
	}
	found, err := drill.Inspect(holes)
	if err != nil {
		say("%v", err)
	}
	for _, f := range found {
		say("%s: %s", f.Rule, f.Detail)
	}
	for i, f := range p.Features {
		for _, s := range p.Scores {
			for axis := range 2 {
				if s[0][axis] == s[1][axis] && math.Abs(s[0][axis]-f.At[axis]) < f.Diameter/2+1 {
					say("%v on a score line %v", f, s)
				}
			}
		}
		for _, g := range p.Features[:i] {
			d := math.Hypot(f.At[0]-g.At[0], f.At[1]-g.At[1])
			if d == 0 && f.SetUp == 2 && g.Role == tooling.ToolingHole {
				continue // a pin in its hole
			}
			if d < (f.Diameter+g.Diameter)/2+1 {
				say("%v and %v: %.3f mm apart", f, g, d)
			}
			if g.Role == tooling.Pin && g.SetUp == 1 && f.Role != tooling.Pin && d < g.Diameter/2+in.Machine.Foot/2 {
				say("the foot comes down on %v at %v", g, f)
			}
		}
	}
	var all, rails []tooling.Feature
	for _, f := range p.Features {
		if f.Role != tooling.Pin || f.SetUp == 1 { // a hole of the panel by the second set-up
			all = append(all, f)
		}
		if f.Role == tooling.ToolingHole {
			rails = append(rails, f)
		}
	}
	rails = rails[2:]
	for _, held := range []struct {
		name        string
		pins, holes []tooling.Feature
	}{{"set-up 1", p.Pins(1), p.Pins(1)}, {"set-up 2", p.Pins(2), all}, {"rails", rails, rails}} {
		if n := len(held.pins); n != 2 && (held.name != "rails" || n != 4 && n != 0) {
			say("%s: %d pins", held.name, n)
		}
		for _, way := range []string{"turned", "flipped", "tumbled"} {
			meet := 0
			for _, pin := range held.pins {
				at := pin.At
				if way != "tumbled" {
					at[0] = p.Width - at[0]
				}
				if way != "flipped" {
					at[1] = p.Height - at[1]
				}
				if slices.ContainsFunc(held.holes, func(h tooling.Feature) bool {
					return h.Diameter >= pin.Diameter && math.Abs(h.At[0]-at[0]) < 1 && math.Abs(h.At[1]-at[1]) < 1
				}) {
					meet++
				}
			}
			if meet > 0 && meet == len(held.pins) {
				say("%s fits %s", held.name, way)
			}
		}
	}
	return out
}

// Whatever the panel's size, the boards' pitch and the way they are parted, pins and
// holes of the panel keep clear of each other, of score lines and of boards, and no
// set-up's pins let a stack fit any other way. Where a border narrower than the usual one
// has no room for all of it, the array is refused.
func TestPinsAndHolesKeepClear(t *testing.T) {
	laid, refused := 0, 0
	for seed := range uint64(3000) {
		random := rand.New(rand.NewPCG(seed, 41))
		half := func(lo, hi int) float64 { return float64(2*lo+random.IntN(2*(hi-lo)+1)) / 2 }
		in := sensor(half(2, 12)+float64(random.IntN(2))*half(0, 60), half(2, 12)+float64(random.IntN(2))*half(0, 60))
		in.Rules.Rout.Cutter = []float64{1, 2.4}[random.IntN(2)]
		in.Machine.Foot = []float64{0, 6, 10, 14}[random.IntN(4)]
		in.Rails = float64(random.IntN(2)) * half(5, 15)
		if random.IntN(8) == 0 {
			in.Coupon, in.Target = 0, 0
		}
		box := in.Box()
		p := array.Prepared{Input: in, Problem: array.Problem{Width: box.Max[0] - box.Min[0], Height: box.Max[1] - box.Min[1]}}
		c := array.Choice{Turned: random.IntN(2) == 1, Panel: array.NewStock(half(60, 130), half(60, 130))}
		switch random.IntN(4) {
		case 0:
			c.Panel = array.NewStock(400, 300)
		case 1:
			c.Panel = array.NewStock(60, 60)
		}
		if least := 5 + 3.175/2 + max(in.Machine.Foot/2, in.Rules.Rout.Cutter+1); random.IntN(2) == 0 {
			c.Panel.Border = tooling.Snap(least)
		}
		c.Across, c.Up = array.Way{Score: true}, array.Way{Score: true}
		switch random.IntN(4) {
		case 0:
			c.Across = array.Way{Gap: in.Rules.Rout.Cutter}
		case 1:
			c.Up = array.Way{Gap: in.Rules.Rout.Cutter}
		}
		w, h := p.Problem.Width, p.Problem.Height
		if c.Turned {
			w, h = h, w
		}
		c.Columns = int((c.Panel.Width - 2*c.Panel.Border + c.Across.Gap) / (w + c.Across.Gap))
		c.Rows = int((c.Panel.Height - 2*(c.Panel.Border+in.Rails) + c.Up.Gap) / (h + c.Up.Gap))
		if c.Columns < 1 || c.Rows < 1 {
			continue
		}
		if random.IntN(3) == 0 {
			c.Columns, c.Rows = 1+random.IntN(c.Columns), 1+random.IntN(c.Rows)
		}
		panel := p.Place(c)
		laid++
		if found := faults(in, panel); len(found) > 0 {
			told := fmt.Sprintf("seed %d: %v, foot %g mm, border %g mm, rails %g mm: %v", seed, c, in.Machine.Foot, c.Panel.Border, in.Rails, found)
			_, err := p.Try(context.Background(), c)
			require.ErrorIs(t, err, array.ErrBorder, told)
			require.Less(t, c.Panel.Border, 15.0, "the usual border has room: %s", told)
			refused++
			continue
		}
		at, step := p.Field(c)
		field := orb.Bound{Min: at, Max: orb.Point{at[0] + float64(c.Columns)*step[0] - c.Across.Gap, at[1] + float64(c.Rows)*step[1] - c.Up.Gap}}
		for _, f := range panel.Features {
			r := f.Diameter/2 + in.Rules.Rout.Cutter
			x, y := max(field.Min[0]-f.At[0], f.At[0]-field.Max[0]), max(field.Min[1]-f.At[1], f.At[1]-field.Max[1])
			require.GreaterOrEqual(t, max(x, y), r, "seed %d: %v within the channel of %v", seed, f, field)
		}
	}
	require.Greater(t, laid, 2000)
	require.Less(t, 50*refused, laid, "and a narrower one nearly always")
}

// Panels too narrow for rail holes 30 mm from their sides have them nearer to the sides,
// still apart and still one way round.
func TestRailHolesOfNarrowPanels(t *testing.T) {
	for _, c := range []struct {
		width, height float64
		x             [4]float64 // below, above
	}{
		{60, 120, [4]float64{15, 45, 15, 37}}, {75, 200, [4]float64{18, 56, 18, 46}},
		{80, 200, [4]float64{20, 60, 20, 50}}, {120, 200, [4]float64{30, 90, 30, 75}}, {300, 200, [4]float64{30, 270, 30, 255}},
	} {
		in := sensor(20, 30)
		in.Columns, in.Rows = []array.Way{{}}, []array.Way{{}}
		in.Rails, in.Stocks = 10, []array.Stock{array.NewStock(c.width, c.height)}
		l, err := array.Best(context.Background(), in)
		require.NoError(t, err, "%g x %g mm", c.width, c.height)
		require.Empty(t, faults(in, l.Panel), "%g x %g mm", c.width, c.height)
		var at []orb.Point
		for _, f := range l.Panel.Features {
			if f.Role == tooling.ToolingHole {
				at = append(at, f.At)
			}
		}
		require.Equal(t, []orb.Point{{c.x[0], 20}, {c.x[1], 20}, {c.x[2], c.height - 20}, {c.x[3], c.height - 20}}, at[2:], "%g x %g mm", c.width, c.height)
	}
}

// A panel without room for its own pins and holes is refused with what found no room;
// other sizes are still taken.
func TestNoRoomInTheBorder(t *testing.T) {
	in := sensor(10, 10)
	in.Machine.Foot = 60
	small, large := array.Stock{Width: 60, Height: 60, Border: 37, Price: 1}, array.Stock{Width: 400, Height: 300, Border: 37, Price: 6}
	in.Stocks = []array.Stock{small}
	_, err := array.Prepare(context.Background(), in)
	var input *tooling.InputError
	require.ErrorIs(t, err, array.ErrBorder)
	require.ErrorAs(t, err, &input)
	require.Equal(t, "no room along its edge for a tooling hole of 3.2 mm wanted at X5.000 Y12.000 of a panel of 60 x 60 mm", input.Found)
	require.Equal(t, "a place clear of score lines, pins and other holes", input.Expected)

	in.Stocks = []array.Stock{small, large}
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	require.Equal(t, 400.0, l.Result.Choice.Panel.Width)
	require.Empty(t, faults(l.Prepared.Input, l.Panel))

	c := l.Result.Choice
	c.Panel, c.Columns, c.Rows = small, 1, 1
	_, err = l.Prepared.Try(context.Background(), c)
	require.ErrorIs(t, err, array.ErrBorder)
}

// An array is tried with all its drill passes: holes at the boards' edge may bring the
// foot down on a pin where the border is just wide enough for those within.
func TestArraysAreTriedWithTheirHoles(t *testing.T) {
	for _, c := range []struct {
		border float64 // mm; 12.5875 is the least that this foot of 12 mm leaves
		why    string
	}{{15, ""}, {12.5875, "tool or foot comes down on a pin"}} {
		in := sensor(50, 30)
		in.Machine.Foot = 12
		for y := -78.0; y < -52; y += 1.5 {
			h := drill.Round(orb.Point{99.8, y}, tooling.Size{Diameter: 1, Basis: tooling.Finished, Plated: true})
			h.Half = true
			in.Holes = append(in.Holes, h)
		}
		in.Stocks = []array.Stock{{Width: 50 + 2*c.border, Height: 60, Border: c.border, Price: 1}}
		in.Columns, in.Rows = []array.Way{{}}, []array.Way{{}}
		_, err := array.Best(context.Background(), in)
		if c.why == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorIs(t, err, array.ErrNoFit)
		require.ErrorContains(t, err, c.why)
	}
}
