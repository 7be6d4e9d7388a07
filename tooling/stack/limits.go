package stack

import "example.org/pinstack/tooling"

// peckLife is the share of its life a bit has where holes are pecked.
func (p Problem) peckLife() float64 {
	if p.Rules.Stack.PeckLife == 0 {
		return 1
	}
	return p.Rules.Stack.PeckLife
}

// tolerance is the tighter of what the work states and what the rules ask of
// every drilled hole, in mm; 0: neither.
func (p Problem) tolerance(w Work) float64 {
	rules := p.Rules.Stack.Position
	switch {
	case w.Operation == tooling.Routing, rules == 0:
		return w.Tolerance
	case w.Tolerance == 0:
		return rules
	}
	return min(w.Tolerance, rules)
}

// entryWander is how far off a hole starts, in mm (from memory: 15 to 25 um).
const entryWander = 0.020

// wander is how far off a bit leaves the stack in nm: where it started, and a
// growth with the cube of depth over diameter as a cantilever bends. With the
// default growth a 0.3 mm bit ends 44 um off under two panels of 1.6 mm (from
// memory: 35 to 60 um).
func (p Problem) wander(t tooling.Tool, d tooling.Depth) int64 {
	growth := p.Rules.Stack.Wander
	if growth == 0 || t.Kind == tooling.Cutter {
		return 0
	}
	r := d.Stack / (10 * t.Diameter)
	return tooling.Nanometres(entryWander + float64(growth*float64(float64(r*r)*r)))
}

// high is what has to fit between the table and the tip as it travels: backup,
// panels, entry and the clearance over it, in mm.
func (p Problem) high(d tooling.Depth) float64 {
	s := p.Rules.Stack
	return tooling.Snap(s.Backup + d.Stack + s.Entry + d.Clearance)
}
