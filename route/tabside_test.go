package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// perSide counts the tabs of board 0 by the way their edges face.
func perSide(l route.Layout) map[orb.Point]int {
	out := map[orb.Point]int{}
	for _, t := range l.Tabs {
		if t.Board == 0 {
			out[t.Out]++
		}
	}
	return out
}

func TestTabsOnEverySide(t *testing.T) {
	right, upper, left, lower := orb.Point{1, 0}, orb.Point{0, 1}, orb.Point{-1, 0}, orb.Point{0, -1}
	for _, tt := range []struct {
		name    string
		w, h    float64
		perSide int
		want    map[orb.Point]int // at least
		short   int               // sides told to have fewer
	}{
		{"none asked", 120, 90, 0, map[orb.Point]int{}, 0},
		{"one a side", 120, 90, 1, map[orb.Point]int{right: 1, upper: 1, left: 1, lower: 1}, 0},
		{"two a side", 120, 90, 2, map[orb.Point]int{right: 2, upper: 2, left: 2, lower: 2}, 0},
		{"short sides take one", 160, 24, 2, map[orb.Point]int{right: 1, upper: 2, left: 1, lower: 2}, 2},
		{"short sides take none", 160, 12, 1, map[orb.Point]int{upper: 1, lower: 1}, 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := input(route.Board{Outline: rounded(tt.w, tt.h, 0)}, panel(220, 160, orb.Point{30, 30}))
			in.Rules.Rout.Cutter = 2.4
			in.Rules.Tabs.PerSide, in.Rules.Tabs.PerBoard, in.Rules.Tabs.Spacing = tt.perSide, 3, 500
			l := lay(t, in)
			got := perSide(l)
			for side, n := range tt.want {
				require.GreaterOrEqual(t, got[side], n, "%v", got)
			}
			short := 0
			for _, f := range l.Report {
				if f.Rule == "tab-side" {
					short += f.Count
				}
			}
			require.Equal(t, tt.short, short)
			p := mounted(t, l, route.Options{})
			require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
		})
	}
}

// A side on a score line is held by it and needs no tab.
func TestScoredSidesNeedNoTab(t *testing.T) {
	in := input(route.Board{Outline: rounded(60, 40, 0)}, panel(160, 100, orb.Point{20, 30}, orb.Point{80, 30}))
	in.Panel.Scores = []tooling.Score{{{80, 0}, {80, 100}}}
	in.Rules.Tabs.PerSide = 1
	l := lay(t, in)
	for _, f := range l.Report {
		require.NotEqual(t, "tab-side", f.Rule)
	}
	got := perSide(l)
	require.Equal(t, 0, got[orb.Point{1, 0}])
	require.Positive(t, got[orb.Point{-1, 0}])
}

func TestPerSideIsBounded(t *testing.T) {
	in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
	in.Rules.Tabs.PerSide = 3
	_, err := route.Lay(in)
	require.ErrorContains(t, err, "per_side")
}
