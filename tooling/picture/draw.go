package picture

import "strconv"

// drawing is the picture in the making: the frame, its scale and the text so far.
type drawing struct {
	frame
	out   []byte
	right int64 // of the panel
	unit  int64 // um; a three-hundredth of the panel's longer side: texts and signs grow with it
}

// open starts an element group for one layer.
func (d *drawing) open(l *Layer) {
	d.out = append(d.out, `<g class="`...)
	d.out = append(d.out, l.Kind...)
	d.out = append(d.out, `"><title>`...)
	d.out = appendText(d.out, l.Name)
	d.out = append(d.out, "</title>\n"...)
}

// shut ends the group that open started.
func (d *drawing) shut() { d.out = append(d.out, "</g>\n"...) }

// path writes one path element; attributes is written as it stands.
func (d *drawing) path(p *path, attributes string) {
	if !p.begun {
		return
	}
	d.out = append(d.out, "<path "...)
	d.out = append(d.out, attributes...)
	d.out = append(d.out, ` d="`...)
	d.out = append(d.out, p.buf...)
	d.out = append(d.out, "\"/>\n"...)
}

// text writes a label with its base line at a place.
func (d *drawing) text(at um, size int64, attributes, s string) {
	d.out = append(d.out, `<text x="`...)
	d.out = strconv.AppendInt(d.out, at.x, 10)
	d.out = append(d.out, `" y="`...)
	d.out = strconv.AppendInt(d.out, at.y, 10)
	d.out = append(d.out, `" font-size="`...)
	d.out = strconv.AppendInt(d.out, size, 10)
	d.out = append(d.out, '"')
	if attributes != "" {
		d.out = append(d.out, ' ')
		d.out = append(d.out, attributes...)
	}
	d.out = append(d.out, '>')
	d.out = appendText(d.out, s)
	d.out = append(d.out, "</text>\n"...)
}

// hair is the width of a thin line.
func (d *drawing) hair() int64 { return max(d.unit/8, 20) }

// pen returns the attributes of a line without filling.
func pen(ink string, width int64) string {
	return `fill="none" stroke="` + ink + `" stroke-width="` + itoa(width) + `"`
}

// round gives lines round ends and joints.
const round = ` stroke-linecap="round" stroke-linejoin="round"`

// byWidth gathers the marks of a layer that share a width, so that each width
// takes one path element; widths stand in the order of their first mark.
type byWidth struct {
	width int64
	path  path
}

// at returns the path of a width, a new one for the first mark of that width.
func at(groups *[]byWidth, width int64) *path {
	for i := range *groups {
		if (*groups)[i].width == width {
			return &(*groups)[i].path
		}
	}
	*groups = append(*groups, byWidth{width: width})
	return &(*groups)[len(*groups)-1].path
}

// trace appends the centre line of a mark: what a pen would draw of it.
func (d *drawing) trace(p *path, m *Mark) {
	switch m.Shape {
	case Circle, Peg:
		p.circle(d.at(m.Points[0]), max(micro(m.Width)/2, 1))
	case Slot, Line:
		p.join(d.at(m.Points[0]))
		for _, q := range m.Points[1:] {
			p.line(d.at(q))
		}
	case Arc:
		p.arc(d.arc(m))
	case Box:
		a, b := d.at(m.Points[0]), d.at(m.Points[1])
		p.move(a)
		p.line(um{b.x, a.y})
		p.line(b)
		p.line(um{a.x, b.y})
		p.close()
	case Cross:
		half := max(micro(m.Width)/2, d.unit/2)
		if m.Width == 0 {
			half = d.unit * 2
		}
		plus().draw(p, d.at(m.Points[0]), half)
	}
}

// labels writes the texts of a layer: of text marks always, of other marks
// where asked.
func (d *drawing) labels(l *Layer, ink string, all bool) {
	for i := range l.Marks {
		m := &l.Marks[i]
		if m.Label == "" || m.Shape != Text && !all {
			continue
		}
		size, attributes := d.unit*4, ""
		at := d.at(m.Points[0])
		switch {
		case m.Shape == Text:
			if w := micro(m.Width); w > 0 {
				size = w
			}
		case m.Shape == Box: // beside it, where neither its edge nor its hatching is
			a, b := at, d.at(m.Points[1])
			at = um{max(a.x, b.x) + d.unit, (a.y + b.y + size*2/3) / 2}
			if at.x+int64(len(m.Label))*size*3/5 > d.right {
				at.x, attributes = min(a.x, b.x)-d.unit, ` text-anchor="end"`
			}
		case l.Kind == Score && len(m.Points) > 1:
			at, attributes = d.beside(at, d.at(m.Points[1]))
		default:
			clear := d.unit + micro(m.Width)
			if l.Kind != Pin && l.Kind != Finding {
				clear = d.unit
			}
			at = at.add(um{clear + d.unit, -clear})
		}
		if m.Shape != Text { // a halo keeps it legible over lines and hits
			attributes += ` stroke="#fff" stroke-width="` + itoa(d.unit) + `" stroke-linejoin="round" paint-order="stroke"`
		}
		d.text(at, size, `fill="`+ink+`"`+attributes, m.Label)
	}
}

// beside returns where a label along a line begins and, for a line that is
// steeper than flat, the attribute that turns it.
func (d *drawing) beside(from, to um) (at um, turn string) {
	v := to.sub(from)
	if max(v.y, -v.y) <= max(v.x, -v.x) {
		if v.x < 0 {
			from = to
		}
		return from.add(um{d.unit * 6, -d.unit}), ""
	}
	if v.y > 0 { // read from below
		from = to
	}
	at = from.add(um{-d.unit, -d.unit * 6})
	return at, ` transform="rotate(-90 ` + itoa(at.x) + " " + itoa(at.y) + `)"`
}
