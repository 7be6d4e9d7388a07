package main

import (
	"fmt"
	"math"
)

// The inspection checks what the program prints against the text that it read, by brute
// force and from first principles: it uses nothing of the contour package, and
// every distance is that of a point to all lines one by one.

// job is one region to cut and how.
type job struct {
	name   string
	region outline
	cutter float64
	side   string
	fit    float64
	tabs   int
	width  float64
}

// inspector judges one result; fault collects what is wrong.
type inspector struct {
	job
	r     float64
	tol   float64
	legs  [][]leg
	print printed
	gaps  [][2]xy // ends of the paths at each tab
	ways  [][2]int
	fault []string
}

func (v *inspector) wrong(format string, a ...any) {
	if len(v.fault) < 5 {
		v.fault = append(v.fault, fmt.Sprintf(format, a...))
	}
}

const um = 1e-3

// inspect returns what is wrong with a result.
func inspect(j job, p printed) []string {
	v := &inspector{job: j, r: j.cutter / 2, tol: um + j.fit, print: p}
	if p.Error != "" {
		v.wrong("refused: %s", p.Error)
		return v.fault
	}
	v.read()
	if len(v.fault) > 0 {
		return v.fault
	}
	v.findGaps()
	v.onPath()
	v.nothingLost()
	v.noCrossing()
	v.reached()
	v.webs()
	v.tabsTold()
	return v.fault
}

// read builds the legs and holds them to be chains of lines and true arcs.
func (v *inspector) read() {
	var sum float64
	for n, p := range v.print.Paths {
		var legs []leg
		at := xy{p.Start[0], p.Start[1]}
		for k, m := range p.Moves {
			var l leg
			if m.Line != nil {
				l = leg{a: at, b: xy{m.Line[0], m.Line[1]}}
				if l.a == l.b {
					v.wrong("path %d move %d: a line of no length at %v", n, k, at)
				}
			} else {
				l = leg{a: at, b: xy{m.Arc[0], m.Arc[1]}, c: xy{m.Arc[2], m.Arc[3]}}
				ra, rb := l.a.to(l.c), l.b.to(l.c)
				if math.Abs(ra-rb) > 5e-6 || ra < 1e-6 {
					v.wrong("path %d move %d: radii %.7f and %.7f at %v", n, k, ra, rb, at)
				}
				l.r = (ra + rb) / 2
				l.from = math.Atan2(l.a.y-l.c.y, l.a.x-l.c.x)
				l.sweep = math.Atan2(l.b.y-l.c.y, l.b.x-l.c.x) - l.from
				if l.a == l.b {
					l.sweep = 0
				}
				if m.Clockwise && l.sweep >= 0 {
					l.sweep -= 2 * math.Pi
				} else if !m.Clockwise && l.sweep <= 0 {
					l.sweep += 2 * math.Pi
				}
				if l.length() < 0.99e-4 {
					v.wrong("path %d move %d: an arc of %.7f mm at %v", n, k, l.length(), at)
				}
			}
			sum += l.length()
			legs = append(legs, l.boxed())
			at = l.b
		}
		if p.Closed != (at == xy{p.Start[0], p.Start[1]}) || len(legs) == 0 {
			v.wrong("path %d: closed is %v, runs from %v to %v with %d moves", n, p.Closed, p.Start, at, len(legs))
		}
		if v.tabs == 0 && !p.Closed {
			v.wrong("path %d is open", n)
		}
		v.legs = append(v.legs, legs)
	}
	if math.Abs(sum-v.print.Length) > 1e-4+1e-6*sum {
		v.wrong("length %.6f, printed %.6f", sum, v.print.Length)
	}
}

// onPath holds every point of a path to its distance, its side and its sense.
func (v *inspector) onPath() {
	nearest := math.Inf(1)
	for n, legs := range v.legs {
		var sense, length float64
		for k := range legs {
			l := &legs[k]
			parts := 4 + int(math.Min(12, l.length()))
			for i := 0; i <= parts; i++ {
				p := l.at(float64(i) / float64(parts))
				d := v.region.dist(p)
				nearest = math.Min(nearest, d)
				if math.Abs(d-v.r) > v.tol {
					v.wrong("path %d move %d: %v lies %.7f from the edge, want %.7f", n, k, p, d, v.r)
				}
				if i == parts/2 {
					if v.region.holds(p) != (v.side == "inside") {
						v.wrong("path %d move %d: %v lies on the wrong side", n, k, p)
					}
					h := l.heading(float64(i) / float64(parts))
					left := v.region.dist(xy{p.x - h.y*1e-5, p.y + h.x*1e-5})
					right := v.region.dist(xy{p.x + h.y*1e-5, p.y - h.x*1e-5})
					sense += (right - left) / 1e-5 * l.length()
					length += l.length()
				}
			}
		}
		if v.side == "inside" {
			sense = -sense
		}
		// A loop thinner than the look to its sides, or than the fit, has no two sides
		// to tell apart.
		if sense < -length/2 && v.fit == 0 {
			v.wrong("path %d runs the wrong way round", n)
		}
	}
	c := v.print.Check
	switch {
	case c.MinClearance == nil:
		if len(v.legs) > 0 {
			v.wrong("no clearance told")
		}
		return
	case *c.MinClearance > nearest+2e-6 || *c.MinClearance < nearest-2e-5-v.fit:
		v.wrong("clearance %.7f told, found %.7f", *c.MinClearance, nearest)
	}
	if want := math.Max(0, v.r-*c.MinClearance); math.Abs(c.Gouge-want) > 1.5e-6 {
		v.wrong("gouge %.7f told with a clearance of %.7f", c.Gouge, *c.MinClearance)
	}
}

// touched tells whether the path comes within d of q.
func (v *inspector) touched(q xy, d float64) bool {
	for _, legs := range v.legs {
		for k := range legs {
			if legs[k].near(q, d) {
				return true
			}
		}
	}
	return false
}

// freed is touched, but not by a cutter on the other side of a needle thinner than
// what it may leave: ten nanometres on the way to its centre there is no material.
func (v *inspector) freed(q xy, d float64) bool {
	for _, legs := range v.legs {
		for k := range legs {
			if !legs[k].near(q, d) {
				continue
			}
			p := legs[k].nearest(q)
			f := 1e-5 / p.to(q)
			if v.region.holds(xy{q.x + f*(p.x-q.x), q.y + f*(p.y-q.y)}) == (v.side == "inside") {
				return true
			}
		}
	}
	return false
}

// nothingLost pushes points of the edge out by the radius: where nothing is nearer
// to such a point than its own foot, the path must pass there.
func (v *inspector) nothingLost() {
	push := func(p, n xy) {
		q := xy{p.x + n.x*v.r, p.y + n.y*v.r}
		if v.region.within(q, v.r-1e-9) < v.r-1e-9 || v.region.holds(q) != (v.side == "inside") {
			return
		}
		// Where there is no room beyond it, the channel is as wide as the cutter
		// and may be closed; a loop smaller than a micrometre may go as well.
		if v.region.dist(xy{q.x + n.x*um, q.y + n.y*um}) < v.r+um-1e-6 && !v.roomy(q) {
			return
		}
		if !v.touched(q, v.tol) && !v.inGap(q, um) {
			v.wrong("%v, pushed from %v, is on no path", q, p)
		}
	}
	if v.fit > 0 {
		return
	}
	for _, ring := range v.region {
		for k := 1; k < len(ring); k++ {
			a, b := ring[k-1], ring[k]
			l := a.to(b)
			if l == 0 {
				continue
			}
			n := xy{-(b.y - a.y) / l, (b.x - a.x) / l}
			for i := range 5 {
				f := (float64(i) + 0.01) / 4.02
				p := xy{a.x + f*(b.x-a.x), a.y + f*(b.y-a.y)}
				push(p, n)
				push(p, xy{-n.x, -n.y})
			}
			for i := range 12 {
				s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
				push(a, xy{c, s})
			}
		}
	}
}

// roomy tells whether the cutter can move on from q by some micrometres.
func (v *inspector) roomy(q xy) bool {
	for i := range 16 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 16)
		if v.region.dist(xy{q.x + 4*um*c, q.y + 4*um*s}) >= v.r+2*um {
			return true
		}
	}
	return false
}

// noCrossing flattens all paths and looks for lines that cross deeply.
func (v *inspector) noCrossing() {
	const sag = 2e-4
	type line struct{ a, b xy }
	var lines []line
	for _, legs := range v.legs {
		for k := range legs {
			l := &legs[k]
			n := 1
			if l.r > 0 {
				n = max(1, int(math.Ceil(math.Abs(l.sweep)/(2*math.Acos(math.Max(0, 1-sag/l.r))))))
			}
			for i := range n {
				lines = append(lines, line{l.at(float64(i) / float64(n)), l.at(float64(i+1) / float64(n))})
			}
		}
	}
	// Cells of the plane, so that only near lines are compared.
	side := math.Max(0.05, v.r)
	cells := map[[2]int][]int{}
	for i, l := range lines {
		for x := math.Floor(math.Min(l.a.x, l.b.x) / side); x <= math.Floor(math.Max(l.a.x, l.b.x)/side); x++ {
			for y := math.Floor(math.Min(l.a.y, l.b.y) / side); y <= math.Floor(math.Max(l.a.y, l.b.y)/side); y++ {
				cells[[2]int{int(x), int(y)}] = append(cells[[2]int{int(x), int(y)}], i)
			}
		}
	}
	turn := func(a, b, c xy) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }
	for _, members := range cells {
		for x, i := range members {
			for _, k := range members[x+1:] {
				l, m := lines[i], lines[k]
				if turn(l.a, l.b, m.a)*turn(l.a, l.b, m.b) >= 0 || turn(m.a, m.b, l.a)*turn(m.a, m.b, l.b) >= 0 {
					continue
				}
				if math.Min(math.Min(m.a.onLine(l.a, l.b), m.b.onLine(l.a, l.b)), math.Min(l.a.onLine(m.a, m.b), l.b.onLine(m.a, m.b))) > 3*sag {
					v.wrong("paths cross near %v", l.a)
					return
				}
			}
		}
	}
}

// reached compares what the path leaves of the edge with what is listed.
func (v *inspector) reached() {
	type seen struct {
		p     xy
		s     float64
		stays bool
	}
	listed := make([]bool, len(v.print.Unreachable))
	var worst float64
	for _, ring := range v.region {
		var points []seen
		var s float64
		for k := 1; k < len(ring); k++ {
			a, b := ring[k-1], ring[k]
			l := a.to(b)
			parts := 4 + int(math.Min(40, l/0.1))
			for i := range parts {
				f := float64(i) / float64(parts)
				p := xy{a.x + f*(b.x-a.x), a.y + f*(b.y-a.y)}
				points = append(points, seen{p, s + f*l, !v.touched(p, v.r+0.7*um+v.fit)})
			}
			s += l
		}
		covered := make([]bool, len(points))
		for n, u := range v.print.Unreachable {
			at := xy{u.At[0], u.At[1]}
			// The places along the ring where this may be: a nanometre does not tell
			// the two flanks of a needle apart.
			var along []float64
			var t float64
			for k := 1; k < len(ring); k++ {
				a, b := ring[k-1], ring[k]
				if at.onLine(a, b) <= 2e-6+v.fit {
					along = append(along, t+math.Min(a.to(b), math.Max(0, ((at.x-a.x)*(b.x-a.x)+(at.y-a.y)*(b.y-a.y))/math.Max(a.to(b), 1e-300))))
				}
				t += a.to(b)
			}
			// A place where rings touch belongs to either.
			some := v.fit > 0 || !v.touched(at, v.r+0.7*um) // fitted, it is a stretch of another edge
			for i, q := range points {
				for _, c := range along {
					d := math.Abs(q.s - c)
					if math.Min(d, s-d) <= u.Size/2+5*um+v.fit {
						covered[i] = true
						some = some || q.stays
					}
				}
			}
			for _, c := range along {
				for k := range 101 {
					q := onRing(ring, math.Mod(c+u.Size*(float64(k)/100-0.5)+s, s))
					some = some || !v.freed(q, v.r+0.7*um)
				}
			}
			listed[n] = listed[n] || some
		}
		run := 0.0
		for i, q := range points {
			if q.stays && !covered[i] && !v.inGap(q.p, v.r+2*um) && !v.touched(q.p, v.r+2*um+v.fit) {
				v.wrong("%v is not cut and not listed", q.p)
				if i > 0 {
					run += q.s - points[i-1].s
				}
				worst = math.Max(worst, run)
				continue
			}
			run = 0
		}
	}
	for n, ok := range listed {
		if !ok {
			v.wrong("%v is listed with %.6f mm, but cut", v.print.Unreachable[n].At, v.print.Unreachable[n].Size)
		}
	}
	if worst == 0 && v.print.Check.Uncut > 0 {
		v.wrong("%.6f mm told to be uncut, none found", v.print.Check.Uncut)
	}
}
