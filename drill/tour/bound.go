package tour

import "math"

// DefaultBoundNodes is how many nodes are bounded by 1-trees when
// Options.BoundNodes is zero.
const DefaultBoundNodes = 20000

// bound proves how long a ring has to be at least, in cost units.
//
// Penalties on the nodes change the length of every ring by the same amount but
// not the length of a 1-tree; an ascent looks for penalties under which the
// shortest 1-tree is nearly a ring (Held and Karp 1970, and The traveling-
// salesman problem and minimum spanning trees II, Mathematical Programming 1,
// 1971). The ascent works on a sparse graph, where a 1-tree may be too long to
// be a bound; what counts is the 1-tree of the complete graph under the best
// penalties. Edges of that tree which the sparse graph lacks join it for
// another round. Penalties and scaled costs are whole numbers, so nothing is
// lost to rounding, and since every ring has a whole length the bound is
// rounded up.
func (s *solver) bound(nodes int, tour []int32, length int64) int64 {
	n := len(s.at)
	if nodes == 0 {
		nodes = DefaultBoundNodes
	}
	b := &budget{ctx: s.ctx, now: s.now}
	if n > nodes || n < 4 {
		v, ok := s.nearestBound(b)
		if !ok {
			s.stopped = Cancelled
		}
		return max(v-s.slack(), 0)
	}
	a := newAscent(&s.field, tour, length)
	proven := int64(0)
	for round := range ascentRounds {
		g := newGraph(&s.field, s.near, a.extra, a.scale)
		steps := ascentSteps(n)
		if round > 0 {
			steps /= 4
		}
		if !a.climb(g, steps, b) {
			break
		}
		var ok bool
		if a.extra, ok = a.tree.dense(a.best, a.extra, b); !ok {
			break
		}
		proven = max(proven, ceilDiv(a.tree.weight, a.scale))
		if proven >= length || a.tree.weight >= a.top-a.top/20000 {
			break // the sparse graph had all that mattered
		}
		a.top = a.tree.weight
	}
	if b.done == Cancelled {
		s.stopped = Cancelled
	}
	return min(max(proven-s.slack(), 0), length)
}

// slack is what joining items at one place to a node may have added to the
// optimum: passing by an item's place costs nothing under the triangle
// inequality, which rounding breaks by a unit and an overlap by its excess over
// the settle time.
func (e *encoding) slack() int64 {
	var joined int64
	for _, t := range e.twins {
		if t >= 0 {
			joined++
		}
	}
	each := int64(1)
	switch e.metric.kind {
	case ceiling:
		each = 0
	case moveTime:
		each += int64(max(e.metric.travel.Overlap()-e.metric.travel.Settle(), 0))
	}
	return joined * each
}

// The ascent begins with long steps and much of the last direction in each:
// clusters need penalties that move together, far, before their 1-trees are
// tied to each other twice.
const (
	ascentRounds = 3
	ascentWork   = 4_500_000 // nodes times steps of the first round
	ascentRate   = 10.0      // first step, in steps of Polyak's
	ascentDrift  = 0.95      // share of the last direction
	ascentStall  = 60        // steps without gain that shorten the steps
)

// ascentSteps is the number of steps for n nodes.
func ascentSteps(n int) int { return min(max(ascentWork/n, 400), 6000) }

func ceilDiv(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

// ascent is a search for penalties.
type ascent struct {
	f     *field
	scale int64
	goal  int64 // scaled length of a ring: no 1-tree bound is above
	tree  *oneTree
	pi    []int64
	best  []int64 // penalties of the best bound on the sparse graph
	top   int64   // that bound, scaled
	extra []arc
	drift []float64
}

func newAscent(f *field, tour []int32, length int64) *ascent {
	n := len(tour)
	// Penalties are finer than a millionth of a mean edge.
	a := &ascent{f: f, scale: 1_000_000/(length/int64(n)+1) + 1, top: math.MinInt64}
	a.goal = a.scale * length
	a.tree = newOneTree(f, a.scale)
	a.pi, a.best = make([]int64, n), make([]int64, n)
	a.drift = make([]float64, n)
	for p, v := range tour {
		a.extra = append(a.extra, arc{v, tour[wrap(p+1, n)]})
	}
	return a
}

// climb makes steps of subgradient ascent from the best penalties so far. The
// step follows B. T. Polyak, Minimization of unsmooth functionals, USSR
// Computational Mathematics 9, 1969, towards the length of the tour; the
// direction keeps part of the last one.
func (a *ascent) climb(g *graph, steps int, b *budget) bool {
	copy(a.pi, a.best)
	clear(a.drift)
	rate, stall := ascentRate, 0
	if a.top > math.MinInt64 {
		rate = 1
	}
	a.top = math.MinInt64
	for range steps {
		if b.over() {
			return false
		}
		a.tree.sparse(g, a.pi)
		if w := a.tree.weight; w > a.top {
			a.top = w
			copy(a.best, a.pi)
			stall = 0
		} else if stall++; stall >= ascentStall {
			rate *= 0.7
			stall = 0
		}
		var norm float64
		for _, d := range a.tree.degree {
			norm += float64((d - 2) * (d - 2))
		}
		if norm == 0 || a.tree.weight >= a.goal || rate < 1e-3 {
			break
		}
		step := float64(rate*float64(a.goal-a.tree.weight)) / norm
		for i, d := range a.tree.degree {
			a.drift[i] = float64((1-ascentDrift)*float64(d-2)) + float64(ascentDrift*a.drift[i])
			a.pi[i] += int64(math.Round(float64(step * a.drift[i])))
		}
	}
	return true
}

// nearestBound is half the sum, over all nodes, of the costs to the two nearest
// others: cheap, valid for every metric and far weaker than 1-trees.
func (s *solver) nearestBound(b *budget) (int64, bool) {
	tree := newBoxes(&s.field)
	tree.norm.exact = true
	q := query{b: tree}
	var twice int64
	for i := range int32(tree.n) {
		if i&255 == 0 && b.over() {
			return 0, false
		}
		want := 2
		if s.mate != nil && s.mate[i] >= 0 {
			want = 1
		}
		if s.free >= 0 {
			want--
		}
		if want <= 0 {
			continue
		}
		q.run(i, -1, want)
		for _, j := range q.id[:q.got] {
			twice += s.cost(i, j)
		}
	}
	return ceilDiv(twice, 2), true
}
