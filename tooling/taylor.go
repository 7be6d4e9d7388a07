package tooling

import (
	"math"
	"time"
)

// Taylor is the tool-life law V T^n = C: what cutting speed V, in m/min,
// leaves how much time T in the cut, in minutes (F. W. Taylor, On the Art of
// Cutting Metals, 1907; any manufacturing text). It trades speed against life
// where a shop has measured both constants; nothing uses it unasked.
type Taylor struct {
	N float64 `json:"n"`           // exponent, 0 < n < 1
	C float64 `json:"c_m_per_min"` // the speed that lasts one minute
}

// FitTaylor returns the law through two measured points: speeds in m/min and
// the times in the cut they lasted. The faster must last less and the exponent
// come out below 1, else the error is an [*InputError] wrapping [ErrConflict],
// or [ErrValue] for values that are none.
func FitTaylor(v1 float64, t1 time.Duration, v2 float64, t2 time.Duration) (Taylor, error) {
	var v Validation
	v.Within("v1", v1, 0.1, 2000, "m/min")
	v.Within("v2", v2, 0.1, 2000, "m/min")
	v.Within("t1", t1.Minutes(), 1e-6, 1e6, "min")
	v.Within("t2", t2.Minutes(), 1e-6, 1e6, "min")
	if err := v.Err(); err != nil {
		return Taylor{}, err
	}
	n := math.Log(v1/v2) / math.Log(t2.Minutes()/t1.Minutes())
	if !(n > 0 && n < 1) {
		return Taylor{}, &InputError{
			Source: Source{Path: "v2"}, Err: ErrConflict, Expected: "less life at the higher speed, by more than the speed itself",
			Found: number(v1) + " m/min for " + t1.String() + " and " + number(v2) + " m/min for " + t2.String(),
		}
	}
	return Taylor{N: n, C: v1 * math.Pow(t1.Minutes(), n)}, nil
}

// Validate returns nil or [InputErrors] with a JSON path for each fault.
func (t Taylor) Validate() error {
	var v Validation
	v.Within("n", t.N, 0.01, 0.99, "")
	v.Within("c_m_per_min", t.C, 0.1, 1e6, "m/min")
	return v.Err()
}

// Life returns the time in the cut at a cutting speed in m/min; 0 for a law or
// a speed that is none.
func (t Taylor) Life(speed float64) time.Duration {
	m := math.Pow(t.C/speed, 1/t.N)
	if !(m > 0 && speed > 0) {
		return 0
	}
	return time.Duration(min(math.Round(float64(m*float64(time.Minute))), math.MaxInt64/2))
}

// Speed returns the cutting speed in m/min that lasts a time in the cut; 0 for
// a time that is none.
func (t Taylor) Speed(life time.Duration) float64 {
	if life <= 0 {
		return 0
	}
	return t.C / math.Pow(life.Minutes(), t.N)
}

// Hits returns how many whole strokes of a drilled depth in mm a bit makes at
// a cutting speed in m/min and an infeed in mm/min; 0 for values that are
// none.
func (t Taylor) Hits(speed, infeed, depth float64) float64 {
	hits := t.Life(speed).Minutes() * infeed / depth
	if !(hits > 0) || math.IsInf(hits, 0) {
		return 0
	}
	return math.Floor(hits + 1e-9)
}

// Scale returns what a life in hits or mm is multiplied by when the tool runs
// at ratio times the speed the life was measured at, chip load unchanged: the
// time in the cut changes by ratio^(-1/n) and the infeed by ratio. 0 for a
// ratio that is none.
func (t Taylor) Scale(ratio float64) float64 {
	if !(ratio > 0) {
		return 0
	}
	return math.Pow(ratio, 1-1/t.N)
}
