package machine

import (
	"math"
	"time"

	"github.com/paulmach/orb"
)

// Travel is the XY move model of a machine: rest to rest moves, both axes start
// together, the slower one rules. With v the speed, a the acceleration and no
// jerk limit a move by d takes
//
//	d/v + v/a       when d >= v^2/a, else
//	2 sqrt(d/a)
//
// and with a jerk limit the time of the seven-phase S-curve in closed form. The
// settle time follows every move; the overlap is the part of a move that is
// hidden behind the retract above the clearance.
//
// Travel is a small comparable value, safe for concurrent use. The zero value
// moves in no time. Its answers are whole nanoseconds, monotone in the distance
// of each axis and the same on every architecture.
type Travel struct {
	x, y    profile
	settle  time.Duration
	overlap time.Duration
	set     bool
	same    bool // both axes alike: the longer leg rules
}

// NewTravel makes the move model of two axes. Settle is added to every move;
// overlap is subtracted from it first, down to nothing. Negative durations
// count as 0. The axes must pass [Axis.Validate]; NewTravel does not check.
func NewTravel(x, y Axis, settle, overlap time.Duration) Travel {
	return Travel{
		x: newProfile(x), y: newProfile(y),
		settle: max(settle, 0), overlap: max(overlap, 0),
		set: true, same: x == y,
	}
}

// Axes returns the limits the model was made of.
func (t Travel) Axes() (x, y Axis) { return t.x.axis, t.y.axis }

// Settle returns the time added to every move.
func (t Travel) Settle() time.Duration { return t.settle }

// Overlap returns the part of a move that is hidden behind the retract.
func (t Travel) Overlap() time.Duration { return t.overlap }

// Between is the machine's time from a hit at a to the next at b, both in mm:
// the move, less the overlap but not below nothing, plus the settle time. A
// point to itself takes no time: nothing moves, so nothing settles.
func (t Travel) Between(a, b orb.Point) time.Duration {
	if a == b || !t.set {
		return 0
	}
	return max(t.Move(a, b)-t.overlap, 0) + t.settle
}

// Move is the bare rest to rest move from a to b, both in mm, without settle
// and overlap, rounded to the nearest nanosecond.
func (t Travel) Move(a, b orb.Point) time.Duration {
	if !t.set {
		return 0
	}
	dx, dy := math.Abs(b[0]-a[0]), math.Abs(b[1]-a[1])
	var s float64
	if t.same {
		s = t.x.seconds(max(dx, dy))
	} else {
		s = max(t.x.seconds(dx), t.y.seconds(dy))
	}
	return time.Duration(min(float64(s*1e9)+0.5, math.MaxInt64/2))
}
