package route

import (
	"iter"

	"example.org/pinstack/tooling/machine"
)

// Steps yields what the machine does in one load of a mounted pass, from the
// change position and back to it: for every cutter a change, then for each
// path the rapids to its start, a plunge, its lines and arcs, and a retract; where
// it frees waste that is taken out, a stop. A pass that is not mounted has no steps.
func (p Pass) Steps(m machine.Machine) iter.Seq[machine.Step] {
	return func(yield func(machine.Step) bool) {
		for _, r := range p.Runs {
			for _, c := range r.Cutters {
				if !yield(machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: c.Place}) {
					return
				}
				for k := c.First; k < c.First+c.Paths; k++ {
					if r.Again > 0 && k == 0 && !yield(machine.Step{Kind: machine.Pause, Tool: c.Place, Hole: -1}) {
						return
					}
					for s := range r.steps(k, c.Place) {
						if !yield(s) {
							return
						}
					}
					if r.Paths[k].Frees > 0 && !yield(machine.Step{Kind: machine.Pause, Tool: c.Place, Hole: -1}) {
						return
					}
					if k == r.Again-1 && !yield(machine.Step{Kind: machine.Pause, Tool: c.Place, Hole: -1}) {
						return
					}
				}
				for _, v := range c.Home {
					if !yield(machine.Step{Kind: machine.Move, To: v, Tool: c.Place, Hole: -1}) {
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

// steps yields one path of a mounted run.
func (r Run) steps(k, place int) iter.Seq[machine.Step] {
	return func(yield func(machine.Step) bool) {
		p := r.Paths[k]
		for _, v := range p.Via {
			if !yield(machine.Step{Kind: machine.Move, To: v, Tool: place, Hole: -1, Path: k}) {
				return
			}
		}
		start := machine.Step{Kind: machine.Move, To: p.Line.Start, Tool: place, Hole: -1, Path: k}
		plunge := machine.Step{Kind: machine.Plunge, To: p.Line.Start, Tool: place, Hole: -1, Path: k, Depth: r.Depth.Travel(), Feed: r.Feed.Plunge}
		if !yield(start) || !yield(plunge) {
			return
		}
		for s := range cutting(p, place, k, r.Feed.Infeed) {
			if !yield(s) {
				return
			}
		}
		yield(machine.Step{Kind: machine.Retract, To: p.Line.End(), Tool: place, Hole: -1, Path: k, Depth: r.Depth.Travel(), Retract: r.Feed.Retract})
	}
}

// cutting yields the lines and arcs of a path.
func cutting(p Path, place, k int, feed float64) iter.Seq[machine.Step] {
	return func(yield func(machine.Step) bool) {
		for _, m := range p.Line.Moves {
			s := machine.Step{Kind: machine.Line, To: m.To, Tool: place, Hole: -1, Path: k, Feed: feed}
			if m.Turn != 0 {
				s.Kind, s.Center, s.Clockwise = machine.Arc, m.Center, m.Turn < 0
			}
			if !yield(s) {
				return
			}
		}
	}
}

// Estimate returns the machine time of one load of a mounted pass by cause,
// without loading. The error is [ErrUnmounted] for a pass without a set-up.
// Cost O(moves).
func (p Pass) Estimate(m machine.Machine) (machine.Estimate, error) {
	if !p.Mounted() {
		return machine.Estimate{}, ErrUnmounted
	}
	return m.Time(p.Steps(m)), nil
}
