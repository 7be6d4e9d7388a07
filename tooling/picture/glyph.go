package picture

// Symbols tell runs apart where colour does not: in black and white, or to eyes
// that do not see all colours. They are drawn by strokes from the centre of a
// hit and all differ in outline, not only in fill.

// glyph is a list of strokes in tenths of the symbol's half size, Y down.
type glyph []Stroke

// Stroke is a line of a symbol: points in tenths of the symbol's half size about
// its centre, X to the right and Y down, joined in order.
type Stroke struct {
	Points [][2]int
	Closed bool // the last point is joined to the first
}

// glyphs returns the symbols, the easiest to tell apart first.
func glyphs() []glyph {
	type um = [2]int
	open := func(p ...um) Stroke { return Stroke{Points: p} }
	ring := func(p ...um) Stroke { return Stroke{Points: p, Closed: true} }
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
	place := func(q [2]int) um { return um{at.x + int64(q[0])*half/10, at.y + int64(q[1])*half/10} }
	for _, s := range g {
		p.move(place(s.Points[0]))
		for _, q := range s.Points[1:] {
			p.line(place(q))
		}
		if s.Closed {
			p.close()
		}
	}
}

// plus is the cross hair of pins and marks.
func plus() glyph { return glyphs()[0] }
