package contour_test

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// A shape is a family of random regions. It may give one that is not valid, which
// the caller then leaves out.
type shape struct {
	name string
	make func(rng *rand.Rand) []contour.Contour
}

var shapes = []shape{
	{"star", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{star(rng, false)} }},
	{"star of arcs", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{star(rng, true)} }},
	{"gear", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{gear(rng)} }},
	{"walk", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{walk(rng, false)} }},
	{"walk of arcs", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{walk(rng, true)} }},
	{"notched", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{notched(rng)} }},
	{"holed", holed},
	{"dense", func(rng *rand.Rand) []contour.Contour { return []contour.Contour{dense(rng)} }},
}

func uniform(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// micron is a length rounded to a thousandth, as files have it.
func micron(v float64) float64 { return math.Round(v*1000) / 1000 }

func polar(r, a float64) orb.Point {
	s, c := math.Sincos(a)
	return orb.Point{micron(r * c), micron(r * s)}
}

// bulge joins a to b by an arc that turns through a signed angle.
func bulge(a, b orb.Point, angle float64) contour.Move {
	dx, dy := b[0]-a[0], b[1]-a[1]
	// The centre lies on the bisector, left of the chord for a turn to the left.
	h := 0.5 / math.Tan(angle/2)
	turn := int8(1)
	if angle < 0 {
		turn = -1
	}
	return contour.Move{To: b, Center: orb.Point{(a[0]+b[0])/2 - dy*h, (a[1]+b[1])/2 + dx*h}, Turn: turn}
}

// joined closes points by lines, or by lines and arcs mixed.
func joined(rng *rand.Rand, pts []orb.Point, arcs bool) contour.Contour {
	if !arcs {
		return contour.FromRing(orb.Ring(pts))
	}
	c := contour.Contour{Start: pts[0]}
	for i := range pts {
		to := pts[(i+1)%len(pts)]
		if to == c.End() {
			continue
		}
		if rng.IntN(3) == 0 {
			c.Moves = append(c.Moves, contour.Move{To: to})
			continue
		}
		angle := uniform(rng, 0.1, 2.6)
		if rng.IntN(2) == 0 {
			angle = -angle
		}
		c.Moves = append(c.Moves, bulge(c.End(), to, angle))
	}
	return c
}

func star(rng *rand.Rand, arcs bool) contour.Contour {
	n := 3 + rng.IntN(30)
	size := uniform(rng, 2, 25)
	var pts []orb.Point
	for i := range n {
		pts = append(pts, polar(size*uniform(rng, 0.25, 1), 2*math.Pi*(float64(i)+uniform(rng, -0.45, 0.45))/float64(n)))
	}
	return joined(rng, pts, arcs)
}

// gear has teeth with arcs about the middle on top and in the gaps, square or
// tapered flanks.
func gear(rng *rand.Rand) contour.Contour {
	n := 3 + rng.IntN(20)
	ri := uniform(rng, 2, 15)
	ro := ri + uniform(rng, 0.3, 4)
	top, foot := uniform(rng, 0.1, 0.45), uniform(rng, 0.5, 0.95)
	at := func(r, a float64) orb.Point {
		s, c := math.Sincos(2 * math.Pi * a / float64(n))
		return orb.Point{r * c, r * s}
	}
	c := contour.Contour{Start: at(ro, 0)}
	for i := range n {
		k := float64(i)
		m := []contour.Move{
			{To: at(ro, k+top), Turn: 1},
			{To: at(ri, k+foot-0.2*(1-top))},
			{To: at(ri, k+foot), Turn: 1},
			{To: at(ro, k+1)},
		}
		if rng.IntN(4) == 0 {
			m[0].Turn = 0
		}
		if i == n-1 {
			m[3].To = c.Start
		}
		c.Moves = append(c.Moves, m...)
	}
	return c
}

// walk is a closed walk through random points, crossings undone by turning parts
// of it round.
func walk(rng *rand.Rand, arcs bool) contour.Contour {
	n := 4 + rng.IntN(25)
	size := uniform(rng, 3, 30)
	pts := make([]orb.Point, n)
	for i := range pts {
		pts[i] = orb.Point{micron(uniform(rng, 0, size)), micron(uniform(rng, 0, size))}
	}
	for again, rounds := true, 0; again && rounds < 200; rounds++ {
		again = false
		for i := 0; i < n-1; i++ {
			for j := i + 2; j < n; j++ {
				a, b, c, d := pts[i], pts[i+1], pts[j], pts[(j+1)%n]
				if dist(a, c)+dist(b, d) < dist(a, b)+dist(c, d)-1e-9 && a != d {
					for x, y := i+1, j; x < y; x, y = x+1, y-1 {
						pts[x], pts[y] = pts[y], pts[x]
					}
					again = true
				}
			}
		}
	}
	return joined(rng, pts, arcs)
}

func dist(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// notched is a rectangle with rounded corners and notches in its lower and upper
// sides, some round at the bottom, some with fillets where they open.
func notched(rng *rand.Rand) contour.Contour {
	w, h := uniform(rng, 10, 40), uniform(rng, 8, 25)
	r := micron(uniform(rng, 0.1, 3))
	w, h = micron(w), micron(h)
	c := contour.Contour{Start: orb.Point{r, 0}}
	line := func(x, y float64) { c.Moves = append(c.Moves, contour.Move{To: orb.Point{x, y}}) }
	arc := func(x, y, cx, cy float64, turn int8) {
		c.Moves = append(c.Moves, contour.Move{To: orb.Point{x, y}, Center: orb.Point{cx, cy}, Turn: turn})
	}
	x := r + 0.5
	for {
		width := micron(uniform(rng, 0.2, 5))
		deep := micron(uniform(rng, 0.2, h-3))
		if x+width+0.5 > w-r {
			break
		}
		line(x, 0)
		line(x, deep)
		if rng.IntN(2) == 0 {
			arc(x+width, deep, x+width/2, deep, -1)
		} else {
			line(x+width, deep)
		}
		line(x+width, 0)
		x = micron(x + width + uniform(rng, 0.3, 6))
	}
	line(w-r, 0)
	arc(w, r, w-r, r, 1)
	line(w, h-r)
	arc(w-r, h, w-r, h-r, 1)
	line(r, h)
	arc(0, h-r, r, h-r, 1)
	line(0, r)
	arc(r, 0, r, r, 1)
	return c
}

// holed is a plate with slots, circles and squares in it.
func holed(rng *rand.Rand) []contour.Contour {
	cells := 2 + rng.IntN(3)
	cell := uniform(rng, 3, 9)
	side := float64(cells) * cell
	region := []contour.Contour{rect(0, 0, side, side)}
	for i := range cells {
		for j := range cells {
			x, y := (float64(i)+0.5)*cell, (float64(j)+0.5)*cell
			size := uniform(rng, 0.1, 0.48) * cell
			switch rng.IntN(4) {
			case 0:
				region = append(region, contour.Circle(orb.Point{x, y}, size))
			case 1:
				region = append(region, rect(x-size, y-size*rng.Float64(), x+size, y+size).Reverse())
			case 2:
				region = append(region, obround(size, size/2).Translate(x-size/2, y).Rotate(0))
			}
		}
	}
	return region
}

// dense is a rounded shape given as very many short chords.
func dense(rng *rand.Rand) contour.Contour {
	n := 100 + rng.IntN(800)
	k := float64(2 + rng.IntN(8))
	size, wave := uniform(rng, 3, 12), uniform(rng, 0, 2)
	var pts []orb.Point
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		s, c := math.Sincos(a)
		r := size + wave*math.Sin(k*a)
		pts = append(pts, orb.Point{math.Round(r*c*1e6) / 1e6, math.Round(r*s*1e6) / 1e6})
	}
	return contour.FromRing(orb.Ring(pts))
}
