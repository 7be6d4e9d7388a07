package artwork

import "math"

// Bounds for what is taken as lettering, nm.
const (
	// letter is the largest side of one.
	letter = 12e6
	// letterLoop is the largest side of a closed part of one.
	letterLoop = 5e6
	// letterGap is how far apart letters stand, in parts of their size.
	letterGap = 0.8
	// letters is the least number of parts that stand together.
	letters = 3
)

// findText marks what looks like lettering: three or more small parts close
// together and of like size, two at least of them open. Closed parts of it are
// taken out of the loops, but never circles, rectangles and slots with round ends, which
// are cut-outs even where strokes stand about them.
func (m *maker) findText() {
	type part struct {
		box  rect
		loop bool
		i    int
	}
	var parts []part
	for i := range m.pieces {
		if p := &m.pieces[i]; p.box.size() <= letter {
			parts = append(parts, part{p.box, false, i})
		}
	}
	for i := range m.loops {
		if l := &m.loops[i]; l.box.size() <= letterLoop && !l.plain() {
			parts = append(parts, part{l.box, true, i})
		}
	}
	if len(parts) < letters {
		return
	}
	boxes := make([]rect, len(parts))
	for i, p := range parts {
		boxes[i] = p.box.grow(max(p.box.size(), 5e5) * letterGap / 2)
	}
	into := make([]int, len(parts))
	for i := range into {
		into[i] = i
	}
	root := func(i int) int {
		for into[i] != i {
			into[i] = into[into[i]]
			i = into[i]
		}
		return i
	}
	tree := newBoxTree(boxes)
	for i, p := range parts {
		n := 0
		tree.each(boxes[i], func(k int32) bool {
			n++
			a, b := max(p.box.size(), 5e5), max(parts[k].box.size(), 5e5)
			if max(a, b) <= 4*min(a, b) {
				x, y := root(i), root(int(k))
				into[max(x, y)] = min(x, y)
			}
			return n < looked
		})
	}
	all, open := make([]int, len(parts)), make([]int, len(parts))
	for i, p := range parts {
		all[root(i)]++
		if !p.loop {
			open[root(i)]++
		}
	}
	drop := map[int]bool{}
	for i, p := range parts {
		r := root(i)
		if all[r] < letters || open[r] < 2 || 3*open[r] < all[r] {
			continue
		}
		if p.loop {
			drop[p.i] = true
		} else {
			m.pieces[p.i].text = true
		}
	}
	kept := m.loops[:0]
	for i, l := range m.loops {
		if drop[i] {
			m.item(Item{Kind: KindText, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(&l)}, "text", "a closed contour among letters is taken for one")
			continue
		}
		kept = append(kept, l)
	}
	m.loops = kept
}

// plain reports whether a loop is a circle, a rectangle or a slot with round ends.
func (l *loop) plain() bool {
	if l.circle {
		return true
	}
	w, h := l.box.width()/1e6, l.box.height()/1e6
	near := func(a, b float64) bool { return math.Abs(a-b) <= 0.02*b }
	short := min(w, h)
	return near(l.area, w*h) || near(l.area, w*h-(1-math.Pi/4)*short*short)
}
