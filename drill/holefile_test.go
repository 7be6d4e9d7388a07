package drill_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// Bits of several sizes come in the order of their diameters, slots by both centres.
func TestHoleFileIsWrittenBySize(t *testing.T) {
	size := func(d float64) tooling.Size { return tooling.Size{Diameter: d, Basis: tooling.Drilled} }
	holes := []drill.Hole{
		drill.Round(orb.Point{1, 2}, size(0.6)), drill.Slot(orb.Point{3, 4}, orb.Point{5, 4}, size(0.5)), drill.Round(orb.Point{-1, 0.25}, size(0.6)),
	}
	require.Equal(t, "M48\n; two sizes\nMETRIC,TZ\nT1C0.500\nT2C0.600\n%\nG90\nT1\nX3.000Y4.000G85X5.000Y4.000\nT2\nX1.000Y2.000\nX-1.000Y0.250\nM30\n", string(drill.HoleFile(holes, "two\nsizes")))
	require.Equal(t, 0.6, holes[0].Size.Diameter, "what is given stays as it is")
}

func ExampleHoleFile() {
	peg := tooling.Size{Diameter: 3.2, Basis: tooling.Drilled}
	fmt.Print(string(drill.HoleFile([]drill.Hole{drill.Round(orb.Point{4, 4}, peg), drill.Round(orb.Point{56, 26}, peg)}, "tide-gauge, invented")))
	// Output:
	// M48
	// ; tide-gauge, invented
	// METRIC,TZ
	// T1C3.200
	// %
	// G90
	// T1
	// X4.000Y4.000
	// X56.000Y26.000
	// M30
}
