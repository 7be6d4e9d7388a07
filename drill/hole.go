package drill

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Hole is one hole or slot to be made in the panel. To == At is a round hole;
// otherwise it is a slot whose centre line runs from At to To.
type Hole struct {
	At     orb.Point      `json:"at_mm"`
	To     orb.Point      `json:"to_mm"`
	Size   tooling.Size   `json:"size"`
	Tented bool           `json:"tented,omitempty"` // unplated, covered during plating: may be made before it
	Half   bool           `json:"half,omitempty"`   // declared: an outline may cut through it
	Source tooling.Source `json:"source,omitzero"`

	// Position is the tolerance of its place, mm either way, that stack heights
	// and tiers are held to; 0: none stated.
	Position float64 `json:"position_mm,omitempty"`
}

// Round returns a round hole of a size at a place in mm.
func Round(at orb.Point, size tooling.Size) Hole { return Hole{At: at, To: at, Size: size} }

// Slot returns a slot of a size (its width) between two centres in mm.
func Slot(from, to orb.Point, size tooling.Size) Hole { return Hole{At: from, To: to, Size: size} }

// IsSlot tells whether the hole is longer than wide on the 1 um grid on which
// programs are written: what is shorter is one hit.
func (h Hole) IsSlot() bool { return h.At != h.To && micrometres(h.At) != micrometres(h.To) }

// Length returns the distance in mm between the centres of a slot; 0 for a
// round hole.
func (h Hole) Length() float64 {
	dx, dy := h.To[0]-h.At[0], h.To[1]-h.At[1]
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

// Stage says when the hole is made: unplated holes after plating unless they
// are tented, all others before.
func (h Hole) Stage() tooling.Stage {
	if !h.Size.Plated && !h.Tented {
		return tooling.AfterPlating
	}
	return tooling.BeforePlating
}
