package drill

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/machine"
)

func testTravel(t *testing.T) machine.Travel {
	m, ok := machine.Preset("ball screw")
	require.True(t, ok)
	return m.Travel()
}

// divisions calls yield with the first hits of every division of n hits among
// k bits of 1 to life hits.
func divisions(n, k, life int, yield func([]int)) {
	var starts []int
	var walk func(from, k int)
	walk = func(from, k int) {
		if k == 0 {
			if from == n {
				yield(starts)
			}
			return
		}
		starts = append(starts, from)
		for to := from + 1; to <= min(n, from+life); to++ {
			walk(to, k-1)
		}
		starts = starts[:len(starts)-1]
	}
	walk(0, k)
}

// priceOf is what a division costs, counted anew from the definition.
func priceOf(hits []Hit, starts []int, travel machine.Travel, change orb.Point) (price, bool) {
	var p price
	n, k := len(hits), len(starts)
	for j, c := range starts[1:] {
		a, b := hits[c-1], hits[c]
		if a.Kind == Nibbled && a.Hole == b.Hole {
			return p, false
		}
		p.time += int64(travel.Between(a.At, change)) + int64(travel.Between(change, b.At)) - int64(travel.Between(a.At, b.At))
		off := c*k - (j+1)*n
		p.uneven += int64(max(off, -off))
	}
	return p, true
}

func TestCutRunAgainstEveryDivision(t *testing.T) {
	travel, change := testTravel(t), orb.Point{-20, 5}
	rng := rand.New(rand.NewPCG(5, 1))
	feasible := 0
	for n := range 3000 {
		hits := make([]Hit, 1+rng.IntN(11))
		hole := int32(0)
		for i := range hits {
			kind := Finish
			if rng.IntN(4) == 0 && i+1 < len(hits) {
				kind = Nibbled
			}
			// A coarse grid, so that equal prices occur.
			hits[i] = Hit{At: orb.Point{float64(5 * rng.IntN(4)), float64(5 * rng.IntN(4))}, Hole: hole, Kind: kind}
			if kind == Finish {
				hole++
			}
		}
		k, life := 1+rng.IntN(4), 1+rng.IntN(6)
		var best price
		found := false
		divisions(len(hits), k, life, func(starts []int) {
			if p, ok := priceOf(hits, starts, travel, change); ok && (!found || p.less(best)) {
				best, found = p, true
			}
		})
		got := cutRun(hits, k, life, travel, change)
		if !found {
			require.Nil(t, got, "case %d", n)
			continue
		}
		feasible++
		require.Len(t, got, k, "case %d", n)
		for j, first := range got {
			end := len(hits)
			if j+1 < k {
				end = got[j+1]
			}
			require.Greater(t, end, first, "case %d", n)
			require.LessOrEqual(t, end-first, life, "case %d", n)
		}
		p, ok := priceOf(hits, got, travel, change)
		require.True(t, ok, "case %d: a slot cut apart", n)
		require.Equal(t, best, p, "case %d", n)
	}
	assert.Greater(t, feasible, 500)
}

func TestCutRunImpossible(t *testing.T) {
	travel := testTravel(t)
	hits := make([]Hit, 5)
	for _, c := range [][2]int{{0, 5}, {1, 0}, {1, 4}, {6, 5}, {-1, 5}, {2, -1}} {
		assert.Nil(t, cutRun(hits, c[0], c[1], travel, orb.Point{}), "%d bits of %d", c[0], c[1])
	}
	assert.Equal(t, []int{0}, cutRun(hits, 1, 5, travel, orb.Point{}))
	slot := []Hit{{Kind: Nibbled}, {Kind: Nibbled}, {Kind: Finish}}
	assert.Nil(t, cutRun(slot, 2, 2, travel, orb.Point{}), "one slot, two bits")
}

// Along a straight line through the change position every cut costs the same:
// the division is then even.
func TestCutRunIsEvenWhereNothingIsLost(t *testing.T) {
	hits := make([]Hit, 12)
	for i := range hits {
		hits[i] = Hit{At: orb.Point{10, 10}, Hole: int32(i), Kind: Finish}
	}
	assert.Equal(t, []int{0, 4, 8}, cutRun(hits, 3, 9, testTravel(t), orb.Point{}))
	assert.Equal(t, []int{0}, cutRun(hits, 1, 12, testTravel(t), orb.Point{}))
}

// levels against the definition: close holes never share a level, the larger of
// a pair comes first, and no hole waits without need.
func TestLevels(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	for n := range 300 {
		items := make([]item, 1+rng.IntN(40))
		for i := range items {
			p := orb.Point{float64(rng.IntN(60)) / 10, float64(rng.IntN(60)) / 10}
			items[i] = item{hole: int32(i), from: p, to: p, slot: rng.IntN(8) == 0}
			items[i].tool.Diameter = []float64{0.3, 0.3, 0.5, 1.05}[rng.IntN(4)]
		}
		web := 0.3 * rng.Float64()
		close := func(a, b item) bool {
			dx, dy := a.from[0]-b.from[0], a.from[1]-b.from[1]
			reach := (a.tool.Diameter+b.tool.Diameter)/2 + web
			return !a.slot && !b.slot && dx*dx+dy*dy < reach*reach
		}
		got, after := levels(items, web)
		near := closePairs(items, web)
		for i, a := range items {
			count := 0
			waits, largest := got[i] == 0, 0.0
			for j, b := range items {
				if i == j || !close(a, b) {
					continue
				}
				count++
				require.NotEqual(t, got[i], got[j], "case %d", n)
				if a.tool.Diameter > b.tool.Diameter {
					require.Less(t, got[i], got[j], "case %d", n)
				}
				if b.tool.Diameter > a.tool.Diameter {
					largest = max(largest, b.tool.Diameter)
				}
				waits = waits || got[j] == got[i]-1
			}
			require.Len(t, near[i], count, "case %d", n)
			require.InDelta(t, largest, after[i], 0, "case %d", n)
			require.True(t, waits, "case %d: hole %d waits for nothing", n, i)
		}
	}
	none, _ := levels(make([]item, 2), 0)
	assert.Equal(t, []int{0, 0}, none)
}

func TestToBox(t *testing.T) {
	box := orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{10, 10}}
	for _, c := range []struct {
		a, b orb.Point
		want float64
	}{
		{orb.Point{5, 5}, orb.Point{5, 5}, 0},
		{orb.Point{-3, 5}, orb.Point{13, 5}, 0},   // straight through
		{orb.Point{-1, 5}, orb.Point{5, -1}, 0},   // across a corner
		{orb.Point{13, 14}, orb.Point{13, 14}, 5}, // from a corner
		{orb.Point{12, -5}, orb.Point{12, 20}, 2}, // along a side
		{orb.Point{-4, -9}, orb.Point{20, -9}, 9},
	} {
		assert.InDelta(t, c.want, toBox(box, c.a, c.b), 1e-12, "%v %v", c.a, c.b)
		assert.InDelta(t, c.want, toBox(box, c.b, c.a), 1e-12, "%v %v", c.b, c.a)
	}
}

func TestPieces(t *testing.T) {
	assert.Nil(t, Run{}.pieces())
	assert.Nil(t, Run{Hits: []Hit{{Kind: Finish}, {Kind: Pilot}}}.pieces())
	assert.Equal(t, []float64{3, 1, 2}, Run{Hits: []Hit{{Kind: Nibbled}, {Kind: Nibbled}, {Kind: Finish}, {Kind: Finish}, {Kind: Nibbled}, {Kind: Finish}}}.pieces())
}
