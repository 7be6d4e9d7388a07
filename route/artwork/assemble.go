package artwork

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// loop is a closed contour that is drawn.
type loop struct {
	line   contour.Contour // counter-clockwise
	area   float64         // mm2, positive
	box    rect            // nm
	edges  []edge          // it is made of
	gap    float64         // the widest that was bridged, nm
	gapAt  point           // one of its ends
	err    error           // what keeps it from being a contour
	filled bool            // a region's
	clear  bool            // a clear region's
	stroke int32           // the first of its strokes, or the region's number where filled
	circle bool
}

// width is the least stroke width of the loop, mm.
func (l *loop) width() float64 {
	w := math.Inf(1)
	for _, e := range l.edges {
		w = min(w, e.width)
	}
	return w
}

// recentre is how far a centre may move when an arc's end moves to where it meets
// its neighbour, nm; beyond it the arc stays and a short line leads to it.
const recentre = 2_000

// bridging is how a gap between two strokes is closed.
type bridging int

const (
	// bridgeMeet lets two lines run on, or stop short, to where they meet, if
	// that is within the tolerance of both ends; all else gets a short line.
	bridgeMeet bridging = iota
	// bridgeMiddle moves both ends to the point midway.
	bridgeMiddle
)

// assemble makes a contour of a closed walk.
//
// Ends within 1 um meet at their node. A wider gap between two lines is closed
// where they meet, if that is within the tolerance of both ends; every other gap
// by a short line, so that strokes stay as they are drawn. Only where that would
// make the contour cross itself do both ends move to the point midway.
func (g *graph) assemble(walk []half, joins []float64) loop {
	l := g.chain(walk, joins, bridgeMeet)
	if l.err != nil && l.gap > 0 {
		if m := g.chain(walk, joins, bridgeMiddle); m.err == nil {
			return m
		}
	}
	return l
}

func (g *graph) chain(walk []half, joins []float64, how bridging) loop {
	l := loop{stroke: math.MaxInt32}
	n := len(walk)
	arcs := make([]arc, n)
	for i, h := range walk {
		arcs[i] = g.run(h)
		e := g.edges[h.edge]
		l.edges = append(l.edges, e)
		l.stroke = min(l.stroke, e.stroke)
	}
	meet := make([]*point, n) // where arc i ends and i+1 begins; nil: a short line
	for i, h := range walk {
		k := (i + 1) % n
		p, q := arcs[i].to, arcs[k].from
		a := g.node[h.edge][side(!h.back)]
		b := g.node[walk[k].edge][side(walk[k].back)]
		switch {
		case p == q:
			meet[i] = &p
		case a == b:
			at := g.at[a]
			meet[i] = &at
		default:
			d := p.distance(q)
			if d > l.gap {
				l.gap, l.gapAt = d, p
			}
			meet[i] = bridge(arcs[i], arcs[k], needed(joins, d), how)
		}
	}
	var out contour.Contour
	var at point
	started := false
	line := func(p point) {
		if !started {
			out.Start, at, started = p.orb(), p, true
		} else if p != at {
			out.Moves = append(out.Moves, contour.Move{To: p.orb()})
			at = p
		}
	}
	for i, a := range arcs {
		from, to := meet[(i+n-1)%n], meet[i]
		b := a
		if from != nil {
			b.from = *from
		}
		if to != nil {
			b.to = *to
		}
		if a.turn == 0 || a.from != a.to && b.from == b.to {
			line(b.from)
			line(b.to)
			continue
		}
		b = a.refitted(b, how)
		if from != nil {
			line(*from)
		}
		line(b.from)
		out.Moves = append(out.Moves, contour.Move{To: b.to.orb(), Center: orb.Point{b.center[0] / 1e6, b.center[1] / 1e6}, Turn: b.turn})
		at = b.to
		if to != nil {
			line(*to)
		}
	}
	if len(out.Moves) > 0 && !out.Closed() {
		out.Moves = append(out.Moves, contour.Move{To: out.Start})
	}
	l.line = out
	l.finish()
	return l
}

// refitted is the arc with the ends of b where its centre can follow, else as it is.
func (a arc) refitted(b arc, how bridging) arc {
	if b.from == a.from && b.to == a.to {
		return a
	}
	b.center = b.fitted()
	limit := float64(recentre)
	if how == bridgeMiddle {
		limit = 100 * recentre
	}
	if length(b.center[0]-a.center[0], b.center[1]-a.center[1]) > limit || math.Abs(b.sweep()-a.sweep()) > 0.5 {
		return a
	}
	return b
}

// finish turns the loop counter-clockwise, measures and validates it.
func (l *loop) finish() {
	l.err = l.line.Validate()
	l.area = l.line.Area()
	if l.area < 0 {
		l.area = -l.area
		l.line = l.line.Reverse()
	}
	b := l.line.Bound()
	l.box = rect{b.Min[0] * 1e6, b.Min[1] * 1e6, b.Max[0] * 1e6, b.Max[1] * 1e6}
}

// bridge is where the end of a and the start of b are brought together, nil for a
// short line between them.
func bridge(a, b arc, within float64, how bridging) *point {
	p, q := a.to, b.from
	if how == bridgeMiddle {
		return &point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
	}
	if a.turn != 0 || b.turn != 0 {
		return nil
	}
	ux, uy := a.heading()
	wx, wy := b.heading()
	cross := float64(ux*wy) - float64(uy*wx)
	if math.Abs(cross) < 1e-3 {
		return nil // too nearly parallel to meet in a place of their own
	}
	dx, dy := float64(q[0]-p[0]), float64(q[1]-p[1])
	s := (float64(dx*wy) - float64(dy*wx)) / cross
	x, y := float64(p[0])+float64(s*ux), float64(p[1])+float64(s*uy)
	at := point{int64(math.Round(x)), int64(math.Round(y))}
	if at.distance(p) > within || at.distance(q) > within {
		return nil
	}
	return &at
}

// circleLoop is the loop of a whole circle.
func circleLoop(e edge) loop {
	l := loop{stroke: e.stroke, edges: []edge{e}, circle: true}
	l.line = contour.Contour{Start: e.from.orb(), Moves: []contour.Move{{
		To: e.from.orb(), Center: orb.Point{e.center[0] / 1e6, e.center[1] / 1e6}, Turn: e.turn,
	}}}
	l.finish()
	return l
}

// needed is the smallest of the tolerances that covers a gap, the widest where none does, nm.
func needed(joins []float64, gap float64) float64 {
	for _, j := range joins {
		if gap <= j {
			return j
		}
	}
	return joins[len(joins)-1]
}
