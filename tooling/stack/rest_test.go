package stack_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling/stack"
)

func TestRestOfALoad(t *testing.T) {
	whole := stack.SetUp{
		Number: 1, Height: 2, Loads: 9, Stacks: 50, Spindles: 6, Last: 2, Handling: time.Minute, LoadTime: time.Hour,
		Tools: []stack.Share{{Pass: "plated", Place: 1, PerLoad: 3}, {Pass: "plated", Place: 2, PerLoad: 2}},
		Cost:  stack.Cost{Total: 7}, Times: stack.Times{Travel: time.Second}, Partial: 3, Carried: time.Second,
	}
	for _, c := range []struct {
		name, reason                  string
		stacks, spindles              int
		used, loads, last, stacksLeft int
	}{
		{"same machine", "the load as it was", 6, 6, 6, 1, 6, 6},
		{"more spindles", "no more than there are stacks", 6, 12, 6, 1, 6, 6},
		{"fewer spindles", "two loads, the second short", 6, 4, 4, 2, 2, 6},
		{"one spindle", "stack by stack", 6, 1, 1, 6, 1, 6},
		{"nothing said", "at least one of each", 0, 0, 1, 1, 1, 1},
	} {
		got := whole.Rest(c.stacks, c.spindles)
		want := stack.SetUp{
			Number: 1, Height: 2, Handling: time.Minute, Tools: whole.Tools,
			Spindles: c.used, Loads: c.loads, Last: c.last, Stacks: c.stacksLeft,
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s (-want +got)\n%s", c.name, c.reason, diff)
		}
	}
	if got := whole.LastPlace(); got != 5 {
		t.Errorf("the last of 3 and 2 tools has place %d", got)
	}
	if got := (stack.SetUp{}).LastPlace(); got != 0 {
		t.Errorf("no tools have place %d", got)
	}
	whole.Rest(1, 1).Tools[0].PerLoad = 99
	if whole.Tools[0].PerLoad != 3 {
		t.Error("the rest shares its tools with the whole")
	}
}
