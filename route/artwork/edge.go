package artwork

import "math"

// edge is a stroke, or a part of one, while contours are made: an arc and where it came from.
type edge struct {
	arc
	width  float64 // mm
	stroke int32   // index into Layer.Strokes, or -1 for a region's edge
	twice  bool    // it was drawn more than once
}

func (p point) distance(q point) float64 {
	return length(float64(p[0]-q[0]), float64(p[1]-q[1]))
}

func (p point) less(q point) bool { return p[0] < q[0] || p[0] == q[0] && p[1] < q[1] }

// full reports whether the arc is a whole circle.
func (a arc) full() bool { return a.turn != 0 && a.from == a.to }

// reversed is the arc run the other way.
func (a arc) reversed() arc {
	a.from, a.to, a.turn = a.to, a.from, -a.turn
	return a
}

// sweep is the unsigned angle of an arc.
func (a arc) sweep() float64 {
	if a.full() {
		return 2 * math.Pi
	}
	ux, uy := float64(a.from[0])-a.center[0], float64(a.from[1])-a.center[1]
	wx, wy := float64(a.to[0])-a.center[0], float64(a.to[1])-a.center[1]
	s := math.Atan2((float64(ux*wy)-float64(uy*wx))*float64(a.turn), float64(ux*wx)+float64(uy*wy))
	if s < 0 {
		s += 2 * math.Pi
	}
	return s
}

// length is the length along the arc, nm.
func (a arc) length() float64 {
	if a.turn == 0 {
		return a.from.distance(a.to)
	}
	return a.radius(a.from) * a.sweep()
}

// middle is the point halfway along.
func (a arc) middle() (x, y float64) {
	if a.turn == 0 {
		return float64(a.from[0]+a.to[0]) / 2, float64(a.from[1]+a.to[1]) / 2
	}
	ux, uy := float64(a.from[0])-a.center[0], float64(a.from[1])-a.center[1]
	s, c := math.Sincos(float64(a.turn) * a.sweep() / 2)
	return a.center[0] + float64(ux*c) - float64(uy*s), a.center[1] + float64(ux*s) + float64(uy*c)
}

// within reports whether the direction from the centre to (x, y) lies in the arc.
func (a arc) within(x, y float64) bool {
	if a.full() {
		return true
	}
	ux, uy := float64(a.from[0])-a.center[0], float64(a.from[1])-a.center[1]
	dx, dy := x-a.center[0], y-a.center[1]
	s := math.Atan2((float64(ux*dy)-float64(uy*dx))*float64(a.turn), float64(ux*dx)+float64(uy*dy))
	if s < 0 {
		s += 2 * math.Pi
	}
	return s <= a.sweep()
}

// box is the arc's box.
func (a arc) box() rect {
	b := nowhere().add(float64(a.from[0]), float64(a.from[1])).add(float64(a.to[0]), float64(a.to[1]))
	if a.turn == 0 {
		return b
	}
	r := max(a.radius(a.from), a.radius(a.to))
	for _, d := range [4][2]float64{{r, 0}, {0, r}, {-r, 0}, {0, -r}} {
		x, y := a.center[0]+d[0], a.center[1]+d[1]
		if a.within(x, y) {
			b = b.add(x, y)
		}
	}
	return b
}

// distance is the distance from p to the arc.
func (a arc) distance(p point) float64 {
	x, y := float64(p[0]), float64(p[1])
	ends := min(p.distance(a.from), p.distance(a.to))
	if a.turn != 0 {
		if a.within(x, y) {
			return min(ends, math.Abs(a.radius(p)-(a.radius(a.from)+a.radius(a.to))/2))
		}
		return ends
	}
	dx, dy := float64(a.to[0]-a.from[0]), float64(a.to[1]-a.from[1])
	n := length(dx, dy)
	if n == 0 {
		return ends
	}
	wx, wy := x-float64(a.from[0]), y-float64(a.from[1])
	if s := (float64(wx*dx) + float64(wy*dy)) / n; s <= 0 || s >= n {
		return ends
	}
	return math.Abs(float64(wx*dy)-float64(wy*dx)) / n
}

// heading is the unit direction in which the arc leaves its start.
func (a arc) heading() (x, y float64) {
	if a.turn == 0 {
		x, y = float64(a.to[0]-a.from[0]), float64(a.to[1]-a.from[1])
	} else {
		x, y = -(float64(a.from[1])-a.center[1])*float64(a.turn), (float64(a.from[0])-a.center[0])*float64(a.turn)
	}
	n := length(x, y)
	if n == 0 {
		return 0, 0
	}
	return x / n, y / n
}

// bend is the signed curvature, 1/nm, positive to the left.
func (a arc) bend() float64 {
	if a.turn == 0 {
		return 0
	}
	return float64(a.turn) / max(a.radius(a.from), 1)
}
