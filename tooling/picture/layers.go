package picture

// The look of each kind of layer. Every kind differs from the others in line
// style or sign, so a black and white print can be read.

const (
	ink       = "#1c2b33" // texts and outlines
	laminate  = "#f3ecd9" // the panel
	boardTint = "#dfe7d8" // boards on it
	pathInk   = "#6d4a9c" // cutter paths
	tabInk    = "#b4460f"
	scoreInk  = "#0a5c8c"
	alarmInk  = "#b3123c" // findings
)

// layer draws one layer; n is the number of its style.
func (d *drawing) layer(l *Layer, n int) {
	d.open(l)
	defer d.shut()
	switch l.Kind {
	case Hits, Perforation:
		d.hits(l, StyleOf(n))
	case Path:
		d.cuts(l)
	case KeepOut:
		d.keepOut(l)
	case Pin:
		d.pins(l)
	case Finding:
		d.findings(l)
	default:
		d.lines(l)
	}
}

// lines draws a layer by the centre lines of its marks.
func (d *drawing) lines(l *Layer) {
	attributes, words, labels := pen(ink, d.hair()*2), ink, true
	switch l.Kind {
	case Board:
		attributes = `fill="` + boardTint + `" fill-rule="evenodd" stroke="` + ink + `" stroke-width="` + itoa(d.hair()*2) + `"`
	case Score:
		words = scoreInk
		attributes = pen(scoreInk, d.hair()*3) + ` stroke-dasharray="` + itoa(d.unit*5) + " " + itoa(d.unit) + " " + itoa(d.unit) + " " + itoa(d.unit) + `"`
	case Tab:
		attributes = pen(tabInk, d.hair()*2)
	case Travel:
		attributes, labels = pen(ink, d.hair())+` stroke-opacity=".45"`, false
	}
	var wide []byWidth
	var p path
	for i := range l.Marks {
		m := &l.Marks[i]
		if w := micro(m.Width); l.Kind == Tab && w > 0 && (m.Shape == Line || m.Shape == Arc || m.Shape == Slot) {
			d.trace(at(&wide, w), m)
		}
		d.trace(&p, m)
	}
	for i := range wide {
		d.path(&wide[i].path, pen(laminate, wide[i].width))
		d.path(&wide[i].path, pen(tabInk, wide[i].width)+` stroke-opacity=".4"`)
	}
	d.path(&p, attributes)
	d.labels(l, words, labels)
}

// hits draws discs of true size and the run's symbol over each; pilots and
// nibbles keep the disc alone, since the symbol stands for the finished hole.
func (d *drawing) hits(l *Layer, s Style) {
	var discs []byWidth
	var signs path
	half := min(d.unit*2/3, d.room(l)) // of a symbol
	if half < d.unit/3 {
		half = 0 // too small to tell one from another: the discs alone
	}
	for i := range l.Marks {
		m := &l.Marks[i]
		w := micro(m.Width)
		p := at(&discs, w)
		switch m.Shape {
		case Circle, Peg:
			p.dot(d.at(m.Points[0]))
		case Slot, Line:
			d.trace(p, m)
			if m.Points[0] == m.Points[1] {
				p.dot(d.at(m.Points[0]))
			}
		case Arc:
			d.trace(p, m)
		default:
			continue
		}
		if m.signed() {
			if r := max(w*3/4, half); r >= d.unit/3 {
				glyph(s.Sign).draw(&signs, d.at(m.Points[0]), r)
			}
		}
	}
	for i := range discs {
		d.path(&discs[i].path, pen(s.Ink, max(discs[i].width, d.hair()))+` stroke-opacity=".5"`+round)
	}
	if l.Kind == Hits {
		d.path(&signs, pen(s.Ink, min(d.hair(), max(half/5, d.hair()/2))))
	}
	d.labels(l, ink, false)
}

// cuts draws what a cutter takes away as a broad pale band, its centre line and
// arrows along it.
func (d *drawing) cuts(l *Layer) {
	var swept []byWidth
	var centre, arrows path
	since := d.unit * 24 // so that the first mark gets an arrow
	for i := range l.Marks {
		m := &l.Marks[i]
		if w := micro(m.Width); w > 0 {
			d.trace(at(&swept, w), m)
		}
		d.trace(&centre, m)
		since = d.arrow(&arrows, m, since)
	}
	for i := range swept {
		d.path(&swept[i].path, pen(pathInk, swept[i].width)+` stroke-opacity=".22"`+round)
	}
	d.path(&centre, pen(pathInk, d.hair()))
	d.path(&arrows, `fill="`+pathInk+`"`)
	d.labels(l, ink, true)
}

// arrow puts an arrow in the middle of a move when the last one lies far enough
// back; it returns the length since the last arrow.
func (d *drawing) arrow(p *path, m *Mark, since int64) int64 {
	var mid, along um
	switch m.Shape {
	case Line:
		n := len(m.Points)
		a, b := d.at(m.Points[n/2-1]), d.at(m.Points[n/2])
		along = b.sub(a)
		mid = um{(a.x + b.x) / 2, (a.y + b.y) / 2}
	case Arc:
		a := d.arc(m)
		mid, along = a.middle()
		if a.full() {
			since += d.unit * 24 // a circle always shows its direction
		}
	default:
		return since
	}
	since += along.length()
	if since < d.unit*24 || along == (um{}) {
		return since
	}
	tip, half := along.scaled(d.unit*3/2), um{-along.y, along.x}.scaled(d.unit*3/4)
	p.move(mid.add(tip))
	p.line(mid.sub(tip).add(half))
	p.line(mid.sub(tip).sub(half))
	p.close()
	return 0
}

// keepOut draws outlines, and hatching inside boxes.
func (d *drawing) keepOut(l *Layer) {
	var edge, hatch path
	for i := range l.Marks {
		m := &l.Marks[i]
		d.trace(&edge, m)
		if m.Shape == Box {
			d.hatch(&hatch, d.at(m.Points[0]), d.at(m.Points[1]))
		}
	}
	d.path(&hatch, pen(ink, d.hair())+` stroke-opacity=".6"`)
	d.path(&edge, pen(ink, d.hair()*2)+` stroke-dasharray="`+itoa(d.unit)+" "+itoa(d.unit)+`"`)
	d.labels(l, ink, true)
}

// hatch fills a box with slanting lines.
func (d *drawing) hatch(p *path, a, b um) {
	low, high := um{min(a.x, b.x), min(a.y, b.y)}, um{max(a.x, b.x), max(a.y, b.y)}
	step := max(d.unit*2, (high.x-low.x+high.y-low.y)/200) // at most 200 lines a box
	for c := low.x + low.y + step; c < high.x+high.y; c += step {
		// The line x + y = c, cut at the sides of the box.
		from, to := um{low.x, c - low.x}, um{c - low.y, low.y}
		if from.y > high.y {
			from = um{c - high.y, high.y}
		}
		if to.x > high.x {
			to = um{high.x, c - high.x}
		}
		p.move(from)
		p.line(to)
	}
}

// pins draws pins as solid discs in a ring with cross hairs.
func (d *drawing) pins(l *Layer) {
	var discs, rings path
	for i := range l.Marks {
		m := &l.Marks[i]
		at := d.at(m.Points[0])
		r := max(micro(m.Width)/2, d.unit/2)
		discs.circle(at, r)
		rings.circle(at, r*2)
		plus().draw(&rings, at, r*3)
	}
	d.path(&discs, `fill="`+ink+`"`)
	d.path(&rings, pen(ink, d.hair()*2))
	d.labels(l, ink, true)
}

// findings draws a bold ring round each place.
func (d *drawing) findings(l *Layer) {
	var rings path
	for i := range l.Marks {
		m := &l.Marks[i]
		rings.circle(d.at(m.Points[0]), max(micro(m.Width), d.unit*3))
	}
	d.path(&rings, pen(alarmInk, d.hair()*4))
	d.labels(l, alarmInk, true)
}
