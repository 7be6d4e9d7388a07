package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// A Place is a stretch of a contour that the cutter cannot touch.
type Place struct {
	// At is the middle of the stretch, a point of the contour, mm.
	At orb.Point
	// Size is the length of the stretch along the contour, mm.
	Size float64
	// Contour is the index of the contour in its region: where two touch, At
	// alone does not tell.
	Contour int
}

// Offsets is what [Offset] returns.
type Offsets struct {
	// Loops are closed, free of crossings and run with the offset region on
	// their left: outer loops counter-clockwise, loops around holes clockwise.
	// They are sorted by the first contour and move of the region that each of
	// them follows, and start there.
	Loops []Contour
	// Unreachable lists, along each contour in turn, where a cutter that
	// runs along the loops leaves more than a micrometre of material standing:
	// inside corners sharper than the cutter, necks it does not fit into,
	// contours lost altogether.
	Unreachable []Place
}

// Offset moves the boundary of a region by distance mm: outwards when distance is
// positive, so that the region grows and its holes shrink, inwards when it is
// negative. Every point of the result is that far from the nearest point of the
// region's boundary, and every such point on that side is in the result.
//
// The region is what lies inside an odd number of the contours, whatever their
// sense: outlines and the cut-outs in them, in any order. Contours may touch in
// single points but not cross, see [ValidateRegion]; its errors come back as they
// are, ErrNotFinite and ErrRange also for the distance. A distance of 0
// gives the contours back, turned so that the region is on their left.
//
// Lines give lines and arcs give arcs about the same centre, of radius R + d or
// R - d; an arc that would get no radius vanishes. Around corners that point the
// way the boundary moves runs an arc about the corner. A channel exactly as wide
// as the cutter, one whose centre line would be a loop of no width, is closed:
// nothing is cut there and it is listed as unreachable. Loops shorter than
// 0.1 um are left out and arcs shorter than that become lines. The loops lie within 1e-6 mm of the true
// offset wherever they are longer than that, and within 1e-9 mm in general.
//
// The cost is near O(n log n) for n moves; it grows by the number of contours'
// stretches that lie within the distance of each other.
//
// Where pieces cannot be joined even after nudging the distance by some
// nanometres, the error wraps ErrUnresolved and names the place.
func Offset(region []Contour, distance float64) (Offsets, error) {
	if err := checkDistance(distance); err != nil {
		return Offsets{}, err
	}
	t, turn, origin, err := check(region, true)
	if err != nil {
		return Offsets{}, err
	}
	t, flipped := t.orient()
	if flipped {
		turn = t.turns()
	}
	if distance == 0 {
		return Offsets{Loops: asGiven(region, t)}, nil
	}
	o := newOffsetter(region, t, turn, origin, distance)
	for _, nudge := range nudges {
		if err = o.run(nudge); err == nil {
			return Offsets{Loops: o.contours(), Unreachable: o.unreachable()}, nil
		}
	}
	return Offsets{}, err
}

// nudges are added to the distance in turn until all pieces join, mm. More than
// two pieces meeting in one point by chance of rounding do not meet there any
// more a few picometres further; no nudge is anywhere near a micrometre.
var nudges = [...]float64{0, 3.1e-9, -4.7e-9, 2.3e-8, -3.7e-8, 1.9e-7, -2.9e-7}

// asGiven returns a region's contours turned so that the region is on their left.
func asGiven(region []Contour, t *tree) []Contour {
	out := make([]Contour, len(region))
	for _, lp := range t.loops {
		c := region[lp.index]
		out[lp.index] = Contour{Start: c.Start, Moves: append([]Move(nil), c.Moves...)}
		if lp.flipped {
			out[lp.index] = c.Reverse()
		}
	}
	return out
}

// orient turns the loops of a checked region so that the region lies on their
// left, and returns a tree over them and whether that took any change.
func (t *tree) orient() (oriented *tree, changed bool) {
	for l := range t.loops {
		lp := &t.loops[l]
		ccw := area(t.elems[lp.first:lp.first+lp.n]) > 0
		inside := len(t.loops) > 1 && t.crossings(t.freePoint(int32(l)), func(o int32) bool { return o != int32(l) })%2 == 1
		lp.flipped = ccw == inside
		changed = changed || lp.flipped
	}
	if !changed {
		return t, false
	}
	// Only now: the boxes of the tree hold for the elements as they stood.
	for _, lp := range t.loops {
		es := t.elems[lp.first : lp.first+lp.n]
		for i, j := 0, len(es)-1; lp.flipped && i <= j; i, j = i+1, j-1 {
			es[i], es[j] = es[j].reversed(), es[i].reversed()
		}
	}
	n := newTree(t.elems, t.loops)
	n.touch = t.touch
	return n, true
}

// freePoint is a point of a loop that no other loop touches: they may touch at
// single points only, which are looked for among the first elements' middles.
func (t *tree) freePoint(l int32) vec {
	lp := &t.loops[l]
	p := t.elems[lp.first].at(t.elems[lp.first].len / 2)
	for i := lp.first; i < lp.first+min(lp.n, 16); i++ {
		e := &t.elems[i]
		for _, part := range [3]float64{0.5, 0.3, 0.8} {
			q := e.at(e.len * part)
			free := true
			t.within(box{q.x, q.y, q.x, q.y}, probe/10, func(n *node) bool {
				if n.loop != l || n.child >= 0 {
					for j := n.first; j <= n.last && n.child < 0; j++ {
						free = free && t.elems[j].dist(q) > probe/10
					}
				}
				return true
			})
			if free {
				return q
			}
		}
	}
	return p
}

// within calls visit for every node whose box comes within d of b, parents before
// children; where visit returns false the children are left out.
func (t *tree) within(b box, d float64, visit func(n *node) bool) {
	if t.root < 0 {
		return
	}
	d2 := d * d
	stack := append(make([]int32, 0, 64), t.root)
	for len(stack) > 0 {
		n := &t.nodes[stack[len(stack)-1]]
		stack = stack[:len(stack)-1]
		if n.box.apart2(&b) > d2 || !visit(n) {
			continue
		}
		for k := n.child + n.children - 1; n.child >= 0 && k >= n.child; k-- {
			stack = append(stack, k)
		}
	}
}

// An offsetter holds the state of one offset.
type offsetter struct {
	region []Contour
	t      *tree
	origin vec
	side   float64 // +1 to offset to the left, -1 to the right
	path   bool    // an open contour, whose offset has ends

	reach0 float64 // |distance| as asked
	cover  float64 // what comes nearer than this to an element is cut away
	raw    float64 // how far from their elements the pieces run, a little further

	turn  []float64 // at the start of each element, see tree.turns
	trim  []float64 // what two raw pieces lose to each other at a concave vertex there
	joint []joint   // the same vertices' kinds
	reach []int32   // certified runs

	frags []frag
	next  []int32 // the fragment after each one, -1 for none
	loops [][]int32

	work scratch
}

// A joint tells how the raw pieces of an element and of the one before it meet.
type joint uint8

const (
	jointConcave joint = iota // they cross, or miss each other
	jointSmooth               // one ends where the other starts
	jointConvex               // an arc about the vertex joins them
)

// shortest is the length in mm below which no move is made, 0.1 um: an arc that
// short is nothing a control could run, and vertex arcs get it from any rounding.
const shortest = 1e-4

// flatTurn is the turn below which two raw pieces are joined directly, radians.
// Their ends meet on the bisector, r a2/8 beside the vertex arc left out: that stays
// below a tenth of a nanometre, or the arc is shorter than the shortest move.
func (o *offsetter) flatTurn() float64 {
	return min(max(math.Sqrt(8*1e-7/o.reach0), shortest/o.reach0), 0.01)
}

// halfTan is tan(a/2), by its series where that is exact to 1e-17.
func halfTan(a float64) float64 {
	if a < 0.01 {
		h := a / 2
		q := h * h
		return h * (1 + q/3*(1+q*0.4))
	}
	return math.Tan(a / 2)
}

func newOffsetter(region []Contour, t *tree, turn []float64, origin vec, distance float64) *offsetter {
	o := &offsetter{region: region, t: t, origin: origin, side: 1, reach0: math.Abs(distance), turn: turn}
	if distance > 0 {
		o.side = -1
	}
	o.joint = make([]joint, len(t.elems))
	o.trim = make([]float64, len(t.elems))
	flat := o.flatTurn()
	for i, a := range o.turn {
		switch {
		case math.Abs(a) < flat:
			o.joint[i] = jointSmooth
		case a*o.side < 0:
			o.joint[i] = jointConvex
		}
		// Below 0 at a smooth joint that opens: lines run on to the bisector, so
		// that no gap is left between them where another piece may end.
		if a *= o.side; a > 0 || o.joint[i] == jointSmooth {
			o.trim[i] = o.reach0 * halfTan(a)
		}
	}
	o.reach = o.certify()
	return o
}

// certify finds runs of elements that cannot cut away each other's raw pieces, so
// that only elements of different runs need to be compared.
//
// Take a smooth curve g(s) with unit tangent T, normal n and curvature k towards
// the offset, all tangents within a quarter turn of each other and 1 - k r >= 0.
// Let q = g(s) + r n(s) and f(u) = |q - g(u)|2. With g(u) + r n(u) the offset's
// own point at u, whose derivative is (1 - k r) T,
//
//	f'(u) = -2 (q - g(u)).T(u) = -2 T(u) . integral from u to s of (1 - k r) T,
//
// which is at most 0 for u < s and at least 0 for u > s, since T(u).T >= 0. So g(s)
// is the point of the curve nearest to q, at distance r. A concave corner counts
// as its fillet of radius r: the pieces are trimmed to where they cross, which
// 1 - k r >= 0 says they reach, and the corner lies behind the fillet.
func (o *offsetter) certify() []int32 {
	t := o.t
	good := make([]bool, len(t.elems))
	for i := range t.elems {
		e := &t.elems[i]
		if e.turn != 0 {
			good[i] = e.r-o.side*float64(e.turn)*o.reach0 > shortest
			continue
		}
		n := t.next(int32(i))
		good[i] = e.len-o.trim[i]-o.trim[n] > fragNoise
	}
	return t.runs(o.turn, math.Pi/2-1e-6, func(i, next int32) bool {
		if !good[i] || !good[next] {
			return false
		}
		return o.joint[next] != jointConcave || (t.elems[i].turn == 0 && t.elems[next].turn == 0)
	})
}
