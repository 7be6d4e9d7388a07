package tour_test

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// metrics are all there are, with a machine of unlike axes among them.
func metrics() map[string]tour.Metric {
	x := machine.Axis{Speed: 600, Accel: 9000, Jerk: 400000}
	y := machine.Axis{Speed: 400, Accel: 6000}
	return map[string]tour.Metric{
		"euclid":    tour.Euclid(),
		"rounded":   tour.Rounded(),
		"ceiling":   tour.Ceiling(),
		"chebyshev": tour.Chebyshev(),
		"machine":   tour.MoveTime(machine.NewTravel(x, y, 15*time.Millisecond, 5*time.Millisecond)),
		"alike":     tour.MoveTime(machine.NewTravel(y, y, 0, 0)),
	}
}

// metricNames lists them in the order in which random cases take them in turn.
var metricNames = []string{"euclid", "rounded", "ceiling", "chebyshev", "machine", "alike"}

// A metric that is added must take its turn.
func TestEveryMetricIsTried(t *testing.T) {
	require.ElementsMatch(t, metricNames, slices.Collect(maps.Keys(metrics())))
}

// scatter makes items: on a coarse grid, so that ties and duplicates occur, or
// anywhere; some of them with two ends.
func scatter(r *rand.Rand, n int, grid, double bool) []tour.Item {
	at := func() orb.Point {
		if grid {
			return orb.Point{float64(r.IntN(5)), float64(r.IntN(4))}
		}
		return orb.Point{r.Float64() * 100, r.Float64() * 80}
	}
	items := make([]tour.Item, n)
	for i := range items {
		items[i] = tour.Point(at())
		if double && r.IntN(3) == 0 {
			items[i].B = at()
		}
	}
	return items
}

// brute is the length of a best order, by trying all.
func brute(p tour.Problem) float64 {
	n := len(p.Items)
	order := make([]int32, n)
	flipped := make([]bool, n)
	for i := range order {
		order[i] = int32(i)
	}
	best := math.Inf(1)
	var place func(k int)
	place = func(k int) {
		if k == n {
			best = min(best, p.Length(order, flipped))
			return
		}
		for j := k; j < n; j++ {
			if p.Closed && p.Start == nil && k == 0 && j > 0 {
				break
			}
			order[k], order[j] = order[j], order[k]
			place(k + 1)
			if it := p.Items[order[k]]; it.A != it.B {
				flipped[order[k]] = true
				place(k + 1)
				flipped[order[k]] = false
			}
			order[k], order[j] = order[j], order[k]
		}
	}
	place(0)
	if n == 0 {
		return 0
	}
	return best
}

// ends makes the i-th way to begin and end.
func ends(p *tour.Problem, r *rand.Rand, way int) {
	q := func() *orb.Point { return &orb.Point{float64(r.IntN(5)), float64(r.IntN(4))} }
	switch way % 6 {
	case 0:
		p.Closed = true
	case 1:
		p.Closed, p.Start = true, q()
	case 2:
		p.Start, p.End = q(), q()
	case 3:
		p.Start = q()
	case 4:
		p.End = q()
	}
}

func checkPermutation(t *testing.T, p tour.Problem, r tour.Result) {
	t.Helper()
	seen := slices.Clone(r.Order)
	slices.Sort(seen)
	require.Len(t, seen, len(p.Items))
	for i, v := range seen {
		require.EqualValues(t, i, v, "order is no permutation")
	}
	require.Equal(t, p.Length(r.Order, r.Flipped), r.Length, "length is not that of the order")
}

func TestSolveEqualsBruteForce(t *testing.T) {
	const seed = 349
	cases := 2000
	if testing.Short() {
		cases = 300
	}
	r := rand.New(rand.NewPCG(seed, 0))
	ms := metrics()
	for c := range cases {
		n := r.IntN(8)
		if c%100 == 0 {
			n = 8
		}
		if c%500 == 0 {
			n = 9
		}
		double := c%3 == 0 && n < 7
		p := tour.Problem{Items: scatter(r, n, c%2 == 0, double), Metric: ms[metricNames[c%len(metricNames)]]}
		ends(&p, r, c/len(metricNames))
		got, err := tour.Solve(context.Background(), p, tour.Options{})
		require.NoError(t, err)
		checkPermutation(t, p, got)
		name := fmt.Sprintf("seed %d case %d: %d items, %s, way %d", seed, c, n, metricNames[c%len(metricNames)], c/len(metricNames)%6)
		require.Equal(t, brute(p), got.Length, name)
		require.Equal(t, tour.Optimal, got.Status, name)
		require.Equal(t, got.Length, got.Bound, name)
	}
}

func TestSolveOrdersEverything(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, 0))
	ms := metrics()
	cases := 72
	if testing.Short() {
		cases = 36
	}
	for c := range cases {
		n := 13 + r.IntN(200)
		name := fmt.Sprintf("seed %d case %d: %d items, %s", seed, c, n, metricNames[c%len(metricNames)])
		p := tour.Problem{Items: scatter(r, n, c%2 == 0, c%3 != 0), Metric: ms[metricNames[c%len(metricNames)]]}
		ends(&p, r, c/6)
		start, err := tour.Solve(context.Background(), p, tour.Options{Kicks: -1})
		require.NoError(t, err, name)
		checkPermutation(t, p, start)
		got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: 5, Seed: 7})
		require.NoError(t, err, name)
		checkPermutation(t, p, got)
		require.LessOrEqual(t, got.Length, start.Length, name)
	}
}
