package route

import (
	"math"

	"github.com/paulmach/orb"
)

// between is the least distance of two pieces and a point of p where it is
// met. It is 0 where they cross.
func (p *piece) between(q *piece) (float64, orb.Point) {
	if at, ok := p.meets(q); ok {
		return 0, at
	}
	best, at := math.Inf(1), p.a
	try := func(d float64, where orb.Point) {
		if d < best {
			best, at = d, where
		}
	}
	for _, e := range [2]orb.Point{q.a, q.b} {
		d, f := p.to(e)
		try(d, f)
	}
	for _, e := range [2]orb.Point{p.a, p.b} {
		d, _ := q.to(e)
		try(d, e)
	}
	switch {
	case p.turn == 0 && q.turn != 0:
		f := p.foot(q.c)
		d, _ := q.to(f)
		try(d, f)
	case p.turn != 0 && q.turn == 0:
		f := q.foot(p.c)
		d, g := p.to(f)
		try(d, g)
	case p.turn != 0 && p.c != q.c: // about one centre the ends tell all
		u := unit(sub(q.c, p.c))
		for _, k := range [2]float64{p.r, -p.r} {
			e := along(p.c, u, k)
			if !p.holds(e) {
				continue
			}
			d, _ := q.to(e)
			try(d, e)
		}
	}
	return best, at
}

// meets finds a common point of two pieces that cross or touch at a point. It
// does not look for overlaps along a stretch.
func (p *piece) meets(q *piece) (orb.Point, bool) {
	switch {
	case p.turn == 0 && q.turn == 0:
		return crossLines(p, q)
	case p.turn == 0:
		return crossArc(p, q)
	case q.turn == 0:
		return crossArc(q, p)
	}
	d := gap(p.c, q.c)
	if d < 1e-9 || d > p.r+q.r || d < math.Abs(p.r-q.r) {
		return orb.Point{}, false
	}
	u := unit(sub(q.c, p.c))
	x := (float64(d*d) + float64(p.r*p.r) - float64(q.r*q.r)) / (2 * d)
	h := math.Sqrt(max(0, float64(p.r*p.r)-float64(x*x)))
	for _, k := range [2]float64{h, -h} {
		at := along(along(p.c, u, x), left(u), k)
		if p.holds(at) && q.holds(at) {
			return at, true
		}
	}
	return orb.Point{}, false
}

func crossLines(p, q *piece) (orb.Point, bool) {
	d, e := sub(p.b, p.a), sub(q.b, q.a)
	den := cross(d, e)
	if den == 0 {
		return orb.Point{}, false
	}
	w := sub(q.a, p.a)
	t, s := cross(w, e)/den, cross(w, d)/den
	if t < 0 || t > 1 || s < 0 || s > 1 {
		return orb.Point{}, false
	}
	return along(p.a, d, t), true
}

func crossArc(line, arc *piece) (orb.Point, bool) {
	d := sub(line.b, line.a)
	l := gap(line.a, line.b)
	if l == 0 {
		return orb.Point{}, false
	}
	u := unit(d)
	x := dot(sub(arc.c, line.a), u)
	h := cross(u, sub(arc.c, line.a))
	if math.Abs(h) > arc.r {
		return orb.Point{}, false
	}
	w := math.Sqrt(float64(arc.r*arc.r) - float64(h*h))
	for _, s := range [2]float64{x - w, x + w} {
		if s < 0 || s > l {
			continue
		}
		if at := along(line.a, u, s); arc.holds(at) {
			return at, true
		}
	}
	return orb.Point{}, false
}
