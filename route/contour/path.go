package contour

import (
	"fmt"
	"math"
)

// OffsetPath returns the line that runs beside an open contour at a distance in mm,
// to its left when the distance is positive and to its right when it is negative:
// where a cutter's centre goes that works along one side of it. Inside corners are
// trimmed, outside corners get arcs, and the ends stay square: the first point
// lies across from the contour's start, the last one across from its end, unless
// another part of the contour comes too near. Where that happens in between, the
// line falls into several, in the order of the contour; each runs in its sense. A
// part that comes round to itself is a closed contour. There may be none. A
// distance of 0 gives the contour itself.
//
// The errors are those of [Contour.Validate], ErrNotFinite and ErrRange also for
// the distance. A closed contour is refused with ErrOpen, since it is a region:
// use [Offset]. The cost is that of Offset.
func OffsetPath(c Contour, distance float64) ([]Contour, error) {
	if err := checkDistance(distance); err != nil {
		return nil, err
	}
	if c.Closed() {
		return nil, &ContourError{Move: len(c.Moves) - 1, At: c.Start, Err: ErrOpen,
			Detail: "the contour is closed, want an open one"}
	}
	t, turn, origin, err := check([]Contour{c}, false)
	if err != nil {
		return nil, err
	}
	if distance == 0 {
		return []Contour{{Start: c.Start, Moves: append([]Move(nil), c.Moves...)}}, nil
	}
	// The left of a contour is where an offset inwards goes.
	o := newOffsetter([]Contour{c}, t, turn, origin, -distance)
	o.path = true
	if err := o.run(0); err != nil {
		return nil, err
	}
	var out []Contour
	for _, frags := range o.loops {
		if last := frags[len(frags)-1]; o.next[last] >= 0 {
			out = append(out, o.contour(frags, 0))
			continue
		}
		if p := o.chain(frags); len(p.Moves) > 0 {
			out = append(out, p)
		}
	}
	return out, nil
}

// checkDistance refuses a distance that no offset can have.
func checkDistance(distance float64) error {
	kind := error(nil)
	switch {
	case math.IsNaN(distance) || math.IsInf(distance, 0):
		kind = ErrNotFinite
	case math.Abs(distance) > maxCoordinate:
		kind = ErrRange
	default:
		return nil
	}
	return &ContourError{Move: -1, Err: kind, Detail: fmt.Sprintf("distance %g, want at most %d mm", distance, maxCoordinate)}
}
