package contour

import "math"

// meetings appends the points where two elements come within meetDistance of each
// other: their intersections, the place of a touch, or, where they overlap, ends
// of the common stretch.
func meetings(dst []vec, e, f *elem) []vec {
	switch {
	case e.turn == 0 && f.turn == 0:
		return lineLine(dst, e, f)
	case e.turn == 0:
		return lineArc(dst, e, f)
	case f.turn == 0:
		return lineArc(dst, f, e)
	}
	return arcArc(dst, e, f)
}

func lineLine(dst []vec, e, f *elem) []vec {
	ea, eb := f.dir().cross(e.a.sub(f.a)), f.dir().cross(e.b.sub(f.a))
	if (ea > meetDistance && eb > meetDistance) || (ea < -meetDistance && eb < -meetDistance) {
		return dst
	}
	fa, fb := e.dir().cross(f.a.sub(e.a)), e.dir().cross(f.b.sub(e.a))
	if (fa > meetDistance && fb > meetDistance) || (fa < -meetDistance && fb < -meetDistance) {
		return dst
	}
	if (ea > 0) != (eb > 0) && (fa > 0) != (fb > 0) && math.Abs(ea-eb) > meetDistance {
		return append(dst, e.at(e.len*(ea/(ea-eb))))
	}
	return touches(dst, e, f)
}

// touches appends the ends of either element that lie on the other one.
func touches(dst []vec, e, f *elem) []vec {
	for _, p := range [2]vec{e.a, e.b} {
		if f.dist(p) <= meetDistance {
			dst = append(dst, p)
		}
	}
	for _, p := range [2]vec{f.a, f.b} {
		if e.dist(p) <= meetDistance {
			dst = append(dst, p)
		}
	}
	return dst
}

func lineArc(dst []vec, e, f *elem) []vec {
	w := f.centre().sub(e.a)
	h := w.cross(e.dir())
	if math.Abs(h) > f.r+meetDistance {
		return dst
	}
	mid, half := w.dot(e.dir()), math.Sqrt(math.Max(0, float64(f.r*f.r)-float64(h*h)))
	dst = onBoth(dst, e, f, e.a.along(e.dir(), mid-half))
	dst = onBoth(dst, e, f, e.a.along(e.dir(), mid+half))
	return touches(dst, e, f)
}

func arcArc(dst []vec, e, f *elem) []vec {
	w := f.centre().sub(e.centre())
	d := w.norm()
	if d > e.r+f.r+meetDistance || d < math.Abs(e.r-f.r)-meetDistance {
		return dst
	}
	if d > meetDistance {
		u := w.scale(1 / d)
		// Both circles pass at this distance from e's centre towards f's.
		s := (float64((e.r-f.r)*(e.r+f.r))/d + d) / 2
		h := math.Sqrt(math.Max(0, float64((e.r-s)*(e.r+s))))
		p := e.centre().along(u, s)
		dst = onBoth(dst, e, f, p.along(u.left(), h))
		dst = onBoth(dst, e, f, p.along(u.left(), -h))
	} else {
		// Two arcs of one circle may share both ends and all between.
		dst = onBoth(dst, e, f, e.at(e.len/2))
		dst = onBoth(dst, e, f, f.at(f.len/2))
	}
	return touches(dst, e, f)
}

// onBoth appends p if it lies on both elements. Where two curves only just touch
// their common point is known less well than they are.
func onBoth(dst []vec, e, f *elem, p vec) []vec {
	if e.dist(p) <= 2*meetDistance && f.dist(p) <= 2*meetDistance {
		dst = append(dst, p)
	}
	return dst
}
