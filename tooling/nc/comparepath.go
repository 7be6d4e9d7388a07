package nc

import "math"

// segment is a cutting move on its way to become a feature.
type segment struct {
	op       Op
	diameter float64
	side     string // "G41", "G42" or ""
}

// mergeSlack is how many tolerances a joint may stand off the straight or the
// common centre: a centre found from a rounded radius is less certain than
// the ends.
const mergeSlack = 5

// appendPath joins moves that go straight on or round the same centre, so that
// an arc in one block equals the same arc in four, and appends the features.
func appendPath(out []feature, path []segment, tol float64) []feature {
	var runs [][2]int // first and last move of each feature
	for i := range path {
		if len(runs) > 0 {
			r := &runs[len(runs)-1]
			if goesOn(path[r[0]:i], &path[i], tol) {
				r[1] = i
				continue
			}
		}
		runs = append(runs, [2]int{i, i})
	}
	// A closed path may begin in the middle of a side: its last run then goes
	// on into its first.
	if n := len(runs); n > 1 {
		last, first := runs[n-1], runs[0]
		joined := append(append([]segment(nil), path[last[0]:last[1]+1]...), path[first[0]:first[1]+1]...)
		whole := true
		for k := 1; k < len(joined) && whole; k++ {
			whole = goesOn(joined[:k], &joined[k], tol)
		}
		if whole {
			out = append(out, join(joined, tol))
			runs = runs[1 : n-1]
		}
	}
	for _, r := range runs {
		out = append(out, join(path[r[0]:r[1]+1], tol))
	}
	return out
}

// goesOn tells whether s continues the run of moves before it.
func goesOn(run []segment, s *segment, tol float64) bool {
	f, l := &run[0].op, &run[len(run)-1].op
	o := &s.op
	if o.Kind != l.Kind || s.diameter != run[0].diameter || s.side != run[0].side || !close2(l.To, o.From, max(tol, 1e-9)) {
		return false
	}
	slack := max(mergeSlack*tol, 1e-6)
	if o.Kind == OpLine {
		// The joint lies on the line from the run's start to the new end, between them.
		dx, dy := o.To[0]-f.From[0], o.To[1]-f.From[1]
		jx, jy := o.From[0]-f.From[0], o.From[1]-f.From[1]
		length := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		if length == 0 {
			return false
		}
		along := (float64(jx*dx) + float64(jy*dy)) / length
		off := math.Abs(float64(jx*dy)-float64(jy*dx)) / length
		return off <= max(tol, 1e-6) && along >= 0 && along <= length
	}
	if o.Clockwise != l.Clockwise || !close2(o.Center, f.Center, slack) {
		return false
	}
	total := sweep(&s.op)
	for i := range run {
		total += sweep(&run[i].op)
	}
	return total <= 2*math.Pi+turnSlack(f, tol)
}

// turnSlack is how far, in radians, the sum of some arcs may stand off a full
// turn when their centres were found from rounded radii.
func turnSlack(o *Op, tol float64) float64 {
	r := hypotenuse(o.From[0]-o.Center[0], o.From[1]-o.Center[1])
	return 1e-6 + min(max(mergeSlack*tol, 1e-6)/max(r, 1e-6), 0.5)
}

// sweep returns the angle of an arc, from 0 (excluded) to a full turn.
func sweep(o *Op) float64 {
	if o.From == o.To {
		return 2 * math.Pi
	}
	a := math.Atan2(o.To[1]-o.Center[1], o.To[0]-o.Center[0]) - math.Atan2(o.From[1]-o.Center[1], o.From[0]-o.Center[0])
	if o.Clockwise {
		a = -a
	}
	for a <= 0 {
		a += 2 * math.Pi
	}
	return a
}

// join makes one feature of a run. A full circle is known by its centre and
// radius, so that its start does not count; an arc by ends and middle.
func join(run []segment, tol float64) feature {
	f, l := &run[0].op, &run[len(run)-1].op
	out := feature{kind: aLine, diameter: run[0].diameter, p: f.From, q: l.To, m: midpoint(f.From, l.To), text: run[0].side, tool: f.Tool, line: f.Line}
	if f.Kind == OpArc {
		var cx, cy, r, total float64
		for i := range run {
			o := &run[i].op
			cx += o.Center[0] / float64(len(run))
			cy += o.Center[1] / float64(len(run))
			r += hypotenuse(o.From[0]-o.Center[0], o.From[1]-o.Center[1]) / float64(len(run))
			total += sweep(o)
		}
		out.kind, out.size = anArc, r
		if total >= 2*math.Pi-turnSlack(f, tol) && close2(f.From, l.To, max(tol, 1e-9)) {
			c := [2]float64{cx, cy}
			out.kind, out.p, out.q, out.m, out.size = aCircle, c, c, c, 2*r
			out.text += "routed"
			return out
		}
		half := total / 2
		if f.Clockwise {
			half = -half
		}
		a := math.Atan2(f.From[1]-cy, f.From[0]-cx) + half
		out.m = [2]float64{cx + float64(r*math.Cos(a)), cy + float64(r*math.Sin(a))}
	}
	out.order()
	return out
}
