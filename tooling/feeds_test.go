package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

func bitRow(d, speed, chip float64) tooling.FeedRow {
	return tooling.FeedRow{Material: "m", Kind: tooling.Bit, Diameter: d, Speed: speed, ChipLoad: chip, Retract: 20_000}
}

func TestFeed(t *testing.T) {
	rules := tooling.Rules{Feeds: tooling.FeedTable{Rows: []tooling.FeedRow{
		bitRow(1, 50_000, 0.05), bitRow(0.5, 100_000, 0.03),
		{Material: "m", Kind: tooling.Cutter, Diameter: 2, Speed: 26_000, ChipLoad: 1000.0 / 26_000, Plunge: 600, Retract: 10_000},
		{Material: "tiny", Kind: tooling.Bit, Diameter: 1, Speed: 1, ChipLoad: 0.0001, Retract: 1},
	}}}
	bit := func(d float64) tooling.Tool { return tooling.Tool{ID: "B", Kind: tooling.Bit, Diameter: d} }
	for _, row := range []struct {
		name, reason string
		tool         tooling.Tool
		material     string
		spindle      tooling.SpeedLimits
		want         tooling.Feed
		err          error
	}{
		{"table", "no limit touches it", bit(1), "m", tooling.SpeedLimits{},
			tooling.Feed{Speed: 50_000, ChipLoad: 0.05, Infeed: 2500, Retract: 20_000}, nil},
		{"between", "linear between the rows on either side", bit(0.75), "m", tooling.SpeedLimits{},
			tooling.Feed{Speed: 75_000, ChipLoad: 0.04, Infeed: 3000, Retract: 20_000}, nil},
		{"last bit of a diameter", "0.1+0.2+0.7 is not quite 1", bit(0.1 + 0.2 + 0.7 + 2e-16), "m", tooling.SpeedLimits{},
			tooling.Feed{Speed: 50_000, ChipLoad: 0.05, Infeed: 2500, Retract: 20_000}, nil},
		{"spindle too slow", "chip load kept, infeed follows", bit(0.5), "m", tooling.SpeedLimits{Max: 80_000},
			tooling.Feed{Speed: 80_000, ChipLoad: 0.03, Infeed: 2400, Retract: 20_000, Clamped: "spindle max"}, nil},
		{"spindle too fast", "infeed never above the table's", bit(1), "m", tooling.SpeedLimits{Min: 60_000},
			tooling.Feed{Speed: 60_000, ChipLoad: 0.041667, Infeed: 2500, Retract: 20_000, Clamped: "spindle min"}, nil},
		{"tool max", "the tool's own limit", tooling.Tool{Kind: tooling.Bit, Diameter: 1, MaxSpeed: 40_000}, "m", tooling.SpeedLimits{Max: 80_000},
			tooling.Feed{Speed: 40_000, ChipLoad: 0.05, Infeed: 2000, Retract: 20_000, Clamped: "tool max"}, nil},
		{"tool min", "the tool's own limit", tooling.Tool{Kind: tooling.Bit, Diameter: 1, MinSpeed: 60_000}, "m", tooling.SpeedLimits{Min: 5},
			tooling.Feed{Speed: 60_000, ChipLoad: 0.041667, Infeed: 2500, Retract: 20_000, Clamped: "tool min"}, nil},
		{"broken limits", "whole rev/min inside both", bit(1), "m", tooling.SpeedLimits{Max: 40_000.9},
			tooling.Feed{Speed: 40_000, ChipLoad: 0.05, Infeed: 2000, Retract: 20_000, Clamped: "spindle max"}, nil},
		{"slot bit", "uses the rows of bits", tooling.Tool{Kind: tooling.SlotBit, Diameter: 1}, "m", tooling.SpeedLimits{},
			tooling.Feed{Speed: 50_000, ChipLoad: 0.05, Infeed: 2500, Retract: 20_000}, nil},
		{"cutter", "a quotient that does not come out even loses nothing", tooling.Tool{Kind: tooling.Cutter, Diameter: 2}, "m", tooling.SpeedLimits{},
			tooling.Feed{Speed: 26_000, ChipLoad: 0.038462, Infeed: 1000, Plunge: 600, Retract: 10_000}, nil},
		{"no common speed", "tool below spindle", tooling.Tool{Kind: tooling.Bit, Diameter: 1, MaxSpeed: 10_000}, "m", tooling.SpeedLimits{Min: 15_000}, tooling.Feed{}, tooling.ErrConflict},
		{"no whole speed", "nothing whole between 100.2 and 100.8", bit(1), "m", tooling.SpeedLimits{Min: 100.2, Max: 100.8}, tooling.Feed{}, tooling.ErrConflict},
		{"spindle below one turn", "0 rev/min is no speed", bit(1), "m", tooling.SpeedLimits{Max: 0.5}, tooling.Feed{}, tooling.ErrConflict},
		{"NaN limit", "refused", bit(1), "m", tooling.SpeedLimits{Max: math.NaN()}, tooling.Feed{}, tooling.ErrConflict},
		{"too thin", "below the diameters of the table", bit(0.4), "m", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrNoRow},
		{"too thick", "above the diameters of the table", bit(1.1), "m", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrNoRow},
		{"NaN diameter", "refused", bit(math.NaN()), "m", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrNoRow},
		{"1e300 diameter", "refused", bit(1e300), "m", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrNoRow},
		{"no rows", "a material without rows is refused", bit(1), "PTFE", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrNoRow},
		{"no infeed", "0 mm/min would never arrive", bit(1), "tiny", tooling.SpeedLimits{}, tooling.Feed{}, tooling.ErrValue},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := rules.Feed(row.tool, row.material, row.spindle)
			if !errors.Is(err, row.err) {
				t.Fatalf("%s: got error %v, want %v", row.reason, err, row.err)
			}
			if diff := cmp.Diff(row.want, got); diff != "" {
				t.Errorf("%s (-want +got):\n%s", row.reason, diff)
			}
		})
	}
}

// For any tool and spindle: the speed is within both limits and the infeed
// never above the table's own, nor above speed x chip load.
func TestFeedStaysWithinLimits(t *testing.T) {
	const seed = 7
	rng := rand.New(rand.NewPCG(seed, 1))
	rules := tooling.DefaultRules()
	fed := 0
	for i := range 20_000 {
		tool := tooling.Tool{Kind: tooling.Bit, Diameter: 0.1 + 6.4*rng.Float64()}
		if rng.IntN(3) == 0 {
			tool = tooling.Tool{Kind: tooling.Cutter, Diameter: 0.8 + 2.3*rng.Float64()}
		}
		spindle := tooling.SpeedLimits{Min: 60_000 * rng.Float64(), Max: 200_000 * rng.Float64()}
		if rng.IntN(2) == 0 {
			tool.MinSpeed, tool.MaxSpeed = 40_000*rng.Float64(), 180_000*rng.Float64()
		}
		row, err := rules.Feeds.At(tooling.FR4, tool.Kind, tool.Diameter)
		if err != nil {
			t.Fatal(err)
		}
		f, err := rules.Feed(tool, tooling.FR4, spindle)
		if errors.Is(err, tooling.ErrConflict) {
			continue
		}
		if err != nil {
			t.Fatalf("seed %d, case %d: %v", seed, i, err)
		}
		fed++
		if f.Speed < spindle.Min || f.Speed > spindle.Max || f.Speed < tool.MinSpeed || (tool.MaxSpeed > 0 && f.Speed > tool.MaxSpeed) {
			t.Fatalf("seed %d, case %d: %v rev/min outside %v, %v..%v", seed, i, f.Speed, spindle, tool.MinSpeed, tool.MaxSpeed)
		}
		if table := row.Speed * row.ChipLoad; f.Infeed > table+1e-5 || f.Infeed > f.Speed*row.ChipLoad+1e-5 {
			t.Fatalf("seed %d, case %d: infeed %v above the table's %v or %v x %v", seed, i, f.Infeed, table, f.Speed, row.ChipLoad)
		}
		if f.Speed != math.Trunc(f.Speed) || f.Infeed != math.Trunc(f.Infeed) {
			t.Fatalf("seed %d, case %d: %+v is off the writing grid", seed, i, f)
		}
	}
	if fed < 5000 {
		t.Errorf("only %d of the cases had a common speed", fed)
	}
}

func ExampleRules_Feed() {
	rules := tooling.DefaultRules()
	bit := tooling.Tool{ID: "B0.30", Kind: tooling.Bit, Diameter: 0.30}
	f, err := rules.Feed(bit, tooling.FR4, tooling.SpeedLimits{Min: 15_000, Max: 100_000})
	fmt.Printf("%.0f rev/min, %.0f mm/min, %s, %v\n", f.Speed, f.Infeed, f.Clamped, err)
	// Output: 100000 rev/min, 1600 mm/min, spindle max, <nil>
}

func ExampleFeedTable_At() {
	row, err := tooling.DefaultFeeds().At(tooling.FR4, tooling.Bit, 0.9)
	fmt.Printf("%.0f rev/min, %.3f mm, %v\n", row.Speed, row.ChipLoad, err)
	_, err = tooling.DefaultFeeds().At("PTFE", tooling.Bit, 0.9)
	fmt.Println(err)
	// Output:
	// 55000 rev/min, 0.044 mm, <nil>
	// feeds: tooling: no table row covers this: found bit of 0.900 mm, expected a row for bit in "PTFE"
}

func ExampleSpindleSpeed() {
	fmt.Printf("%.0f\n", tooling.SpindleSpeed(150, 2.4))
	// Output: 19894
}

func TestLoweredFeed(t *testing.T) {
	bit := tooling.Feed{Speed: 80_000, ChipLoad: 0.025, Infeed: 2000, Retract: 20_000}
	cutter := tooling.Feed{Speed: 26_000, ChipLoad: 0.038462, Infeed: 1000, Plunge: 601, Retract: 10_000}
	for _, c := range []struct {
		name, reason string
		feed         tooling.Feed
		limits       tooling.SpeedLimits
		want         tooling.Feed
		ok           bool
	}{
		{"fast enough", "as it was", bit, tooling.SpeedLimits{Min: 20_000, Max: 80_000}, bit, true},
		{"no limit", "as it was", bit, tooling.SpeedLimits{}, bit, true},
		{"slower", "half the speed, half the infeed", bit, tooling.SpeedLimits{Max: 40_000.9}, tooling.Feed{Speed: 40_000, ChipLoad: 0.025, Infeed: 1000, Retract: 20_000, Clamped: "spindle max"}, true},
		{"cutter", "the plunge as well, rounded down", cutter, tooling.SpeedLimits{Max: 13_000}, tooling.Feed{Speed: 13_000, ChipLoad: 0.038462, Infeed: 500, Plunge: 300, Retract: 10_000, Clamped: "spindle max"}, true},
		{"too fast", "it would burn the bit", bit, tooling.SpeedLimits{Min: 90_000, Max: 150_000}, bit, false},
	} {
		got, ok := c.feed.Lowered(c.limits)
		if got != c.want || ok != c.ok {
			t.Errorf("%s: %+v, %v, want %+v, %v: %s", c.name, got, ok, c.want, c.ok, c.reason)
		}
	}
}
