package array

import (
	"context"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// Place is the panel of an array: boards from the lower left by rows, score
// lines along their sides, pins, tooling holes, coupon and target in the border.
func (p Prepared) Place(c Choice) tooling.Panel {
	in := p.Input
	out := in.Blank
	out.Width, out.Height = tooling.Snap(c.Panel.Width), tooling.Snap(c.Panel.Height)
	at, _ := p.Field(c)
	in.lay(&out, c, at)
	out.Features = in.features(out)
	return out
}

// lay puts the boards of an array and its score lines onto a panel, its lower
// left corner at.
func (in Input) lay(out *tooling.Panel, c Choice, at orb.Point) {
	first, step := offset(in.Box(), c.Turned, at), in.step(c)
	for row := range c.Rows {
		for column := range c.Columns {
			o := orb.Point{first[0] + float64(float64(column)*step[0]), first[1] + float64(float64(row)*step[1])}
			out.Boards = append(out.Boards, tooling.Placement{Offset: tooling.SnapPoint(o), Quarters: quarters(c.Turned)})
		}
	}
	if c.Across.Score {
		for k := range c.Columns + 1 {
			out.Scores = append(out.Scores, upright(at[0]+float64(float64(k)*step[0]), out.Height))
		}
	}
	if c.Up.Score {
		for k := range c.Rows + 1 {
			out.Scores = append(out.Scores, level(at[1]+float64(float64(k)*step[1]), out.Width))
		}
	}
}

// step is from one board to the next, mm.
func (in Input) step(c Choice) orb.Point {
	b := in.Box()
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	if c.Turned {
		w, h = h, w
	}
	return orb.Point{tooling.Snap(w + c.Across.Gap), tooling.Snap(h + c.Up.Gap)}
}

// Field is where the array's lower left corner lies and the step from board to
// board, mm.
func (p Prepared) Field(c Choice) (at, step orb.Point) {
	w, h := p.Problem.size(c.Turned)
	at = orb.Point{
		corner(c.Panel.Width, span(c.Columns, w, c.Across.Gap)),
		corner(c.Panel.Height, span(c.Rows, h, c.Up.Gap)),
	}
	return at, p.Input.step(c)
}

// features are the panel's own pins and holes. The pins of both set-ups stand
// at other heights left and right, and no two mirror each other, so that a turned,
// flipped or tumbled stack does not fit. Each is moved along its edge off the
// score lines.
func (in Input) features(p tooling.Panel) []tooling.Feature {
	w, h := p.Width, p.Height
	left, right := inset, w-inset
	var out []tooling.Feature
	put := func(role tooling.Role, axis int, at orb.Point, diameter float64, setUp int) orb.Point {
		at = offLines(p, axis, at, diameter/2+1)
		out = append(out, tooling.Feature{Role: role, At: at, Diameter: diameter, SetUp: setUp})
		return at
	}
	put(tooling.Pin, 1, orb.Point{left, 0.45 * h}, pinSize, 1)
	put(tooling.Pin, 1, orb.Point{right, 0.40 * h}, pinSize, 1)
	a := put(tooling.ToolingHole, 1, orb.Point{left, 0.2 * h}, toolingSize, 0)
	b := put(tooling.ToolingHole, 1, orb.Point{right, 0.7 * h}, toolingSize, 0)
	for _, at := range []orb.Point{a, b} {
		out = append(out, tooling.Feature{Role: tooling.Pin, At: at, Diameter: pinSize, SetUp: 2})
	}
	if in.Rails > 0 {
		y, top := defaultBorder+in.Rails/2, h-defaultBorder-in.Rails/2
		for _, at := range []orb.Point{{2 * defaultBorder, y}, {w - 2*defaultBorder, y}, {2 * defaultBorder, top}, {w - 3*defaultBorder, top}} {
			put(tooling.ToolingHole, 0, at, toolingSize, 0)
		}
	}
	if in.Coupon > 0 {
		put(tooling.Coupon, 0, orb.Point{w/2 - 3, inset}, in.Coupon, 0)
		put(tooling.Coupon, 0, orb.Point{w/2 + 3, inset}, in.Coupon, 0)
	}
	if in.Target > 0 {
		put(tooling.Target, 0, orb.Point{w / 2, h - inset}, in.Target, 0)
	}
	return out
}

// offLines moves a place along an axis, by whole millimetres, to where no score line
// that crosses this axis comes nearer than room: the nearest such place, beside all
// lines if they stand too close. Where there is none on the panel it stays.
func offLines(p tooling.Panel, axis int, at orb.Point, room float64) orb.Point {
	size := orb.Point{p.Width, p.Height}[axis]
	at = orb.Point{tooling.Snap(at[0]), tooling.Snap(at[1])}
	base := float64(int(at[axis]))
	for k := 0.0; k < size; k++ {
		for _, sign := range []float64{1, -1} {
			at[axis] = base + float64(sign*k)
			if at[axis] < inset || at[axis] > size-inset {
				continue
			}
			near := func(s tooling.Score) bool { return s[0][axis] == s[1][axis] && abs(s[0][axis]-at[axis]) < room }
			if !slices.ContainsFunc(p.Scores, near) {
				return at
			}
		}
	}
	at[axis] = base
	return at
}

// Try lays an array's panel, plans and checks its paths, and checks that every
// hole may be drilled where it lies.
func (p Prepared) Try(ctx context.Context, c Choice) (route.Layout, error) {
	in := p.Input
	ri := in.routed(p.Place(c))
	if err := (drill.Input{Holes: ri.Holes, Panel: ri.Panel, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine}).Validate(); err != nil {
		return route.Layout{}, err
	}
	l, err := route.Lay(ri)
	if err != nil {
		return route.Layout{}, err
	}
	_, err = p.prove(ctx, l, c.Across, c.Up)
	return l, err
}
