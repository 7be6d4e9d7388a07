package drill

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Schema is the number of the JSON form of a [Pass].
const Schema = 1

// HitKind says what a hit is for.
type HitKind string

// The kinds of hit. Every hole gets one Finish; pilots and nibbles are
// counted apart.
const (
	Finish  HitKind = "finish"
	Pilot   HitKind = "pilot"
	Nibbled HitKind = "nibble" // of a slot, all but the last
)

// Hit is one stroke of a bit through the stack.
type Hit struct {
	At   orb.Point `json:"at_mm"`
	Hole int32     `json:"hole"` // index into Input.Holes
	Kind HitKind   `json:"kind"`
}

// Bit is one bit of a mounted run: the hits it makes in one load.
type Bit struct {
	Place int `json:"place"` // tool number T in the program, its place in the magazine
	First int `json:"first"` // index of its first hit in the run
	Hits  int `json:"hits"`
	Worn  int `json:"worn,omitempty"` // hits made before a stop, on the spindles that keep the bit: see [Resume]
}

// SizeUse says how many holes of one size a run finishes.
type SizeUse struct {
	Size     tooling.Size `json:"size"`        // as the file gives it
	Finished float64      `json:"finished_mm"` // what the bit leaves after plating
	Holes    int          `json:"holes"`
}

// Run is one tool's part of a pass, in the order it is made.
type Run struct {
	Number int           `json:"number"` // 1-based in the pass
	Tool   tooling.Tool  `json:"tool"`
	Slow   bool          `json:"slow,omitempty"` // short slots: at half the infeed
	Sizes  []SizeUse     `json:"sizes,omitempty"`
	Hits   []Hit         `json:"hits"`
	Again  int           `json:"again,omitempty"`          // so many of the first hits are made with the other spindles parked: see [Resume]
	Path   float64       `json:"travel_mm"`                // from the change position and back to it
	Travel float64       `json:"travel_seconds"`           // as planned, settle included
	Settle float64       `json:"settle_seconds"`           // the part of Travel no order can change
	Trip   float64       `json:"trip_seconds"`             // what one more change on the way adds, on average over the places where the run may be cut
	Bound  float64       `json:"bound_seconds"`            // proven lower bound of Travel; 0: not asked for
	Boards int           `json:"boards,omitempty"`         // boards over which the order of one is repeated, see [Options].Repeat; 0: none
	Repeat float64       `json:"repeat_seconds,omitempty"` // what that adds to Travel
	Feed   tooling.Feed  `json:"feed,omitzero"`            // from Mount
	Depth  tooling.Depth `json:"depth,omitzero"`           // from Mount
	Life   float64       `json:"life,omitempty"`           // hits of a bit, from Mount
	Bits   []Bit         `json:"bits,omitempty"`           // from Mount

	Tolerance float64 `json:"position_mm,omitempty"` // tightest place of its holes, mm either way; 0: none stated
	After     float64 `json:"after_mm,omitempty"`    // diameter of close neighbours that come first, in the same pinning or an earlier one; 0: none
	Limit     int     `json:"hit_limit,omitempty"`   // from Mount, in bit mode spares: the control counts hits from load to load and takes the next of Bits at this one; only the first place is written. 0: every bit is selected by its own T
}

// Pass is one pass over the panel: runs in order. It is plain data. A pass
// from [Plan] has no set-up; [Pass.Mount] gives it one.
type Pass struct {
	Schema    int               `json:"schema"`
	Name      string            `json:"name"` // plated or unplated
	Stage     tooling.Stage     `json:"stage"`
	Operation tooling.Operation `json:"operation"`
	SetUp     stack.SetUp       `json:"set_up,omitzero"`
	Fit       tooling.Fit       `json:"fit,omitzero"`   // how the panel has moved, from [Pass.Adjust]
	Frame     tooling.Frame     `json:"frame,omitzero"` // in which coordinates the program is written
	Rest      *Rest             `json:"rest,omitempty"` // what lies behind a pass from [Resume]; nil: a whole pass
	Runs      []Run             `json:"runs"`
}

// Mounted tells whether the pass has a set-up.
func (p Pass) Mounted() bool { return p.SetUp.Height > 0 }

// Hits returns the strokes of one load.
func (p Pass) Hits() int {
	n := 0
	for _, r := range p.Runs {
		n += len(r.Hits)
	}
	return n
}

// Holes returns the distinct holes the pass finishes.
func (p Pass) Holes() int {
	n := 0
	for _, r := range p.Runs {
		for _, h := range r.Hits {
			if h.Kind == Finish {
				n++
			}
		}
	}
	return n
}
