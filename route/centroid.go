package route

import (
	"math"

	"github.com/paulmach/orb"
)

// centroid is the centre of area of what a loop encloses, arcs included.
func centroid(l *loop) orb.Point {
	origin := l.ps[0].a
	var area, x, y float64
	put := func(a, cx, cy float64) {
		area += a
		x += float64(a * cx)
		y += float64(a * cy)
	}
	for i := range l.ps {
		p := &l.ps[i]
		a, b := sub(p.a, origin), sub(p.b, origin)
		put(cross(a, b)/2, (a[0]+b[0])/3, (a[1]+b[1])/3)
		if p.turn == 0 {
			continue
		}
		// The segment between arc and chord: area r2 (w - sin w)/2, centre at
		// 4 r sin^3(w/2) / (3 (w - sin w)) from the arc's centre (any handbook).
		w := p.sweep
		s := w - math.Sin(w)
		if s < 1e-12 {
			continue
		}
		h := math.Sin(w / 2)
		d := 4 * p.r * float64(h*float64(h*h)) / (3 * s)
		mid := p.from + float64(float64(p.turn)*w/2)
		c := sub(p.c, origin)
		put(float64(p.turn)*float64(p.r*p.r)*s/2, c[0]+float64(d*math.Cos(mid)), c[1]+float64(d*math.Sin(mid)))
	}
	if area == 0 {
		return origin
	}
	return add(origin, orb.Point{x / area, y / area})
}

// winding follows the direction of a point seen from a centre along a
// contour, without jumps.
type winding struct {
	centre orb.Point
	angle  float64 // rad, of last
	last   orb.Point
}

func newWinding(centre, start orb.Point) *winding {
	d := sub(start, centre)
	return &winding{centre, math.Atan2(d[1], d[0]), start}
}

// at is the angle of a point on the piece that begins at last.
func (w *winding) at(q orb.Point) float64 {
	a, b := sub(w.last, w.centre), sub(q, w.centre)
	return w.angle + math.Atan2(cross(a, b), dot(a, b))
}

// on is the angle of the point x mm along the piece that begins at last,
// followed in steps as along does.
func (w winding) on(p *piece, x float64) float64 {
	for k := 1; k <= 8; k++ {
		q := p.at(x * float64(k) / 8)
		w.angle, w.last = w.at(q), q
	}
	return w.angle
}

// along goes to the end of a piece; arcs are followed in steps so that none
// turns by half a turn at once.
func (w *winding) along(p *piece) {
	n := 1
	if p.turn != 0 {
		n = 8
	}
	for k := 1; k <= n; k++ {
		q := p.at(p.length * float64(k) / float64(n))
		if k == n {
			q = p.b
		}
		w.angle, w.last = w.at(q), q
	}
}
