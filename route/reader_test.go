package route_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
)

// sweep is a small reader of its own, sharing nothing with package nc or with
// the check: it takes the words our programs use and gives places along the
// cuts, every 0.02 mm, with the cutter's diameter in use.
func sweep(t *testing.T, src string) (places []orb.Point, diameters []float64) {
	t.Helper()
	diameter := map[string]float64{}
	at, down, tool := orb.Point{}, false, ""
	number := func(line string, letter byte) float64 {
		i := strings.IndexByte(line, letter)
		if i < 0 {
			t.Fatalf("no %c in %q", letter, line)
		}
		j := i + 1
		for j < len(line) && strings.IndexByte("-.0123456789", line[j]) >= 0 {
			j++
		}
		v, err := strconv.ParseFloat(line[i+1:j], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	put := func(p orb.Point) { places, diameters = append(places, p), append(diameters, diameter[tool]) }
	for _, line := range strings.Split(src, "\n") {
		switch {
		case strings.HasPrefix(line, ";"):
		case strings.HasPrefix(line, "T") && strings.Contains(line, "C"):
			diameter[line[:strings.IndexByte(line, 'C')]] = number(line, 'C')
		case strings.HasPrefix(line, "T"):
			tool = line
		case line == "M15":
			down = true
			put(at)
		case line == "M16":
			down = false
		case strings.HasPrefix(line, "G00"), strings.HasPrefix(line, "G01"), strings.HasPrefix(line, "G02"), strings.HasPrefix(line, "G03"):
			to := orb.Point{number(line, 'X'), number(line, 'Y')}
			if !down || line[2] == '0' {
				if down {
					t.Fatalf("rapid with the tool down: %q", line)
				}
				at = to
				continue
			}
			d := math.Hypot(to[0]-at[0], to[1]-at[1])
			n := int(d/0.02) + 2
			if line[2] == '1' {
				for k := 1; k <= n; k++ {
					s := float64(k) / float64(n)
					put(orb.Point{at[0] + (to[0]-at[0])*s, at[1] + (to[1]-at[1])*s})
				}
			} else {
				r := number(line, 'A')
				side := 1.0 // the centre is on the left of a counter-clockwise arc
				if line[2] == '2' {
					side = -1
				}
				h := math.Sqrt(max(0, r*r-d*d/4))
				c := orb.Point{(at[0]+to[0])/2 - side*h*(to[1]-at[1])/d, (at[1]+to[1])/2 + side*h*(to[0]-at[0])/d}
				from := math.Atan2(at[1]-c[1], at[0]-c[0])
				turn := 2 * math.Asin(min(1, d/(2*r))) * side
				for k := 1; k <= n; k++ {
					a := from + turn*float64(k)/float64(n)
					put(orb.Point{c[0] + r*math.Cos(a), c[1] + r*math.Sin(a)})
				}
			}
			at = to
		}
	}
	return places, diameters
}

// TestIndependentSweep reads written programs with that reader and compares
// them with the boards point by point: nothing nearer than the cutter's radius,
// no edge within reach left but at tabs.
func TestIndependentSweep(t *testing.T) {
	all := samples()
	for _, name := range []string{"one board", "small cutter", "climb", "plain tabs", "shared channels, corners 3 mm", "a quarter turn", "sharp inside corners", "far apart"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			in := all[name]
			l := lay(t, in)
			places, diameters := sweep(t, text(t, mounted(t, l, route.Options{})))
			type edge struct {
				line  contour.Contour
				inner bool
			}
			var edges []edge
			for _, p := range in.Panel.Boards {
				b := in.Boards[p.Board]
				for k, c := range append([]contour.Contour{b.Outline}, b.CutOuts...) {
					edges = append(edges, edge{c.Rotate(p.Quarters).Translate(p.Offset[0], p.Offset[1]), k > 0})
				}
			}
			nearest := func(p orb.Point) float64 {
				d := math.Inf(1)
				for _, e := range edges {
					d = min(d, e.line.Distance(p))
				}
				return d
			}
			for k, p := range places {
				if k%7 != 0 {
					continue
				}
				if d := nearest(p); d < diameters[k]/2-0.002 {
					t.Fatalf("the cutter of %v mm comes within %v of an edge at %v", diameters[k], d, p)
				}
			}
			left, looked := 0, 0
			for _, e := range edges {
				length := e.line.Length()
				for s := 0.11; s < length; s += 0.53 {
					q, heading := e.line.At(s)
					sense := 1.0
					if (e.line.Area() > 0) != e.inner {
						sense = -1 // the material of a counter-clockwise outline is on its left
					}
					best, r := math.Inf(1), diameters[0]/2
					for k, p := range places {
						if d := math.Hypot(p[0]-q[0], p[1]-q[1]); d-diameters[k]/2 < best {
							best, r = d-diameters[k]/2, diameters[k]/2
						}
					}
					centre := orb.Point{q[0] - heading[1]*r*sense, q[1] + heading[0]*r*sense}
					tabbed := false
					for _, tab := range l.Tabs {
						other := orb.Point{tab.At[0] + tab.Out[0]*tab.Across, tab.At[1] + tab.Out[1]*tab.Across}
						reach := (tab.Width + l.Cutter.Diameter) / 2
						if math.Hypot(q[0]-tab.At[0], q[1]-tab.At[1]) <= reach || math.Hypot(q[0]-other[0], q[1]-other[1]) <= reach {
							tabbed = true
						}
					}
					if tabbed || nearest(centre) < r-0.0001 {
						continue
					}
					looked++
					if best > 0.002 {
						left++
						t.Errorf("the edge at %v is %v mm outside of what is cut", q, best)
					}
				}
			}
			if looked < 100 || left > 0 {
				t.Errorf("%d places looked at, %d left", looked, left)
			}
		})
	}
}
