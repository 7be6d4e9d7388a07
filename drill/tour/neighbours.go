package tour

import (
	"math"

	"github.com/paulmach/orb"
)

// near is one candidate neighbour with its cached cost. A cost beyond 32 bits
// is kept as far and computed again where it is needed.
type near struct {
	id   int32
	cost uint32
}

const far = math.MaxUint32

// neighbours holds width candidates a node, nearest first; rows that found
// fewer end with entries of id -1.
type neighbours struct {
	width int
	list  []near
}

func (c *neighbours) of(i int32) []near {
	return c.list[int(i)*c.width : (int(i)+1)*c.width]
}

// cut limits a cost to what near can hold.
func cut(c int64) uint32 { return uint32(min(c, far)) }

const (
	leaf       = 8 // points in a leaf of the box tree
	maxNearest = 24
)

// boxes is a binary tree of bounding boxes over runs of the Hilbert order: a
// packed R-tree that needs no building beyond its boxes. Node 1 is the root,
// node k has the children 2k and 2k+1, leaves start at first.
type boxes struct {
	f     *field
	n     int // nodes of the field that stand somewhere
	first int
	box   [][4]float64 // x0, y0, x1, y1
	norm  norm
}

// norm is what neighbours are ranked by: monotone in the metric, smooth where
// the metric has plateaus, so that ties go to the straighter neighbour.
type norm struct {
	metric *Metric
	kind   kind
	square bool // chebyshev, or a move time with both axes alike
	exact  bool // the cost itself
}

func newNorm(m *Metric) norm {
	s := norm{metric: m, kind: m.kind}
	switch m.kind {
	case chebyshev:
		s.square = true
	case moveTime:
		x, y := m.travel.Axes()
		s.square = x == y
	}
	return s
}

func (s *norm) of(dx, dy float64) float64 {
	switch {
	case s.exact:
		return float64(s.metric.cost(orb.Point{}, orb.Point{dx, dy}))
	case s.square:
		return max(dx, dy) + float64(min(dx, dy)/1024)
	case s.kind == moveTime:
		return float64(s.metric.cost(orb.Point{}, orb.Point{dx, dy})) + float64((dx+dy)/1024)
	}
	return float64(dx*dx) + float64(dy*dy)
}

func newBoxes(f *field) *boxes {
	n := len(f.at)
	if f.free >= 0 {
		n--
	}
	leaves := 1
	for leaves*leaf < n {
		leaves *= 2
	}
	b := &boxes{f: f, n: n, first: leaves, box: make([][4]float64, 2*leaves), norm: newNorm(f.metric)}
	for k := range b.box {
		b.box[k] = [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	}
	for i, q := range f.at[:n] {
		b.grow(leaves+i/leaf, q[0], q[1], q[0], q[1])
	}
	for k := leaves - 1; k >= 1; k-- {
		l, r := b.box[2*k], b.box[2*k+1]
		b.box[k] = [4]float64{min(l[0], r[0]), min(l[1], r[1]), max(l[2], r[2]), max(l[3], r[3])}
	}
	return b
}

func (b *boxes) grow(k int, x0, y0, x1, y1 float64) {
	q := &b.box[k]
	q[0], q[1], q[2], q[3] = min(q[0], x0), min(q[1], y0), max(q[2], x1), max(q[3], y1)
}

// quadrants: half open, so that each point but the origin lies in exactly one.
func quadrant(dx, dy float64) int {
	switch {
	case dx > 0 && dy >= 0:
		return 0
	case dx <= 0 && dy > 0:
		return 1
	case dx < 0 && dy <= 0:
		return 2
	case dy < 0:
		return 3
	}
	return -1
}

// query looks for the nearest nodes to one.
type query struct {
	b    *boxes
	i    int32
	at   orb.Point
	quad int // only this quadrant; -1: all
	skip int32
	want int
	got  int
	id   [maxNearest]int32
	rank [maxNearest]float64
}

// run fills id and rank, nearest first, ties to the lower id.
func (q *query) run(i int32, quad, want int) {
	q.i, q.at, q.quad, q.want, q.got = i, q.b.f.at[i], quad, want, 0
	q.skip = -1
	if q.b.f.mate != nil {
		q.skip = q.b.f.mate[i]
	}
	k := q.b.first + int(i)/leaf
	q.scan(k)
	for k > 1 {
		q.descend(k ^ 1)
		k /= 2
	}
}

// bound is the least rank a node within the box can have.
func (q *query) bound(k int) float64 {
	b := &q.b.box[k]
	dx := max(b[0]-q.at[0], q.at[0]-b[2], 0)
	dy := max(b[1]-q.at[1], q.at[1]-b[3], 0)
	if b[0] > b[2] {
		return math.Inf(1)
	}
	switch q.quad {
	case 0:
		if b[2] <= q.at[0] || b[3] < q.at[1] {
			return math.Inf(1)
		}
	case 1:
		if b[0] > q.at[0] || b[3] <= q.at[1] {
			return math.Inf(1)
		}
	case 2:
		if b[0] >= q.at[0] || b[1] > q.at[1] {
			return math.Inf(1)
		}
	case 3:
		if b[2] < q.at[0] || b[1] >= q.at[1] {
			return math.Inf(1)
		}
	}
	return q.b.norm.of(dx, dy)
}

func (q *query) worst() float64 {
	if q.got < q.want {
		return math.Inf(1)
	}
	return q.rank[q.got-1]
}

func (q *query) descend(k int) {
	r := q.bound(k)
	if r > q.worst() || math.IsInf(r, 1) {
		return
	}
	if k >= q.b.first {
		q.scan(k)
		return
	}
	l, m := 2*k, 2*k+1
	if q.bound(m) < q.bound(l) {
		l, m = m, l
	}
	q.descend(l)
	q.descend(m)
}

func (q *query) scan(k int) {
	lo := (k - q.b.first) * leaf
	hi := min(lo+leaf, q.b.n)
	for j := lo; j < hi; j++ {
		p := q.b.f.at[j]
		dx, dy := p[0]-q.at[0], p[1]-q.at[1]
		if int32(j) == q.i || int32(j) == q.skip || q.quad >= 0 && quadrant(dx, dy) != q.quad {
			continue
		}
		q.insert(int32(j), q.b.norm.of(math.Abs(dx), math.Abs(dy)))
	}
}

func (q *query) insert(j int32, r float64) {
	if q.got == q.want {
		k := q.got - 1
		if r > q.rank[k] || r == q.rank[k] && j > q.id[k] {
			return
		}
		q.got--
	}
	k := q.got
	for k > 0 && (q.rank[k-1] > r || q.rank[k-1] == r && q.id[k-1] > j) {
		q.rank[k], q.id[k] = q.rank[k-1], q.id[k-1]
		k--
	}
	q.rank[k], q.id[k] = r, j
	q.got++
}

// candidates says how many neighbours a node gets: the nearest, and then the
// nearest of each quadrant until each has its share, up to the width.
type candidates struct{ width, nearest, quadrant int }

// findNeighbours collects the candidates of every node. Clusters make the
// nearest alone useless: all of them lie in the node's own cluster, so each
// quadrant has its share (Johnson and McGeoch 1997). The cost is O(n log n).
func findNeighbours(f *field, want candidates, b *budget) neighbours {
	n := len(f.at)
	c := neighbours{width: want.width, list: make([]near, n*want.width)}
	tree := newBoxes(f)
	all := query{b: tree}
	one := query{b: tree}
	scan := want.nearest
	if want.quadrant > 0 {
		scan = min(want.width+6, maxNearest)
	}
	for i := range int32(n) {
		row := c.of(i)
		if i&63 == 0 && b.over() {
			for k := range row {
				row[k].id = -1
			}
			for j := range c.list {
				c.list[j].id = -1
			}
			return c
		}
		got := 0
		if f.free >= 0 {
			if i == f.free {
				f.openRow(row)
				continue
			}
			if f.mate == nil || f.mate[i] != f.free {
				row[0] = near{f.free, 0}
				got = 1
			}
		}
		all.run(i, -1, scan)
		got = tree.choose(&all, &one, want, row, got)
		sortRow(row[:got])
		for k := got; k < len(row); k++ {
			row[k].id = -1
		}
	}
	return c
}

// choose writes the wanted candidates of a node to row.
func (b *boxes) choose(all, one *query, want candidates, row []near, got int) int {
	f := b.f
	add := func(j int32) {
		row[got] = near{j, cut(f.cost(all.i, j))}
		got++
	}
	var have [4]int
	var taken uint32
	var quad [maxNearest]int
	for k := range all.got {
		p := f.at[all.id[k]]
		quad[k] = quadrant(p[0]-all.at[0], p[1]-all.at[1])
		if k < want.nearest && got < len(row) {
			add(all.id[k])
			taken |= 1 << k
			if quad[k] >= 0 {
				have[quad[k]]++
			}
		}
	}
	for q := range 4 {
		for k := want.nearest; k < all.got && have[q] < want.quadrant; k++ {
			if quad[k] == q && got < len(row) {
				add(all.id[k])
				taken |= 1 << k
				have[q]++
			}
		}
		if have[q] >= want.quadrant || got == len(row) || all.got < all.want {
			continue
		}
		one.run(all.i, q, want.quadrant)
		for k := have[q]; k < one.got && got < len(row); k++ {
			add(one.id[k])
			have[q]++
		}
	}
	for k := want.nearest; k < all.got && got < len(row); k++ {
		if taken&(1<<k) == 0 {
			add(all.id[k])
		}
	}
	return got
}

// openRow spreads the open node's candidates over the whole field: it goes
// with every node equally well.
func (f *field) openRow(row []near) {
	n := len(f.at) - 1
	for k := range row {
		row[k].id = -1
	}
	for k := 0; k < len(row) && k < n; k++ {
		row[k] = near{int32(k * n / min(len(row), n)), 0}
	}
}

// sortRow puts the cheapest first and leaves ties in the order they came.
func sortRow(row []near) {
	for k := 1; k < len(row); k++ {
		e := row[k]
		j := k
		for j > 0 && row[j-1].cost > e.cost {
			row[j] = row[j-1]
			j--
		}
		row[j] = e
	}
}
