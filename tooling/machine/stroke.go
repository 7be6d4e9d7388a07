package machine

import (
	"math"
	"time"
)

// StrokeTime returns the time of one drill stroke: foot dwell, down by depth
// in mm at feed, up at retract (mm/min), each rest to rest with the Z ramp.
//
// The first [Machine.Approach] of the way down, at most half of it, is made at
// the axis' own speed. With pecks above 1 the bit goes down in equal shares;
// after each but the last it comes out to the clearance and returns to where
// it stood, both at the retract feed.
func (m Machine) StrokeTime(depth, feed, retract float64, pecks int) time.Duration {
	down, up := feed/60, retract/60
	fast := max(min(m.Approach, depth/2), 0)
	t := m.FootDwell + rest(depth, up, m.Z) + rest(fast, m.Z.Speed, m.Z)
	n := float64(max(pecks, 1))
	share := (depth - fast) / n
	t += time.Duration(max(pecks, 1)) * rest(share, down, m.Z)
	for k := 1; k < pecks; k++ {
		t += 2 * rest(fast+float64(share*float64(k)), up, m.Z)
	}
	return t
}

// rest is the rest to rest time over d mm at up to v mm/s on an axis whose
// acceleration may be 0 for no ramp. No distance and no speed take no time.
func rest(d, v float64, a Axis) time.Duration {
	a.Speed = min(v, a.Speed)
	if !(d > 0) || !(a.Speed > 0) {
		return 0
	}
	t := d / a.Speed
	if a.Accel > 0 {
		p := newProfile(a)
		t = p.seconds(d)
	}
	return time.Duration(min(math.Round(float64(t*1e9)), math.MaxInt64/4))
}
