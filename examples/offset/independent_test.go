package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// This file checks what the program prints against the text that it read, by brute
// force and from first principles: it uses nothing of the contour package, and
// every distance is that of a point to all lines one by one.

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

// printed is the part of the program's output that is checked.
type printed struct {
	Name, Error string
	Paths       []struct {
		Closed bool
		Start  [2]float64
		Moves  []struct {
			Line      *[2]float64
			Arc       *[4]float64
			Clockwise bool
		}
	}
	Length      float64 `json:"length_mm"`
	Unreachable []struct {
		At   [2]float64
		Size float64 `json:"size_mm"`
	}
	Tabs []struct {
		At    [2]float64
		Width float64 `json:"width_mm"`
	}
	Check struct {
		MinClearance *float64 `json:"min_clearance_mm"`
		Gouge        float64  `json:"gouge_mm"`
		Uncut        float64  `json:"uncut_mm"`
	}
	Findings []struct {
		Rule  string
		Count int
	}
}

// told tells how often the program says that a rule of the tabs is not kept.
func (p *printed) told(rule string) int {
	n := 0
	for _, f := range p.Findings {
		if f.Rule == rule {
			n += f.Count
		}
	}
	return n
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

// inGap tells whether a tab keeps the cutter from q: it lies beside the line between
// the two ends of a gap.
func (v *inspector) inGap(q xy, more float64) bool {
	for _, g := range v.gaps {
		if q.onLine(g[0], g[1]) <= 0.3*g[0].to(g[1])+more {
			return true
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

// findGaps finds for each tab the end of a path and the start of one that it lies
// between: of those as near to it as they may be, the two whose distance fits best.
func (v *inspector) findGaps() {
	open := 0
	for _, p := range v.print.Paths {
		if !p.Closed {
			open++
		}
	}
	if open != len(v.print.Tabs) || (v.tabs == 0 && open > 0) {
		v.wrong("%d tabs, %d open paths", len(v.print.Tabs), open)
		return
	}
	for _, t := range v.print.Tabs {
		at := xy{t.At[0], t.At[1]}
		var best [2]xy
		var way [2]int
		least := math.Inf(1)
		for i, p := range v.print.Paths {
			for k, q := range v.print.Paths {
				if p.Closed || q.Closed {
					continue
				}
				a, b := v.legs[i][len(v.legs[i])-1].b, v.legs[k][0].a
				far := math.Max(a.to(at), b.to(at)) - math.Hypot(v.r, (t.Width+v.cutter)/2)
				off := math.Max(1e-5, math.Abs(a.to(b)-v.cutter-t.Width)) + 1e-6*far
				if far < 0.3*(t.Width+v.cutter) && off < least {
					best, way, least = [2]xy{a, b}, [2]int{i, k}, off
				}
			}
		}
		if math.IsInf(least, 1) {
			v.wrong("no gap at the tab %v", t.At)
			continue
		}
		v.gaps, v.ways = append(v.gaps, best), append(v.ways, way)
	}
}

// tabsTold holds the gaps to what is told of them: where nothing is, each is one
// straight line beside material that is not thin, and the centroid of a region of one
// ring lies inside the polygon of its tabs.
func (v *inspector) tabsTold() {
	if v.tabs == 0 || len(v.gaps) != len(v.print.Tabs) {
		return
	}
	bent, thin := 0, 0
	for _, g := range v.gaps {
		straight := true
		// No path comes nearer to the middle of the web than its own ends, or than leaves
		// enough beyond the channel.
		m := xy{(g[0].x + g[1].x) / 2, (g[0].y + g[1].y) / 2}
		thick := !v.touched(m, math.Min(g[0].to(g[1])/2-1e-5, v.cutter+0.99*math.Min(1, v.width)-v.fit))
		for k := range 9 {
			f := float64(k) / 8
			q := xy{g[0].x + f*(g[1].x-g[0].x), g[0].y + f*(g[1].y-g[0].y)}
			d := v.region.dist(q)
			straight = straight && math.Abs(d-v.r) <= 4e-6+v.fit
			// Behind the middle, half a millimetre in, nothing else may be near.
			deep := math.Min(1, v.width) / 2
			if l := g[0].to(g[1]); k == 4 {
				n := xy{(g[0].y - g[1].y) / l, (g[1].x - g[0].x) / l} // the material is on the left
				if v.side == "inside" {
					n = xy{-n.x, -n.y}
				}
				in := v.region.dist(xy{q.x + n.x*(d+deep), q.y + n.y*(d+deep)})
				thick = thick && in > 0.99*deep-v.fit
			}
		}
		if !straight {
			bent++
		} else if !thick {
			thin++
		}
	}
	if told := v.print.told("tab-bent"); bent > told {
		v.wrong("%d tabs on bent stretches, %d told", bent, told)
	}
	if told := v.print.told("tab-thin"); thin > told {
		v.wrong("%d tabs on thin material, %d told", thin, told)
	}
	if len(v.region) == 1 && len(v.legs) == len(v.gaps) && v.side == "outside" && len(v.gaps) == v.tabs {
		var area, x, y float64
		o := v.region[0][0]
		for k := 1; k < len(v.region[0]); k++ {
			a, b := v.region[0][k-1], v.region[0][k]
			t := (a.x-o.x)*(b.y-o.y) - (b.x-o.x)*(a.y-o.y)
			area, x, y = area+t, x+t*(a.x+b.x-2*o.x)/3, y+t*(a.y+b.y-2*o.y)/3
		}
		c := xy{o.x + x/area, o.y + y/area}
		// Inside the convex hull there is a tab on both sides of every line through c.
		in := true
		for k := range 720 {
			s, co := math.Sincos(2 * math.Pi * float64(k) / 720)
			beyond := false
			for _, t := range v.print.Tabs {
				beyond = beyond || (t.At[0]-c.x)*co+(t.At[1]-c.y)*s > -1.1*um
			}
			in = in && beyond
		}
		if told := v.print.told("tab-centroid"); !in && told == 0 {
			v.wrong("the centroid %v lies outside the tabs, not told", c)
		}
	}
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

// webs measures what is left between the swept ends of each gap.
func (v *inspector) webs() {
	for n, g := range v.gaps {
		t := v.print.Tabs[n]
		if d := v.region.dist(xy{t.At[0], t.At[1]}); d > 2e-6+v.fit {
			v.wrong("tab at %v stands %.6f from the edge", t.At, d)
		}
		if math.Abs(t.Width-v.width) > 2e-6 {
			v.wrong("tab at %v is %.6f wide, asked %.6f", t.At, t.Width, v.width)
		}
		if got := g[0].to(g[1]) - v.cutter; math.Abs(got-t.Width) > 5e-6 {
			v.wrong("tab at %v: %.6f mm between the swept ends, told %.6f", t.At, got, t.Width)
		}
		// No other cut may come nearer: the last bit of the path before the gap
		// and the first one after it.
		before := v.stretch(v.ways[n][0], true)
		after := v.stretch(v.ways[n][1], false)
		got := math.Inf(1)
		for i := range before {
			for k := range 21 {
				p := before[i].at(float64(k) / 20)
				for n := range after {
					got = math.Min(got, after[n].dist(p))
				}
			}
		}
		if got-v.cutter < t.Width-1e-5 {
			v.wrong("tab at %v: %.6f mm left beside it, told %.6f", t.At, got-v.cutter, t.Width)
		}
	}
}

// stretch is the part of a path near its end or its start.
func (v *inspector) stretch(path int, end bool) []leg {
	var out []leg
	legs := v.legs[path]
	var total, run float64
	for k := range legs {
		total += legs[k].length()
	}
	most := math.Min(v.width+v.cutter, total/4)
	for k := range legs {
		l := legs[k]
		if end {
			l = legs[len(legs)-1-k]
		}
		if left := most - run; l.length() > left {
			part := left / l.length()
			if end {
				l = leg{a: l.at(1 - part), b: l.b, c: l.c, r: l.r, from: l.from + (1-part)*l.sweep, sweep: part * l.sweep}
			} else {
				l = leg{a: l.a, b: l.at(part), c: l.c, r: l.r, from: l.from, sweep: part * l.sweep}
			}
		}
		out = append(out, l)
		if run += l.length(); run >= most-1e-9 {
			break
		}
	}
	return out
}

// try runs the program over jobs with the same flags.
func try(t testing.TB, dir string, jobs []job) []printed {
	t.Helper()
	var text bytes.Buffer
	for _, j := range jobs {
		fmt.Fprintf(&text, "%s\t%s\n", j.name, j.region.wkt())
	}
	file := filepath.Join(dir, "regions.wkt")
	require.NoError(t, os.WriteFile(file, text.Bytes(), 0o600))
	j := jobs[0]
	f := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	args := []string{"-json", "-cutter", f(j.cutter), "-side", j.side, "-fit", f(j.fit)}
	if j.tabs > 0 {
		args = append(args, "-tabs", strconv.Itoa(j.tabs), "-tab-width", f(j.width))
	}
	var out, errs bytes.Buffer
	run(append(args, file), &out, &errs)
	require.Empty(t, errs.String())
	var got []printed
	for line := range strings.Lines(out.String()) {
		var p printed
		require.NoError(t, json.Unmarshal([]byte(line), &p))
		got = append(got, p)
	}
	require.Len(t, got, len(jobs))
	return got
}

// examine holds one random region's output to the inspection. It returns the kind, or
// nothing where the region crosses itself.
func examine(t *testing.T, dir string, seed uint64) (what string, ok bool) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 23))
	kind := kinds[int(seed)%len(kinds)]
	j := job{name: fmt.Sprintf("%s-%d", kind.name, seed), cutter: [...]float64{2.4, 2, 1.2, 0.8, 3.175}[rng.IntN(5)], side: "outside"}
	if rng.IntN(2) == 0 {
		j.side = "inside"
	}
	j.region = kind.make(rng, j.cutter)
	if rng.IntN(3) == 0 {
		j.region = dirty(rng, j.region)
	}
	if !simple(j.region) {
		return "", true
	}
	if rng.IntN(8) == 0 {
		j.fit = 0.002
	}
	if rng.IntN(4) == 0 {
		j.tabs, j.width = 1+rng.IntN(4), between(rng, 0.3, 4)
	}
	p := try(t, dir, []job{j})[0]
	if j.tabs > 0 && strings.Contains(p.Error, "do not fit the loop") {
		return "no room for tabs", true
	}
	if fault := inspect(j, p); len(fault) > 0 {
		t.Errorf("seed %d %s %s by a %g cutter, fit %g, %d tabs of %g:\n%s", seed, j.name, j.side, j.cutter, j.fit, j.tabs, j.width, strings.Join(fault, "\n"))
		return kind.name, false
	}
	return kind.name, true
}

// TestKept holds regions to the inspection that were wrong once.
func TestKept(t *testing.T) {
	for seed, what := range map[uint64]string{
		105972:  "a gap between two windings, whose nearest edge is not the one left standing",
		207970:  "tabs",
		400251:  "a tab that leaves 0.087 um of an arc",
		3002905: "tabs in a slot as wide as the cutter",
		2001814: "a corner of a needle that the cutter on its other side comes near to",
		400407:  "a gap over a neck, whose ends lie on two edges",
	} {
		if kind, ok := examine(t, t.TempDir(), seed); !ok || kind == "" || kind == "no room for tabs" {
			t.Errorf("seed %d: %s: %q", seed, what, kind)
		}
	}
}

// TestIndependent holds the program's output for random regions of many kinds to the
// brute-force inspection above. OFFSET_CASES sets how many, OFFSET_SEED where to begin.
func TestIndependent(t *testing.T) {
	count, first := 400, uint64(1)
	if testing.Short() {
		count = 100
	}
	if s := os.Getenv("OFFSET_CASES"); s != "" {
		count, _ = strconv.Atoi(s)
	}
	if s := os.Getenv("OFFSET_SEED"); s != "" {
		first, _ = strconv.ParseUint(s, 10, 64)
	}
	dir := t.TempDir()
	failed, skipped := 0, 0
	tally := map[string]int{}
	for seed := first; seed < first+uint64(count) && failed < 40; seed++ {
		switch what, ok := examine(t, dir, seed); {
		case !ok:
			failed++
		case what == "":
			skipped++
		default:
			tally[what]++
		}
	}
	t.Logf("%d regions, %d not simple, %v", count-skipped, skipped, tally)
	if skipped > count/2 {
		t.Errorf("only %d of %d regions could be used", count-skipped, count)
	}
}
