package picture

// Symbols tell runs apart where colour does not: in black and white, or to eyes
// that do not see all colours. They are drawn by strokes from the centre of a
// hit and all differ in outline, not only in fill.

// glyph is a list of strokes in tenths of the symbol's half size, Y down.
type glyph []stroke

type stroke struct {
	points []um
	closed bool
}

// glyphs returns the symbols, the easiest to tell apart first.
func glyphs() []glyph {
	open := func(p ...um) stroke { return stroke{points: p} }
	ring := func(p ...um) stroke { return stroke{points: p, closed: true} }
	return []glyph{
		{open(um{-10, 0}, um{10, 0}), open(um{0, -10}, um{0, 10})},                            // plus
		{ring(um{-8, -8}, um{8, -8}, um{8, 8}, um{-8, 8})},                                    // square
		{open(um{-8, -8}, um{8, 8}), open(um{8, -8}, um{-8, 8})},                              // cross
		{ring(um{0, -10}, um{9, 6}, um{-9, 6})},                                               // triangle up
		{ring(um{0, -11}, um{11, 0}, um{0, 11}, um{-11, 0})},                                  // diamond
		{ring(um{0, 10}, um{9, -6}, um{-9, -6})},                                              // triangle down
		{ring(um{-5, -9}, um{5, -9}, um{10, 0}, um{5, 9}, um{-5, 9}, um{-10, 0})},             // hexagon
		{ring(um{-8, -9}, um{8, -9}, um{-8, 9}, um{8, 9})},                                    // hourglass
		{open(um{-10, 0}, um{10, 0}), open(um{-5, -9}, um{5, 9}), open(um{-5, 9}, um{5, -9})}, // star
		{ring(um{-9, -8}, um{9, 8}, um{9, -8}, um{-9, 8})},                                    // bow tie
		{open(um{-9, -9}, um{0, 0}, um{9, -9}), open(um{0, 0}, um{0, 10})},                    // fork
		{open(um{-9, -6}, um{9, -6}), open(um{-9, 6}, um{9, 6}), open(um{0, -6}, um{0, 6})},   // girder
		{open(um{-9, -9}, um{-9, 9}, um{9, 9}), open(um{-9, 0}, um{9, 0})},                    // step
		{ring(um{-10, -4}, um{10, -4}, um{10, 4}, um{-10, 4}), open(um{0, -10}, um{0, 10})},   // crossed bar
		{open(um{9, -8}, um{-9, 0}, um{9, 8}), open(um{-9, -10}, um{-9, 10})},                 // arrow
		{ring(um{-8, -8}, um{8, -8}, um{8, 8}, um{-8, 8}), open(um{-8, -8}, um{8, 8})},        // crossed square
	}
}

// draw appends the symbol round a centre; half is its half size.
func (g glyph) draw(p *path, at um, half int64) {
	place := func(q um) um { return um{at.x + q.x*half/10, at.y + q.y*half/10} }
	for _, s := range g {
		p.move(place(s.points[0]))
		for _, q := range s.points[1:] {
			p.line(place(q))
		}
		if s.closed {
			p.close()
		}
	}
}

// inks returns the colours of runs. Neighbours in the list differ in lightness
// as well as in hue, and all stand out on a pale ground.
func inks() []string {
	return []string{"#0a5c8c", "#c24f0a", "#1f2326", "#8c3f86", "#0b7a63", "#8a6500", "#4a63c8", "#a81f45"}
}

// style is the look of one run: runs are numbered through the scene in the order
// of their layers.
type style struct {
	ink  string
	sign glyph
}

func styleOf(n int) style {
	g, c := glyphs(), inks()
	return style{ink: c[n%len(c)], sign: g[n%len(g)]}
}
