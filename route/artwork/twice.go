package artwork

import (
	"cmp"
	"math"
	"slices"
)

// Lengths in nanometres within which strokes are one.
const (
	// sameWithin is how far apart two strokes may run and still be one drawn
	// twice: what a file's rounding makes of it.
	sameWithin = 1_000
	// sameFrom is the length from which near strokes count as one; shorter ones
	// may be neighbours in a curve of many.
	sameFrom = 10_000
	// looked bounds how many strokes near a place are looked at.
	looked = 64
	// heap bounds how often on average a stroke is cut where others lie on it.
	heap = 4
)

// identity is what two strokes drawn alike have in common, whatever the way they run.
type identity struct {
	a, b   point
	center point
	turn   int8
}

func (a arc) identity() identity {
	if a.to.less(a.from) || a.full() && a.turn < 0 {
		a = a.reversed()
	}
	id := identity{a: a.from, b: a.to, turn: a.turn}
	if a.turn != 0 {
		id.center = point{int64(math.Round(a.center[0])), int64(math.Round(a.center[1]))}
	}
	return id
}

// dropTwice leaves out strokes drawn twice, whichever way they run, exactly or within
// sameWithin, and returns how many. The first of each stays.
func dropTwice(edges []edge) (kept []edge, dropped []edge) {
	seen := map[identity]int{}
	cells := map[[2]int64][]int32{}
	cell := func(v float64) int64 { return int64(math.Floor(v / (2 * sameWithin))) }
	for _, e := range edges {
		id := e.identity()
		if k, ok := seen[id]; ok {
			kept[k].twice = true
			dropped = append(dropped, e)
			continue
		}
		if e.length() < sameFrom {
			seen[id] = len(kept)
			kept = append(kept, e)
			continue
		}
		x, y := e.middle()
		key := [2]int64{cell(x), cell(y)}
		if k := near(kept, cells, key, e); k >= 0 {
			kept[k].twice = true
			seen[id] = int(k)
			dropped = append(dropped, e)
			continue
		}
		if len(cells[key]) < looked {
			cells[key] = append(cells[key], int32(len(kept)))
		}
		seen[id] = len(kept)
		kept = append(kept, e)
	}
	return kept, dropped
}

// near is the stroke kept before that runs along e all the way, -1 where there is none.
func near(kept []edge, cells map[[2]int64][]int32, key [2]int64, e edge) int32 {
	x, y := e.middle()
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, k := range cells[[2]int64{key[0] + dx, key[1] + dy}] {
				f := kept[k]
				fx, fy := f.middle()
				if length(fx-x, fy-y) > sameWithin {
					continue
				}
				if e.full() && f.full() {
					if math.Abs(e.radius(e.from)-f.radius(f.from)) <= sameWithin &&
						length(e.center[0]-f.center[0], e.center[1]-f.center[1]) <= sameWithin {
						return k
					}
					continue
				}
				if f.from.distance(e.from) <= sameWithin && f.to.distance(e.to) <= sameWithin ||
					f.from.distance(e.to) <= sameWithin && f.to.distance(e.from) <= sameWithin {
					return k
				}
			}
		}
	}
	return -1
}

// splitOverlaps cuts strokes where the end of another one lies on them that runs
// along them, so that the common part is two equal strokes; false where strokes
// lie in such heaps that it would never end.
func splitOverlaps(edges []edge) ([]edge, bool) {
	boxes := make([]rect, len(edges))
	for i, e := range edges {
		boxes[i] = e.box()
	}
	tree := newBoxTree(boxes)
	cuts := map[int32][]point{}
	total := 0
	for i := range edges {
		e := &edges[i]
		if e.full() {
			continue
		}
		for _, p := range [2]point{e.from, e.to} {
			n := 0
			at := nowhere().add(float64(p[0]), float64(p[1])).grow(sameWithin)
			tree.each(at, func(k int32) bool {
				n++
				if int(k) != i && alongside(e.arc, edges[k].arc, p) {
					cuts[k] = append(cuts[k], p)
					total++
				}
				return n < looked
			})
		}
	}
	if total > heap*len(edges)+1000 {
		return nil, false
	}
	if len(cuts) == 0 {
		return edges, true
	}
	out := make([]edge, 0, len(edges)+len(cuts))
	for i, e := range edges {
		out = append(out, cutAt(e, cuts[int32(i)])...)
	}
	return out, true
}

// alongside reports whether the end p of e lies inside s, and e runs along s.
func alongside(e, s arc, p point) bool {
	if (e.turn == 0) != (s.turn == 0) || s.distance(p) > sameWithin {
		return false
	}
	if !s.full() && min(p.distance(s.from), p.distance(s.to)) <= sameWithin {
		return false
	}
	if e.turn != 0 {
		if length(e.center[0]-s.center[0], e.center[1]-s.center[1]) > 2*sameWithin {
			return false
		}
	}
	// A second common point well away from p: the other end of e, or an end of s.
	other := e.to
	if p == e.to {
		other = e.from
	}
	if other.distance(p) > 2*sameWithin && s.distance(other) <= sameWithin {
		return true
	}
	if s.full() {
		return e.length() > 2*sameWithin
	}
	for _, q := range [2]point{s.from, s.to} {
		if q.distance(p) > 2*sameWithin && e.distance(q) <= sameWithin {
			return true
		}
	}
	return false
}

// cutAt cuts an edge at points near it.
func cutAt(e edge, points []point) []edge {
	if len(points) == 0 {
		return []edge{e}
	}
	along := func(p point) float64 {
		if e.turn == 0 {
			return p.distance(e.from)
		}
		part := e.arc
		part.to = p
		if part.from == p {
			return 0
		}
		return part.sweep()
	}
	slices.SortFunc(points, func(p, q point) int {
		return cmp.Or(cmp.Compare(math.Round(along(p)*1e3), math.Round(along(q)*1e3)), cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]))
	})
	if e.full() {
		points = append(points, points[0])
		e.from = points[0]
		points = slices.Clone(points[1:])
		points = points[:len(points)-1]
		e.to = e.from
	}
	var out []edge
	rest := e
	for _, p := range points {
		if p.distance(rest.from) <= sameWithin || !e.full() && p.distance(e.to) <= sameWithin {
			continue
		}
		part := rest
		part.to = p
		out = append(out, part)
		rest.from = p
	}
	return append(out, rest)
}
