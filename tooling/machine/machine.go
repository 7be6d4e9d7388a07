package machine

import (
	"encoding/json"
	"errors"
	"math"
	"strconv"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Machine describes one drill and rout machine.
type Machine struct {
	Name       string        // what the shop calls it
	X, Y, Z    Axis          // Z.Accel 0: a Z without ramps
	Settle     time.Duration // after every XY move
	Overlap    time.Duration // part of a move hidden behind the retract above the clearance
	Approach   float64       // mm of each stroke, from the clearance, made at the Z axis' own speed before the infeed starts; 0: infeed from the clearance
	FootDwell  time.Duration // pressure foot down and settled, once a stroke
	Change     time.Duration // one tool change at the change position: put away, pick, check
	SpinUp     time.Duration // spindle up to speed after a change
	Load       time.Duration // unload and load all stacks
	Stop       time.Duration // the operator's usual answer to a programmed stop
	Spindles   int           // stacks drilled at once
	Places     int           // tool places a spindle
	MinSpeed   float64       // rev/min
	MaxSpeed   float64       // rev/min
	Foot       float64       // pressure foot diameter, mm
	Opening    float64       // mm from the table to the tip raised as far as it goes: backup, stack, entry and clearance pass under it; 0: not known, not looked at
	Rate       float64       // money an hour
	ChangeAt   orb.Point     // where tools are changed, panel coordinates, mm
	Calibrated bool          // times were fitted to the shop's own log
}

// Travel returns the XY move model of the machine. Axes that [Machine.Validate]
// refuses, such as those of the zero value, move in no time.
func (m Machine) Travel() Travel {
	if m.X.Validate() != nil || m.Y.Validate() != nil {
		return Travel{}
	}
	return NewTravel(m.X, m.Y, m.Settle, m.Overlap)
}

// Speeds returns the spindle's limits.
func (m Machine) Speeds() tooling.SpeedLimits {
	return tooling.SpeedLimits{Min: m.MinSpeed, Max: m.MaxSpeed}
}

// file is the JSON form: durations in seconds, everything with its unit.
type file struct {
	Name       string    `json:"name"`
	X          Axis      `json:"x"`
	Y          Axis      `json:"y"`
	Z          Axis      `json:"z"`
	Settle     float64   `json:"settle_s"`
	Overlap    float64   `json:"overlap_s,omitempty"`
	Approach   float64   `json:"approach_mm,omitempty"`
	FootDwell  float64   `json:"foot_dwell_s,omitempty"`
	Change     float64   `json:"change_s"`
	SpinUp     float64   `json:"spin_up_s,omitempty"`
	Load       float64   `json:"load_s"`
	Stop       float64   `json:"stop_s,omitempty"`
	Spindles   int       `json:"spindles"`
	Places     int       `json:"places"`
	MinSpeed   float64   `json:"min_rev_per_min"`
	MaxSpeed   float64   `json:"max_rev_per_min"`
	Foot       float64   `json:"foot_mm"`
	Opening    float64   `json:"opening_mm,omitempty"`
	Rate       float64   `json:"rate_per_hour"`
	ChangeAt   orb.Point `json:"change_at_mm"`
	Calibrated bool      `json:"calibrated,omitempty"`
}

// seconds rounds to whole nanoseconds.
func seconds(s float64) time.Duration { return time.Duration(math.Round(float64(s * 1e9))) }

func (f file) machine() Machine {
	return Machine{
		Name: f.Name, X: f.X, Y: f.Y, Z: f.Z,
		Settle: seconds(f.Settle), Overlap: seconds(f.Overlap), Approach: f.Approach, FootDwell: seconds(f.FootDwell),
		Change: seconds(f.Change), SpinUp: seconds(f.SpinUp), Load: seconds(f.Load), Stop: seconds(f.Stop),
		Spindles: f.Spindles, Places: f.Places, MinSpeed: f.MinSpeed, MaxSpeed: f.MaxSpeed,
		Foot: f.Foot, Opening: f.Opening, Rate: f.Rate, ChangeAt: f.ChangeAt, Calibrated: f.Calibrated,
	}
}

func (m Machine) file() file {
	return file{
		Name: m.Name, X: m.X, Y: m.Y, Z: m.Z,
		Settle: m.Settle.Seconds(), Overlap: m.Overlap.Seconds(), Approach: m.Approach, FootDwell: m.FootDwell.Seconds(),
		Change: m.Change.Seconds(), SpinUp: m.SpinUp.Seconds(), Load: m.Load.Seconds(), Stop: m.Stop.Seconds(),
		Spindles: m.Spindles, Places: m.Places, MinSpeed: m.MinSpeed, MaxSpeed: m.MaxSpeed,
		Foot: m.Foot, Opening: m.Opening, Rate: m.Rate, ChangeAt: m.ChangeAt, Calibrated: m.Calibrated,
	}
}

// MarshalJSON writes durations in seconds under keys that carry their units.
func (m Machine) MarshalJSON() ([]byte, error) { return json.Marshal(m.file()) }

// UnmarshalJSON reads the keys of [Machine.MarshalJSON] over what m holds. It
// is as strict as [tooling.Decode] and does not validate; [Decode] does both.
func (m *Machine) UnmarshalJSON(src []byte) error {
	f := m.file()
	if err := tooling.Decode(src, "", &f); err != nil {
		return err
	}
	*m = f.machine()
	return nil
}

// Decode reads a machine from JSON over base, so that a file may start from a
// preset and override parts of it, and validates it. Errors are
// [*tooling.InputError] or [tooling.InputErrors] with file and JSON path.
func Decode(src []byte, name string, base Machine) (Machine, error) {
	f := base.file()
	if err := tooling.Decode(src, name, &f); err != nil {
		return Machine{}, err
	}
	v := tooling.Validation{File: name}
	f.validate(&v)
	if err := v.Err(); err != nil {
		return Machine{}, err
	}
	return f.machine(), nil
}

// Validate returns nil or [tooling.InputErrors] with a JSON path for each
// fault.
func (m Machine) Validate() error {
	var v tooling.Validation
	m.file().validate(&v)
	return v.Err()
}

const day = 86_400.0

func (f file) validate(v *tooling.Validation) {
	for _, a := range []struct {
		path string
		axis Axis
	}{{"x", f.X}, {"y", f.Y}} {
		var bad *AxisError
		if errors.As(a.axis.Validate(), &bad) {
			expected := "1e-6 to 1e12"
			if bad.Field == "jerk" {
				expected = "0 (none) or " + expected
			}
			v.Add(a.path+"."+bad.Field, tooling.ErrValue, strconv.FormatFloat(bad.Value, 'g', 6, 64), expected)
		}
	}
	v.Within("z.speed", f.Z.Speed, 1e-6, 1e6, "mm/s")
	if f.Z.Accel != 0 || f.Z.Jerk != 0 { // a jerk limit is one of a ramp
		v.Within("z.accel", f.Z.Accel, 1e-6, 1e9, "mm/s2")
	}
	if f.Z.Jerk != 0 {
		v.Within("z.jerk", f.Z.Jerk, 1e-6, maxLimit, "mm/s3")
	}
	v.Within("settle_s", f.Settle, 0, 60, "s")
	v.Within("overlap_s", f.Overlap, 0, 60, "s")
	v.Within("approach_mm", f.Approach, 0, 50, "mm")
	v.Within("foot_dwell_s", f.FootDwell, 0, 60, "s")
	v.Within("change_s", f.Change, 0, day, "s")
	v.Within("spin_up_s", f.SpinUp, 0, 3600, "s")
	v.Within("load_s", f.Load, 0, day, "s")
	v.Within("stop_s", f.Stop, 0, day, "s")
	v.Count("spindles", f.Spindles, 1, 100)
	v.Count("places", f.Places, 1, 100_000)
	v.Within("max_rev_per_min", f.MaxSpeed, 1, 1e6, "rev/min")
	v.Within("min_rev_per_min", f.MinSpeed, 0, 1e6, "rev/min")
	if f.MinSpeed > f.MaxSpeed {
		v.Add("min_rev_per_min", tooling.ErrConflict, strconv.FormatFloat(f.MinSpeed, 'g', 6, 64), "no more than max_rev_per_min")
	}
	v.Within("foot_mm", f.Foot, 0, 200, "mm")
	v.Within("opening_mm", f.Opening, 0, 500, "mm")
	v.Within("rate_per_hour", f.Rate, 0, 1e6, "money/h")
	v.Point("change_at_mm", f.ChangeAt)
}
