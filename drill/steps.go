package drill

import (
	"iter"
	"math"
	"time"

	"example.org/pinstack/tooling/machine"
)

// Steps yields what the machine does in one load of a mounted pass, from the
// change position and back to it: for every bit a change, then a move and a
// stroke for each hit; a pause where the rest after a stop has spindles parked
// or taken back. A pass that is not mounted has no steps.
func (p Pass) Steps(m machine.Machine) iter.Seq[machine.Step] {
	return func(yield func(machine.Step) bool) {
		for _, r := range p.Runs {
			for _, b := range r.Bits {
				if !yield(machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: b.Place}) {
					return
				}
				for k, h := range r.Hits[b.First : b.First+b.Hits] {
					if r.Again > 0 && b.First+k == 0 && !yield(machine.Step{Kind: machine.Pause, Tool: b.Place, Hole: -1}) {
						return
					}
					h.At = p.place(h.At)
					if !yield(machine.Step{Kind: machine.Move, To: h.At, Tool: b.Place, Hole: h.Hole}) {
						return
					}
					if !yield(r.stroke(b, h)) {
						return
					}
					if b.First+k == r.Again-1 && !yield(machine.Step{Kind: machine.Pause, Tool: b.Place, Hole: -1}) {
						return
					}
				}
			}
		}
		if p.Mounted() {
			yield(machine.Step{Kind: machine.Move, To: m.ChangeAt, Hole: -1})
		}
	}
}

// Estimate returns the machine time of one load of a mounted pass by cause,
// without loading. Its Floor is strokes and changes plus the proven lower
// bound of travel, 0 when a run has no bound. The error is [ErrUnmounted] for
// a pass without a set-up. Cost O(hits).
func (p Pass) Estimate(m machine.Machine) (machine.Estimate, error) {
	if !p.Mounted() {
		return machine.Estimate{}, ErrUnmounted
	}
	e := m.Time(p.Steps(m))
	e.Floor = e.Stroke + e.Change
	for _, r := range p.Runs {
		if r.Bound == 0 && len(r.Hits) > 0 {
			e.Floor = 0
			break
		}
		e.Floor += time.Duration(math.Floor(r.Bound * 1e9))
	}
	return e, nil
}

// stroke is the step that makes one hit.
func (r Run) stroke(b Bit, h Hit) machine.Step {
	return machine.Step{
		Kind: machine.Stroke, To: h.At, Tool: b.Place, Hole: h.Hole, Depth: r.Depth.Travel(), Pecks: r.Depth.Pecks,
		Feed: r.Feed.Infeed, Retract: r.Feed.Retract,
	}
}
