package contour_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

func ring(xy ...float64) contour.Contour {
	var r orb.Ring
	for i := 0; i < len(xy); i += 2 {
		r = append(r, orb.Point{xy[i], xy[i+1]})
	}
	return contour.FromRing(r)
}

func rect(x0, y0, x1, y1 float64) contour.Contour {
	return contour.FromBound(orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}})
}

// obround is a slot of the given end radius from (0, 0) to (l, 0), round its centre line.
func obround(l, r float64) contour.Contour {
	return contour.Contour{Start: orb.Point{0, -r}, Moves: []contour.Move{
		{To: orb.Point{l, -r}},
		{To: orb.Point{l, r}, Center: orb.Point{l, 0}, Turn: 1},
		{To: orb.Point{0, r}},
		{To: orb.Point{0, -r}, Center: orb.Point{0, 0}, Turn: 1},
	}}
}

func regular(n int, r float64) contour.Contour {
	var g orb.Ring
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		g = append(g, orb.Point{r * c, r * s})
	}
	return contour.FromRing(g)
}

func areaOf(cs []contour.Contour) (a float64) {
	for _, c := range cs {
		a += c.Area()
	}
	return a
}

func lengthOf(cs []contour.Contour) (l float64) {
	for _, c := range cs {
		l += c.Length()
	}
	return l
}

// The anchors are Steiner's formula for parallel bodies, area A + P r + pi r2 and
// length P + 2 pi r, and the corner term r2 (cot(t/2) - (pi - t)/2) that a sharp
// inside corner of angle t takes from the swept area (any text on convex geometry).
func TestOffsetAnchors(t *testing.T) {
	const r = 1.2
	hexagon := 7.0
	// A mouth 2 mm wide: two arcs of radius r about its corners meet half way,
	// sqrt(r2 - 1) from the wall, where it would run on without the mouth.
	bulgeAngle := math.Asin(1 / r)
	bulgeArea := 2*(r*1) - r*r*bulgeAngle - math.Sqrt(r*r-1)
	tests := []struct {
		name     string
		reason   string
		region   []contour.Contour
		distance float64
		loops    int
		area     float64
		length   float64
	}{
		{"rectangle grown", "four lines and four quarter arcs", []contour.Contour{rect(0, 0, 30, 20)}, r, 1,
			600 + 100*r + math.Pi*r*r, 100 + 2*math.Pi*r},
		{"rectangle run clockwise", "the sense given does not matter", []contour.Contour{rect(0, 0, 30, 20).Reverse()}, r, 1,
			600 + 100*r + math.Pi*r*r, 100 + 2*math.Pi*r},
		{"rectangle far away", "coordinates are taken from a near origin", []contour.Contour{rect(9000, -9000, 9030, -8980)}, r, 1,
			600 + 100*r + math.Pi*r*r, 100 + 2*math.Pi*r},
		{"rectangle shrunk", "convex corners stay sharp inwards", []contour.Contour{rect(0, 0, 30, 20)}, -r, 1,
			(30 - 2*r) * (20 - 2*r), 100 - 8*r},
		{"rectangle lost", "narrower than the cutter", []contour.Contour{rect(0, 0, 30, 2.3)}, -r, 0, 0, 0},
		{"rectangle as wide as the cutter", "a channel exactly one cutter wide is closed", []contour.Contour{rect(0, 0, 30, 2.4)}, -r, 0, 0, 0},
		{"circle grown", "radius R + r", []contour.Contour{contour.Circle(orb.Point{3, 4}, 5)}, r, 1,
			math.Pi * (5 + r) * (5 + r), 2 * math.Pi * (5 + r)},
		{"circle shrunk", "radius R - r", []contour.Contour{contour.Circle(orb.Point{3, 4}, 5)}, -r, 1,
			math.Pi * (5 - r) * (5 - r), 2 * math.Pi * (5 - r)},
		{"circle lost", "R <= r vanishes, it never turns inside out", []contour.Contour{contour.Circle(orb.Point{3, 4}, 1)}, -r, 0, 0, 0},
		{"circle of the cutter", "R = r leaves a point", []contour.Contour{contour.Circle(orb.Point{3, 4}, r)}, -r, 0, 0, 0},
		{"stadium grown", "arcs stay arcs", []contour.Contour{obround(20, 3)}, r, 1,
			120 + math.Pi*9 + (40+6*math.Pi)*r + math.Pi*r*r, 40 + 2*math.Pi*(3+r)},
		{"stadium shrunk", "arcs stay arcs", []contour.Contour{obround(20, 3)}, -r, 1,
			40*(3-r) + math.Pi*(3-r)*(3-r), 40 + 2*math.Pi*(3-r)},
		{"stadium as wide as the cutter", "closed", []contour.Contour{obround(20, r)}, -r, 0, 0, 0},
		{"hexagon grown", "convex corners of 60 degrees", []contour.Contour{regular(6, hexagon)}, r, 1,
			3*math.Sqrt(3)/2*49 + 42*r + math.Pi*r*r, 42 + 2*math.Pi*r},
		{"polygon of 1000 corners grown", "each corner an arc of its own", []contour.Contour{regular(1000, 10)}, r, 1,
			500*100*math.Sin(2*math.Pi/1000) + 2000*10*math.Sin(math.Pi/1000)*r + math.Pi*r*r,
			2000*10*math.Sin(math.Pi/1000) + 2*math.Pi*r},
		{"polygon of 1000 corners shrunk", "each side loses r tan(a/2) at both ends", []contour.Contour{regular(1000, 10)}, -r, 1,
			1000 * math.Pow(10*math.Cos(math.Pi/1000)-r, 2) * math.Tan(math.Pi/1000),
			2000 * (10*math.Cos(math.Pi/1000) - r) * math.Tan(math.Pi/1000)},
		{"annulus grown", "the hole shrinks", []contour.Contour{contour.Circle(orb.Point{}, 10), contour.Circle(orb.Point{}, 4)}, r, 2,
			math.Pi * ((10+r)*(10+r) - (4-r)*(4-r)), 2 * math.Pi * 14},
		{"annulus shrunk", "the hole grows", []contour.Contour{contour.Circle(orb.Point{}, 10), contour.Circle(orb.Point{}, 4)}, -r, 2,
			math.Pi * ((10-r)*(10-r) - (4+r)*(4+r)), 2 * math.Pi * 14},
		{"L grown", "one inside corner of a right angle loses r2 (1 - pi/4) of the swept area and r (2 - pi/2) of its length",
			[]contour.Contour{ring(0, 0, 30, 0, 30, 10, 10, 10, 10, 30, 0, 30)}, r, 1,
			500 + 120*r + math.Pi*r*r - r*r*(1-math.Pi/4), 120 + 2*math.Pi*r - r*(2-math.Pi/2)},
		{"square in a square", "an island in a hole grows as well",
			[]contour.Contour{rect(-20, -20, 20, 20), rect(-10, -10, 10, 10), rect(-5, -5, 5, 5)}, r, 3,
			1600 + 160*r + math.Pi*r*r - (20-2*r)*(20-2*r) + 100 + 40*r + math.Pi*r*r,
			160 + 2*math.Pi*r + 80 - 8*r + 40 + 2*math.Pi*r},
		{"dumbbell parted", "the neck is narrower than the cutter",
			[]contour.Contour{ring(0, 0, 10, 0, 10, 4, 20, 4, 20, 0, 30, 0, 30, 10, 20, 10, 20, 6, 10, 6, 10, 10, 0, 10)}, -r, 2,
			2 * ((10-2*r)*(10-2*r) + bulgeArea), 2 * (4*(10-2*r) - 2 + 2*r*bulgeAngle)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := contour.Offset(tt.region, tt.distance)
			require.NoError(t, err, tt.reason)
			require.Len(t, got.Loops, tt.loops, tt.reason)
			for _, c := range got.Loops {
				require.NoError(t, c.Validate())
				require.True(t, c.Closed())
			}
			if tt.area > 0 {
				assert.InEpsilon(t, tt.area, areaOf(got.Loops), 1e-9, tt.reason)
				assert.InEpsilon(t, tt.length, lengthOf(got.Loops), 1e-9, tt.reason)
			}
		})
	}
}
