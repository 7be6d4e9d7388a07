package main

import (
	"fmt"
	"iter"
	"os"
	"slices"
	"strings"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// saved reads the pass that -from names. It must be the one of -pass, too: hits and paths
// are counted in its order.
func saved[P any](o options, decode func(src []byte, file string) (P, error), name func(P) string) (p P, err error) {
	src, err := os.ReadFile(o.from)
	if err != nil {
		return p, err
	}
	if p, err = decode(src, o.from); err == nil && name(p) != o.stop.pass {
		err = fmt.Errorf("%s: found pass %s, expected %s as -pass says", o.from, name(p), o.stop.pass)
	}
	return p, err
}

// names lists the passes of a job.
func names[P any](passes []P, name func(P) string) string {
	var list []string
	for _, p := range passes {
		if n := name(p); !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return strings.Join(list, ", ")
}

// after is the machine time in seconds that steps take after so many of a kind: a
// machine counts strokes and retracts, not steps.
func after(m machine.Machine, steps iter.Seq[machine.Step], kind machine.StepKind, count int) float64 {
	var at, end time.Duration
	for t, s := range m.Timed(steps) {
		if s.Kind == kind && count > 0 {
			count--
			at = t
		}
		end = t
	}
	return tooling.Snap((end - at).Seconds())
}
