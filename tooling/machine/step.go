package machine

import (
	"time"

	"github.com/paulmach/orb"
)

// StepKind tells what the machine does in a step.
type StepKind string

// The kinds of step.
const (
	Change  StepKind = "change"  // travel to To, then change to Tool
	Move    StepKind = "move"    // rapid to To, tool up
	Stroke  StepKind = "stroke"  // one drill stroke at the present place
	Plunge  StepKind = "plunge"  // cutter down at the present place
	Line    StepKind = "line"    // cut straight to To
	Arc     StepKind = "arc"     // cut to To about Center; To == present place: a full circle
	Retract StepKind = "retract" // cutter up
	Pause   StepKind = "pause"   // the machine waits for Time; 0: for Machine.Stop
	Reload  StepKind = "reload"  // the operator unloads and loads: Machine.Load
)

// Step is one thing the machine does. Fields that a kind does not use are
// zero.
type Step struct {
	Kind      StepKind
	To        orb.Point     // mm: change, move, line, arc
	Center    orb.Point     // mm: arc
	Clockwise bool          // arc
	Tool      int           // place number T of the tool in the spindle
	Hole      int32         // stroke: index into the drill input's holes; -1: none
	Path      int           // cuts: index of the path in its run
	Depth     float64       // mm: stroke, plunge and retract: from the clearance to the lowest point
	Pecks     int           // stroke: infeeds; 0 counts as 1
	Feed      float64       // mm/min: stroke and plunge down, line and arc along
	Retract   float64       // mm/min: stroke and retract up
	Time      time.Duration // pause
}
