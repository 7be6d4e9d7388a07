package route

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// span is a piece, or a part of an arc, that runs one way in y.
type span struct {
	lo, hi float64 // mm, y
	a, b   orb.Point
	c      orb.Point
	r      float64 // 0: a line
	side   float64 // arcs: +1 right of the centre, -1 left
	owner  int32
}

// monotone fills spans; the inside tests need it, and [edges.sortSpans] makes them
// quick.
func (e *edges) monotone() {
	for i := range e.pieces {
		p := &e.pieces[i]
		if p.turn == 0 {
			e.addSpan(span{a: p.a, b: p.b, owner: e.owner[i]}, p.a[1], p.b[1])
			continue
		}
		// Cut where the arc is highest and lowest: at those angles.
		cuts := []float64{0}
		for _, top := range [2]float64{math.Pi / 2, -math.Pi / 2} {
			if t := positive(float64(p.turn) * (top - p.from)); t < p.sweep {
				cuts = append(cuts, t)
			}
		}
		cuts = append(cuts, p.sweep)
		if len(cuts) == 4 && cuts[1] > cuts[2] {
			cuts[1], cuts[2] = cuts[2], cuts[1]
		}
		for k := 1; k < len(cuts); k++ {
			mid := p.from + float64(float64(p.turn)*(cuts[k-1]+cuts[k])/2)
			s := span{c: p.c, r: p.r, side: 1, owner: e.owner[i]}
			if math.Cos(mid) < 0 {
				s.side = -1
			}
			e.addSpan(s, p.height(cuts[k-1], k == 1), p.height(cuts[k], k == len(cuts)-1))
		}
	}
}

// height is the y of the arc at an angle past its start: exact at its ends and
// at its extremes, which is all it is asked for.
func (p *piece) height(t float64, end bool) float64 {
	switch {
	case end && t == 0:
		return p.a[1]
	case end:
		return p.b[1]
	case math.Sin(p.from+float64(float64(p.turn)*t)) > 0:
		return p.c[1] + p.r
	}
	return p.c[1] - p.r
}

// addSpan keeps what runs from one height to another, level pieces excepted.
func (e *edges) addSpan(s span, y0, y1 float64) {
	s.lo, s.hi = min(y0, y1), max(y0, y1)
	if s.lo < s.hi {
		e.spans = append(e.spans, s)
	}
}

// maxRows bounds the rows that spans are sorted into.
const maxRows = 1 << 16

// sortSpans puts spans into rows about as high as they are, so that a row holds few
// that a level line in it does not meet.
func (e *edges) sortSpans() {
	if len(e.spans) == 0 {
		return
	}
	total, top := 0.0, math.Inf(-1)
	e.low = math.Inf(1)
	for _, s := range e.spans {
		total += s.hi - s.lo
		e.low, top = min(e.low, s.lo), max(top, s.hi)
	}
	e.row = max(min(2, total/float64(len(e.spans))), (top-e.low)/maxRows)
	e.rows = make([][]int32, int((top-e.low)/e.row)+1)
	for i := range e.spans {
		for y := e.rowOf(e.spans[i].lo); y <= e.rowOf(e.spans[i].hi); y++ {
			e.rows[y] = append(e.rows[y], int32(i))
		}
	}
}

func (e *edges) rowOf(y float64) int {
	return int(min(max((y-e.low)/e.row, 0), float64(len(e.rows)-1)))
}

// crossings counts, by owner, how often the ray from q to the right meets the
// set; visit gets each owner met. An odd count of a closed contour means that
// q lies inside it. Lower ends count, upper ends do not.
func (e *edges) crossings(q orb.Point, visit func(owner int32)) {
	if e.rows == nil {
		for i := range e.spans {
			e.spans[i].cross(q, visit)
		}
		return
	}
	for _, i := range e.rows[e.rowOf(q[1])] {
		e.spans[i].cross(q, visit)
	}
}

// cross visits the span's owner where the ray from q to the right meets it.
func (s *span) cross(q orb.Point, visit func(owner int32)) {
	if q[1] < s.lo || q[1] >= s.hi {
		return
	}
	var x float64
	if s.r == 0 {
		x = s.a[0] + float64((s.b[0]-s.a[0])*((q[1]-s.a[1])/(s.b[1]-s.a[1])))
	} else {
		dy := q[1] - s.c[1]
		x = s.c[0] + float64(s.side*math.Sqrt(max(0, float64(s.r*s.r)-float64(dy*dy))))
	}
	if x > q[0] {
		visit(s.owner)
	}
}

// within tells whether q lies inside a closed contour of an owner that keep
// says so of; contours of one owner must not lie in each other.
func (e *edges) within(q orb.Point, keep func(owner int32) bool) bool {
	var buf [16]int32
	odd := buf[:0] // owners met an odd number of times so far: few at any place
	e.crossings(q, func(owner int32) {
		if !keep(owner) {
			return
		}
		if k := slices.Index(odd, owner); k >= 0 {
			odd[k] = odd[len(odd)-1]
			odd = odd[:len(odd)-1]
			return
		}
		odd = append(odd, owner)
	})
	return len(odd) > 0
}
