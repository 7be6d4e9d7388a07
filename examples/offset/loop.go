package main

import (
	"math"
	"sort"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// A loop is a closed contour whose places are lengths along it, mm, which go on round
// after round. The methods At and Cut of a contour say the same, but pass all moves
// every time; thousands of places are tried here.
type loop struct {
	legs  []contour.Contour
	start []float64 // of each leg
	total float64
}

func newLoop(c contour.Contour) loop {
	var p loop
	for leg := range legs(c) {
		p.legs, p.start = append(p.legs, leg), append(p.start, p.total)
		p.total += leg.Length()
	}
	return p
}

// startOf is the length at which a leg starts; the total behind the last one.
func (p *loop) startOf(leg int) float64 {
	if leg < len(p.start) {
		return p.start[leg]
	}
	return p.total
}

// leg is the index of the leg that holds a length, and how far into it that lies.
func (p *loop) leg(l float64) (int, float64) {
	if l = math.Mod(l, p.total); l < 0 {
		l += p.total
	}
	i := max(0, sort.SearchFloat64s(p.start, l)-1)
	if i+1 < len(p.start) && p.start[i+1] <= l {
		i++
	}
	return i, l - p.start[i]
}

// at is the point at a length.
func (p *loop) at(l float64) orb.Point {
	i, into := p.leg(l)
	return at(p.legs[i], into)
}

// nothing is how short a stretch is none, mm.
const nothing = 1e-9

// cut is the open stretch from one length to the next place of another. Legs between
// are taken as they are, so that arcs keep their centres to the last bit.
func (p *loop) cut(from, to float64) contour.Contour {
	for to <= from {
		to += p.total
	}
	out := contour.Contour{Start: p.at(from)}
	i, into := p.leg(from)
	for left := to - from; ; i, into = (i+1)%len(p.legs), 0 {
		leg := p.legs[i]
		l := leg.Length()
		if end := min(into+left, l); end-into <= nothing && end-into < l {
			leg.Moves = nil // a circle cut from a place to the same would be whole
		} else if into > 0 || end < l {
			leg = leg.Cut(into, end)
		}
		out.Moves = append(out.Moves, leg.Moves...)
		if left -= l - into; left <= nothing {
			return out
		}
	}
}
