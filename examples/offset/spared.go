package main

import (
	"cmp"
	"slices"

	"example.org/pinstack/route/contour"
)

// span is a stretch of a contour, as lengths along it; it may run over the start.
type span struct{ from, to float64 }

// spared gives the stretches of each edge that are listed and need not be cut.
func (m ruling) spared(unreachable []contour.Place) [][]span {
	rings := make([]*contour.Index, len(m.source))
	for i := range m.source {
		rings[i] = contour.NewIndex(m.source[i : i+1])
	}
	out := make([][]span, len(m.source))
	for _, u := range unreachable {
		s := rings[u.Contour].Nearest(u.At).Along
		half := u.Size/2 + touched
		out[u.Contour] = append(out[u.Contour], span{s - half, s + half})
	}
	for i, c := range m.source {
		out[i] = unwrap(out[i], c.Length())
	}
	return out
}

// unwrap cuts spans at the start of a contour and sorts and unites them, so that one
// walk along the contour passes them in turn.
func unwrap(spans []span, length float64) []span {
	var flat []span
	for _, s := range spans {
		switch {
		case s.to-s.from >= length:
			flat = append(flat, span{0, length})
		case s.from < 0:
			flat = append(flat, span{0, s.to}, span{s.from + length, length})
		case s.to > length:
			flat = append(flat, span{s.from, length}, span{0, s.to - length})
		default:
			flat = append(flat, s)
		}
	}
	slices.SortFunc(flat, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	out := flat[:0]
	for _, s := range flat {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}
