package contour

import "math"

// leftStanding is the height of material, mm, that may stay in a corner before it
// is listed: a micrometre, as little as a tool's own deflection.
const leftStanding = 1e-3

// unreachable lists the stretches of the contours that no loop comes back to.
func (o *offsetter) unreachable() []Place {
	places := make([][]Place, len(o.region))
	at := 0
	for l := range o.t.loops {
		lp := &o.t.loops[l]
		from := at
		for at < len(o.frags) && int(o.t.owner[o.frags[at].elem]) == l {
			at++
		}
		places[lp.index] = o.loopPlaces(lp, int32(from), int32(at))
	}
	var out []Place
	for _, p := range places {
		out = append(out, p...)
	}
	return out
}

// loopPlaces looks at the stretches between neighbouring fragments of one loop, from
// one to before another, which are in the order of the loop.
func (o *offsetter) loopPlaces(lp *loop, from, to int32) []Place {
	es := o.t.elems[lp.first : lp.first+lp.n]
	kept := make([]int32, 0, to-from)
	for k := from; k < to; k++ {
		if !o.frags[k].gone {
			kept = append(kept, k)
		}
	}
	if len(kept) == 0 {
		return []Place{{At: es[0].a.add(o.origin).point(), Size: total(es), Contour: int(lp.index)}}
	}
	var places []Place
	// The fragment that the path comes from, where it is its neighbour on the contour.
	before := func(k int32) int32 {
		p := k - 1
		if k == from {
			p = to - 1
		}
		if o.next[p] == k {
			return p
		}
		return -1
	}
	for i, k := range kept {
		next := kept[(i+1)%len(kept)]
		f, g := &o.frags[k], &o.frags[next]
		if f.joinHi && g.joinLo && o.isNext(f, g) && (len(kept) == 1 || o.leavesNothing(g.elem)) {
			continue // most pieces: one that closes on itself, or a joint with no room under it
		}
		size, mid, depth := o.stretch(lp, es, k, next, len(kept) == 1, before)
		if depth <= leftStanding {
			continue
		}
		places = append(places, Place{At: mid.add(o.origin).point(), Size: size, Contour: int(lp.index)})
	}
	return places
}

// leavesNothing reports whether the corner at the start of an element, where two
// pieces t shorter than their elements meet, keeps sqrt(r2 + t2) - r < t2/2r of no
// account.
func (o *offsetter) leavesNothing(i int32) bool {
	return float64(o.trim[i]*o.trim[i]) <= 2*o.reach0*leftStanding
}

// stretch measures a loop from the foot of f's end on to the foot of g's start:
// its length, its middle, and how far the points of it that are furthest from the path
// before and after it stay from the cutter's edge. Once that is more than leftStanding
// it is not measured any further.
func (o *offsetter) stretch(lp *loop, es []elem, from, to int32, alone bool, before func(int32) int32) (size float64, mid vec, depth float64) {
	f, g := &o.frags[from], &o.frags[to]
	i, s := f.elem-lp.first, o.source(f.elem, f.vertex, f.t1)
	j, t := g.elem-lp.first, o.source(g.elem, g.vertex, g.t0)
	// What lies between, element by element.
	visit := func(f func(k int32, from, to float64) bool) {
		if i == j && t >= s && !alone {
			f(i, s, t)
			return
		}
		if !f(i, s, es[i].len) {
			return
		}
		for k := (i + 1) % lp.n; k != j; k = (k + 1) % lp.n {
			if !f(k, 0, es[k].len) {
				return
			}
		}
		f(j, 0, t)
	}
	visit(func(k int32, from, to float64) bool {
		size += max(0, to-from)
		return true
	})
	left := size / 2
	mid = es[i].at(s)
	visit(func(k int32, from, to float64) bool {
		if to-from >= left {
			mid = es[k].at(from + left)
			return false
		}
		left -= max(0, to-from)
		return true
	})
	standing := func(p vec) bool {
		d := min(p.dist(f.end), p.dist(g.start)) - o.raw
		if d > leftStanding {
			d = min(o.near(p, from, before), o.near(p, to, o.after)) - o.raw
		}
		depth = max(depth, d)
		return depth <= leftStanding
	}
	if !standing(mid) {
		return size, mid, depth
	}
	// Along the stretch f's end falls behind and g's start comes nearer: the worst
	// point of an element is one of its ends or where both are as far.
	ahead := func(p vec) bool { return p.dist(f.end) < p.dist(g.start) }
	visit(func(k int32, from, to float64) bool {
		e := &es[k]
		if !standing(e.at(from)) {
			return false
		}
		if ahead(e.at(from)) && !ahead(e.at(to)) {
			for range 24 {
				if m := (from + to) / 2; ahead(e.at(m)) {
					from = m
				} else {
					to = m
				}
			}
			return standing(e.at(from))
		}
		return true
	})
	return size, mid, depth
}

// mostLooks bounds the fragments that are looked at on one side of a stretch.
const mostLooks = 24

// near is the distance from p to the path on one side of a stretch, fragment by
// fragment from k: as far as twice what p lies aside of the path's end there.
func (o *offsetter) near(p vec, k int32, next func(int32) int32) float64 {
	best := min(p.dist(o.frags[k].start), p.dist(o.frags[k].end))
	left := 2 * math.Sqrt(max(0, float64((best-o.raw)*(best+o.raw))))
	for looks := 0; looks < mostLooks && k >= 0 && left >= 0; looks++ {
		f := &o.frags[k]
		best = min(best, o.distTo(f, p))
		left -= f.len()
		k = next(k)
	}
	return best
}

// after is the fragment that the path goes on with, -1 where it ends.
func (o *offsetter) after(k int32) int32 { return o.next[k] }

// distTo is the distance from p to a fragment.
func (o *offsetter) distTo(f *frag, p vec) float64 {
	e := &o.t.elems[f.elem]
	if !f.vertex && e.turn == 0 {
		line := elem{a: f.start, b: f.end, v: f.end.sub(f.start).unit(), len: f.start.dist(f.end)}
		return line.dist(p)
	}
	q := o.pieceOf(f)
	if f.start == f.end {
		return p.dist(f.start)
	}
	arc := arcElem(f.start, f.end, q.p, q.turn, 0)
	return arc.dist(p)
}
