package calibrate

import (
	"slices"
	"testing"

	"example.org/pinstack/tooling"
)

// A search that ran out of rounds is said to have done so.
func TestJudgeUnsettled(t *testing.T) {
	for _, settled := range []bool{false, true} {
		var r Result
		(&problem{}).judge(&r, state{settled: settled, resid: []float64{0}})
		got := slices.ContainsFunc(r.Report, func(f tooling.Finding) bool { return f.Rule == RuleUnsettled })
		if got == settled {
			t.Errorf("settled %v: got %v", settled, r.Report)
		}
	}
}

// Groups that share a member become one; others stay apart.
func TestJoin(t *testing.T) {
	var groups [][]int
	for _, g := range [][]int{{zSpeed, zAccel}, {xSpeed, settle}, {footDwell, zAccel}} {
		groups = join(groups, g)
	}
	got := named(groups)
	want := [][]string{{"x.speed", "settle_s"}, {"z.speed", "z.accel", "foot_dwell_s"}}
	if !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("got %v, want %v", got, want)
	}
}
