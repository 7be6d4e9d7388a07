package array_test

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// sensor is an invented board of a size with four holes near its corners, its
// origin far from the panel's.
func sensor(w, h float64) array.Input {
	m, _ := machine.Preset("ball screw")
	at := orb.Bound{Min: orb.Point{100, -80}, Max: orb.Point{100 + w, -80 + h}}
	in := array.Input{
		Board: route.Board{Name: "sensor", Outline: contour.FromBound(at)}, Quantity: 100,
		Stocks: []array.Stock{array.NewStock(300, 400), array.NewStock(457, 610)},
		Blank:  tooling.Panel{Thickness: 1.6, Material: tooling.FR4, Layers: 2},
		Crib:   tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: m, ScorePrice: 0.3, Coupon: 0.9, Target: 3.2,
	}
	for _, p := range []orb.Point{{at.Min[0] + 2, at.Min[1] + 2}, {at.Max[0] - 2, at.Max[1] - 2}} {
		in.Holes = append(in.Holes, drill.Round(p, tooling.Size{Diameter: 0.8, Basis: tooling.Finished, Plated: true}))
	}
	return in
}

func TestBest(t *testing.T) {
	l, err := array.Best(context.Background(), sensor(50, 30))
	require.NoError(t, err)
	t.Logf("%v: %.4f", l.Result.Choice, l.Result.Choice.PerBoard)
	t.Log(l.Result.Reason)
	for _, r := range l.Result.Refused {
		t.Log(r)
	}
	t.Log(l.Result.Candidates, l.Result.Priced, l.Prepared.Report)
}
