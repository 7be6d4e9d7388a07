package artwork

import (
	"fmt"

	"github.com/paulmach/orb"
)

// operate does D01, D02 or D03 at the block's coordinates.
func (r *reader) operate(operation int, m motion) error {
	from, to := r.at, r.at
	for k := range 2 {
		if !m.has[k] {
			continue
		}
		if r.incremental {
			to[k] += m.value[k]
		} else {
			to[k] = m.value[k]
		}
	}
	start, err := r.place(from, m)
	if err != nil {
		return err
	}
	end, err := r.place(to, m)
	if err != nil {
		return err
	}
	if operation != 1 && (m.has[2] || m.has[3]) {
		r.note("centre-unused", "I or J stand where no arc is drawn and are not used", m.first, end.orb())
	}
	implied := !r.known
	r.known = r.known || m.has[0] || m.has[1]
	r.at = to
	switch operation {
	case 2:
		if r.region != nil {
			return r.beginContour(end)
		}
		return nil
	case 3:
		if r.region != nil {
			return r.failHere(m.first, ErrSyntax, "D03 within a region", "D01 or D02")
		}
		return r.flash(end, m)
	}
	if !m.any() {
		return nil // D01 alone sets what the points after it mean
	}
	if implied && r.region == nil {
		r.note("start-missing", "the first stroke has no start point: taken from X0 Y0", m.first, start.orb())
	}
	if !r.modeSet {
		r.note("mode-missing", "no interpolation mode is set: taken as straight", m.first, start.orb())
	}
	a := arc{from: start, to: end, turn: r.turn}
	if r.turn != 0 {
		if a, err = r.curve(start, end, m); err != nil {
			return err
		}
	} else if m.has[2] || m.has[3] {
		r.note("centre-unused", "I or J stand where no arc is drawn and are not used", m.first, start.orb())
	}
	if r.region != nil {
		return r.region.draw(r, a)
	}
	return r.stroke(a, implied, m)
}

// place turns a raw point into nanometres.
func (r *reader) place(raw [2]int64, m motion) (point, error) {
	var p point
	for k := range 2 {
		if raw[k] > maxRaw || raw[k] < -maxRaw {
			return p, r.failHere(m.first, ErrRange, "a sum of increments beyond 10 m", "a length within 10 m")
		}
		if p[k] = nanometres(raw[k], r.layer.Format.Inch); !inRange(p[k]) {
			return p, r.failHere(m.first, ErrRange, fmt.Sprintf("%.3f mm", float64(p[k])/1e6), "a length within 10 m")
		}
	}
	return p, nil
}

// stroke adds a stroke to what is being drawn.
func (r *reader) stroke(a arc, implied bool, m motion) error {
	if err := r.count(1, m.first); err != nil {
		return err
	}
	line, column := r.scan.position(r.scan.offset(m.first))
	s := Stroke{
		From: a.from.orb(), To: a.to.orb(), Turn: a.turn, Aperture: r.aperture, Clear: r.clear, Implied: implied, Line: line, Column: column,
	}
	if a.turn != 0 {
		s.Center = orb.Point{a.center[0] / 1e6, a.center[1] / 1e6}
	}
	if r.aperture < 0 {
		r.note("aperture-missing", "a stroke is drawn without an aperture: its width is not known", m.first, s.From)
	} else {
		s.Width = r.layer.Apertures[r.aperture].stroke() * r.load.scale
	}
	top := r.sinks[len(r.sinks)-1]
	top.strokes = append(top.strokes, s)
	return nil
}

// count holds the number of objects made against its limit.
func (r *reader) count(n, i int) error {
	if n > r.options.MaxObjects-r.objects {
		return r.failHere(i, ErrLimit, fmt.Sprintf("more than %d objects", r.options.MaxObjects), "fewer")
	}
	r.objects += n
	return nil
}
