package contour

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// join links each fragment to the one that goes on from it. Most go on to the next
// piece along the boundary. The others end where another element cuts them off, at
// a point where one of that element's pieces is cut off in turn: nearest ends and
// starts pair up, first those that agree but for rounding, then further ones,
// where two curves cross at a small angle and the point is less certain.
func (o *offsetter) join() {
	if cap(o.next) < len(o.frags) {
		o.next = make([]int32, len(o.frags))
	}
	o.next = o.next[:len(o.frags)]
	taken := make([]bool, len(o.frags))
	first := int32(0)
	for i := range o.frags {
		o.next[i] = -1
		f := &o.frags[i]
		lp := o.t.owner[f.elem]
		if i == 0 || o.t.owner[o.frags[i-1].elem] != lp {
			first = int32(i)
		}
		g := int32(i + 1)
		if int(g) == len(o.frags) || o.t.owner[o.frags[g].elem] != lp {
			g = first
		}
		if f.joinHi && o.frags[g].joinLo && o.isNext(f, &o.frags[g]) {
			o.next[i] = g
			taken[g] = true
		}
	}
	var ends, starts []int32
	for i := range o.frags {
		if o.next[i] < 0 {
			ends = append(ends, int32(i))
		}
		if !taken[i] {
			starts = append(starts, int32(i))
		}
	}
	for _, within := range [...]float64{1e-8, 1e-6, 1e-5, 1e-4, max(1e-3, o.graze())} {
		if len(ends) == 0 {
			break
		}
		ends, starts = o.pair(ends, starts, within)
	}
}

// graze is the length over which two curves that touch may be taken for one: within
// the slack of each other, a line and a circle are for 2 sqrt(2 slack r), and two
// nearly equal circles for r sqrt(2 slack / e), e being what their radii differ by:
// for edges that bend within a hundredth of a millimetre, a ten-thousandth of r.
func (o *offsetter) graze() float64 { return max(8*math.Sqrt((o.raw-o.cover)*o.raw), 1e-4*o.raw) }

// isNext reports whether g's piece is the one that f's piece leads to.
func (o *offsetter) isNext(f, g *frag) bool {
	if f.vertex {
		return !g.vertex && g.elem == f.elem
	}
	n := o.t.next(f.elem)
	if g.elem != n {
		return false
	}
	return g.vertex == (o.joint[n] == jointConvex)
}

// pair links ends to starts no further than a distance apart, the nearest first,
// and returns those that found none.
func (o *offsetter) pair(ends, starts []int32, within float64) (restEnds, restStarts []int32) {
	type match struct {
		d2         float64
		end, start int32
	}
	x := func(i int32) float64 { return o.frags[i].start.x }
	slices.SortFunc(starts, func(a, b int32) int { return cmp.Or(cmp.Compare(x(a), x(b)), cmp.Compare(a, b)) })
	slices.SortFunc(ends, func(a, b int32) int {
		return cmp.Or(cmp.Compare(o.frags[a].end.x, o.frags[b].end.x), cmp.Compare(a, b))
	})
	var matches []match
	from := 0
	for _, e := range ends {
		p := o.frags[e].end
		for from < len(starts) && x(starts[from]) < p.x-within {
			from++
		}
		for k := from; k < len(starts) && x(starts[k]) <= p.x+within; k++ {
			w := o.frags[starts[k]].start.sub(p)
			if d2 := w.dot(w); d2 <= within*within {
				matches = append(matches, match{d2, e, starts[k]})
			}
		}
	}
	slices.SortFunc(matches, func(a, b match) int {
		return cmp.Or(cmp.Compare(a.d2, b.d2), cmp.Compare(a.end, b.end), cmp.Compare(a.start, b.start))
	})
	used := make(map[int32]bool, len(matches))
	for _, m := range matches {
		if o.next[m.end] < 0 && !used[m.start] {
			o.next[m.end] = m.start
			used[m.start] = true
		}
	}
	ends = slices.DeleteFunc(ends, func(e int32) bool { return o.next[e] >= 0 })
	starts = slices.DeleteFunc(starts, func(s int32) bool { return used[s] })
	return ends, starts
}

// assemble collects the fragments into loops. What rounding left over, chains too
// short to matter that lead nowhere, is dropped; a longer one is an error, or, where
// a path was offset, a part of the result.
func (o *offsetter) assemble() error {
	o.loops = o.loops[:0]
	seen := make([]bool, len(o.frags))
	open := make([]bool, len(o.frags))
	for i := range open {
		open[i] = true
	}
	for _, n := range o.next {
		if n >= 0 {
			open[n] = false
		}
	}
	all := make([]int32, 0, len(o.frags)) // the loops one after the other
	// Chains that nothing leads to.
	for i := range o.frags {
		if !open[i] {
			continue
		}
		var length float64
		begin := len(all)
		for k := int32(i); k >= 0; k = o.next[k] {
			seen[k] = true
			all = append(all, k)
			length += o.frags[k].len()
		}
		chain := all[begin:len(all):len(all)]
		if o.path && length > leftOver {
			o.loops = append(o.loops, chain)
			continue
		}
		last := chain[len(chain)-1]
		for _, k := range chain {
			o.frags[k].gone = true
		}
		// Where circles touch, the arc about a corner that comes out on the wrong
		// side can miss being cut away by as little as the slack.
		if middle := o.frags[chain[len(chain)/2]]; length > max(leftOver, o.graze()) && o.onSide(o.pieceOf(&middle).at((middle.t0+middle.t1)/2)) {
			f := &o.frags[last]
			lp := &o.t.loops[o.t.owner[f.elem]]
			return &ContourError{
				Index: int(lp.index), Move: int(o.t.elems[f.elem].move), At: f.end.add(o.origin).point(),
				Detail: fmt.Sprintf("a stretch of %.6f mm of the offset leads nowhere", length), Err: ErrUnresolved,
			}
		}
	}
	for i := range o.frags {
		if seen[i] {
			continue
		}
		begin := len(all)
		var length, gaps float64
		for k := int32(i); !seen[k]; k = o.next[k] {
			seen[k] = true
			all = append(all, k)
			length += o.frags[k].len()
			gaps += o.frags[k].end.dist(o.frags[o.next[k]].start)
		}
		ring := all[begin:len(all):len(all)]
		// A ring that is hardly longer than the gaps in it is the rounding of a
		// place where curves touch.
		if length < shortest || length < 4*gaps {
			for _, k := range ring {
				o.frags[k].gone = true
			}
			continue
		}
		o.loops = append(o.loops, ring)
	}
	return nil
}

// leftOver is the longest chain that may be dropped, mm. Where two curves touch at
// a small angle, rounding can leave a sliver of one of them.
const leftOver = 1e-3
