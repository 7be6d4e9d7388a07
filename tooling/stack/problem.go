package stack

import (
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Work is what ONE load, of any height, asks of one tool at one place of one
// pass. Passes make it ([tooling.Bit] work by strokes, cutters by path); the
// order in a set-up is the order of the runs.
//
// Works of one pass and place are one tool selected more than once: their
// demands are added up before tools are counted.
type Work struct {
	Pass      string            // name of the pass, such as "plated"
	Stage     tooling.Stage     // before or after plating
	Operation tooling.Operation // drill or rout
	Tool      tooling.Tool
	Place     int           // place number T
	Hits      int           // strokes of one load; bits and slot bits
	Cut       float64       // mm of path of one load; cutters
	Paths     []float64     // mm of each path in order, where a cutter may only be changed between paths; nil: anywhere
	Plunges   int           // how often a cutter goes down and up again
	Travel    time.Duration // XY moves of one load, settle included
	Changes   int           // changes to the tool in one load, without those that worn tools ask for; normally 1
	Trip      time.Duration // detour through the change position of one further change; 0: not counted
	Fixed     time.Duration // rout time that does not depend on the height: cutting at the feed; 0: Cut as one straight line
	Tolerance float64       // position tolerance of the tightest hole, mm either way; 0: not stated
}

// Problem is a lot of equal panels and the work each load of them asks for.
type Problem struct {
	Lot     int // panels, 1 to 10,000,000
	Panel   tooling.Panel
	Rules   tooling.Rules
	Machine machine.Machine
	SetUps  [][]Work // each element one pinning, in order
}
