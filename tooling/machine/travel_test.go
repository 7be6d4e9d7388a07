package machine_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestTravelTrapezoid(t *testing.T) {
	x := machine.Axis{Speed: 500, Accel: 10000} // full speed from 25 mm on
	y := machine.Axis{Speed: 250, Accel: 10000} // full speed from 6.25 mm on
	for _, c := range []struct {
		name   string
		reason string
		to     orb.Point
		want   float64 // s, without settle
	}{
		{"short", "2 sqrt(d/a)", orb.Point{1, 0}, 2 * math.Sqrt(1.0/10000)},
		{"at full speed", "both formulas agree at v^2/a", orb.Point{25, 0}, 0.1},
		{"long", "d/v + v/a", orb.Point{-300, 0}, 300.0/500 + 500.0/10000},
		{"slower axis", "y needs longer for less", orb.Point{100, 90}, 90.0/250 + 250.0/10000},
		{"other axis", "x needs longer", orb.Point{200, 3}, 200.0/500 + 500.0/10000},
	} {
		tr := machine.NewTravel(x, y, 15*time.Millisecond, 0)
		want := time.Duration(math.Round(c.want*1e9)) + 15*time.Millisecond
		require.InDelta(t, float64(want), float64(tr.Between(orb.Point{7, -3}, orb.Point{7 + c.to[0], -3 + c.to[1]})), 2, c.name+": "+c.reason)
		require.InDelta(t, c.want*1e9, float64(tr.Move(orb.Point{}, c.to)), 2, c.name)
	}
}

// simulateRest is an outside check of the seven-phase curve: it integrates the
// jerk-limited profile numerically, searching the peak speed by bisection. It
// shares nothing with the closed form but the physics.
func simulateRest(a machine.Axis, d float64) float64 {
	// Ramp from 0 to v: time and distance, by stepping the acceleration.
	ramp := func(v float64) (time, way float64) {
		peak := min(a.Accel, math.Sqrt(v*a.Jerk))
		tj := peak / a.Jerk
		tc := v/peak - tj
		const steps = 4000
		total := 2*tj + tc
		dt := total / steps
		speed, at := 0.0, 0.0
		acc := func(t float64) float64 {
			switch {
			case t < tj:
				return a.Jerk * t
			case t < tj+tc:
				return peak
			}
			return max(peak-a.Jerk*(t-tj-tc), 0)
		}
		for k := range steps {
			t := float64(k) * dt
			mid := acc(t + dt/2)
			at += speed*dt + mid*dt*dt/2
			speed += mid * dt
		}
		return total, at
	}
	tv, wv := ramp(a.Speed)
	if 2*wv <= d {
		return 2*tv + (d-2*wv)/a.Speed
	}
	lo, hi := 0.0, a.Speed
	for range 60 {
		mid := (lo + hi) / 2
		if _, w := ramp(mid); 2*w < d {
			lo = mid
		} else {
			hi = mid
		}
	}
	tt, _ := ramp(hi)
	return 2 * tt
}

func TestTravelSevenPhases(t *testing.T) {
	for _, a := range []machine.Axis{
		{Speed: 600, Accel: 10000, Jerk: 400000},  // speed, acceleration and jerk all reached
		{Speed: 100, Accel: 10000, Jerk: 400000},  // the acceleration never is
		{Speed: 1500, Accel: 20000, Jerk: 200000}, // a long jerk phase
	} {
		tr := machine.NewTravel(a, a, 0, 0)
		for _, d := range []float64{0.01, 0.3, 1, 2.54, 10, 12.5, 40, 90, 250, 600} {
			want := simulateRest(a, d)
			got := tr.Move(orb.Point{}, orb.Point{d, 0}).Seconds()
			require.InEpsilon(t, want, got, 1e-5, "%+v, %v mm", a, d)
		}
	}
}

func TestTravelIsMonotone(t *testing.T) {
	const seed = 3
	r := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		a := machine.Axis{Speed: 1 + r.Float64()*2000, Accel: 10 + r.Float64()*30000}
		if r.IntN(2) == 0 {
			a.Jerk = 100 + r.Float64()*1e6
		}
		tr := machine.NewTravel(a, a, 0, 0)
		var last time.Duration
		d := 0.0
		for range 300 {
			d += r.Float64() * r.Float64() * 3
			// The neighbouring float as well: rounding must not turn back.
			for _, e := range []float64{d, math.Nextafter(d, math.Inf(1))} {
				got := tr.Move(orb.Point{}, orb.Point{0, e})
				require.GreaterOrEqual(t, got, last, "seed %d: %+v at %v mm", seed, a, e)
				last = got
			}
		}
	}
}

// Where the shape of the profile changes the time must not jump or turn back.
func TestTravelAtTheCorners(t *testing.T) {
	for _, a := range []machine.Axis{
		{Speed: 833.3333, Accel: 9806.65},
		{Speed: 600, Accel: 10000, Jerk: 400000},
		{Speed: 100, Accel: 10000, Jerk: 400000},
	} {
		tr := machine.NewTravel(a, a, 0, 0)
		corners := []float64{a.Speed * a.Speed / a.Accel}
		if a.Jerk > 0 {
			corners = []float64{
				2 * a.Accel * a.Accel * a.Accel / (a.Jerk * a.Jerk),
				a.Speed * (a.Speed/a.Accel + a.Accel/a.Jerk),
				a.Speed * 2 * math.Sqrt(a.Speed/a.Jerk),
			}
		}
		for _, c := range corners {
			var last time.Duration
			for k := -200; k <= 200; k++ {
				d := c * (1 + float64(k)*1e-16)
				got := tr.Move(orb.Point{}, orb.Point{d, 0})
				require.GreaterOrEqual(t, got, last)
				if last > 0 {
					require.LessOrEqual(t, got-last, time.Nanosecond)
				}
				last = got
			}
		}
	}
}

func TestTravelSettleAndOverlap(t *testing.T) {
	a := machine.Axis{Speed: 500, Accel: 10000}
	tr := machine.NewTravel(a, a, 15*time.Millisecond, 30*time.Millisecond)
	require.Equal(t, 15*time.Millisecond, tr.Settle())
	require.Equal(t, 30*time.Millisecond, tr.Overlap())
	require.Equal(t, time.Duration(0), tr.Between(orb.Point{1, 1}, orb.Point{1, 1}), "nothing moves")
	// 1 mm takes 20 ms, all of it behind the retract; 4 mm takes 40 ms.
	require.Equal(t, 15*time.Millisecond, tr.Between(orb.Point{}, orb.Point{1, 0}))
	require.Equal(t, 25*time.Millisecond, tr.Between(orb.Point{}, orb.Point{4, 0}))
	require.Equal(t, 40*time.Millisecond, tr.Move(orb.Point{}, orb.Point{4, 0}))
	x, y := tr.Axes()
	require.Equal(t, a, x)
	require.Equal(t, a, y)
	require.Zero(t, machine.Travel{}.Between(orb.Point{}, orb.Point{9, 9}), "the zero value moves in no time")
	require.Equal(t, time.Duration(0), machine.NewTravel(a, a, -1, -1).Settle())
}

func TestAxisValidate(t *testing.T) {
	good := machine.Axis{Speed: 500, Accel: 10000, Jerk: 1e5}
	require.NoError(t, good.Validate())
	for _, c := range []struct {
		field string
		axis  machine.Axis
	}{
		{"speed", machine.Axis{Accel: 1}},
		{"speed", machine.Axis{Speed: math.NaN(), Accel: 1}},
		{"accel", machine.Axis{Speed: 1, Accel: math.Inf(1)}},
		{"accel", machine.Axis{Speed: 1, Accel: 1e300}},
		{"jerk", machine.Axis{Speed: 1, Accel: 1, Jerk: -1}},
		{"jerk", machine.Axis{Speed: 1, Accel: 1, Jerk: math.NaN()}},
	} {
		var at *machine.AxisError
		require.ErrorAs(t, c.axis.Validate(), &at)
		require.Equal(t, c.field, at.Field)
		require.ErrorContains(t, at, c.field)
	}
}
