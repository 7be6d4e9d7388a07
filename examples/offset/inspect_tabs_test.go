package main

import (
	"math"
)

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
