package artwork_test

import (
	"fmt"
	"math"
	"strings"
)

// form is a way to write coordinates.
type form struct {
	inch               bool
	integers, decimals int
	trailing           bool // trailing zeros omitted
	incremental        bool
	single             bool // single-quadrant arcs
}

func (f form) String() string {
	s := fmt.Sprintf("mm %d:%d", f.integers, f.decimals)
	if f.inch {
		s = fmt.Sprintf("inch %d:%d", f.integers, f.decimals)
	}
	if f.trailing {
		s += " trailing"
	}
	if f.incremental {
		s += " incremental"
	}
	if f.single {
		s += " single"
	}
	return s
}

// pen writes artwork. Its own unit is 5 mil, 0.127 mm, a whole number of steps in
// every form from 2:3 on, in both units.
type pen struct {
	form
	b  strings.Builder
	at [2]int
}

const unit = 0.127 // mm

func newPen(f form) *pen {
	p := &pen{form: f}
	zeros, counting := "L", "A"
	if f.trailing {
		zeros = "T"
	}
	if f.incremental {
		counting = "I"
	}
	digits := fmt.Sprintf("%d%d", f.integers, f.decimals)
	fmt.Fprintf(&p.b, "%%FS%s%sX%sY%s*%%\n", zeros, counting, digits, digits)
	if f.inch {
		p.b.WriteString("%MOIN*%\n%ADD10C,0.005*%\n")
	} else {
		p.b.WriteString("%MOMM*%\n%ADD10C,0.127*%\n")
	}
	if f.single {
		p.b.WriteString("G74*\n")
	} else {
		p.b.WriteString("G75*\n")
	}
	p.b.WriteString("D10*\n")
	return p
}

// number writes a length of v units in the form.
func (p *pen) number(v int) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	per := 127 // um
	if p.inch {
		per = 5 // mil
	}
	n := v * per
	for range p.decimals - 3 {
		n *= 10
	}
	if !p.trailing {
		return fmt.Sprintf("%s%d", sign, n)
	}
	s := strings.TrimRight(fmt.Sprintf("%0*d", p.integers+p.decimals, n), "0")
	if s == "" {
		s = "0"
	}
	return sign + s
}

func (p *pen) to(x, y int) string {
	if p.incremental {
		dx, dy := x-p.at[0], y-p.at[1]
		p.at = [2]int{x, y}
		return "X" + p.number(dx) + "Y" + p.number(dy)
	}
	p.at = [2]int{x, y}
	return "X" + p.number(x) + "Y" + p.number(y)
}

func (p *pen) move(x, y int) { p.b.WriteString(p.to(x, y) + "D02*\n") }
func (p *pen) line(x, y int) { p.b.WriteString("G01*\n" + p.to(x, y) + "D01*\n") }

// arc runs to (x, y) about (cx, cy), as one arc or, in single-quadrant mode, cut at
// the quarters; there the arc must begin and end at quarters.
func (p *pen) arc(x, y, cx, cy, turn int) {
	if p.single {
		for {
			dx, dy := p.at[0]-cx, p.at[1]-cy
			nx, ny := cx-turn*dy, cy+turn*dx
			p.one(nx, ny, cx, cy, turn)
			if nx == x && ny == y {
				return
			}
		}
	}
	p.one(x, y, cx, cy, turn)
}

func (p *pen) one(x, y, cx, cy, turn int) {
	word := "G03*\n"
	if turn < 0 {
		word = "G02*\n"
	}
	i, j := cx-p.at[0], cy-p.at[1]
	if p.single {
		i, j = max(i, -i), max(j, -j)
	}
	s := word + p.to(x, y)
	s += "I" + p.number(i) + "J" + p.number(j) + "D01*\n"
	p.b.WriteString(s)
}

func (p *pen) end() []byte { return []byte(p.b.String() + "M02*\n") }

func (p *pen) circle(cx, cy, r, turn int) {
	p.move(cx+r, cy)
	p.arc(cx+r, cy, cx, cy, turn)
}

func (p *pen) stadium(x0, x1, y, r int) {
	p.move(x0, y-r)
	p.line(x1, y-r)
	p.arc(x1, y+r, x1, y, 1)
	p.line(x0, y+r)
	p.arc(x0, y-r, x0, y, 1)
}

func (p *pen) rounded(x0, y0, x1, y1, r int) {
	p.move(x0+r, y0)
	p.line(x1-r, y0)
	p.arc(x1, y0+r, x1-r, y0+r, 1)
	p.line(x1, y1-r)
	p.arc(x1-r, y1, x1-r, y1-r, 1)
	p.line(x0+r, y1)
	p.arc(x0, y1-r, x0+r, y1-r, 1)
	p.line(x0, y0+r)
	p.arc(x0+r, y0, x0+r, y0+r, 1)
}

// forms are all the digit forms, in both units, with either zeros omitted, absolute
// and incremental, in both quadrant modes.
func forms() []form {
	var out []form
	for _, inch := range []bool{false, true} {
		for _, d := range [][2]int{{2, 3}, {2, 4}, {2, 5}, {2, 6}, {3, 3}, {3, 4}, {3, 5}, {3, 6}, {4, 3}, {4, 4}, {4, 5}, {4, 6}} {
			for k := range 8 {
				out = append(out, form{inch, d[0], d[1], k&1 != 0, k&2 != 0, k&4 != 0})
			}
		}
	}
	return out
}

// shape is a drawing of known area.
type shape struct {
	name    string
	draw    func(*pen)
	area    float64 // units2
	cutOuts int
	length  float64 // of the outline, units
}

func shapes() []shape {
	return []shape{
		{name: "circle", draw: func(p *pen) { p.circle(150, 200, 120, 1) }, area: math.Pi * 120 * 120, length: 2 * math.Pi * 120},
		{name: "circle clockwise", draw: func(p *pen) { p.circle(150, 200, 120, -1) }, area: math.Pi * 120 * 120, length: 2 * math.Pi * 120},
		{name: "stadium", draw: func(p *pen) { p.stadium(100, 300, 150, 60) }, area: 200*120 + math.Pi*60*60, length: 400 + 2*math.Pi*60},
		{name: "rounded rectangle", draw: func(p *pen) { p.rounded(20, 30, 320, 230, 25) }, area: 300*200 - (4-math.Pi)*25*25, length: 2*(250+150) + 2*math.Pi*25},
		{name: "ring", draw: func(p *pen) { p.circle(150, 200, 120, 1); p.circle(150, 200, 55, -1) }, area: math.Pi * (120*120 - 55*55), cutOuts: 1, length: 2 * math.Pi * 120},
	}
}
