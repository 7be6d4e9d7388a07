package machine_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

func someSteps() []machine.Step {
	return []machine.Step{
		{Kind: machine.Change, Tool: 1},
		{Kind: machine.Move, To: orb.Point{30, 40}},
		{Kind: machine.Stroke, To: orb.Point{30, 40}, Tool: 1, Depth: 10, Feed: 2400, Retract: 25000},
		{Kind: machine.Pause, Time: 3 * time.Second},
		{Kind: machine.Move, To: orb.Point{0, 0}},
	}
}

func TestTimedEndsWithTheEstimate(t *testing.T) {
	m, _ := machine.Preset("ball screw")
	steps := slices.Values(someSteps())
	for range 2 { // every range starts from 0
		var last time.Duration
		var got []machine.Step
		for at, s := range m.Timed(steps) {
			if at < last {
				t.Errorf("the time falls from %v to %v", last, at)
			}
			last, got = at, append(got, s)
		}
		if want := m.Time(steps).Total(); last != want {
			t.Errorf("the last step ends at %v, the estimate says %v", last, want)
		}
		if !slices.Equal(got, someSteps()) {
			t.Errorf("other steps come out: %v", got)
		}
	}
}

func TestTimedStopsWhenAsked(t *testing.T) {
	var m machine.Machine
	taken := 0
	steps := func(yield func(machine.Step) bool) {
		for _, s := range someSteps() {
			taken++
			if !yield(s) {
				return
			}
		}
	}
	for range m.Timed(steps) {
		break
	}
	if taken != 1 {
		t.Errorf("%d steps were taken, want 1", taken)
	}
	for at := range m.Timed(slices.Values([]machine.Step(nil))) {
		t.Errorf("no steps give a time of %v", at)
	}
}

// What a controller shows while it runs: the time at the end of every step.
func ExampleMachine_Timed() {
	m, _ := machine.Preset("ball screw")
	steps := slices.Values([]machine.Step{
		{Kind: machine.Change, Tool: 1},
		{Kind: machine.Move, To: orb.Point{30, 40}},
		{Kind: machine.Stroke, To: orb.Point{30, 40}, Tool: 1, Depth: 10, Feed: 2400, Retract: 25000},
	})
	for at, s := range m.Timed(steps) {
		fmt.Printf("%-6s until %.2f s\n", s.Kind, at.Seconds())
	}
	// Output:
	// change until 10.00 s
	// move   until 10.14 s
	// stroke until 10.45 s
}
