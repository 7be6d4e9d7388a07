package tour_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill/tour"
)

// A zero option means the stated default, no more and no less.
func TestZeroOptionsAreTheDefaults(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	points := make([]orb.Point, 60)
	for i := range points {
		points[i] = orb.Point{100 * random.Float64(), 100 * random.Float64()}
	}
	p := tour.Problem{Items: tour.Points(points), Metric: tour.Euclid(), Closed: true}
	zero, err := tour.Solve(context.Background(), p, tour.Options{Bound: true})
	require.NoError(t, err)
	named, err := tour.Solve(context.Background(), p, tour.Options{Kicks: tour.DefaultKicks, Bound: true, BoundNodes: tour.DefaultBoundNodes})
	require.NoError(t, err)
	require.Equal(t, named.Order, zero.Order)
	require.Equal(t, named.Bound, zero.Bound)
	scaled := zero.Length * p.Metric.Scale()
	require.InDelta(t, math.Round(scaled), scaled, 1e-3, "a length is a whole number of cost units")
}

func TestValidateNamesTheFirstFault(t *testing.T) {
	end := orb.Point{1, 1}
	require.NoError(t, tour.Problem{}.Validate())
	require.ErrorIs(t, tour.Problem{Closed: true, End: &end}.Validate(), tour.ErrClosedEnd)
	var bad *tour.PointError
	require.ErrorAs(t, tour.Problem{Items: tour.Points([]orb.Point{{0, 0}, {math.Inf(1), 0}})}.Validate(), &bad)
	require.Equal(t, 1, bad.Item)
	require.NoError(t, tour.Options{}.Validate())
	require.ErrorIs(t, tour.Options{Kicks: math.NaN()}.Validate(), tour.ErrOptions)
	require.ErrorContains(t, tour.ErrTooMany, "500,000,000")
}
