package main

import (
	"math"
	"math/rand/v2"
)

// kinds are the kinds of random regions; d is the cutter's diameter, mm.
var kinds = []struct {
	name string
	make func(rng *rand.Rand, d float64) outline
}{
	{"star", star}, {"comb", comb}, {"gear", gear}, {"rounded", roundedBox}, {"noisy", noisy}, {"cells", cellular},
	{"spiral", spiral}, {"needles", needles}, {"touching", touching}, {"polygon", even}, {"pocket", pocket}, {"walk", tangled},
	{"sliver", slivers}, {"holes", plate}, {"far", farOff}, {"dovetail", dovetail}, {"steps", steps}, {"tiny", tinyFeatures},
}

func between(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

func micro(v float64) float64 { return math.Round(v*1e3) / 1e3 }

// about is a width at or near w: exactly, or off by anything from a nanometre up.
func about(rng *rand.Rand, w float64) float64 {
	switch rng.IntN(4) {
	case 0:
		return w
	case 1:
		return w + (rng.Float64()*2-1)*math.Pow(10, -float64(rng.IntN(7)))*w/2
	case 2:
		return w + math.Copysign(math.Pow(10, -float64(1+rng.IntN(8))), rng.Float64()-0.5)
	}
	return w * between(rng, 0.2, 3)
}

func ringOf(p ...xy) []xy { return append(p, p[0]) }

func star(rng *rand.Rand, d float64) outline {
	n := 3 + rng.IntN(60)
	size := between(rng, 1, 25)
	low := between(rng, 0.1, 1)
	var p []xy
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n))
		r := size * between(rng, low, 1)
		q := xy{r * c, r * s}
		if n%2 == 0 {
			q = xy{micro(q.x), micro(q.y)}
		}
		p = append(p, q)
	}
	return outline{ringOf(p...)}
}

// comb has slots in its lower side, many of them as wide as the cutter.
func comb(rng *rand.Rand, d float64) outline {
	h := between(rng, 4, 20)
	p := []xy{{0, 0}}
	x := between(rng, 0.2, 4)
	for range 1 + rng.IntN(8) {
		w := about(rng, d)
		deep := between(rng, 0.05, 0.9) * h
		slope := 0.0
		if rng.IntN(4) == 0 {
			slope = between(rng, -0.3, 0.3) * w
		}
		p = append(p, xy{x, 0}, xy{x + slope, deep}, xy{x + w - slope, deep}, xy{x + w, 0})
		x += w + about(rng, d)
	}
	return outline{ringOf(append(p, xy{x, 0}, xy{x, h}, xy{0, h})...)}
}

func gear(rng *rand.Rand, d float64) outline {
	n := 4 + rng.IntN(40)
	r0 := between(rng, 3, 20)
	r1 := r0 + between(rng, -0.4, 0.4)*r0
	var p []xy
	for i := range n {
		for k, r := range [4]float64{r0, r0, r1, r1} {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + float64(k)*0.25 + 0.02) / float64(n))
			p = append(p, xy{r * c, r * s})
		}
	}
	return outline{ringOf(p...)}
}

// chords appends an arc about c as chords, with both ends.
func chords(p []xy, c xy, r, from, sweep, sag float64) []xy {
	n := max(1, int(math.Ceil(math.Abs(sweep)/(2*math.Acos(math.Max(0, 1-sag/r))))))
	for i := range n + 1 {
		s, k := math.Sincos(from + sweep*float64(i)/float64(n))
		p = append(p, xy{c.x + r*k, c.y + r*s})
	}
	return p
}

// roundedBox has arcs given as chords, at its corners and round a hole.
func roundedBox(rng *rand.Rand, d float64) outline {
	w, h := between(rng, 6, 40), between(rng, 6, 25)
	r := between(rng, 0.05, 0.49) * math.Min(w, h)
	sag := math.Pow(10, between(rng, -5, -2))
	var p []xy
	for i, c := range [4]xy{{w - r, r}, {w - r, h - r}, {r, h - r}, {r, r}} {
		p = chords(p, c, r, math.Pi/2*float64(i-1), math.Pi/2, sag)
	}
	o := outline{ringOf(p...)}
	if rng.IntN(2) == 0 {
		hole := math.Min(about(rng, d/2), 0.45*math.Min(w, h))
		g := chords(nil, xy{w / 2, h / 2}, hole, 0, 2*math.Pi, math.Max(sag, hole*1e-5))
		o = append(o, ringOf(g[:len(g)-1]...))
	}
	if rng.IntN(2) == 0 {
		for _, g := range o {
			for i := range g {
				g[i] = xy{micro(g[i].x), micro(g[i].y)}
			}
		}
	}
	return o
}

// noisy is a circle with noise of any size on it.
func noisy(rng *rand.Rand, d float64) outline {
	n := 20 + rng.IntN(250)
	r := between(rng, 0.6, 20)
	noise := math.Pow(10, between(rng, -8, -0.5))
	var p []xy
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		q := r + noise*(rng.Float64()-0.5)
		p = append(p, xy{q * c, q * s})
	}
	return outline{ringOf(p...)}
}

// cellular is the outline of a set of cells on a grid; many channels have one width.
func cellular(rng *rand.Rand, d float64) outline {
	const n = 7
	var in [n + 2][n + 2]bool
	// A tree of cells that never meet at corners only.
	in[n/2+1][n/2+1] = true
	for range 80 {
		x, y := 1+rng.IntN(n), 1+rng.IntN(n)
		if in[x][y] {
			continue
		}
		sides, corners := 0, true
		for _, s := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if in[x+s[0]][y+s[1]] {
				sides++
			}
		}
		for _, s := range [4][2]int{{1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
			if in[x+s[0]][y+s[1]] && !in[x+s[0]][y] && !in[x][y+s[1]] {
				corners = false
			}
		}
		in[x][y] = sides == 1 && corners
	}
	cell := about(rng, d)
	if rng.IntN(2) == 0 {
		cell = d
	}
	type edge struct{ ax, ay, bx, by int }
	var edges []edge
	for x := range in {
		for y := range in[x] {
			if !in[x][y] {
				continue
			}
			for _, s := range [4]struct{ dx, dy, ax, ay, bx, by int }{{0, -1, 0, 0, 1, 0}, {1, 0, 1, 0, 1, 1}, {0, 1, 1, 1, 0, 1}, {-1, 0, 0, 1, 0, 0}} {
				if !in[x+s.dx][y+s.dy] {
					edges = append(edges, edge{x + s.ax, y + s.ay, x + s.bx, y + s.by})
				}
			}
		}
	}
	var o outline
	for len(edges) > 0 {
		e := edges[0]
		edges = edges[1:]
		g := []xy{{float64(e.ax) * cell, float64(e.ay) * cell}}
		for x, y := e.bx, e.by; x != e.ax || y != e.ay; {
			g = append(g, xy{float64(x) * cell, float64(y) * cell})
			for i, f := range edges {
				if f.ax == x && f.ay == y {
					x, y = f.bx, f.by
					edges = append(edges[:i], edges[i+1:]...)
					break
				}
			}
		}
		o = append(o, ringOf(g...))
	}
	return o
}

// spiral is a corridor that winds inwards, its walls a cutter apart or so.
func spiral(rng *rand.Rand, d float64) outline {
	wall, gap := between(rng, 0.3, 3), about(rng, d)
	turns := 1 + rng.IntN(3)
	n := 12 + rng.IntN(30)
	var outer, inner []xy
	r0 := gap + wall
	for i := range turns*n + 1 {
		a := 2 * math.Pi * float64(i) / float64(n)
		s, c := math.Sincos(a)
		r := r0 + (wall+gap)*a/(2*math.Pi)
		outer = append(outer, xy{(r + wall) * c, (r + wall) * s})
		inner = append(inner, xy{r * c, r * s})
	}
	for i := len(inner) - 1; i >= 0; i-- {
		outer = append(outer, inner[i])
	}
	return outline{ringOf(outer...)}
}

// needles is a box with thin spikes out of it and into it.
func needles(rng *rand.Rand, d float64) outline {
	w, h := between(rng, 8, 30), between(rng, 6, 20)
	p := []xy{{0, 0}}
	x := 0.0
	for {
		x += between(rng, 0.1, 3)
		width := math.Pow(10, between(rng, -5, 0.3))
		if x+width > w-0.1 {
			break
		}
		tip := between(rng, -6, 0.8*h)
		p = append(p, xy{x, 0}, xy{x + width*rng.Float64(), tip}, xy{x + width, 0})
		x += width
	}
	return outline{ringOf(append(p, xy{w, 0}, xy{w, h}, xy{0, h})...)}
}

// touching has holes that touch the shell or each other in one point.
func touching(rng *rand.Rand, d float64) outline {
	w := micro(between(rng, 12, 30))
	o := outline{ringOf(xy{0, 0}, xy{w, 0}, xy{w, w}, xy{0, w})}
	a := micro(between(rng, 0.5, 4))
	x := micro(w / 2)
	o = append(o, ringOf(xy{x, 0}, xy{x - a, a}, xy{x, 2 * a}, xy{x + a, a})) // touches below
	if rng.IntN(2) == 0 {
		b := micro(math.Min(between(rng, 0.3, 4), (w-2*a)/2-0.5))
		o = append(o, ringOf(xy{x, 2 * a}, xy{x - b, 2*a + b}, xy{x, 2*a + 2*b}, xy{x + b, 2*a + b}))
	}
	if rng.IntN(2) == 0 {
		c := micro(between(rng, 0.3, 2))
		o = append(o, ringOf(xy{0, w - 3}, xy{c, w - 3 - c/2}, xy{c, w - 3 + c/2}))
	}
	return o
}

// even is a regular polygon, often just as large as the cutter.
func even(rng *rand.Rand, d float64) outline {
	n := 3 + rng.IntN(60)
	r := about(rng, d/2) / math.Cos(math.Pi/float64(n))
	if rng.IntN(3) == 0 {
		r = between(rng, 0.1, 12)
	}
	turn := rng.Float64()
	var p []xy
	for i := range n {
		s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + turn)
		p = append(p, xy{r * c, r * s})
	}
	return outline{ringOf(p...)}
}

// pocket is a box with a round bay in it, of about the cutter's radius, as chords.
func pocket(rng *rand.Rand, d float64) outline {
	r := about(rng, d/2)
	w, h := 2*r+between(rng, 2, 12), 2*r+between(rng, 2, 12)
	m := w / 2
	sweep := between(rng, 0.3, 1.8) * math.Pi
	p := []xy{{0, 0}}
	half := math.Min(sweep/2, math.Pi*0.9)
	depth := r*math.Cos(half) + between(rng, 0, 0.3)*r
	// From the lower side up the walls and round the bay, clockwise.
	arc := chords(nil, xy{m, math.Max(0, -depth) + 0.1*r}, r, -math.Pi/2-(math.Pi-half), -2*half, math.Pow(10, between(rng, -5, -2)))
	left, right := arc[0], arc[len(arc)-1]
	if left.y > 0 {
		p = append(p, xy{left.x, 0})
	}
	for _, q := range arc {
		if q.y > 0 {
			p = append(p, q)
		}
	}
	if right.y > 0 {
		p = append(p, xy{right.x, 0})
	}
	return outline{ringOf(append(p, xy{w, 0}, xy{w, h}, xy{0, h})...)}
}

// tangled is a closed walk through random points without crossings.
func tangled(rng *rand.Rand, d float64) outline {
	n := 4 + rng.IntN(30)
	size := between(rng, 3, 30)
	p := make([]xy, n)
	for i := range p {
		p[i] = xy{between(rng, 0, size), between(rng, 0, size)}
	}
	for again, rounds := true, 0; again && rounds < 300; rounds++ {
		again = false
		for i := 0; i < n-1; i++ {
			for k := i + 2; k < n; k++ {
				a, b, c, e := p[i], p[i+1], p[k], p[(k+1)%n]
				if a.to(c)+b.to(e) < a.to(b)+c.to(e)-1e-9 && a != e {
					for x, y := i+1, k; x < y; x, y = x+1, y-1 {
						p[x], p[y] = p[y], p[x]
					}
					again = true
				}
			}
		}
	}
	return outline{ringOf(p...)}
}

// slivers is a thin triangle or strip.
func slivers(rng *rand.Rand, d float64) outline {
	l, h := between(rng, 1, 30), math.Pow(10, between(rng, -6, 0.5))
	if rng.IntN(2) == 0 {
		return outline{ringOf(xy{0, 0}, xy{l, 0}, xy{l * rng.Float64(), h})}
	}
	s, c := math.Sincos(rng.Float64() * 6)
	return outline{ringOf(xy{0, 0}, xy{l * c, l * s}, xy{l*c - h*s, l*s + h*c}, xy{-h * s, h * c})}
}

// plate is a box with a grid of holes, webs between them of about the cutter.
func plate(rng *rand.Rand, d float64) outline {
	n := 1 + rng.IntN(4)
	hole, web := about(rng, d), about(rng, d)
	pitch := hole + web
	side := float64(n)*pitch + web
	o := outline{ringOf(xy{0, 0}, xy{side, 0}, xy{side, side}, xy{0, side})}
	for i := range n {
		for k := range n {
			x, y := web+float64(i)*pitch, web+float64(k)*pitch
			switch rng.IntN(4) {
			case 0:
				o = append(o, ringOf(xy{x, y}, xy{x + hole, y}, xy{x + hole, y + hole}, xy{x, y + hole}))
			case 1:
				o = append(o, ringOf(xy{x, y}, xy{x, y + hole}, xy{x + hole, y + hole}, xy{x + hole, y}))
			case 2:
				g := chords(nil, xy{x + hole/2, y + hole/2}, hole/2, rng.Float64(), 2*math.Pi, 1e-3*hole)
				o = append(o, ringOf(g[:len(g)-1]...))
			}
		}
	}
	return o
}

// farOff is another region near the end of the table.
func farOff(rng *rand.Rand, d float64) outline {
	o := [...]func(*rand.Rand, float64) outline{star, comb, roundedBox, tangled}[rng.IntN(4)](rng, d)
	x, y := between(rng, -9900, 9900), between(rng, -9900, 9900)
	if rng.IntN(2) == 0 {
		x, y = math.Round(x), math.Round(y)
	}
	for _, g := range o {
		for i := range g {
			g[i] = xy{g[i].x + x, g[i].y + y}
		}
	}
	return o
}

// dovetail has notches that get wider inwards.
func dovetail(rng *rand.Rand, d float64) outline {
	h := between(rng, 6, 20)
	p := []xy{{0, 0}}
	x := between(rng, 3, 8)
	for range 1 + rng.IntN(3) {
		w := math.Abs(about(rng, d)) + 0.01
		lean := between(rng, -0.3, 2)
		deep := between(rng, 0.1, 0.9) * h
		p = append(p, xy{x, 0}, xy{x - lean, deep}, xy{x + w + lean, deep}, xy{x + w, 0})
		x += w + between(rng, 4.5, 9)
	}
	return outline{ringOf(append(p, xy{x, 0}, xy{x, h}, xy{0, h})...)}
}

// steps is a staircase with treads from nanometres to millimetres.
func steps(rng *rand.Rand, d float64) outline {
	p := []xy{{0, 0}}
	x, y := 0.0, 0.0
	for range 3 + rng.IntN(20) {
		x += math.Pow(10, between(rng, -6, 0.5))
		p = append(p, xy{x, y})
		y += math.Pow(10, between(rng, -6, 0.5)) * float64(1+rng.IntN(2)*-2)
		p = append(p, xy{x, y})
	}
	x += 2
	return outline{ringOf(append(p, xy{x, y}, xy{x, 40}, xy{0, 40})...)}
}

// tinyFeatures is a box with details far below the cutter on all sides.
func tinyFeatures(rng *rand.Rand, d float64) outline {
	side := between(rng, 4, 20)
	var p []xy
	corner := [4]xy{{0, 0}, {side, 0}, {side, side}, {0, side}}
	for i, a := range corner {
		b := corner[(i+1)%4]
		u := xy{(b.x - a.x) / side, (b.y - a.y) / side}
		p = append(p, a)
		s := 0.5
		for range rng.IntN(12) {
			s += between(rng, 0.01, 1)
			w, h := math.Pow(10, between(rng, -4, -0.5)), math.Pow(10, between(rng, -5, -0.5))*(1-2*float64(rng.IntN(2)))
			if s+w > side-0.5 {
				break
			}
			at := func(s, h float64) xy { return xy{a.x + u.x*s - u.y*h, a.y + u.y*s + u.x*h} }
			p = append(p, at(s, 0), at(s+w*0.1, h), at(s+w*0.9, h), at(s+w, 0))
			s += w
		}
	}
	return outline{ringOf(p...)}
}

// dirty adds points on the lines, and points twice.
func dirty(rng *rand.Rand, o outline) outline {
	var out outline
	for _, g := range o {
		var p []xy
		for i := 0; i+1 < len(g); i++ {
			p = append(p, g[i])
			if rng.IntN(4) == 0 {
				p = append(p, g[i])
			}
			if rng.IntN(4) == 0 {
				p = append(p, xy{(g[i].x + g[i+1].x) / 2, (g[i].y + g[i+1].y) / 2})
			}
		}
		out = append(out, append(p, p[0]))
	}
	return out
}

// simple tells whether no two lines of a region come nearer to each other than a
// tenth of a micrometre, single points where rings touch apart.
func simple(o outline) bool {
	const least = 1e-7
	type line struct {
		a, b xy
		ring int
	}
	var lines []line
	for n, g := range o {
		first := len(lines)
		for i := 1; i < len(g); i++ {
			if g[i] != g[i-1] {
				if g[i].to(g[i-1]) < 1e-9 {
					return false
				}
				lines = append(lines, line{g[i-1], g[i], n})
			}
		}
		if len(lines)-first < 3 {
			return false
		}
	}
	turn := func(a, b, c xy) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }
	for i, l := range lines {
		for _, m := range lines[i+1:] {
			if math.Max(l.a.x, l.b.x) < math.Min(m.a.x, m.b.x)-least || math.Max(m.a.x, m.b.x) < math.Min(l.a.x, l.b.x)-least ||
				math.Max(l.a.y, l.b.y) < math.Min(m.a.y, m.b.y)-least || math.Max(m.a.y, m.b.y) < math.Min(l.a.y, l.b.y)-least {
				continue
			}
			switch {
			case l.b == m.a || l.a == m.b:
				// Neighbours, or loops that touch: they may not fold back.
				p, q, r := l.a, l.b, m.b
				if l.b != m.a {
					p, q, r = l.b, l.a, m.a
				}
				dot := (p.x-q.x)*(r.x-q.x) + (p.y-q.y)*(r.y-q.y)
				if l.ring == m.ring && dot > 0 && math.Abs(turn(p, q, r)) < 1e-6*p.to(q)*q.to(r) {
					return false
				}
				continue
			case l.ring != m.ring && (l.a == m.a || l.b == m.b):
				continue
			case turn(l.a, l.b, m.a)*turn(l.a, l.b, m.b) < 0 && turn(m.a, m.b, l.a)*turn(m.a, m.b, l.b) < 0:
				return false
			}
			near := math.Min(math.Min(m.a.onLine(l.a, l.b), m.b.onLine(l.a, l.b)), math.Min(l.a.onLine(m.a, m.b), l.b.onLine(m.a, m.b)))
			if near < least && l.ring == m.ring {
				return false
			}
		}
	}
	return true
}
