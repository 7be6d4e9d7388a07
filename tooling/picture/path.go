package picture

import "strconv"

// path builds the data of one SVG path from relative moves, which are short
// where neighbours are close: about ten bytes for a hit.
type path struct {
	buf   []byte
	pen   um
	start um // of the open subpath
	begun bool
}

func (p *path) num(n int64) { p.buf = strconv.AppendInt(p.buf, n, 10) }

// pair appends two numbers; a minus sign separates by itself.
func (p *path) pair(a um) {
	p.num(a.x)
	if a.y >= 0 {
		p.buf = append(p.buf, ' ')
	}
	p.num(a.y)
}

// move starts a new subpath.
func (p *path) move(to um) {
	if p.begun {
		p.buf = append(p.buf, 'm')
		p.pair(to.sub(p.pen))
	} else {
		p.buf = append(p.buf, 'M')
		p.pair(to)
		p.begun = true
	}
	p.pen, p.start = to, to
}

// join moves to a place unless the pen is there already, so that the moves of a
// cutter make one line.
func (p *path) join(at um) {
	if !p.begun || p.pen != at {
		p.move(at)
	}
}

func (p *path) line(to um) {
	d := to.sub(p.pen)
	switch {
	case d.y == 0:
		p.buf = append(p.buf, 'h')
		p.num(d.x)
	case d.x == 0:
		p.buf = append(p.buf, 'v')
		p.num(d.y)
	default:
		p.buf = append(p.buf, 'l')
		p.pair(d)
	}
	p.pen = to
}

func (p *path) close() {
	p.buf = append(p.buf, 'z')
	p.pen = p.start
}

// dot is a line so short that its round ends make a disc. One micrometre, not
// zero: some viewers leave out lines without length.
func (p *path) dot(at um) {
	p.move(at)
	p.line(um{at.x + 1, at.y})
}

// circle appends a circle as two halves.
func (p *path) circle(at um, radius int64) {
	p.move(um{at.x - radius, at.y})
	p.bow(radius, false, true, um{at.x + radius, at.y})
	p.bow(radius, false, true, um{at.x - radius, at.y})
	p.close()
}

// bow appends one elliptical arc command.
func (p *path) bow(radius int64, large, clockwise bool, to um) {
	p.buf = append(p.buf, 'a')
	p.num(radius)
	p.buf = append(p.buf, ' ')
	p.num(radius)
	p.buf = append(p.buf, " 0 "...)
	p.buf = append(p.buf, flag(large), ' ', flag(clockwise), ' ')
	p.pair(to.sub(p.pen))
	p.pen = to
}

// arc appends a round move. One that rounds to no radius is the line to its end.
func (p *path) arc(a arc) {
	p.join(a.from)
	switch {
	case a.radius == 0:
		p.line(a.to)
	case a.full():
		far := a.centre.add(a.centre).sub(a.from)
		p.bow(a.radius, false, a.clockwise, far)
		p.bow(a.radius, false, a.clockwise, a.from)
	default:
		p.bow(a.radius, a.large(), a.clockwise, a.to)
	}
}

func flag(b bool) byte {
	if b {
		return '1'
	}
	return '0'
}
