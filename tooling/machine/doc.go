// Package machine models a drill and rout machine: its axes, spindles and
// magazine, the steps it takes, and the one clock that times them.
//
// # Tutorial
//
// A shop's own machine over a preset, and what the clock says of its steps:
//
//	preset, _ := machine.Preset("ball screw")
//	mill, err := machine.Decode([]byte(`{"name": "hall 2", "spindles": 5, "change_s": 12.5}`), "hall2.json", preset)
//	steps := slices.Values([]machine.Step{
//		{Kind: machine.Change, To: mill.ChangeAt, Tool: 1},
//		{Kind: machine.Move, To: orb.Point{30, 40}},
//		{Kind: machine.Stroke, To: orb.Point{30, 40}, Tool: 1, Depth: 7, Feed: 2400, Retract: 25000},
//	})
//	for at, step := range mill.Timed(steps) {
//		fmt.Printf("%.2f s %s\n", at.Seconds(), step.Kind)
//	}
//	load := mill.Time(steps)
//	fmt.Printf("%d hit, %.2f s, of these %.2f s in the stack\n", load.Hits, load.Total().Seconds(), load.Stroke.Seconds())
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # The model
//
// A pass is a sequence of [Step]s. One clock ([Clock]) times every step, and
// estimate, job sheet, player and controller all read that clock, so that no
// two of them can disagree:
//
//	move      the slower axis, rest to rest, plus settle ([Travel])
//	stroke    foot dwell, approach at the Z axis' own speed, down at infeed
//	          through the stack, up at the retract feed, each rest to rest
//	          with the Z ramp ([Machine.StrokeTime])
//	change    trip to the change position (a move), then Machine.Change and
//	          Machine.SpinUp
//	cut       along lines and arcs at the feed, rest to rest between corners
//	pause     the step's own time or Machine.Stop
//	reload    Machine.Load
//
// Rest to rest over a distance d at speed v and acceleration a takes
// d/v + v/a where d >= v^2/a, else 2 sqrt(d/a) (uniform acceleration, any
// mechanics text). An acceleration of 0 means no ramp: d/v.
//
// A cutter comes to rest where its direction turns by more than [CornerStop]
// and runs through smaller turns and tangent arcs at full feed.
//
// # Units
//
// Lengths mm, axis speeds mm/s, accelerations mm/s2, jerk mm/s3, feeds
// mm/min, spindle speeds rev/min, durations [time.Duration]. Every duration
// is rounded to whole nanoseconds before it is summed, so sums do not depend
// on the processor.
//
// # What an estimate counts
//
// An [Estimate] of a pass is one load: one filling of the machine with a
// stack at each spindle in use. All spindles move together, so a hit counts
// once however many spindles make it.
package machine
