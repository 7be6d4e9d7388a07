package drill_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

func with(h drill.Hole, file string, line int) drill.Hole {
	h.Source = tooling.Source{File: file, Line: line, Tool: "T1"}
	return h
}

func TestDistinct(t *testing.T) {
	at, to := orb.Point{10, 10}, orb.Point{12, 10}
	tented := drill.Round(at, mount)
	tented.Tented = true
	half := drill.Round(at, via)
	half.Half = true
	drilled := via
	drilled.Basis, drilled.Diameter = tooling.Drilled, 0.4
	round := with(drill.Round(at, via), "a.drl", 7)
	for _, c := range []struct {
		name   string
		holes  []drill.Hole
		larger bool
		keep   []int // indices that stay
		rules  []string
		err    error
		index  int
	}{
		{name: "nothing"},
		{name: "apart", holes: []drill.Hole{round, drill.Round(to, via)}, keep: []int{0, 1}},
		{name: "the same twice", holes: []drill.Hole{round, drill.Round(to, via), with(round, "b.drl", 9)}, keep: []int{0, 1}, rules: []string{"duplicate-hit"}},
		{name: "within a micrometre", holes: []drill.Hole{round, drill.Round(orb.Point{10.0004, 9.9996}, via)}, keep: []int{0}, rules: []string{"duplicate-hit"}},
		{name: "a micrometre apart", holes: []drill.Hole{round, drill.Round(orb.Point{10.001, 10}, via)}, keep: []int{0, 1}},
		{name: "a slot from either end", holes: []drill.Hole{drill.Slot(at, to, supply), drill.Slot(to, at, supply)}, keep: []int{0}, rules: []string{"duplicate-hit"}},
		{name: "a hole at a slot's end", holes: []drill.Hole{drill.Slot(at, to, supply), drill.Round(at, supply)}, keep: []int{0, 1}},
		{name: "two sizes", holes: []drill.Hole{round, with(drill.Round(at, component), "b.drl", 3)}, err: drill.ErrDuplicate, index: 1},
		{name: "two sizes, larger asked for", holes: []drill.Hole{round, drill.Round(at, component)}, larger: true, keep: []int{1}, rules: []string{"larger-taken"}},
		{name: "larger first", holes: []drill.Hole{drill.Round(at, component), round, drill.Round(to, via)}, larger: true, keep: []int{0, 2}, rules: []string{"larger-taken"}},
		{name: "three sizes", holes: []drill.Hole{round, drill.Round(at, supply), drill.Round(at, component)}, larger: true, keep: []int{1}, rules: []string{"larger-taken", "larger-taken"}},
		{name: "finished and drilled", holes: []drill.Hole{round, drill.Round(at, drilled)}, larger: true, err: drill.ErrDuplicate, index: 1},
		{name: "plated and not", holes: []drill.Hole{round, drill.Round(at, mount)}, larger: true, err: drill.ErrMarking, index: 1},
		{name: "tented and not", holes: []drill.Hole{tented, drill.Round(at, mount)}, larger: true, err: drill.ErrMarking, index: 1},
		{name: "half and not", holes: []drill.Hole{half, round}, larger: true, err: drill.ErrMarking, index: 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := append([]drill.Hole(nil), c.holes...)
			got, report, err := drill.Distinct(c.holes, c.larger)
			if diff := cmp.Diff(before, c.holes); diff != "" {
				t.Errorf("input changed (-want +got)\n%s", diff)
			}
			if c.err != nil {
				var he *drill.HoleError
				require.ErrorAs(t, err, &he)
				require.ErrorIs(t, err, c.err)
				assert.Equal(t, c.index, he.Index)
				assert.Equal(t, c.holes[c.index].Source, he.Source)
				assert.NotEmpty(t, he.Found)
				assert.NotEmpty(t, he.Expected)
				assert.Nil(t, got)
				return
			}
			require.NoError(t, err)
			want := make([]drill.Hole, 0)
			for _, i := range c.keep {
				want = append(want, c.holes[i])
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			n := 0
			for _, f := range report {
				assert.True(t, f.OK)
				n += f.Count
			}
			assert.Equal(t, len(c.rules), n, "%v", report)
			if len(c.rules) > 0 {
				assert.Equal(t, c.rules[0], report[0].Rule)
			}
		})
	}
}

func TestDistinctNamesBothFiles(t *testing.T) {
	a, b := with(drill.Round(orb.Point{1, 1}, via), "a.drl", 7), with(drill.Round(orb.Point{1, 1}, component), "b.drl", 3)
	_, _, err := drill.Distinct([]drill.Hole{a, b}, false)
	assert.EqualError(t, err, "b.drl:3 T1: hole 1 at X1.000 Y1.000: drill: two holes at one place: "+
		"found component 0.900 mm, finished where a.drl:7 T1 has via 0.300 mm, finished, expected one size at a place")
	assert.True(t, errors.Is(err, drill.ErrDuplicate))
}

func TestPlace(t *testing.T) {
	board := []drill.Hole{with(drill.Round(orb.Point{1, 2}, via), "a.drl", 5), drill.Slot(orb.Point{3, 0}, orb.Point{5, 0}, supply)}
	panel := tooling.Panel{
		Width: 100, Height: 100, Thickness: 1, Material: tooling.FR4,
		Boards: []tooling.Placement{
			{Offset: orb.Point{10, 20}}, {Offset: orb.Point{10, 20}, Quarters: 1}, {Offset: orb.Point{10, 20}, Quarters: 2},
			{Offset: orb.Point{10, 20}, Quarters: 3}, {Board: 1}, {Board: -1},
		},
		Features: []tooling.Feature{
			{Role: tooling.Pin, At: orb.Point{5, 5}, Diameter: 3.175}, {Role: tooling.ToolingHole, At: orb.Point{6, 6}, Diameter: 3.2},
			{Role: tooling.Coupon, At: orb.Point{7, 7}, Diameter: 0.9}, {Role: tooling.Target, At: orb.Point{8, 8}, Diameter: 3.2},
		},
	}
	got := drill.Place([][]drill.Hole{board}, panel)
	require.Len(t, got, 4*2+3)
	var at []orb.Point
	for _, h := range got {
		at = append(at, h.At, h.To)
	}
	assert.Equal(t, []orb.Point{
		{11, 22}, {11, 22}, {13, 20}, {15, 20},
		{8, 21}, {8, 21}, {10, 23}, {10, 25},
		{9, 18}, {9, 18}, {7, 20}, {5, 20},
		{12, 19}, {12, 19}, {10, 17}, {10, 15},
		{6, 6}, {6, 6}, {7, 7}, {7, 7}, {8, 8}, {8, 8},
	}, at)
	assert.Equal(t, board[0].Source, got[0].Source)
	tooled, coupon, target := got[8], got[9], got[10]
	assert.Equal(t, tooling.BeforePlating, tooled.Stage(), "tented: made with the plated holes")
	assert.False(t, tooled.Size.Plated)
	assert.True(t, coupon.Size.Plated)
	assert.False(t, coupon.Tented)
	assert.True(t, target.Tented)
	assert.Equal(t, "panel tooling hole", tooled.Source.Path)
}
