package tour_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.org/pinstack/drill/tour"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// readD493 reads the drilling problem d493 of TSPLIB; see the README beside it.
func readD493(tb testing.TB) []orb.Point {
	tb.Helper()
	file, err := os.Open("../../testdata/published/d493.tsp")
	require.NoError(tb, err)
	defer file.Close()
	var ps []orb.Point
	for scan := bufio.NewScanner(file); scan.Scan(); {
		if f := strings.Fields(scan.Text()); len(f) == 3 {
			x, errx := strconv.ParseFloat(f[1], 64)
			y, erry := strconv.ParseFloat(f[2], 64)
			if errx == nil && erry == nil {
				ps = append(ps, orb.Point{x, y})
			}
		}
	}
	require.Len(tb, ps, 493)
	return ps
}

// optimumD493 is the proven optimum of d493, closed, with EUC_2D rounding
// (TSPLIB's list of optimal solutions).
const optimumD493 = 35002

func TestD493(t *testing.T) {
	p := tour.Problem{Items: tour.Points(readD493(t)), Closed: true, Metric: tour.Rounded()}
	kicks := 30.0
	if testing.Short() {
		kicks = 5
	}
	got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: kicks, Bound: true})
	require.NoError(t, err)
	checkPermutation(t, p, got)
	require.GreaterOrEqual(t, got.Length, float64(optimumD493), "shorter than the proven optimum")
	limit := 1.001
	if testing.Short() {
		limit = 1.01
	}
	require.LessOrEqual(t, got.Length, limit*optimumD493)
	require.LessOrEqual(t, got.Bound, float64(optimumD493), "the bound is above the optimum")
	// A long ascent of research code reached 34820.
	require.GreaterOrEqual(t, got.Bound, 34820*0.998)
}

// A bound above any tour found would be wrong, whatever the optimum is.
func TestBoundIsNeverAboveATour(t *testing.T) {
	const seed = 21
	r := rand.New(rand.NewPCG(seed, 0))
	ms := metrics()
	cases := 120
	if testing.Short() {
		cases = 12
	}
	for c := range cases {
		n := 13 + r.IntN(6)
		name := fmt.Sprintf("seed %d case %d: %d items, %s, way %d", seed, c, n, metricNames[c%len(metricNames)], c/len(metricNames)%6)
		p := tour.Problem{Items: scatter(r, n, c%2 == 0, c%4 == 1), Metric: ms[metricNames[c%len(metricNames)]]}
		ends(&p, r, c/6)
		got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: 20, Bound: true})
		require.NoError(t, err, name)
		require.LessOrEqual(t, got.Bound, got.Length, name)
		require.Greater(t, got.Bound, 0.0, name)
		cheap, err := tour.Solve(context.Background(), p, tour.Options{Kicks: 20, Bound: true, BoundNodes: -1})
		require.NoError(t, err, name)
		if cheap.Status != tour.Optimal {
			require.LessOrEqual(t, cheap.Bound, got.Length, name)
		}
	}
}
