package machine

import (
	"cmp"
	"slices"
	"time"

	"github.com/paulmach/orb"
)

// gravity in mm/s2, the standard value: accelerations of machines are quoted
// in g.
const gravity = 9806.65

func axis(metresPerMinute, g float64) Axis {
	return Axis{Speed: metresPerMinute * 1000 / 60, Accel: gravity * g}
}

// Presets returns the machines that come with the library, by name: `ball
// screw`, `linear motor`, `older`, and `worked`. The first three are typical
// figures from memory, uncalibrated: time a job on your own machine before
// you trust an estimate. `worked` has no Z ramps and reproduces the worked
// hit rates of the package tests. Rates are assumptions.
func Presets() []Machine {
	machines := []Machine{
		{
			Name: "older", X: axis(20, 0.4), Y: axis(20, 0.4), Z: axis(15, 0.8),
			Settle: 40 * time.Millisecond, Change: 20 * time.Second, Load: 8 * time.Minute,
			Spindles: 4, Places: 60, MinSpeed: 15_000, MaxSpeed: 100_000, Foot: 14, Rate: 35, ChangeAt: orb.Point{0, 0},
		},
		{
			Name: "ball screw", X: axis(50, 1), Y: axis(50, 1), Z: axis(25, 1.5),
			Settle: 15 * time.Millisecond, Change: 10 * time.Second, Load: 4 * time.Minute,
			Spindles: 6, Places: 200, MinSpeed: 15_000, MaxSpeed: 125_000, Foot: 12, Rate: 60, ChangeAt: orb.Point{0, 0},
		},
		{
			Name: "linear motor", X: axis(90, 2), Y: axis(90, 2), Z: axis(40, 2.5),
			Settle: 10 * time.Millisecond, Change: 7 * time.Second, Load: 2 * time.Minute,
			Spindles: 6, Places: 300, MinSpeed: 15_000, MaxSpeed: 180_000, Foot: 12, Rate: 95, ChangeAt: orb.Point{0, 0},
		},
		{
			Name: "worked", X: axis(50, 1), Y: axis(50, 1), Z: Axis{Speed: 1000},
			Settle: 15 * time.Millisecond, Change: 10 * time.Second, Load: 4 * time.Minute,
			Spindles: 1, Places: 200, MinSpeed: 0, MaxSpeed: 160_000, Foot: 12, Rate: 60, ChangeAt: orb.Point{0, 0},
		},
	}
	slices.SortFunc(machines, func(a, b Machine) int { return cmp.Compare(a.Name, b.Name) })
	return machines
}

// Preset returns the preset of a name and whether there is one.
func Preset(name string) (Machine, bool) {
	for _, m := range Presets() {
		if m.Name == name {
			return m, true
		}
	}
	return Machine{}, false
}
