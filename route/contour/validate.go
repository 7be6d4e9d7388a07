package contour

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Validate checks a contour, open or closed, and returns nil or a
// [*ContourError] for the first fault it finds: ErrEmpty (no move, or none with a
// length, or a closed contour without area), ErrNotFinite, ErrRange (a coordinate
// or a radius beyond 10 m), ErrRadius (a turn other than -1, 0 and +1, an arc
// whose ends differ by more than 1 um in their distance from the centre, or of no
// radius) and ErrCrossing: two moves that are not neighbours come within 1e-9 mm
// of each other, or neighbours meet again away from their common point, as where
// a contour runs back over itself. O(n log n) for n moves.
func (c Contour) Validate() error {
	_, _, _, err := check([]Contour{c}, false)
	return err
}

// ValidateRegion checks the contours of a region as [Offset] does: each one as
// [Contour.Validate] does, each closed (ErrOpen), none crossing another or running
// along it. Contours may touch each other in single points, as a cut-out
// touches its outline. O(n log n).
func ValidateRegion(region []Contour) error {
	_, _, _, err := check(region, true)
	return err
}

// check validates contours and hands back what it built on the way: the tree over
// their elements, the turns between them and its origin.
func check(contours []Contour, region bool) (*tree, []float64, vec, error) {
	for i, c := range contours {
		if err := checkValues(i, c, region); err != nil {
			return nil, nil, vec{}, err
		}
	}
	origin := middleOf(contours)
	elems, loops := newRegion(contours, origin)
	t := newTree(elems, loops)
	for i := range t.elems {
		// A full circle among other moves comes through its start twice.
		if j := t.next(int32(i)); t.elems[i].full && j != int32(i) {
			return nil, nil, vec{}, t.crossing(int32(i), j, t.elems[i].a, origin)
		}
	}
	turn := t.turns()
	reach := t.runs(turn, math.Pi-0.01, func(i, next int32) bool { return true })
	if err := t.checkCrossing(reach, origin); err != nil {
		return nil, nil, vec{}, err
	}
	for _, lp := range t.loops {
		es := t.elems[lp.first : lp.first+lp.n]
		if lp.closed && math.Abs(area(es)) < meetDistance*meetDistance {
			return nil, nil, vec{}, &ContourError{Index: int(lp.index), Move: -1, At: contours[lp.index].Start,
				Detail: "the contour encloses no area", Err: ErrEmpty}
		}
	}
	return t, turn, origin, nil
}

// checkValues refuses what no geometry can be done with.
func checkValues(index int, c Contour, closed bool) error {
	fault := func(move int, at orb.Point, err error, format string, args ...any) error {
		return &ContourError{Index: index, Move: move, At: at, Detail: fmt.Sprintf(format, args...), Err: err}
	}
	bad := func(move int, p orb.Point, what string) error {
		if !toVec(p).finite() {
			return fault(move, p, ErrNotFinite, "%s is not finite", what)
		}
		if !toVec(p).inRange() {
			return fault(move, p, ErrRange, "%s is beyond %d mm", what, maxCoordinate)
		}
		return nil
	}
	if err := bad(-1, c.Start, "the start"); err != nil {
		return err
	}
	length := false
	at := c.Start
	for i := range c.Moves {
		m := &c.Moves[i]
		if p := toVec(m.To); !p.finite() || !p.inRange() {
			return bad(i, m.To, "the end")
		}
		if m.Turn == 0 {
			length = length || m.To != at
			at = m.To
			continue
		}
		if m.Turn != 1 && m.Turn != -1 {
			return fault(i, at, ErrRadius, "turn %d, want -1, 0 or +1", m.Turn)
		}
		if !toVec(m.Center).finite() {
			return fault(i, at, ErrNotFinite, "the centre is not finite")
		}
		r0, r1 := toVec(at).dist(toVec(m.Center)), toVec(m.To).dist(toVec(m.Center))
		// A flat arc's centre may lie off the table, its radius is bounded all
		// the same.
		if !(r0 <= maxRadius && r1 <= maxRadius) {
			return fault(i, at, ErrRange, "radius %g mm, want at most %d mm", max(r0, r1), maxRadius)
		}
		if math.Abs(r0-r1) > radiusTolerance {
			return fault(i, at, ErrRadius, "radius %.6f mm at the start of the arc and %.6f mm at its end", r0, r1)
		}
		if min(r0, r1) < minRadius {
			return fault(i, at, ErrRadius, "radius %g mm, want at least %g mm", min(r0, r1), minRadius)
		}
		length = true
		at = m.To
	}
	if !length {
		return fault(-1, c.Start, ErrEmpty, "no move of any length")
	}
	if closed && !c.Closed() {
		return fault(len(c.Moves)-1, at, ErrOpen, "ends %g mm from its start, want a closed contour",
			toVec(at).dist(toVec(c.Start)))
	}
	return nil
}

// checkCrossing looks for elements that meet where they must not.
func (t *tree) checkCrossing(reach []int32, origin vec) error {
	var stack []int32
	for leaf := range t.leaves {
		a := &t.nodes[leaf]
		lp := &t.loops[a.loop]
		near := a.box.grow(meetDistance)
		stack = append(stack[:0], t.root)
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			b := &t.nodes[at]
			if b.last < a.first || !near.meets(b.box) {
				continue
			}
			if b.child >= 0 {
				if b.loop == a.loop && b.first > a.last && t.sameRun(reach, lp, a.first, a.last, b.first, b.last) {
					continue
				}
				for k := b.child + b.children - 1; k >= b.child; k-- {
					stack = append(stack, k)
				}
				continue
			}
			if at < leaf {
				continue
			}
			if at == leaf {
				if a.last-a.first <= reach[a.first] {
					continue
				}
			} else if b.loop == a.loop && t.sameRun(reach, lp, a.first, a.last, b.first, b.last) {
				continue
			}
			if err := t.checkLeaves(a, b, reach, origin); err != nil {
				return err
			}
		}
	}
	return nil
}

func (t *tree) checkLeaves(a, b *node, reach []int32, origin vec) error {
	var found [8]vec
	var boxes [leafSize]box
	for j := b.first; j <= b.last; j++ {
		boxes[j-b.first] = t.elems[j].box()
	}
	for i := a.first; i <= a.last; i++ {
		near := t.elems[i].box().grow(meetDistance)
		for j := max(b.first, i+1); j <= b.last; j++ {
			if !near.meets(boxes[j-b.first]) {
				continue
			}
			if a.loop == b.loop && t.sameRun(reach, &t.loops[a.loop], i, i, j, j) {
				continue
			}
			for _, p := range meetings(found[:0], &t.elems[i], &t.elems[j]) {
				if t.allowed(i, j, p) {
					continue
				}
				return t.crossing(i, j, p, origin)
			}
		}
	}
	return nil
}

// crossing is the error for two elements that meet at p.
func (t *tree) crossing(i, j int32, p, origin vec) error {
	a, b := t.loops[t.owner[i]].index, t.loops[t.owner[j]].index
	mi, mj := t.elems[i].move, t.elems[j].move
	if b < a || (a == b && mj < mi) {
		a, b, mi, mj = b, a, mj, mi
	}
	return &ContourError{
		Index: int(a), Move: int(mi), OtherIndex: int(b), OtherMove: int(mj),
		At:     p.add(origin).point(),
		Detail: fmt.Sprintf("meets contour %d move %d", b, mj),
		Err:    ErrCrossing,
	}
}

// sharedEnd and sharedCusp bound how far from the common point of two neighbours
// they may still meet, mm: two curves that leave a point in nearly one direction
// cannot be told apart closer to it.
const (
	sharedEnd  = 1e-6
	sharedCusp = 1e-3
)

// neighboursMay reports whether element f, which follows e, may meet it at p. At an
// angle a between them and a difference k of their curvatures they are s a +
// s2 k/2 apart at a distance s from their common point.
func neighboursMay(e, f *elem, p vec) bool {
	s := p.dist(f.a)
	if s <= sharedEnd {
		return true
	}
	angle := math.Abs(e.t1().scale(-1).angleTo(f.t0()))
	bend := math.Abs(e.curvature() + f.curvature())
	return s <= sharedCusp && float64(s*angle)+float64(s*s)*bend/2 <= meetDistance
}

// allowed reports whether elements i < j may meet at p: neighbours at their
// common point, and different loops where they touch without crossing.
func (t *tree) allowed(i, j int32, p vec) bool {
	if t.owner[i] != t.owner[j] {
		t.touch = true
		return t.touching(i, t.owner[j], p) && t.touching(j, t.owner[i], p)
	}
	lp := &t.loops[t.owner[i]]
	if j == i+1 && neighboursMay(&t.elems[i], &t.elems[j], p) {
		return true
	}
	return lp.closed && i == lp.first && j == lp.first+lp.n-1 && neighboursMay(&t.elems[j], &t.elems[i], p)
}

// probe is how far from a touch the two sides of it are looked at, mm.
const probe = 1e-3

// touching reports whether the loop of element i stays on one side of another
// loop around its point p.
func (t *tree) touching(i int32, other int32, p vec) bool {
	e := &t.elems[i]
	s := e.foot(p)
	after, before := e.at(s+min(probe, (e.len-s)/2)), e.at(s-min(probe, s/2))
	if e.len-s <= sharedEnd {
		f := &t.elems[t.next(i)]
		after = f.at(min(probe, f.len/2))
	}
	if s <= sharedEnd {
		f := &t.elems[t.previous(i)]
		before = f.at(f.len - min(probe, f.len/2))
	}
	only := func(l int32) bool { return l == other }
	lp := &t.loops[other]
	for _, q := range [2]vec{after, before} {
		for k := lp.first; k < lp.first+lp.n; k++ {
			if t.elems[k].dist(q) <= meetDistance {
				return false
			}
		}
	}
	return t.crossings(after, only)%2 == t.crossings(before, only)%2
}
