package artwork

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// sink collects objects: of the image, of a block, or of a repeat.
type sink struct {
	strokes []Stroke
	flashes []Flash
	regions []Region

	code          int // of the block aperture that it becomes; 0: none
	columns, rows int // of the repeat; 0: none
	stepX, stepY  point
}

// transform is how block apertures are set down: mirrored, turned, scaled, moved.
type transform struct {
	mirrorX, mirrorY bool    // LM: X changes the sign of x
	degrees          float64 // LR: counter-clockwise
	scale            float64 // LS
	move             point
}

func (t transform) point(p orb.Point) orb.Point {
	x, y := p[0], p[1]
	if t.mirrorX {
		x = -x
	}
	if t.mirrorY {
		y = -y
	}
	switch quarters := t.degrees / 90; {
	case t.degrees == 0:
	case quarters == math.Trunc(quarters):
		for range (int(math.Mod(quarters, 4)) + 4) % 4 {
			x, y = -y, x
		}
	default:
		s, c := math.Sincos(t.degrees * math.Pi / 180)
		x, y = float64(x*c)-float64(y*s), float64(x*s)+float64(y*c)
	}
	q := toPoint(orb.Point{x * t.scale, y * t.scale})
	q[0] += t.move[0]
	q[1] += t.move[1]
	return q.orb()
}

func (t transform) turn(turn int8) int8 {
	if t.mirrorX != t.mirrorY {
		return -turn
	}
	return turn
}

// size is how many objects a sink holds, for the limit.
func (s *sink) size() int {
	n := len(s.strokes) + len(s.flashes)
	for _, g := range s.regions {
		for _, c := range g.Contours {
			n += len(c.Moves)
		}
	}
	return n
}

// put appends another sink's objects, transformed.
func (s *sink) put(o *sink, t transform, flip bool) {
	for _, x := range o.strokes {
		x.From, x.To, x.Turn = t.point(x.From), t.point(x.To), t.turn(x.Turn)
		if x.Turn != 0 {
			x.Center = t.point(x.Center)
		}
		x.Width *= t.scale
		x.Clear = x.Clear != flip
		s.strokes = append(s.strokes, x)
	}
	for _, x := range o.flashes {
		x.At = t.point(x.At)
		x.Clear = x.Clear != flip
		s.flashes = append(s.flashes, x)
	}
	for _, x := range o.regions {
		contours := make([]contour.Contour, len(x.Contours))
		for i, c := range x.Contours {
			moved := contour.Contour{Start: t.point(c.Start), Moves: make([]contour.Move, len(c.Moves))}
			for k, m := range c.Moves {
				m.To, m.Turn = t.point(m.To), t.turn(m.Turn)
				if m.Turn != 0 {
					m.Center = t.point(m.Center)
				}
				moved.Moves[k] = m
			}
			contours[i] = moved
		}
		x.Contours = contours
		x.Clear = x.Clear != flip
		s.regions = append(s.regions, x)
	}
}

// outOfRange reports whether anything lies beyond 10 m.
func (s *sink) outOfRange() bool {
	out := func(p orb.Point) bool { q := toPoint(p); return !inRange(q[0]) || !inRange(q[1]) }
	for _, x := range s.strokes {
		if out(x.From) || out(x.To) {
			return true
		}
	}
	for _, x := range s.flashes {
		if out(x.At) {
			return true
		}
	}
	for _, x := range s.regions {
		for _, c := range x.Contours {
			if out(c.Start) {
				return true
			}
			for _, m := range c.Moves {
				if out(m.To) {
					return true
				}
			}
		}
	}
	return false
}

// openSink begins a block or a repeat.
func (r *reader) openSink(s *sink, at int) error {
	if len(r.sinks) > r.options.MaxDepth {
		return r.failHere(at, ErrLimit, fmt.Sprintf("blocks and repeats %d deep", len(r.sinks)), fmt.Sprintf("at most %d", r.options.MaxDepth))
	}
	r.sinks = append(r.sinks, s)
	return nil
}

// closeSink ends the innermost block or repeat: a block becomes an aperture, a repeat
// is set down row by row.
func (r *reader) closeSink() error {
	top := r.sinks[len(r.sinks)-1]
	r.sinks = r.sinks[:len(r.sinks)-1]
	if top.code != 0 {
		a := Aperture{Code: top.code, Shape: ShapeBlock}
		a.Line, a.Column = r.scan.position(r.scan.offset(0))
		if err := r.addAperture(a, 0); err != nil {
			return err
		}
		r.blocks[len(r.layer.Apertures)-1] = top
		return nil
	}
	under := r.sinks[len(r.sinks)-1]
	n := top.size()
	if n == 0 {
		return nil
	}
	if copies := top.columns * top.rows; copies > (r.options.MaxObjects-r.objects)/n+1 {
		return r.failHere(0, ErrLimit, fmt.Sprintf("%d repeats of %d objects", copies, n), fmt.Sprintf("at most %d objects", r.options.MaxObjects))
	} else if err := r.count(n*(copies-1), 0); err != nil {
		return err
	}
	for row := range top.rows {
		for column := range top.columns {
			t := transform{scale: 1, move: point{
				top.stepX[0]*int64(column) + top.stepY[0]*int64(row), top.stepX[1]*int64(column) + top.stepY[1]*int64(row),
			}}
			var one sink
			one.put(top, t, false)
			if one.outOfRange() {
				return r.failHere(0, ErrRange, "a repeat beyond 10 m", "a length within 10 m")
			}
			under.strokes = append(under.strokes, one.strokes...)
			under.flashes = append(under.flashes, one.flashes...)
			under.regions = append(under.regions, one.regions...)
		}
	}
	return nil
}

// blockCommand takes AB: with a code it begins a block aperture, without it ends it.
func (r *reader) blockCommand(rest []byte, at int) error {
	word := compact(rest)
	if word == "" {
		if top := r.sinks[len(r.sinks)-1]; top.code == 0 {
			return r.failHere(0, ErrSyntax, "the end of a block", "its begin before it")
		}
		return r.closeSink()
	}
	if word[0] != 'D' && word[0] != 'd' {
		return r.failHere(at, ErrAperture, excerpt(rest), "D and a code")
	}
	n, length := scanNumber([]byte(word[1:]), nil)
	code, ok := n.whole()
	if !ok || length != len(word)-1 || code < 10 {
		return r.failHere(at, ErrAperture, excerpt(rest), "an aperture code from D10 on")
	}
	return r.openSink(&sink{code: code}, at)
}

// repeat takes SR: X, Y copies at I, J apart; without them it ends the one that is
// open, as does the next.
func (r *reader) repeat(rest []byte, at int) error {
	if top := r.sinks[len(r.sinks)-1]; top.columns > 0 {
		if err := r.closeSink(); err != nil {
			return err
		}
	}
	word := strings.ToUpper(compact(rest))
	if word == "" {
		return nil
	}
	value := map[byte]float64{'X': 1, 'Y': 1}
	for i := 0; i < len(word); {
		c := word[i]
		end := i + 1
		for end < len(word) && (digit(word[end]) || strings.IndexByte(".+-", word[end]) >= 0) {
			end++
		}
		v, ok := decimal([]byte(word[i+1 : end]))
		if !ok || strings.IndexByte("XYIJ", c) < 0 {
			return r.failHere(at, ErrSyntax, excerpt(rest), "X, Y, I and J with their numbers")
		}
		value[c] = v
		i = end
	}
	columns, rows := value['X'], value['Y']
	if columns < 1 || rows < 1 || columns > float64(r.options.MaxObjects) || rows > float64(r.options.MaxObjects) ||
		columns != math.Trunc(columns) || rows != math.Trunc(rows) {
		return r.failHere(at, ErrSyntax, excerpt(rest), fmt.Sprintf("whole counts from 1 to %d", r.options.MaxObjects))
	}
	if columns == 1 && rows == 1 {
		return nil
	}
	if !r.unitsSet {
		return r.failHere(at, ErrUnits, "a repeat before the units are told", "%MOMM*% or %MOIN*% before it")
	}
	step := [2]int64{}
	for k, c := range []byte{'I', 'J'} {
		mm := value[c]
		if r.layer.Format.Inch {
			mm *= 25.4
		}
		if !(math.Abs(mm) <= 10_000) {
			return r.failHere(at, ErrRange, excerpt(rest), "steps within 10 m")
		}
		step[k] = toPoint(orb.Point{mm})[0]
	}
	return r.openSink(&sink{columns: int(columns), rows: int(rows), stepX: point{step[0], 0}, stepY: point{0, step[1]}}, at)
}

// loadTransform takes LM, LR and LS.
func (r *reader) loadTransform(name string, rest []byte, at int) error {
	word := strings.ToUpper(compact(rest))
	switch name {
	case "LM":
		if word != "N" && word != "X" && word != "Y" && word != "XY" {
			return r.failHere(at, ErrSyntax, excerpt(rest), "N, X, Y or XY")
		}
		r.load.mirrorX, r.load.mirrorY = strings.Contains(word, "X"), strings.Contains(word, "Y")
		return nil
	}
	v, ok := decimal([]byte(word))
	if !ok || math.Abs(v) > 1e6 || name == "LS" && v <= 0 {
		return r.failHere(at, ErrSyntax, excerpt(rest), "a number")
	}
	if name == "LR" {
		r.load.degrees = v
	} else {
		r.load.scale = v
	}
	return nil
}

// flash sets the selected aperture down: a block's objects, or a flash.
func (r *reader) flash(p point, m motion) error {
	top := r.sinks[len(r.sinks)-1]
	if block, ok := r.blocks[r.aperture]; ok {
		if err := r.count(block.size()+1, m.first); err != nil {
			return err
		}
		t := r.load
		t.move = p
		var one sink
		one.put(block, t, r.clear)
		if one.outOfRange() {
			return r.failHere(m.first, ErrRange, "a block beyond 10 m", "a length within 10 m")
		}
		top.strokes = append(top.strokes, one.strokes...)
		top.flashes = append(top.flashes, one.flashes...)
		top.regions = append(top.regions, one.regions...)
		return nil
	}
	if err := r.count(1, m.first); err != nil {
		return err
	}
	line, column := r.scan.position(r.scan.offset(m.first))
	top.flashes = append(top.flashes, Flash{At: p.orb(), Aperture: r.aperture, Clear: r.clear, Line: line, Column: column})
	return nil
}
