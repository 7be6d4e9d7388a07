package artwork

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// score keeps a stroke that draws a score, or lists it where it is no straight line.
func (m *maker) score(s Stroke, at tooling.Source) {
	switch {
	case s.Turn != 0:
		line := contour.Contour{Start: s.From, Moves: []contour.Move{{To: s.To, Center: s.Center, Turn: s.Turn}}}
		m.item(Item{Kind: KindScore, Box: line.Bound(), Strokes: 1, Ends: []orb.Point{s.From, s.To}, Line: line, Source: at},
			"score-arc", "an arc cannot be scored and is left out")
	case s.From == s.To:
		m.item(Item{Kind: KindScore, Box: orb.Bound{Min: s.From, Max: s.From}, Strokes: 1, Line: contour.Contour{Start: s.From}, Source: at},
			"no-length", "a stroke of no length is left out")
	default:
		m.scoreLine(Score{From: s.From, To: s.To, Source: at})
	}
}

// scoreLine keeps a score line that is not there yet.
func (m *maker) scoreLine(s Score) {
	id := arc{from: toPoint(s.From), to: toPoint(s.To)}.identity()
	if m.scored[id] {
		m.note("score-twice", "a score line is drawn twice and counts once", s.Source, 0, 0, s.From)
		return
	}
	m.scored[id] = true
	m.profile.Scores = append(m.profile.Scores, s)
}

// scoreLayer adds what is filled in a score layer: strips and rings as thin as a
// stroke count by their centre lines.
func (m *maker) scoreLayer() error {
	if err := m.regions(); err != nil {
		return err
	}
	for _, l := range append(m.loops, m.broken...) {
		at := m.loopSource(&l)
		from, to, width := strip(l.line)
		switch {
		case len(l.edges) > 0: // a ring's centre line
			m.scoreRing(l.line, at)
		case width <= thin && !l.clear:
			m.note("score-strip", "a thin filled strip is taken as a score line: its centre line counts, the value is its width in mm", at, width, thin, from)
			m.scoreLine(Score{From: from, To: to, Source: at})
		default:
			m.item(Item{Kind: KindScore, Box: l.line.Bound(), Line: l.line, Source: at}, "score-area", "a filled area cannot be scored and is left out")
		}
	}
	if len(m.profile.Scores) == 0 {
		m.note("score-none", "the score layer draws no score line", tooling.Source{File: m.layer.File}, 0, 0)
	}
	return nil
}

// scoreRing takes the moves of a ring's centre line as strokes.
func (m *maker) scoreRing(c contour.Contour, at tooling.Source) {
	from := c.Start
	for _, v := range c.Moves {
		m.score(Stroke{From: from, To: v.To, Center: v.Center, Turn: v.Turn}, at)
		from = v.To
	}
}

// strip is the centre line and the width in mm of an area that is a straight strip,
// four times as long as wide or more, with ends square or round; else the
// width is infinite.
func strip(c contour.Contour) (from, to orb.Point, width float64) {
	none := math.Inf(1)
	var along orb.Point // unit vector
	longest := 0.0
	last := c.Start
	for _, v := range c.Moves {
		dx, dy := v.To[0]-last[0], v.To[1]-last[1]
		if n := length(dx, dy); v.Turn == 0 && n > longest {
			along, longest = orb.Point{dx / n, dy / n}, n
		}
		last = v.To
	}
	if longest == 0 {
		return from, to, none
	}
	// In a frame that lies along the longest line the strip fills its box.
	turned := func(p orb.Point) orb.Point {
		return orb.Point{float64(p[0]*along[0]) + float64(p[1]*along[1]), float64(p[1]*along[0]) - float64(p[0]*along[1])}
	}
	flat := contour.Contour{Start: turned(c.Start)}
	for _, v := range c.Moves {
		v.To, v.Center = turned(v.To), turned(v.Center)
		flat.Moves = append(flat.Moves, v)
	}
	b := flat.Bound()
	l, w := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	// Two round ends lack (1 - pi/4) w2 of the box.
	if l < 4*w || math.Abs(c.Area()) < float64(l*w)-float64(0.25*w*w) {
		return from, to, none
	}
	y := (b.Min[1] + b.Max[1]) / 2
	back := func(x float64) orb.Point {
		return tooling.SnapPoint(orb.Point{float64(x*along[0]) - float64(y*along[1]), float64(x*along[1]) + float64(y*along[0])})
	}
	return back(b.Min[0]), back(b.Max[0]), tooling.Snap(w)
}
