package contour

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// grid is the grid that results lie on, 2^-33 mm, a tenth of a picometre times a
// thousand: far below any tolerance, coarse enough to hide how an architecture
// rounds sines.
const grid = 1.0 / (1 << 33)

func snap(p vec) orb.Point {
	return orb.Point{math.Round(p.x/grid) * grid, math.Round(p.y/grid) * grid}
}

// contours turns the loops of fragments into contours, sorted by the contour
// and element that they first follow.
func (o *offsetter) contours() []Contour {
	type entry struct {
		contour, elem, frag int32
		at                  int32 // where in the ring that fragment is
		ring                []int32
	}
	entries := make([]entry, 0, len(o.loops))
	for _, ring := range o.loops {
		best, owner := entry{contour: math.MaxInt32}, int32(-1)
		for i, k := range ring {
			l := o.t.owner[o.frags[k].elem]
			if l == owner && k > best.frag {
				continue
			}
			lp := &o.t.loops[l]
			if lp.index < best.contour || (lp.index == best.contour && k < best.frag) {
				best, owner = entry{lp.index, o.frags[k].elem - lp.first, k, int32(i), ring}, l
			}
		}
		entries = append(entries, best)
	}
	slices.SortFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.contour, b.contour), cmp.Compare(a.elem, b.elem), cmp.Compare(a.frag, b.frag))
	})
	var out []Contour
	for _, e := range entries {
		if c := o.contour(e.ring, int(e.at)); len(c.Moves) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// chain makes one open contour of fragments that follow each other.
func (o *offsetter) chain(frags []int32) Contour {
	end := func(i int) orb.Point {
		p := o.frags[frags[i]].end
		if i+1 < len(frags) {
			p = middle(p, o.frags[frags[i+1]].start)
		}
		return snap(p.add(o.origin))
	}
	b := builder{c: Contour{Start: snap(o.frags[frags[0]].start.add(o.origin))}}
	for i, k := range frags {
		b.add(o.move(&o.frags[k], end(i)), o.frags[k].len())
	}
	return b.c
}

// contour makes one closed contour of a ring of fragments, beginning with the one
// at a place in it. Neighbours end at the middle between the end of the one and the
// start of the other, which lie apart by rounding only.
func (o *offsetter) contour(ring []int32, at int) Contour {
	joint := func(f, g *frag) orb.Point { return snap(middle(f.end, g.start).add(o.origin)) }
	first := &o.frags[ring[at]]
	before := &o.frags[ring[(at+len(ring)-1)%len(ring)]]
	b := builder{c: Contour{Start: joint(before, first), Moves: make([]Move, 0, len(ring))}}
	f := first
	for range ring {
		if at++; at == len(ring) {
			at = 0
		}
		next := &o.frags[ring[at]]
		b.add(o.move(f, joint(f, next)), f.len())
		f = next
	}
	return b.close()
}

// move is a fragment as a move to a point.
func (o *offsetter) move(f *frag, to orb.Point) Move {
	e := &o.t.elems[f.elem]
	lp := &o.t.loops[o.t.owner[f.elem]]
	src := &o.region[lp.index]
	switch {
	case f.vertex:
		// The vertex exactly as the caller gave it.
		p := src.Start
		if lp.flipped {
			p = src.Moves[e.move].To
		} else if e.move > 0 {
			p = src.Moves[e.move-1].To
		}
		turn := int8(1)
		if o.turn[f.elem] < 0 {
			turn = -1
		}
		return Move{To: to, Center: p, Turn: turn}
	case e.turn == 0:
		return Move{To: to}
	}
	c := src.Moves[e.move].Center
	if p := e.centre().add(o.origin); p.dist(toVec(c)) > radiusNoise {
		c = snap(p)
	}
	return Move{To: to, Center: c, Turn: e.turn}
}

// A builder collects the moves of a closed contour, leaves out those that are too
// short to make and unites lines along one line and arcs along one circle.
type builder struct {
	c     Contour
	sweep float64 // of the last move, if an arc, radians
}

// shortestLine is the length of the shortest line that is kept, mm. Arcs shorter
// than [shortest] become lines.
const shortestLine = 1e-6

// straight is how far the common point of two lines may lie beside the line that
// replaces both, mm.
const straight = 1e-9

func (b *builder) add(m Move, length float64) {
	if length < shortest {
		if toVec(m.To).dist(toVec(b.c.End())) < shortestLine {
			return
		}
		m.Turn, m.Center = 0, orb.Point{}
	}
	if m.Turn != 0 && m.To == b.c.End() && length < toVec(m.To).dist(toVec(m.Center)) {
		// Only a full circle ends where it starts.
		return
	}
	sweep := 0.0
	if m.Turn != 0 {
		sweep = length / toVec(m.To).dist(toVec(m.Center))
	}
	if n := len(b.c.Moves); n > 0 {
		last := &b.c.Moves[n-1]
		from := b.c.Start
		if n > 1 {
			from = b.c.Moves[n-2].To
		}
		switch {
		case last.Turn != m.Turn:
		case m.Turn == 0:
			if collinear(toVec(from), toVec(last.To), toVec(m.To)) {
				last.To = m.To
				return
			}
		case last.Center == m.Center && b.sweep+sweep < 2*math.Pi-0.01 && sameRadius(last, &m):
			last.To = m.To
			b.sweep += sweep
			b.vanish(from)
			return
		}
	}
	b.c.Moves = append(b.c.Moves, m)
	b.sweep = sweep
}

// vanish leaves out a last arc that ends where it starts without having gone
// round: it is rounding, and would read as a full circle.
func (b *builder) vanish(from orb.Point) {
	n := len(b.c.Moves) - 1
	if b.c.Moves[n].Turn != 0 && b.c.Moves[n].To == from && b.sweep < math.Pi {
		b.c.Moves = b.c.Moves[:n]
		b.sweep = 2 * math.Pi // of the move before it, not known any more: nothing joins it
	}
}

func sameRadius(a, b *Move) bool {
	return math.Abs(toVec(a.To).dist(toVec(a.Center))-toVec(b.To).dist(toVec(b.Center))) < straight
}

// collinear reports whether q lies on the way from p to r.
func collinear(p, q, r vec) bool {
	d := r.sub(p)
	n := d.norm()
	return n > 0 && math.Abs(d.cross(q.sub(p))) < straight*n && q.sub(p).dot(r.sub(q)) > 0
}

// close ends the contour exactly where it starts.
func (b *builder) close() Contour {
	if len(b.c.Moves) == 0 {
		return Contour{}
	}
	// The last moves may have been left out as too short.
	n := len(b.c.Moves)
	b.c.Moves[n-1].To = b.c.Start
	if n > 1 {
		b.vanish(b.c.Moves[n-2].To)
	}
	c := b.c
	n = len(c.Moves)
	if n > 2 && c.Moves[0].Turn == 0 && c.Moves[n-1].Turn == 0 &&
		collinear(toVec(c.Moves[n-2].To), toVec(c.Start), toVec(c.Moves[0].To)) {
		c.Start = c.Moves[n-2].To
		c.Moves = c.Moves[:n-1]
	}
	return c
}
