package array

import (
	"context"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// Place is the panel of an array: boards from the lower left by rows, score
// lines along their sides, pins, tooling holes, coupon and target in the border.
// One of these for which the border has no room stands where it is wanted:
// [Prepared.Try] refuses such a panel.
func (p Prepared) Place(c Choice) tooling.Panel {
	out, _ := p.place(c)
	return out
}

func (p Prepared) place(c Choice) (out tooling.Panel, err error) {
	in := p.Input
	out = in.Blank
	out.Width, out.Height = tooling.Snap(c.Panel.Width), tooling.Snap(c.Panel.Height)
	at, _ := p.Field(c)
	in.lay(&out, c, at)
	out.Features, err = in.features(out, c.Panel.Border)
	return out, err
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

// Try lays an array's panel, plans its paths and its holes, and holds the programs of
// both to the checks that they will have to pass when they are made. The error is that
// of the first fault, a [*tooling.InputError] of [ErrBorder] where a pin or hole of the
// panel finds no place.
func (p Prepared) Try(ctx context.Context, c Choice) (route.Layout, error) {
	panel, err := p.place(c)
	if err != nil {
		return route.Layout{}, err
	}
	l, err := route.Lay(p.Input.routed(panel))
	if err != nil {
		return route.Layout{}, err
	}
	if err := p.proveHoles(ctx, l); err != nil {
		return l, err
	}
	_, err = p.prove(ctx, l, c.Across, c.Up)
	return l, err
}
