package route

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// goldenText holds a text against a file of testdata/golden, which -update
// writes.
func goldenText(t *testing.T, name, got string) {
	t.Helper()
	file := "testdata/golden/" + name
	if flag.Lookup("update").Value.String() == "true" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got), "-want +got")
}

// TestOrdersGolden has the search take the same way to the same order for the
// same paths and seed: cost, effort, order and entries of the exact answer, of the
// nearest-start order, of the descent alone and with kicks.
func TestOrdersGolden(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	var b strings.Builder
	put := func(what string, o *orderer, s sequence) {
		allowed(t, o, s)
		fmt.Fprintf(&b, "%s of %d: %d ns, %d tried, order %v, entries %v\n", what, len(o.visits), s.cost, o.tried, s.order, s.entry)
		o.tried = 0
	}
	for _, n := range []int{0, 1, 2, 5, 8} {
		o := scene(rng, n)
		s, err := o.solve(context.Background(), 0, 1)
		require.NoError(t, err)
		put("exact", &o, s)
	}
	for k, n := range []int{2, 3, 5, 9, 12, 16, 20, 25, 30, 40} {
		o := scene(rng, n)
		if k%3 == 2 { // free to be cut in any order
			for i := range o.visits {
				o.visits[i].after = nil
			}
		}
		o.close()
		if k%4 == 3 { // too many nodes for a table
			o.legs = nil
		}
		s := o.greedy()
		put("nearest start", &o, s)
		o.moves(&s)
		put("moves", &o, s)
		s, err := o.search(context.Background(), 0, 1)
		require.NoError(t, err)
		put("descent", &o, s)
		s, err = o.search(context.Background(), 3*n, uint64(k))
		require.NoError(t, err)
		put("kicks", &o, s)
	}
	goldenText(t, "orders.txt", b.String())
}

// Every kick leaves an order that is allowed, and says what it costs.
func TestKicksKeepPrecedences(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 1))
	for range 40 {
		o := scene(rng, 2+rng.IntN(14))
		o.close()
		s := o.greedy()
		for range 20 {
			if o.kick(&s, rng) {
				allowed(t, &o, s)
			}
		}
	}
}

// TestSpreadsGolden has tabs spread to the same places for the same spots.
func TestSpreadsGolden(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	var b strings.Builder
	for k := range 60 {
		spots, perimeter, _ := scatter(rng, 4+k/2)
		need := [4]int{rng.IntN(3), rng.IntN(2), rng.IntN(3), rng.IntN(2)}
		if k%2 == 0 {
			need = [4]int{}
		}
		atLeast, spacing, apart := 1+rng.IntN(4), float64(10+rng.IntN(80)), float64(rng.IntN(12))
		chosen, worst, ok := spread(spots, perimeter, atLeast, need, spacing, apart, k%5 != 4)
		fmt.Fprintf(&b, "%d spots on %.3f mm, at least %d, sides %v, spacing %v, apart %v: %v %.4f %v, room for %v\n",
			len(spots), perimeter, atLeast, need, spacing, apart, chosen, worst, ok, sideNeed(spots, 2, apart))
	}
	goldenText(t, "spreads.txt", b.String())
}

// TestDetoursGolden leads rapids round keep-outs the same way; each leg is clear
// of them, and no turning point can be left out.
func TestDetoursGolden(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	mill, known := machine.Preset("ball screw")
	require.True(t, known)
	bound := orb.Bound{Max: orb.Point{200, 150}}
	var b strings.Builder
	for k := range 60 {
		var around []tooling.KeepOut
		for range 1 + rng.IntN(4) {
			at := orb.Point{float64(rng.IntN(180)), float64(rng.IntN(130))}
			around = append(around, tooling.KeepOut{Min: at, Max: orb.Point{at[0] + 2 + float64(rng.IntN(40)), at[1] + 2 + float64(rng.IntN(40))}})
		}
		from, to := orb.Point{float64(rng.IntN(200)), float64(rng.IntN(150))}, orb.Point{float64(rng.IntN(200)), float64(rng.IntN(150))}
		via, ok := detour(from, to, around, mill, bound)
		fmt.Fprintf(&b, "%d: %v to %v: %v %v\n", k, from, to, via, ok)
		at := from
		for _, v := range append(append([]orb.Point{}, via...), to) {
			if ok {
				require.False(t, crosses(at, v, around, mill.Foot), "%d", k)
			}
			at = v
		}
	}
	goldenText(t, "detours.txt", b.String())
}

// Paths are divided among cutters so that no cutter outlives its path and none
// of the ways to divide them, all tried, takes less time for the trips; as few
// cutters as can be.
func TestDivideIsExhaustive(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 1))
	travel := scene(rng, 0).travel
	change := orb.Point{10, 5}
	for round := range 120 {
		n := 1 + rng.IntN(8)
		paths := make([]Path, n)
		for i := range paths {
			at := orb.Point{float64(rng.IntN(300)), float64(rng.IntN(200))}
			paths[i].Line = contour.Contour{Start: at, Moves: []contour.Move{{To: orb.Point{at[0] + 10 + float64(rng.IntN(40)), at[1]}}}}
		}
		life, first, most := 50+float64(rng.IntN(60)), float64(rng.IntN(110)), 1+rng.IntN(n)
		cost := func(starts []int) (trips int64, ok bool) {
			for k, s := range starts {
				end, limit := n, life
				if k+1 < len(starts) {
					end = starts[k+1]
				}
				if k == 0 {
					limit = first
				} else {
					a, b := paths[s-1].Line.End(), paths[s].Line.Start
					trips += int64(travel.Between(a, change) + travel.Between(change, b) - travel.Between(a, b))
				}
				if end <= s || lengthOf(paths[s:end]) > limit {
					return 0, false
				}
			}
			return trips, true
		}
		fewest, least := 0, int64(0)
		for set := range 1 << n {
			if set&1 == 0 {
				continue
			}
			var starts []int
			for i := range n {
				if set&(1<<i) != 0 {
					starts = append(starts, i)
				}
			}
			if d, ok := cost(starts); ok && len(starts) <= most && (fewest == 0 || len(starts) < fewest || len(starts) == fewest && d < least) {
				fewest, least = len(starts), d
			}
		}
		got := divideWorn(paths, most, life, first, travel, change)
		require.Len(t, got, fewest, "round %d", round)
		if fewest > 0 {
			d, ok := cost(got)
			require.True(t, ok, "round %d: %v", round, got)
			require.Equal(t, least, d, "round %d: %v", round, got)
		}
	}
}
