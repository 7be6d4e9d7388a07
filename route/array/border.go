package array

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// border places the panel's own pins and holes, one after the other.
type border struct {
	in    Input
	panel tooling.Panel // what stands already is among its features, holes of the rails first
	rails int           // how many these are in the end
	err   error         // of the first that found no place
}

// features are the panel's own pins and holes: two pins in each set-up, left and
// right, those of the second in tooling holes; tooling holes at the ends of the rails,
// one of them farther in; coupon and target. Each is moved along its edge to where it
// keeps clear of score lines and of what stands already, see [border.clear]. The error
// is for the first that finds no such place; then it stands where it is wanted.
func (in Input) features(p tooling.Panel, edge float64) ([]tooling.Feature, error) {
	b := border{in: in, panel: p}
	b.panel.Features = nil
	w, h := p.Width, p.Height
	if in.Rails > 0 { // first: pins may give way farther
		b.rails = 4
		// In the middle of the rail, but clear of the channel around the boards.
		y := micrometres(edge + min(in.Rails/2, in.Rails-in.Rules.Rout.Cutter-toolingSize/2-free))
		x := min(2*defaultBorder, w/4)
		for _, at := range []orb.Point{{x, y}, {w - x, y}, {x, h - y}, {w - 1.5*x, h - y}} {
			b.put(tooling.Feature{Role: tooling.ToolingHole, At: at, Diameter: toolingSize}, 0)
		}
	}
	left, right := inset, w-inset
	b.put(tooling.Feature{Role: tooling.Pin, At: orb.Point{left, 0.45 * h}, Diameter: pinSize, SetUp: 1}, 1)
	b.put(tooling.Feature{Role: tooling.Pin, At: orb.Point{right, 0.40 * h}, Diameter: pinSize, SetUp: 1}, 1)
	for _, at := range []orb.Point{{left, 0.2 * h}, {right, 0.7 * h}} {
		b.put(tooling.Feature{Role: tooling.ToolingHole, At: at, Diameter: toolingSize}, 1)
	}
	for _, f := range b.panel.Features[b.rails+2:] {
		b.panel.Features = append(b.panel.Features, tooling.Feature{Role: tooling.Pin, At: f.At, Diameter: pinSize, SetUp: 2})
	}
	if in.Coupon > 0 {
		b.put(tooling.Feature{Role: tooling.Coupon, At: orb.Point{w/2 - 3, inset}, Diameter: in.Coupon}, 0)
		b.put(tooling.Feature{Role: tooling.Coupon, At: orb.Point{w/2 + 3, inset}, Diameter: in.Coupon}, 0)
	}
	if in.Target > 0 {
		b.put(tooling.Feature{Role: tooling.Target, At: orb.Point{w / 2, h - inset}, Diameter: in.Target}, 0)
	}
	rails, others := b.panel.Features[:b.rails], b.panel.Features[b.rails:]
	return slices.Concat(others[:6], rails, others[6:]), b.err
}

// free is the laminate in mm that is left standing around a hole, to the next wall
// or score line.
const free = 1.0

// put adds a feature, moved along an axis by whole millimetres to the nearest place that
// is clear: beside all score lines where they stand too close.
func (b *border) put(f tooling.Feature, axis int) {
	size := orb.Point{b.panel.Width, b.panel.Height}[axis]
	f.At = tooling.SnapPoint(f.At)
	wanted := f.At
	base := float64(int(f.At[axis]))
	for k := 0.0; k < size; k++ {
		for _, sign := range []float64{1, -1} {
			f.At[axis] = base + float64(sign*k)
			if f.At[axis] >= inset && f.At[axis] <= size-inset && b.clear(f, axis) {
				b.panel.Features = append(b.panel.Features, f)
				return
			}
		}
	}
	f.At[axis] = base
	b.panel.Features = append(b.panel.Features, f)
	what := string(f.Role)
	if f.Role != tooling.Pin {
		what += " hole"
	}
	if b.err == nil {
		b.err = &tooling.InputError{
			Source: tooling.Source{Path: "stocks"}, Err: ErrBorder,
			Found:    fmt.Sprintf("no room along its edge for a %s of %g mm wanted at X%.3f Y%.3f of a panel of %g x %g mm", what, f.Diameter, wanted[0], wanted[1], b.panel.Width, b.panel.Height),
			Expected: "a place clear of score lines, pins and other holes",
		}
	}
}

// footSpare is how far in mm the foot is kept off a pin.
const footSpare = 0.1

// clear tells whether a feature may stand where it lies: off the score lines that cross
// its edge, its wall away from other walls, no hole of the first set-up where the foot
// comes down on a pin, and no pins on which a stack fits another way.
func (b *border) clear(f tooling.Feature, axis int) bool {
	for _, s := range b.panel.Scores {
		if s[0][axis] == s[1][axis] && abs(s[0][axis]-f.At[axis]) < f.Diameter/2+free {
			return false
		}
	}
	for _, g := range b.panel.Features {
		if apart(f.At, g.At) < b.room(f, g) {
			return false
		}
	}
	return b.oneWay(append(slices.Clip(b.panel.Features), f))
}

// room is how far in mm the middles of two features have to lie apart: all holes are
// drilled in the first set-up, where the foot keeps off its pins.
func (b *border) room(f, g tooling.Feature) float64 {
	room := (f.Diameter+g.Diameter)/2 + free
	for _, pair := range [2][2]tooling.Feature{{f, g}, {g, f}} {
		if pin, hole := pair[0], pair[1]; pin.Role == tooling.Pin && pin.SetUp == 1 && hole.Role != tooling.Pin {
			room = max(room, pin.Diameter/2+b.in.Machine.Foot/2+footSpare)
		}
	}
	return room
}

// oneWay tells whether neither the pins of a set-up nor the holes of the rails find holes
// of their own size where they come to lie when the panel is turned half round, flipped
// left to right or tumbled. In the first set-up there are no other holes yet; the pins of
// the second might go into any that is wide enough.
func (b *border) oneWay(all []tooling.Feature) bool {
	n := min(b.rails, len(all))
	rails, others := all[:n], all[n:]
	first, second := others[:min(2, len(others))], others[min(2, len(others)):min(4, len(others))]
	var wide []tooling.Feature
	for _, f := range all {
		if f.Diameter >= pinSize {
			wide = append(wide, f)
		}
	}
	return !(len(first) == 2 && b.fits(first, first) || len(second) == 2 && b.fits(second, wide) || n == 4 && b.fits(rails, rails))
}

// forced is how far in mm a hole may lie from a pin that might still be forced into it;
// package drill takes a millimetre for that.
const forced = 1.5

// fits tells whether some wrong way of laying the panel brings a hole to all pins.
func (b *border) fits(pins, holes []tooling.Feature) bool {
	for _, way := range [3][2]bool{{true, true}, {true, false}, {false, true}} {
		if !slices.ContainsFunc(pins, func(pin tooling.Feature) bool {
			at := pin.At
			if way[0] {
				at[0] = b.panel.Width - at[0]
			}
			if way[1] {
				at[1] = b.panel.Height - at[1]
			}
			return !slices.ContainsFunc(holes, func(h tooling.Feature) bool {
				return abs(h.At[0]-at[0]) < forced && abs(h.At[1]-at[1]) < forced
			})
		}) {
			return true
		}
	}
	return false
}
