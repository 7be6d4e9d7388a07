package machine

import (
	"fmt"
	"math"
)

// Axis holds the limits of one machine axis. The zero value has no limits and
// is not usable: Validate refuses it.
type Axis struct {
	Speed float64 `json:"speed"`          // mm/s, > 0
	Accel float64 `json:"accel"`          // mm/s2, > 0
	Jerk  float64 `json:"jerk,omitempty"` // mm/s3; 0: none, the speed profile is a trapezoid
}

// maxLimit is far above any machine and low enough that the sums and products
// of the profile stay finite.
const maxLimit = 1e12

// AxisError says which limit of an axis is unusable.
type AxisError struct {
	Field string  // "speed", "accel" or "jerk"
	Value float64 // what was found, in the field's own unit
}

// Error gives the field, what was found and what was expected.
func (e *AxisError) Error() string {
	if e.Field == "jerk" {
		return fmt.Sprintf("machine: axis jerk is %v, expected 0 (none) or 1e-6 to %g mm/s3", e.Value, maxLimit)
	}
	return fmt.Sprintf("machine: axis %s is %v, expected 1e-6 to %g", e.Field, e.Value, maxLimit)
}

// Validate reports the first unusable limit as an *AxisError. Limits outside
// 1e-6..1e12, NaN and the infinities are refused; a jerk of 0 is allowed.
func (a Axis) Validate() error {
	for _, f := range [...]struct {
		name string
		v    float64
	}{{"speed", a.Speed}, {"accel", a.Accel}, {"jerk", a.Jerk}} {
		if f.name == "jerk" && f.v == 0 {
			continue
		}
		if !(f.v >= 1e-6 && f.v <= maxLimit) {
			return &AxisError{Field: f.name, Value: f.v}
		}
	}
	return nil
}

// profile is an axis prepared for many questions: the distances at which the
// rest to rest move changes its shape, and the least time beyond each of them,
// so that rounding can never make a longer move the shorter one.
type profile struct {
	axis   Axis
	ramp   float64 // s: time to full speed, all jerk phases included
	full   float64 // mm: from here on the axis reaches its speed
	limit  float64 // mm: from here on it reaches its acceleration (0 without jerk)
	atFull float64 // s: time at full
	atLim  float64 // s: time at limit
	corner float64 // s: accel / jerk
}

func newProfile(a Axis) profile {
	p := profile{axis: a}
	v, acc, j := a.Speed, a.Accel, a.Jerk
	if j == 0 {
		p.ramp = v / acc
		p.full = float64(v * p.ramp)
		p.atFull = float64(2 * math.Sqrt(p.full/acc))
		return p
	}
	p.corner = acc / j
	// The acceleration limit only matters where the speed limit leaves room for it.
	if v > float64(acc*p.corner) {
		p.ramp = v/acc + p.corner
		p.limit = 2 * float64(acc*float64(p.corner*p.corner))
	} else {
		p.ramp = 2 * math.Sqrt(v/j)
		p.limit = math.Inf(1)
	}
	p.full = float64(v * p.ramp)
	p.atLim = p.below(p.limit)
	p.atFull = p.middle(p.full)
	return p
}

// below is the time of a move that reaches neither speed nor acceleration:
// four equal jerk phases, d = 2 j t^3.
func (p *profile) below(d float64) float64 {
	if p.axis.Jerk == 0 || math.IsInf(d, 1) {
		return 0
	}
	return 4 * cbrt(d/(2*p.axis.Jerk))
}

// middle is the time of a move that does not reach its speed.
func (p *profile) middle(d float64) float64 {
	if p.axis.Jerk == 0 {
		return 2 * math.Sqrt(d/p.axis.Accel)
	}
	if d < p.limit {
		return p.below(d)
	}
	t := p.corner + math.Sqrt(float64(p.corner*p.corner)+4*d/p.axis.Accel)
	return max(t, p.atLim)
}

// seconds is the rest to rest time of a move by d >= 0 mm.
func (p *profile) seconds(d float64) float64 {
	if d >= p.full {
		return max(d/p.axis.Speed+p.ramp, p.atFull)
	}
	return p.middle(d)
}

// cbrt is the cube root from additions, products and quotients that round the
// same way on every architecture, which math.Cbrt does not promise. It is
// monotone to the precision kept: the result is cut to 40 significant bits,
// far above the error of the last Newton step.
func cbrt(x float64) float64 {
	if x <= 0 {
		return 0
	}
	frac, exp := math.Frexp(x)
	for exp%3 != 0 {
		frac /= 2
		exp++
	}
	r := 0.5 + float64(0.5*frac) // 1/8 < frac < 1: within 15 % of the root
	for range 6 {
		r = (r + r + frac/float64(r*r)) / 3
	}
	const keep = 1 << 40
	return math.Ldexp(math.Round(float64(r*keep))/keep, exp/3)
}
