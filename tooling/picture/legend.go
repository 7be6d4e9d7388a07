package picture

import (
	"fmt"
	"unicode/utf8"
)

const (
	legendWidth = 104 // units, of a column
	legendRow   = 8
	legendText  = 36 // characters of a row
)

// legendColumns returns how many columns fit under a picture.
func (d *drawing) legendColumns(width int64) int64 { return max(width/(legendWidth*d.unit), 1) }

// legend writes one entry a layer, its sign, its name and the number of hits,
// down one column after the other.
func (d *drawing) legend(layers []drawnLayer, at um, columns int64) {
	u := d.unit
	rows := (int64(len(layers)) + columns - 1) / columns
	for i, l := range layers {
		n := int64(i)
		row := um{at.x + n/rows*legendWidth*u, at.y + n%rows*legendRow*u}
		d.sample(l, um{row.x + u*4, row.y - u*2})
		d.text(um{row.x + u*11, row.y}, u*5, `fill="`+ink+`"`, l.caption())
	}
}

// caption names a layer in the legend.
func (l drawnLayer) caption() string {
	s := l.Name
	if utf8.RuneCountInString(s) > legendText {
		s = string([]rune(s)[:legendText-1]) + "…"
	}
	if l.Kind == Hits {
		s += fmt.Sprintf(" (%d)", len(l.Marks))
	}
	return s
}

// sample draws the sign of a layer in the legend, by the layer's own painter.
func (d *drawing) sample(l drawnLayer, mid um) {
	u := d.unit
	left, right := mid.sub(um{u * 4, 0}), mid.add(um{u * 4, 0})
	bar := func(attributes string) {
		var p path
		p.move(left)
		p.line(right)
		d.path(&p, attributes)
	}
	box := func(attributes string) {
		var p path
		p.move(um{left.x, left.y - u*2})
		p.line(um{right.x, left.y - u*2})
		p.line(um{right.x, left.y + u*2})
		p.line(um{left.x, left.y + u*2})
		p.close()
		d.path(&p, attributes)
	}
	ring := func(attributes string, r int64) {
		var p path
		p.circle(mid, r)
		d.path(&p, attributes)
	}
	switch l.Kind {
	case Hits, Perforation:
		var p, sign path
		p.dot(mid)
		s := StyleOf(l.style)
		d.path(&p, pen(s.Ink, u*3/2)+` stroke-opacity=".5"`+round)
		if l.Kind == Hits {
			glyph(s.Sign).draw(&sign, mid, u*2)
			d.path(&sign, pen(s.Ink, d.hair()*2))
		}
	case Path:
		bar(pen(pathInk, u*3) + ` stroke-opacity=".22"`)
		bar(pen(pathInk, d.hair()))
		var p path
		p.move(mid.add(um{u * 3 / 2, 0}))
		p.line(mid.add(um{-u * 3 / 2, u * 3 / 4}))
		p.line(mid.add(um{-u * 3 / 2, -u * 3 / 4}))
		p.close()
		d.path(&p, `fill="`+pathInk+`"`)
	case Board:
		box(`fill="` + boardTint + `" stroke="` + ink + `" stroke-width="` + itoa(d.hair()*2) + `"`)
	case KeepOut:
		var p path
		d.hatch(&p, um{left.x, left.y - u*2}, um{right.x, right.y + u*2})
		d.path(&p, pen(ink, d.hair())+` stroke-opacity=".6"`)
		box(pen(ink, d.hair()*2) + ` stroke-dasharray="` + itoa(u) + " " + itoa(u) + `"`)
	case Score:
		bar(pen(scoreInk, d.hair()*3) + ` stroke-dasharray="` + itoa(u*3) + " " + itoa(u) + " " + itoa(u) + " " + itoa(u) + `"`)
	case Tab:
		bar(pen(tabInk, u*3) + ` stroke-opacity=".4"`)
		bar(pen(tabInk, d.hair()*2))
	case Travel:
		bar(pen(ink, d.hair()) + ` stroke-opacity=".45"`)
	case Pin:
		ring(`fill="`+ink+`"`, u)
		ring(pen(ink, d.hair()*2), u*2)
	case Finding:
		ring(pen(alarmInk, d.hair()*4), u*2)
	default:
		bar(pen(ink, d.hair()*2))
	}
}

// origin marks the panel's zero and the directions that count up.
func (d *drawing) origin() {
	u := d.unit
	o := um{d.left, d.base}
	var p path
	for _, tip := range []um{{o.x + u*9, o.y}, {o.x, o.y - u*9}} {
		p.move(o)
		p.line(tip)
		back := o.sub(tip).scaled(u * 2)
		side := um{-back.y, back.x}.scaled(u)
		p.move(tip.add(back).add(side))
		p.line(tip)
		p.line(tip.add(back).sub(side))
	}
	p.circle(o, u)
	d.path(&p, pen(ink, d.hair()*4))
	d.text(um{o.x + u*10, o.y + u*4}, u*5, `fill="`+ink+`"`, "X")
	d.text(um{o.x - u*4, o.y - u*10}, u*5, `fill="`+ink+`"`, "Y")
	d.text(um{o.x - u*10, o.y + u*6}, u*5, `fill="`+ink+`"`, "0,0")
}

// scale draws a bar of a round length, about a fifth of the panel wide.
func (d *drawing) scale(width int64) {
	u := d.unit
	length := int64(1)
	for _, step := range []int64{1, 2, 5} {
		for n := step; n <= width/4; n *= 10 {
			length = max(length, n)
		}
	}
	from := um{d.left + u*24, d.base + u*10}
	var p path
	p.move(um{from.x, from.y - u*2})
	p.line(um{from.x, from.y + u*2})
	p.move(from)
	p.line(um{from.x + length, from.y})
	p.move(um{from.x + length, from.y - u*2})
	p.line(um{from.x + length, from.y + u*2})
	d.path(&p, pen(ink, d.hair()*3))
	d.text(um{from.x + length + u*3, from.y + u*2}, u*5, `fill="`+ink+`"`, string(appendRound(nil, length))+" mm")
}

// appendRound appends micrometres as millimetres without trailing zeros.
func appendRound(dst []byte, n int64) []byte {
	dst = appendMM(dst, n)
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	if dst[len(dst)-1] == '.' {
		dst = dst[:len(dst)-1]
	}
	return dst
}
