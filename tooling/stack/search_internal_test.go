package stack

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

// TestFrontKeepsWhatNoPlanRulesOut holds the sweep against comparing all with
// all, on labels small enough to see.
func TestFrontKeepsWhatNoPlanRulesOut(t *testing.T) {
	plan := func(cost, ns, use int64, differs bool) label {
		return label{edge: edge{cost: cost, ns: ns, key: cost, use: []int64{use}}, differs: differs}
	}
	for _, tc := range []struct {
		name   string
		reason string
		shared int
		labels []label
		keep   []int // indices, cheapest first
	}{
		{"time alone", "the third is dearer and no faster than the second", 0,
			[]label{plan(1, 10, 0, false), plan(2, 5, 0, false), plan(3, 5, 0, false), plan(4, 1, 0, false)}, []int{0, 1, 3}},
		{"stock too", "the third is slower than one and takes more than the other, but neither at once", 1,
			[]label{plan(1, 10, 1, false), plan(2, 1, 9, false), plan(3, 5, 5, false), plan(4, 10, 5, false)}, []int{0, 1, 2}},
		{"apart", "a plan that differs is not ruled out by one that does not", 0,
			[]label{plan(1, 1, 0, false), plan(2, 2, 0, true), plan(3, 3, 0, true)}, []int{0, 1}},
		{"equal", "the first of equals stays", 0,
			[]label{plan(1, 1, 0, false), plan(1, 1, 0, false)}, []int{0}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := shop{options: Options{Front: true}, shared: make([]tooling.Tool, tc.shared)}
			var got, want []int64
			for _, l := range s.front(tc.labels) {
				got = append(got, l.cost)
			}
			for _, i := range tc.keep {
				want = append(want, tc.labels[i].cost)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s (-want +got):\n%s", tc.reason, diff)
			}
		})
	}
}
