package tour_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill/tour"
)

// A coordinate may be a thousand kilometres and no more; the error says which
// one, what it is and what may be.
func TestCoordinatesAtTheirLimit(t *testing.T) {
	past := math.Nextafter(1e9, 2e9)
	for _, v := range []float64{1e9, -1e9, 0} {
		p := tour.Problem{Start: &orb.Point{v, -v}, End: &orb.Point{-v, v}, Items: []tour.Item{{A: orb.Point{v, v}, B: orb.Point{-v, v}}}}
		require.NoError(t, p.Validate(), "%v", v)
	}
	for _, v := range []float64{past, -past, math.Inf(-1), math.NaN()} {
		for axis := range 2 {
			bad, good := orb.Point{1, 2}, orb.Point{3, 4}
			bad[axis] = v
			text := fmt.Sprintf("is at %v, %v; expected finite numbers within 1e+09 mm", bad[0], bad[1])
			for what, p := range map[string]tour.Problem{
				"the start": {Start: &bad, End: &good},
				"the end":   {Start: &good, End: &bad},
				"item 0":    {Items: []tour.Item{{A: good, B: bad}}},
				"item 1":    {Items: []tour.Item{tour.Point(good), {A: bad, B: good}}},
			} {
				require.EqualError(t, p.Validate(), "tour: "+what+" "+text)
			}
		}
	}
}

// Twelve places are ordered exactly, whatever the effort and however many items
// lie there; thirteen are searched.
func TestTwelvePlacesAreExact(t *testing.T) {
	at := func(k int) orb.Point { return orb.Point{float64(k * k % 17), float64(k * 5 % 13)} }
	for _, c := range []struct {
		places, items int
		metric        tour.Metric
		status        tour.Status
	}{
		{12, 12, tour.Euclid(), tour.Optimal},
		{13, 13, tour.Euclid(), tour.Done},
		{12, 30, tour.Ceiling(), tour.Optimal}, // rounded up, passing by costs nothing
		{12, 30, tour.Euclid(), tour.Done},     // proven but for the rounding
		{13, 30, tour.Ceiling(), tour.Done},
	} {
		name := fmt.Sprintf("%d items at %d places", c.items, c.places)
		p := tour.Problem{Closed: true, Metric: c.metric}
		for i := range c.items {
			p.Items = append(p.Items, tour.Point(at(i%c.places)))
		}
		got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: -1})
		require.NoError(t, err, name)
		checkPermutation(t, p, got)
		require.Equal(t, c.status, got.Status, name)
		if c.places > 12 {
			require.Zero(t, got.Bound, name)
			continue
		}
		joined := float64(c.items - c.places)
		if c.status == tour.Optimal {
			joined = 0
		}
		require.InDelta(t, got.Length-joined/c.metric.Scale(), got.Bound, 1e-12, name)
		for k := 1; k < c.items; k++ { // what shares a place is visited in one go, in its own order
			if a, b := got.Order[k-1], got.Order[k]; p.Items[a] == p.Items[b] {
				require.Less(t, a, b, name)
			}
		}
		legs := 0
		for k := range c.items {
			if p.Items[got.Order[k]] != p.Items[got.Order[(k+1)%c.items]] {
				legs++
			}
		}
		require.Equal(t, 12, legs, name)
	}
}

// The effort spent is the kicks an item asked for, rounded to whole ones.
func TestEffortIsWhatWasAskedFor(t *testing.T) {
	p := tour.Problem{Closed: true}
	for k := range 20 {
		p.Items = append(p.Items, tour.Point(orb.Point{float64(k * k % 31), float64(k * 7 % 19)}))
	}
	for kicks, want := range map[float64]float64{-1: 0, 0.024: 0, 0.026: 1, 1: 20, 1.26: 25, 3: 60, 0: 20 * tour.DefaultKicks} {
		got, err := tour.Solve(context.Background(), p, tour.Options{Kicks: kicks})
		require.NoError(t, err)
		require.InDelta(t, want, 20*got.Kicks, 1e-9, "%v kicks an item", kicks)
	}
	require.InDelta(t, 0.25, tour.Result{Length: 5, Bound: 4}.Gap(), 1e-15)
	require.Zero(t, tour.Result{Length: 5}.Gap())
}
