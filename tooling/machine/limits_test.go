package machine_test

import (
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Every key of a machine is accepted at both its bounds, and one step beyond is
// refused under its key with what was found and what is allowed.
func TestLimitsOfAMachine(t *testing.T) {
	type set = func(*machine.Machine, float64)
	seconds := func(at func(*machine.Machine) *time.Duration) set {
		return func(m *machine.Machine, x float64) { *at(m) = time.Duration(math.Round(x * 1e9)) }
	}
	refused := func(path string, x float64, expected string, m machine.Machine) {
		t.Helper()
		var list tooling.InputErrors
		require.True(t, errors.As(m.Validate(), &list), "%s %v", path, x)
		want := tooling.InputErrors{{Source: tooling.Source{Path: path}, Found: fmt.Sprintf("%.6g", x), Expected: expected, Err: tooling.ErrValue}}
		require.Equal(t, *want[0], *list[0], "%s %v", path, x)
		require.Len(t, list, 1, "%s %v", path, x)
	}
	for _, c := range []struct {
		path   string
		lo, hi float64
		unit   string
		step   float64 // to just beyond
		set    set
	}{
		{"z.speed", 1e-6, 1e6, "mm/s", 1e-9, func(m *machine.Machine, x float64) { m.Z.Speed = x }},
		{"z.accel", 1e-6, 1e9, "mm/s2", 1e-6, func(m *machine.Machine, x float64) { m.Z.Accel, m.Z.Jerk = x, 1000 }},
		{"z.jerk", 1e-6, 1e12, "mm/s3", 1e-3, func(m *machine.Machine, x float64) { m.Z.Jerk = x }},
		{"settle_s", 0, 60, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.Settle })},
		{"overlap_s", 0, 60, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.Overlap })},
		{"approach_mm", 0, 50, "mm", 1e-9, func(m *machine.Machine, x float64) { m.Approach = x }},
		{"foot_dwell_s", 0, 60, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.FootDwell })},
		{"change_s", 0, 86_400, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.Change })},
		{"spin_up_s", 0, 3600, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.SpinUp })},
		{"load_s", 0, 86_400, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.Load })},
		{"stop_s", 0, 86_400, "s", 1e-9, seconds(func(m *machine.Machine) *time.Duration { return &m.Stop })},
		{"max_rev_per_min", 1, 1e6, "rev/min", 1e-6, func(m *machine.Machine, x float64) { m.MaxSpeed, m.MinSpeed = x, 0 }},
		{"foot_mm", 0, 200, "mm", 1e-9, func(m *machine.Machine, x float64) { m.Foot = x }},
		{"opening_mm", 0, 500, "mm", 1e-9, func(m *machine.Machine, x float64) { m.Opening = x }},
		{"rate_per_hour", 0, 1e6, "money/h", 1e-6, func(m *machine.Machine, x float64) { m.Rate = x }},
	} {
		for _, x := range []float64{c.lo - min(c.step, 1e-9), c.lo, c.hi, c.hi + c.step} {
			m := plain()
			c.set(&m, x)
			if x >= c.lo && x <= c.hi {
				require.NoError(t, m.Validate(), "%s %v", c.path, x)
				continue
			}
			refused(c.path, x, fmt.Sprintf("%.6g to %.6g %s", c.lo, c.hi, c.unit), m)
		}
	}
	for _, c := range []struct {
		path   string
		lo, hi int
		set    func(*machine.Machine, int)
	}{
		{"spindles", 1, 100, func(m *machine.Machine, n int) { m.Spindles = n }},
		{"places", 1, 100_000, func(m *machine.Machine, n int) { m.Places = n }},
	} {
		for n, ok := range map[int]bool{c.lo - 1: false, c.lo: true, c.hi: true, c.hi + 1: false} {
			m := plain()
			c.set(&m, n)
			if ok {
				require.NoError(t, m.Validate(), "%s %d", c.path, n)
				continue
			}
			var list tooling.InputErrors
			require.ErrorAs(t, m.Validate(), &list)
			require.Equal(t, tooling.InputErrors{{Source: tooling.Source{Path: c.path}, Found: fmt.Sprint(n), Expected: fmt.Sprintf("%d to %d", c.lo, c.hi), Err: tooling.ErrValue}}, list)
		}
	}
	for _, path := range []string{"x.speed", "x.accel", "x.jerk", "y.speed", "y.accel", "y.jerk"} {
		for _, v := range []float64{math.Nextafter(1e-6, 0), 1e-6, 1e12, math.Nextafter(1e12, 1e13), math.NaN(), 0} {
			m := plain()
			axis := map[byte]*machine.Axis{'x': &m.X, 'y': &m.Y}[path[0]]
			*map[string]*float64{"speed": &axis.Speed, "accel": &axis.Accel, "jerk": &axis.Jerk}[path[2:]] = v
			field, unit, expected := path[2:], "", "1e-6 to 1e12"
			if field == "jerk" {
				expected, unit = "0 (none) or 1e-6 to 1e12", " mm/s3"
			}
			if v >= 1e-6 && v <= 1e12 || v == 0 && field == "jerk" {
				require.NoError(t, m.Validate(), "%s %v", path, v)
				require.NoError(t, axis.Validate(), "%s %v", path, v)
				continue
			}
			refused(path, v, expected, m)
			var bad *machine.AxisError
			require.ErrorAs(t, axis.Validate(), &bad)
			require.Equal(t, field, bad.Field)
			wording := map[bool]string{true: "0 (none) or 1e-6 to 1e+12", false: "1e-6 to 1e+12"}[field == "jerk"]
			require.EqualError(t, bad, fmt.Sprintf("machine: axis %s is %v, expected %s%s", field, v, wording, unit))
		}
	}
	m := plain()
	m.MinSpeed = -1e-9
	refused("min_rev_per_min", -1e-9, "0 to 1e+06 rev/min", m)
	m.MinSpeed = m.MaxSpeed
	require.NoError(t, m.Validate())
	m.MinSpeed = math.Nextafter(m.MaxSpeed, 1e9)
	var list tooling.InputErrors
	require.ErrorAs(t, m.Validate(), &list)
	require.Equal(t, tooling.InputErrors{{Source: tooling.Source{Path: "min_rev_per_min"}, Found: "100000", Expected: "no more than max_rev_per_min", Err: tooling.ErrConflict}}, list)
}

// Estimates add up cause by cause and tool by tool; the floor of a sum is known only
// where both are, or one is nothing at all.
func TestEstimatesAddUp(t *testing.T) {
	at := func(k time.Duration) machine.Estimate {
		return machine.Estimate{
			Travel: 1 * k, Settle: 2 * k, Stroke: 3 * k, Change: 5 * k, Load: 7 * k, Rout: 11 * k, Pause: 13 * k, Floor: 17 * k,
			Hits: 19 * int(k), Path: 23 * float64(k), Cut: 29 * float64(k), Used: []machine.ToolUse{{Tool: int(k), Hits: 31 * int(k), Cut: 37 * float64(k)}, {Tool: 9, Hits: 41 * int(k), Cut: 43 * float64(k)}},
		}
	}
	want := at(5)
	want.Used = []machine.ToolUse{{Tool: 2, Hits: 62, Cut: 74}, {Tool: 9, Hits: 205, Cut: 215}, {Tool: 3, Hits: 93, Cut: 111}}
	require.Equal(t, want, at(2).Add(at(3)))
	want.Used = nil
	require.Equal(t, want, at(1).Times(5))
	require.Equal(t, time.Duration(42*2), at(2).Total())

	unknown := at(3)
	unknown.Floor = 0
	for _, c := range []struct {
		a, b machine.Estimate
		want time.Duration
	}{
		{at(2), at(3), 5 * 17}, {at(2), unknown, 0}, {unknown, at(2), 0}, {unknown, unknown, 0},
		{machine.Estimate{}, at(3), 3 * 17}, {at(3), machine.Estimate{}, 3 * 17}, {machine.Estimate{}, unknown, 0}, {machine.Estimate{}, machine.Estimate{}, 0},
	} {
		require.Equal(t, c.want, c.a.Add(c.b).Floor)
	}
	require.Equal(t, 42.0/17, at(2).FloorRatio())
	require.Zero(t, unknown.FloorRatio())

	busy := machine.Estimate{Hits: 90, Travel: 10 * time.Second, Settle: 15 * time.Second, Stroke: 20 * time.Second, Change: time.Hour}
	require.Equal(t, 120.0, busy.HitsPerMinute())
	require.Zero(t, machine.Estimate{Hits: 90}.HitsPerMinute(), "in no time there is no rate")
	require.Zero(t, machine.Estimate{Stroke: time.Second}.HitsPerMinute())
}

// A cutter stops at a corner of more than 10 degrees and runs through one of just
// 10; where lines and arcs meet smoothly it never stops, whichever way the arc
// turns, and where they do not it does.
func TestWhereACutterStops(t *testing.T) {
	m := plain() // 1000 mm/s2; at 3000 mm/min a stop costs 50 ms
	cut := func(steps ...machine.Step) time.Duration {
		for i := range steps {
			steps[i].Feed = 3000
		}
		return m.Time(values(append([]machine.Step{{Kind: machine.Move}}, steps...))).Rout
	}
	line := func(x, y float64) machine.Step { return machine.Step{Kind: machine.Line, To: orb.Point{x, y}} }
	arc := func(x, y, cx, cy float64, clockwise bool) machine.Step {
		return machine.Step{Kind: machine.Arc, To: orb.Point{x, y}, Center: orb.Point{cx, cy}, Clockwise: clockwise}
	}
	time1 := func(mm float64, runs int) time.Duration {
		return time.Duration(math.Round(mm/50*1e9)) + time.Duration(runs)*50*time.Millisecond
	}
	turned := func(degrees float64) machine.Step {
		s, c := math.Sincos(degrees * math.Pi / 180)
		return line(100+100*c, 100*s)
	}
	quarter := 20 * math.Pi / 2
	for _, c := range []struct {
		name  string
		steps []machine.Step
		mm    float64
		runs  int
	}{
		{"straight on", []machine.Step{line(100, 0), line(200, 0)}, 200, 1},
		{"10 degrees", []machine.Step{line(100, 0), turned(10)}, 200, 1},
		{"10 degrees to the right", []machine.Step{line(100, 0), turned(-10)}, 200, 1},
		{"more than 10", []machine.Step{line(100, 0), turned(10.000001)}, 200, 2},
		{"back", []machine.Step{line(100, 0), line(0, 0)}, 200, 2},
		{"into a left arc", []machine.Step{line(100, 0), arc(120, 20, 100, 20, false)}, 100 + quarter, 1},
		{"out of it", []machine.Step{line(100, 0), arc(120, 20, 100, 20, false), line(120, 120)}, 200 + quarter, 1},
		{"into a right arc", []machine.Step{line(100, 0), arc(120, -20, 100, -20, true)}, 100 + quarter, 1},
		{"out of a right arc", []machine.Step{line(100, 0), arc(120, -20, 100, -20, true), line(120, -120)}, 200 + quarter, 1},
		{"an arc across", []machine.Step{line(100, 0), arc(120, 20, 120, 0, true)}, 100 + quarter, 2},
		{"three quarters to the left", []machine.Step{line(100, 0), arc(80, 20, 100, 20, false), line(80, 0)}, 120 + 3*quarter, 1},
		{"three quarters to the right", []machine.Step{line(100, 0), arc(80, -20, 100, -20, true), line(80, 0)}, 120 + 3*quarter, 1},
		{"a full circle", []machine.Step{line(100, 0), arc(100, 0, 100, 20, false), line(200, 0)}, 200 + 4*quarter, 1},
		{"a full circle to the right", []machine.Step{line(100, 0), arc(100, 0, 100, -20, true), line(200, 0)}, 200 + 4*quarter, 1},
		{"no way to go", []machine.Step{line(100, 0), line(100, 0), arc(100, 0, 100, 0, true), line(200, 0)}, 200, 1},
	} {
		if d := cmp.Diff(time1(c.mm, c.runs), cut(c.steps...), cmpopts.EquateComparable(), cmp.Comparer(func(a, b time.Duration) bool { return (a - b).Abs() < 100*time.Nanosecond })); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}

	// The slower of the two axes makes the ramp, whichever it is.
	slow := time1(100, 0) + 100*time.Millisecond
	m.Y.Accel = 500
	require.Equal(t, slow, cut(line(100, 0)))
	m.X, m.Y = m.Y, m.X
	require.Equal(t, slow, cut(line(100, 0)))
	m.X.Jerk = 1e12 // with equal acceleration that of X counts
	m.Y.Accel = 500
	require.Greater(t, cut(line(100, 0)), slow)
}

// A move that would take longer than a duration can say is cut off, not turned into
// a negative time.
func TestMovesWithoutEnd(t *testing.T) {
	m := plain()
	m.X, m.Y, m.Z = machine.Axis{Speed: 1e-6, Accel: 1e-6}, machine.Axis{Speed: 1e-6, Accel: 1e-6}, machine.Axis{Speed: 1e-6, Accel: 1e-6}
	far := m.Travel().Move(orb.Point{-1e4, 0}, orb.Point{1e4, 0})
	require.Equal(t, time.Duration(1<<62), far)
	require.Equal(t, time.Duration(1<<61), m.Time(values([]machine.Step{{Kind: machine.Plunge, Depth: 1e4, Feed: 6e4}})).Rout)
	require.Zero(t, m.Time(values([]machine.Step{{Kind: machine.Plunge, Depth: 0, Feed: 6e4}, {Kind: machine.Plunge, Depth: -1, Feed: 6e4}})).Rout)
}
