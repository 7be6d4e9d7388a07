package contour

import (
	"fmt"
	"math"
)

// FitArcs finds the arcs in a contour that was written as many short lines, as
// CAD tools do. Every point of the result lies within tol mm of the contour given
// and the other way round; arcs, and lines that replace several in one
// line, begin and end at points of the contour given. Arcs that it has already
// stay.
//
// At least three lines make an arc, and a line counts as part of one only where
// its middle is within the tolerance as well: a tolerance of 1 um takes the
// chords of a 1 mm fillet up to 0.09 mm long, and leaves a hexagon a hexagon.
// A closed contour all on one circle becomes a full circle.
//
// Starting behind the longest line, each step takes the longest stretch that fits,
// then every two neighbours move their common point to where both fit best. The
// cost is O(n log n) for n moves.
//
// The error is a [*ContourError]: ErrTolerance for a tolerance that is not between
// 0 and 10 m, else what [Contour.Validate] finds short of crossings.
func FitArcs(c Contour, tol float64) (Contour, error) {
	if !(tol > 0 && tol <= maxCoordinate) {
		return Contour{}, &ContourError{Move: -1, At: c.Start, Err: ErrTolerance,
			Detail: fmt.Sprintf("tolerance %g mm, want more than 0", tol)}
	}
	if err := checkValues(0, c, false); err != nil {
		return Contour{}, err
	}
	f := fitter{tol: tol}
	out := Contour{Start: c.Start}
	from := f.start(c)
	if from > 0 {
		out.Start = c.Moves[from-1].To
	}
	moves := append(append(make([]Move, 0, len(c.Moves)), c.Moves[from:]...), c.Moves[:from]...)
	at := out.Start
	for i := 0; i < len(moves); {
		if moves[i].Turn != 0 {
			out.Moves = append(out.Moves, moves[i])
			at = moves[i].To
			i++
			continue
		}
		f.origin = toVec(at)
		f.p = append(f.p[:0], vec{})
		for ; i < len(moves) && moves[i].Turn == 0; i++ {
			if p := toVec(moves[i].To).sub(f.origin); p != f.p[len(f.p)-1] {
				f.p = append(f.p, p)
			}
		}
		at = moves[i-1].To
		out.Moves = f.append(out.Moves)
	}
	return out, nil
}

// A fitter fits one chain of lines.
type fitter struct {
	tol    float64
	origin vec
	p      []vec // the chain's points, relative to origin
}

// A stretch is a part of the chain and what replaces it.
type stretch struct {
	from, to int // points
	turn     int8
	c        vec     // centre of an arc
	worst    float64 // mm from the points between to it
}

// start is the move to begin at: on a closed contour the one after the longest
// line, which surely ends a stretch.
func (f *fitter) start(c Contour) int {
	if !c.Closed() {
		return 0
	}
	best, longest := 0, 0.0
	at := toVec(c.Start)
	for i, m := range c.Moves {
		to := toVec(m.To)
		// By the micrometre, so that rounding does not choose among equals.
		if l := math.Round(to.dist(at) * 1e3); m.Turn == 0 && l > longest {
			best, longest = i+1, l
		}
		at = to
	}
	return best % len(c.Moves)
}

// append appends the moves that replace the chain.
func (f *fitter) append(dst []Move) []Move {
	if s, ok := f.circle(); ok {
		to := f.p[0].add(f.origin).point()
		return append(dst, Move{To: to, Center: s.c.add(f.origin).point(), Turn: s.turn})
	}
	var parts []stretch
	for at := 0; at < len(f.p)-1; {
		s := f.longest(at)
		parts = append(parts, s)
		at = s.to
	}
	for i := range len(parts) - 1 {
		f.settle(&parts[i], &parts[i+1])
	}
	for _, s := range parts {
		m := Move{To: f.p[s.to].add(f.origin).point(), Turn: s.turn}
		if s.turn != 0 {
			m.Center = s.c.add(f.origin).point()
		}
		dst = append(dst, m)
	}
	return dst
}

// longest is the longest stretch from a point on, an arc where it reaches
// further than a line. The length doubles as long as it fits, then the last
// step is halved.
func (f *fitter) longest(at int) stretch {
	reach := func(fit func(from, to int) (stretch, bool), least int) (best stretch) {
		good, bad := at, len(f.p)
		for step := least; at+step < len(f.p); step *= 2 {
			s, ok := fit(at, at+step)
			if !ok {
				bad = at + step
				break
			}
			best, good = s, at+step
		}
		if good == at {
			return best
		}
		for bad-good > 1 {
			mid := (good + bad) / 2
			if s, ok := fit(at, mid); ok {
				best, good = s, mid
			} else {
				bad = mid
			}
		}
		return best
	}
	line := reach(f.line, 1)
	arc := reach(f.arc, 3)
	if arc.turn != 0 && arc.to > line.to {
		return arc
	}
	return line
}

// line replaces points by the line from the first to the last of them.
func (f *fitter) line(from, to int) (stretch, bool) {
	s := stretch{from: from, to: to}
	d := f.p[to].sub(f.p[from])
	n := d.norm()
	if to == from+1 {
		return s, true
	}
	if n < f.tol {
		return s, false
	}
	u := d.scale(1 / n)
	last := 0.0
	for _, p := range f.p[from : to+1] {
		w := p.sub(f.p[from])
		along := w.dot(u)
		// No point may lie behind the one before it, or a spike would be lost.
		if along < last-f.tol {
			return s, false
		}
		last = max(last, along)
		s.worst = max(s.worst, math.Abs(w.cross(u)))
	}
	return s, s.worst <= f.tol && last <= n+f.tol
}

// arc replaces points by an arc from the first to the last of them. With x and y
// measured from the middle of the chord, along and across it, a circle through
// both ends and a centre at height c keeps x2 + y2 - (D/2)2 = 2 y c for its
// points; c is the least-squares solution over the points between.
func (f *fitter) arc(from, to int) (stretch, bool) {
	s := stretch{from: from, to: to}
	a, b := f.p[from], f.p[to]
	chord := b.sub(a)
	n := chord.norm()
	if n < f.tol {
		return s, false
	}
	u, m := chord.scale(1/n), middle(a, b)
	var up, down float64
	for _, p := range f.p[from+1 : to] {
		w := p.sub(m)
		x, y := w.dot(u), u.cross(w)
		up += y * (float64(x*x) + float64(y*y) - float64(n*n)/4)
		down += 2 * float64(y*y)
	}
	if down == 0 {
		return s, false
	}
	c := up / down
	s.c = m.along(u.left(), c)
	r := math.Hypot(n/2, c)
	// Flatter than this it is a line.
	if r > maxCoordinate {
		return s, false
	}
	return f.check(s, r)
}

// check measures how far the chain lies from a stretch's circle and that it runs
// round it in one sense.
func (f *fitter) check(s stretch, r float64) (stretch, bool) {
	var swept float64
	before := f.p[s.from].sub(s.c)
	for k := s.from + 1; k <= s.to; k++ {
		w := f.p[k].sub(s.c)
		step := before.angleTo(w)
		if s.turn == 0 {
			s.turn = 1
			if step < 0 {
				s.turn = -1
			}
		}
		step *= float64(s.turn)
		if step*r < -f.tol || step > math.Pi/2 {
			return s, false
		}
		swept += step
		s.worst = max(s.worst, math.Abs(w.norm()-r))
		if s.worst > f.tol || math.Abs(nearestToOrigin(before, w).norm()-r) > f.tol {
			return s, false
		}
		before = w
	}
	// The arc from the first to the last point must be the one that was followed.
	e := arcElem(f.p[s.from], f.p[s.to], s.c, s.turn, 0)
	return s, math.Abs(math.Abs(e.sweep)-swept) < 0.1
}

// nearestToOrigin is the point of the line from a to b nearest to the origin.
func nearestToOrigin(a, b vec) vec {
	d := b.sub(a)
	q := d.dot(d)
	if q == 0 {
		return a
	}
	return a.along(d, min(1, max(0, -a.dot(d)/q)))
}

// circle replaces a chain that comes back to its start by a full circle through
// that point, where all of it fits one.
func (f *fitter) circle() (stretch, bool) {
	n := len(f.p) - 1
	if n < 6 || f.p[n] != f.p[0] {
		return stretch{}, false
	}
	// Through three points far from each other.
	c, ok := centreOf(f.p[0], f.p[n/3], f.p[2*n/3])
	if !ok || c.norm() > maxCoordinate {
		return stretch{}, false
	}
	s := stretch{from: 0, to: n, c: c}
	return f.check(s, f.p[0].dist(c))
}

// centreOf is the centre of the circle through three points.
func centreOf(a, b, c vec) (vec, bool) {
	u, w := b.sub(a), c.sub(a)
	d := 2 * u.cross(w)
	if math.Abs(d) < meetDistance {
		return vec{}, false
	}
	u2, w2 := u.dot(u), w.dot(w)
	return vec{a.x + (w.y*u2-u.y*w2)/d, a.y + (u.x*w2-w.x*u2)/d}, true
}

// settle moves the common point of two neighbours to where the worse of the two
// fits best: the longest stretch reaches past the true end of its arc by as much
// as the tolerance lets it. Among the points next to that one the straightest
// joint wins, where rounding hides which of them is the true one.
func (f *fitter) settle(a, b *stretch) {
	if a.turn == 0 && b.turn == 0 {
		return
	}
	try := func(at int, better func(na, nb *stretch) bool) bool {
		if at <= a.from || at >= b.to {
			return false
		}
		na, ok := f.refit(a, a.from, at)
		if !ok {
			return false
		}
		nb, ok := f.refit(b, at, b.to)
		if !ok || !better(&na, &nb) {
			return false
		}
		*a, *b = na, nb
		return true
	}
	closer := func(na, nb *stretch) bool {
		return max(na.worst, nb.worst) < max(a.worst, b.worst)*0.999-meetDistance
	}
	for step := max(1, (a.to-a.from)/2); step > 0; step /= 2 {
		if !try(a.to-step, closer) {
			try(a.to+step, closer)
		}
	}
	kink := f.kink(a, b)
	if kink > smoothJoint {
		return
	}
	straighter := func(na, nb *stretch) bool {
		k := f.kink(na, nb)
		if k >= kink*0.999 {
			return false
		}
		kink = k
		return true
	}
	for at, k := a.to, -3; k <= 3; k++ {
		try(at+k, straighter)
	}
}

// smoothJoint is the angle up to which a joint is taken to be meant smooth,
// radians.
const smoothJoint = 0.05

// refit fits the same kind of stretch to other points.
func (f *fitter) refit(s *stretch, from, to int) (stretch, bool) {
	if s.turn == 0 {
		return f.line(from, to)
	}
	if to-from < 3 {
		return *s, false
	}
	r, ok := f.arc(from, to)
	return r, ok && r.turn == s.turn
}

// kink is the angle between two neighbours at their common point, radians.
func (f *fitter) kink(a, b *stretch) float64 {
	direction := func(s *stretch) vec {
		if s.turn == 0 {
			return f.p[s.to].sub(f.p[s.from])
		}
		return f.p[a.to].sub(s.c).left().scale(float64(s.turn))
	}
	return math.Abs(direction(a).angleTo(direction(b)))
}
