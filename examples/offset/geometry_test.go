package main

import (
	"math"
	"strconv"
	"strings"
)

// xy is a point, mm.
type xy struct{ x, y float64 }

func (p xy) to(b xy) float64 { return math.Sqrt((b.x-p.x)*(b.x-p.x) + (b.y-p.y)*(b.y-p.y)) }

// onLine is the distance from p to the line from a to b.
func (p xy) onLine(a, b xy) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	if q := dx*dx + dy*dy; q > 0 {
		t := math.Min(1, math.Max(0, ((p.x-a.x)*dx+(p.y-a.y)*dy)/q))
		return p.to(xy{a.x + t*dx, a.y + t*dy})
	}
	return p.to(a)
}

// outline is a region as its rings, closed.
type outline [][]xy

func (o outline) wkt() string {
	var s strings.Builder
	s.WriteString("POLYGON(")
	for i, r := range o {
		if i > 0 {
			s.WriteByte(',')
		}
		s.WriteByte('(')
		for k, p := range r {
			if k > 0 {
				s.WriteByte(',')
			}
			s.WriteString(strconv.FormatFloat(p.x, 'g', -1, 64) + " " + strconv.FormatFloat(p.y, 'g', -1, 64))
		}
		s.WriteByte(')')
	}
	s.WriteByte(')')
	return s.String()
}

// dist is the distance to the nearest edge.
func (o outline) dist(p xy) float64 { return o.within(p, 0) }

// within is dist, or the first distance found that is below least.
func (o outline) within(p xy, least float64) float64 {
	best, best2 := math.Inf(1), math.Inf(1)
	for _, r := range o {
		for k := 1; k < len(r); k++ {
			a, b := r[k-1], r[k]
			// A box first: most lines are far off.
			if (a.x-p.x > best && b.x-p.x > best) || (p.x-a.x > best && p.x-b.x > best) ||
				(a.y-p.y > best && b.y-p.y > best) || (p.y-a.y > best && p.y-b.y > best) {
				continue
			}
			dx, dy := b.x-a.x, b.y-a.y
			x, y := p.x-a.x, p.y-a.y
			if q := dx*dx + dy*dy; q > 0 {
				if t := (x*dx + y*dy) / q; t >= 1 {
					x, y = p.x-b.x, p.y-b.y
				} else if t > 0 {
					x, y = x-t*dx, y-t*dy
				}
			}
			if d := x*x + y*y; d < best2 {
				best, best2 = math.Sqrt(d), d
				if best < least {
					return best
				}
			}
		}
	}
	return best
}

// holds tells whether p lies inside by the even-odd rule.
func (o outline) holds(p xy) bool {
	in := false
	for _, r := range o {
		for k := 1; k < len(r); k++ {
			a, b := r[k-1], r[k]
			if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
				in = !in
			}
		}
	}
	return in
}

// leg is one printed move.
type leg struct {
	a, b, c xy
	r       float64 // 0 for a line
	from    float64 // angle at a, of an arc
	sweep   float64
	lo, hi  xy // a box around it
}

// boxed returns the leg with its box.
func (l leg) boxed() leg {
	l.lo, l.hi = xy{math.Min(l.a.x, l.b.x), math.Min(l.a.y, l.b.y)}, xy{math.Max(l.a.x, l.b.x), math.Max(l.a.y, l.b.y)}
	if bulge := math.Min(2*l.r, l.length()); l.r > 0 {
		l.lo, l.hi = xy{l.lo.x - bulge, l.lo.y - bulge}, xy{l.hi.x + bulge, l.hi.y + bulge}
	}
	return l
}

func (l *leg) length() float64 {
	if l.r == 0 {
		return l.a.to(l.b)
	}
	return l.r * math.Abs(l.sweep)
}

func (l *leg) at(part float64) xy {
	if l.r == 0 {
		return xy{l.a.x + part*(l.b.x-l.a.x), l.a.y + part*(l.b.y-l.a.y)}
	}
	s, c := math.Sincos(l.from + part*l.sweep)
	return xy{l.c.x + l.r*c, l.c.y + l.r*s}
}

// heading is the unit direction of travel.
func (l *leg) heading(part float64) xy {
	if l.r == 0 {
		d := l.a.to(l.b)
		return xy{(l.b.x - l.a.x) / d, (l.b.y - l.a.y) / d}
	}
	s, c := math.Sincos(l.from + part*l.sweep)
	if l.sweep < 0 {
		return xy{s, -c}
	}
	return xy{-s, c}
}

func (l *leg) dist(p xy) float64 {
	if l.r == 0 {
		return p.onLine(l.a, l.b)
	}
	turn := math.Atan2(p.y-l.c.y, p.x-l.c.x) - l.from
	if l.sweep < 0 {
		turn = -turn
	}
	turn = math.Mod(turn, 2*math.Pi)
	if turn < 0 {
		turn += 2 * math.Pi
	}
	if turn <= math.Abs(l.sweep) {
		return math.Abs(p.to(l.c) - l.r)
	}
	return math.Min(p.to(l.a), p.to(l.b))
}

// near tells whether p lies within d of the leg, quickly where it is far off.
func (l *leg) near(p xy, d float64) bool {
	return p.x >= l.lo.x-d && p.x <= l.hi.x+d && p.y >= l.lo.y-d && p.y <= l.hi.y+d && l.dist(p) <= d
}

// nearest is the point of the leg nearest to p.
func (l *leg) nearest(p xy) xy {
	if d := p.to(l.c); l.r > 0 && d > 0 && math.Abs(l.dist(p)-math.Abs(d-l.r)) < 1e-12 {
		return xy{l.c.x + l.r/d*(p.x-l.c.x), l.c.y + l.r/d*(p.y-l.c.y)}
	} else if l.r > 0 {
		if p.to(l.a) < p.to(l.b) {
			return l.a
		}
		return l.b
	}
	d := l.a.to(l.b)
	return l.at(math.Min(1, math.Max(0, ((p.x-l.a.x)*(l.b.x-l.a.x)+(p.y-l.a.y)*(l.b.y-l.a.y))/(d*d))))
}

// onRing is the point at a length along a ring.
func onRing(ring []xy, s float64) xy {
	for k := 1; k < len(ring); k++ {
		l := ring[k-1].to(ring[k])
		if s <= l && l > 0 {
			return xy{ring[k-1].x + s/l*(ring[k].x-ring[k-1].x), ring[k-1].y + s/l*(ring[k].y-ring[k-1].y)}
		}
		s -= l
	}
	return ring[0]
}
