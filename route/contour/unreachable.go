package contour

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
		places[lp.index] = o.loopPlaces(lp, o.frags[from:at])
	}
	var out []Place
	for _, p := range places {
		out = append(out, p...)
	}
	return out
}

// loopPlaces looks at the stretches between neighbouring fragments of one loop,
// which are in the order of the loop.
func (o *offsetter) loopPlaces(lp *loop, frags []frag) []Place {
	es := o.t.elems[lp.first : lp.first+lp.n]
	kept := make([]int32, 0, len(frags))
	for i := range frags {
		if !frags[i].gone {
			kept = append(kept, int32(i))
		}
	}
	if len(kept) == 0 {
		return []Place{{At: es[0].a.add(o.origin).point(), Size: total(es)}}
	}
	var places []Place
	for i, k := range kept {
		f, g := &frags[k], &frags[kept[(i+1)%len(kept)]]
		if f.joinHi && g.joinLo && o.isNext(f, g) && (len(kept) == 1 || o.leavesNothing(g.elem)) {
			continue // most pieces: one that closes on itself, or a joint with no room under it
		}
		size, mid, depth := o.stretch(lp, es, f, g, len(kept) == 1)
		if depth <= leftStanding {
			continue
		}
		places = append(places, Place{At: mid.add(o.origin).point(), Size: size})
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
// its length, its middle, and how far the furthest of its middle and its corners
// stays from the edge of a cutter at either end.
func (o *offsetter) stretch(lp *loop, es []elem, f, g *frag, alone bool) (size float64, mid vec, depth float64) {
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
	standing := func(p vec) {
		depth = max(depth, min(p.dist(f.end), p.dist(g.start))-o.raw)
	}
	visit(func(k int32, from, to float64) bool {
		size += max(0, to-from)
		standing(es[k].at(from))
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
	standing(mid)
	return size, mid, depth
}
