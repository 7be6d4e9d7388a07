package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// An Index answers many questions about one set of contours, each in about
// O(log n) for n moves spread over the plane. It keeps its own copy. The zero
// Index holds nothing. Queries may run concurrently.
type Index struct {
	t      *tree
	origin vec
	places [][]float64 // length along the contour at the start of each element
}

// NewIndex indexes contours, open or closed. They should pass
// [Contour.Validate]; crossings do not matter. O(n log n).
func NewIndex(contours []Contour) *Index {
	origin := middleOf(contours)
	x := &Index{t: newTree(newRegion(contours, origin)), origin: origin}
	x.places = make([][]float64, len(x.t.loops))
	for l, lp := range x.t.loops {
		x.places[l] = make([]float64, lp.n)
		var s float64
		for i := range lp.n {
			x.places[l][i] = s
			s += x.t.elems[lp.first+i].len
		}
	}
	return x
}

// A Foot is the point of a set of contours that lies nearest to a given point.
type Foot struct {
	// Contour is the index of the contour, -1 when there is none.
	Contour int
	// Move is the index of the move that holds the foot.
	Move int
	// Along is the length along the contour at the foot, mm.
	Along float64
	// At is the foot, mm.
	At orb.Point
	// Distance from the point to the foot, mm.
	Distance float64
}

// Nearest returns the point of the contours nearest to p, in mm. Of several at one
// distance it gives any, always the same one; none where p is not finite.
func (x *Index) Nearest(p orb.Point) Foot {
	q, i, d := vec{}, int32(-1), 0.0
	if x.t != nil {
		q = toVec(p).sub(x.origin)
		i, d = x.t.nearest(q)
	}
	if i < 0 {
		return Foot{Contour: -1, Move: -1}
	}
	lp := &x.t.loops[x.t.owner[i]]
	e := &x.t.elems[i]
	s := e.foot(q)
	return Foot{
		Contour:  int(lp.index),
		Move:     int(e.move),
		Along:    x.places[x.t.owner[i]][i-lp.first] + s,
		At:       e.at(s).add(x.origin).point(),
		Distance: d,
	}
}

// Distance returns the distance from p to the nearest contour, mm; +Inf when
// there is none.
func (x *Index) Distance(p orb.Point) float64 {
	if x.t == nil {
		return (&tree{root: -1}).distance(vec{})
	}
	return x.t.distance(toVec(p).sub(x.origin))
}

func (t *tree) distance(p vec) float64 {
	_, d := t.nearest(p)
	return d
}

// Contains reports whether p, in mm, lies in the region that the closed contours bound:
// inside an odd number of them. A point on a contour may go either way.
func (x *Index) Contains(p orb.Point) bool {
	if x.t == nil {
		return false
	}
	closed := func(l int32) bool { return x.t.loops[l].closed }
	return x.t.crossings(toVec(p).sub(x.origin), closed)%2 == 1
}

// middleOf is a whole millimetre near the middle of the contours' bound. Taking
// it off keeps later sums and products small without touching the grid that the
// coordinates lie on.
func middleOf(contours []Contour) vec {
	b := noBox
	for _, c := range contours {
		o := c.Bound()
		b = b.union(box{o.Min[0], o.Min[1], o.Max[0], o.Max[1]})
	}
	m := vec{math.Round((b.x0 + b.x1) / 2), math.Round((b.y0 + b.y1) / 2)}
	if len(contours) == 0 || !m.inRange() {
		return vec{}
	}
	return m
}
