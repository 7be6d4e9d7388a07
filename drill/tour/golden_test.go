package tour_test

import (
	"context"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// layouts are kinds of boards, each hard on the search in a way of its own.
var layouts = []struct {
	name string
	make func(r *rand.Rand, n int) []tour.Item
}{
	{"anywhere", func(r *rand.Rand, n int) []tour.Item { return scatter(r, n, false, false) }},
	{"slots", func(r *rand.Rand, n int) []tour.Item { return scatter(r, n, false, true) }},
	{"duplicates", func(r *rand.Rand, n int) []tour.Item { // ties, and several items at most places
		items := make([]tour.Item, n)
		for i := range items {
			items[i] = tour.Point(orb.Point{float64(r.IntN(7)), float64(r.IntN(6))})
			if i%11 == 5 {
				items[i].B = orb.Point{float64(r.IntN(7)), float64(r.IntN(6))}
			}
		}
		return items
	}},
	{"clusters", func(r *rand.Rand, n int) []tour.Item {
		ps := make([]orb.Point, n)
		var at orb.Point
		for i := range ps {
			if i%12 == 0 {
				at = orb.Point{r.Float64() * 400, r.Float64() * 300}
			}
			ps[i] = orb.Point{at[0] + float64(4*r.Float64()), at[1] + float64(3*r.Float64())}
		}
		return tour.Points(ps)
	}},
	{"grid", func(_ *rand.Rand, n int) []tour.Item { // nothing but ties
		side := int(math.Ceil(math.Sqrt(float64(n))))
		ps := make([]orb.Point, n)
		for i := range ps {
			ps[i] = orb.Point{2.54 * float64(i%side), 2.54 * float64(i/side)}
		}
		return tour.Points(ps)
	}},
	{"line", func(r *rand.Rand, n int) []tour.Item { // quadrants without a point
		ps := make([]orb.Point, n)
		for i := range ps {
			ps[i] = orb.Point{float64(r.IntN(4*n)) / 2, 7}
		}
		return tour.Points(ps)
	}},
	{"wide", func(r *rand.Rand, n int) []tour.Item { // nanometres that need more than 32 bits
		items := scatter(r, n, false, true)
		for i := range items {
			it := &items[i]
			it.A, it.B = orb.Point{200 * it.A[0], -200 * it.A[1]}, orb.Point{200 * it.B[0], -200 * it.B[1]}
		}
		return items
	}},
}

// wayNames are the ways to begin and end in the order of ends.
var wayNames = [6]string{"closed", "closed from start", "start to end", "from start", "to end", "open"}

// asked is one line of the golden file: a problem and the effort.
type asked struct {
	name    string
	problem tour.Problem
	options tour.Options
}

// goldenCases are all layouts with all ways, the metrics and efforts in turn,
// and a few that only a certain size or effort reaches.
func goldenCases() []asked {
	var all []asked
	ms := metrics()
	sizes := []int{17, 40, 90, 26, 64}
	kicks := []float64{-1, 9, 0.4, 4.3, 1.77, 14}
	add := func(layout, n, way, metric int, kicks float64, bound bool) {
		k := uint64(len(all))
		r := rand.New(rand.NewPCG(2026, k))
		p := tour.Problem{Items: layouts[layout].make(r, n), Metric: ms[metricNames[metric]]}
		ends(&p, r, way)
		all = append(all, asked{
			fmt.Sprintf("%s, %s, %s, %d items, %g kicks", layouts[layout].name, wayNames[way], metricNames[metric], n, kicks),
			p, tour.Options{Kicks: kicks, Seed: k, Procs: 1, Bound: bound},
		})
	}
	for l := range layouts {
		for way := range 6 {
			k := len(all)
			add(l, sizes[k%len(sizes)], way, (k+k/6)%len(metricNames), kicks[(k+k/6)%len(kicks)], k%3 == 0)
		}
	}
	for l := range layouts { // by dynamic programming
		for way := range 6 {
			add(l, 1+(l+2*way)%9, way, (l+way)%len(metricNames), 1, false)
		}
	}
	add(0, 14, 0, 0, 300, false) // more tours than one pool holds
	add(1, 14, 3, 4, 300, false)
	add(0, 500, 0, 1, 6, false)
	add(4, 420, 2, 5, 6, false)
	add(2, 300, 5, 3, 6, true)
	return all
}

// The same problem, kicks and seed give the same order for the same work, on
// every machine and from version to version, unless the search is changed on
// purpose: then the lengths in the file tell whether for the better.
func TestGoldenOrders(t *testing.T) {
	var got strings.Builder
	for _, c := range goldenCases() {
		var stats tooling.Statistics
		o := c.options
		o.Stats = &stats
		reports := 0
		o.Progress = func(tour.Progress) { reports++ }
		looks := &counting{Context: context.Background(), after: math.MaxInt}
		r, err := tour.Solve(looks, c.problem, o)
		require.NoError(t, err, c.name)
		checkPermutation(t, c.problem, r)
		sum := fnv.New32a()
		fmt.Fprint(sum, r.Order, r.Flipped)
		scale := c.problem.Metric.Scale()
		fmt.Fprintf(&got, "%s: length %.0f, bound %.0f, %s, %g kicks, %d moves, %d reports, %d looks at the clock, order %08x\n", c.name,
			r.Length*scale, r.Bound*scale, r.Status, r.Kicks, stats.Stages[0].Moves, reports, looks.polls, sum.Sum32())
	}
	tour.CompareGolden(t, "testdata/golden/orders.txt", got.String())
}
