package calibrate

import (
	"math"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// What a log may tell, in the order of Result.Parameters.
const (
	xSpeed = iota
	xAccel
	xJerk
	ySpeed
	yAccel
	yJerk
	settle
	zSpeed
	zAccel
	footDwell
	change
	load
	parameters
)

// trait describes a parameter. The plausible ranges span the classes of drill
// and rout machine (from memory: 15 to 100 m/min, 0.3 to 2.5 g, settle 8 to
// 50 ms, change 5 to 40 s, load 1 to 10 min) with a factor of two or more to
// spare on either side.
type trait struct {
	name, unit string
	lo, hi     float64 // plausible, in unit
	linear     bool    // may be zero: fitted as it is; others as logarithms
}

var traits = [parameters]trait{
	xSpeed:    {"x.speed", "mm/s", 100, 4000, false},
	xAccel:    {"x.accel", "mm/s2", 1000, 60_000, false},
	xJerk:     {"x.jerk", "mm/s3", 5000, 1e8, false},
	ySpeed:    {"y.speed", "mm/s", 100, 4000, false},
	yAccel:    {"y.accel", "mm/s2", 1000, 60_000, false},
	yJerk:     {"y.jerk", "mm/s3", 5000, 1e8, false},
	settle:    {"settle_s", "s", 0, 0.3, true},
	zSpeed:    {"z.speed", "mm/s", 50, 4000, false},
	zAccel:    {"z.accel", "mm/s2", 1000, 100_000, false},
	footDwell: {"foot_dwell_s", "s", 0, 0.2, true},
	change:    {"change_s", "s", 1, 180, false},
	load:      {"load_s", "s", 15, 3600, false},
}

// values are parameters in their units.
type values [parameters]float64

// of reads the parameters of a machine. A change is fitted with its spin-up;
// an axis without a jerk limit gets one that hardly limits it, a Z without
// ramps a steep one, to have something to start from.
func of(m machine.Machine) values {
	jerk := func(a machine.Axis) float64 {
		if a.Jerk > 0 {
			return a.Jerk
		}
		return 100 * a.Accel // full acceleration after 10 ms
	}
	z := m.Z.Accel
	if z == 0 {
		z = 30_000
	}
	return values{
		xSpeed: m.X.Speed, xAccel: m.X.Accel, xJerk: jerk(m.X), ySpeed: m.Y.Speed, yAccel: m.Y.Accel, yJerk: jerk(m.Y),
		settle: m.Settle.Seconds(), zSpeed: m.Z.Speed, zAccel: z, footDwell: m.FootDwell.Seconds(),
		change: max((m.Change + m.SpinUp).Seconds(), 0.1), load: max(m.Load.Seconds(), 0.1),
	}
}

// onto puts the parameters into a machine. Jerk only where the fit is of
// S-curves.
func (v values) onto(m machine.Machine, sCurve bool) machine.Machine {
	m.X = machine.Axis{Speed: v[xSpeed], Accel: v[xAccel]}
	m.Y = machine.Axis{Speed: v[ySpeed], Accel: v[yAccel]}
	if sCurve {
		m.X.Jerk, m.Y.Jerk = v[xJerk], v[yJerk]
	}
	m.Z.Speed, m.Z.Accel = v[zSpeed], v[zAccel]
	m.Settle, m.FootDwell = seconds(v[settle]), seconds(v[footDwell])
	m.Change = max(seconds(v[change])-m.SpinUp, 0)
	m.Load = seconds(v[load])
	return m
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(float64(s * 1e9))) }

// sample is a row ready for prediction.
type sample struct {
	hops           []Hop
	changes, loads float64
	seconds        float64
}

func samplesOf(rows []Row) []sample {
	out := make([]sample, len(rows))
	for i, r := range rows {
		hops, changes, loads := r.hops()
		out[i] = sample{hops, float64(changes), float64(loads), r.Seconds}
	}
	return out
}

// predict writes the seconds of the given samples by the machine's own clock.
func predict(dst []float64, samples []sample, which []int, m machine.Machine) {
	travel := m.Travel()
	changing, loading := (m.Change + m.SpinUp).Seconds(), m.Load.Seconds()
	for _, i := range which {
		s := samples[i]
		t := float64(s.changes*changing) + float64(s.loads*loading)
		for _, h := range s.hops {
			each := travel.Between(orb.Point{}, orb.Point{h.DX, h.DY})
			if h.Depth > 0 {
				each += m.StrokeTime(h.Depth, h.Feed, h.Retract, h.Pecks)
			}
			t += float64(float64(h.Count) * each.Seconds())
		}
		dst[i] = t
	}
}

// group is what kind of sample this is, for shapes and counts.
func (s sample) group() string {
	var moves, strokes bool
	along := ""
	for _, h := range s.hops {
		moves = moves || h.DX != 0 || h.DY != 0
		strokes = strokes || h.Depth > 0
	}
	other := s.changes > 0 || s.loads > 0
	if moves && !strokes && !other && len(s.hops) == 1 {
		along = "x moves"
		if abs(s.hops[0].DY) > abs(s.hops[0].DX) {
			along = "y moves"
		}
		return along
	}
	var parts []string
	for _, p := range []struct {
		is   bool
		name string
	}{{moves, "moves"}, {strokes, "strokes"}, {s.changes > 0, "changes"}, {s.loads > 0, "loads"}} {
		if p.is {
			parts = append(parts, p.name)
		}
	}
	return strings.Join(parts, " and ")
}
