package nc_test

import (
	"fmt"
	"slices"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The two ends of an arc may lie 10 um apart in their distance from the centre, and
// half a chord may pass the radius by as much; from 2 um on, and for any short
// radius, there is a note.
func TestArcsAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		line, err, note string
	}{
		{"G03X0.0Y10.0I-10.0J0.0", "", ""},
		{"G03X0.0Y10.002I-10.0J0.0", "", ""},
		{"G03X0.0Y10.002001I-10.0J0.0", "", "uneven-arc: an arc starts 10.000000 mm and ends 10.002001 mm from its centre"},
		{"G03X0.0Y9.997999I-10.0J0.0", "", "uneven-arc: an arc starts 10.000000 mm and ends 9.997999 mm from its centre"},
		{"G03X0.0Y10.01I-10.0J0.0", "", "uneven-arc: an arc starts 10.000000 mm and ends 10.010000 mm from its centre"},
		{"G03X0.0Y10.010001I-10.0J0.0", "9:4: nc: bad arc: found an end 10.010001 mm from the centre, expected 10.000000 mm, as at its start", ""},
		{"G03X0.0Y9.989999I-10.0J0.0", "9:4: nc: bad arc: found an end 9.989999 mm from the centre, expected 10.000000 mm, as at its start", ""},
		{"G03X-10.0Y0.0A10.0", "", ""},
		{"G03X-10.0Y0.0A9.999999", "", "short-radius: a radius shorter than half its chord is read as a half circle"},
		{"G03X-10.0Y0.0A9.99", "", "short-radius: a radius shorter than half its chord is read as a half circle"},
		{"G03X-10.0Y0.0A9.989999", "9:14: nc: bad arc: found radius 9.989999 mm, expected at least half the chord, 10.000000 mm", ""},
		{"G03X-10.0Y0.0A0.0", "9:14: nc: bad arc: found an arc by radius that goes nowhere, expected another end, and a radius above 0", ""},
		{"G03X10.0Y0.0A10.0", "9:13: nc: bad arc: found an arc by radius that goes nowhere, expected another end, and a radius above 0", ""},
	} {
		p, err := nc.Parse([]byte(body("T2", "G00X10.0Y0.0", "M15", c.line, "M16")), nc.ReadOptions{})
		if c.err != "" {
			require.EqualError(t, err, c.err, c.line)
			continue
		}
		require.NoError(t, err, c.line)
		note := ""
		for _, n := range p.Notes {
			note = n.Rule + ": " + n.Detail
			require.Equal(t, 9, n.Line)
			require.Equal(t, 2, n.Tool)
		}
		require.Equal(t, c.note, note, c.line)
	}
}

// An arc to be written may be as uneven as one that is read.
func TestWrittenArcsAtTheirLimits(t *testing.T) {
	build := func(to orb.Point) error {
		_, err := nc.Build(slices.Values([]nc.Op{
			{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpRapid, Tool: 1, To: orb.Point{10, 0}}, {Kind: nc.OpPlunge, Tool: 1, From: orb.Point{10, 0}, To: orb.Point{10, 0}},
			{Kind: nc.OpArc, Tool: 1, From: orb.Point{10, 0}, To: to, Center: orb.Point{0, 0}}, {Kind: nc.OpRetract, Tool: 1, From: to, To: to},
		}), tableOf(1), nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 6}})
		return err
	}
	require.NoError(t, build(orb.Point{0, 10.01}))
	require.NoError(t, build(orb.Point{0, 9.99}))
	for _, y := range []float64{10.010001, 9.989999} {
		require.ErrorContains(t, build(orb.Point{0, y}), fmt.Sprintf("radius 10.000000 mm at its start and %.6f mm at its end", y))
	}
}

// Arcs of every quarter, and just short of and past each, are written and read back
// as the same arc: centre, sense and how far they turn.
func TestArcsOfEveryQuarterComeBack(t *testing.T) {
	on := []orb.Point{{5, 0}, {4, 3}, {3, 4}, {0, 5}, {-3, 4}, {-4, 3}, {-5, 0}, {-4, -3}, {-3, -4}, {0, -5}, {3, -4}, {4, -3}}
	for i, from := range on {
		for j, to := range on {
			for _, clockwise := range []bool{false, true} {
				in := []nc.Op{
					{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpRapid, Tool: 1, To: from}, {Kind: nc.OpPlunge, Tool: 1, From: from, To: from},
					{Kind: nc.OpArc, Tool: 1, From: from, To: to, Clockwise: clockwise}, {Kind: nc.OpRetract, Tool: 1, From: to, To: to},
				}
				p, err := nc.Build(slices.Values(in), tableOf(1), nc.WriteOptions{})
				require.NoError(t, err)
				var arcs []nc.Op
				for _, op := range ops(t, p) {
					if op.Kind == nc.OpArc {
						arcs = append(arcs, op)
					}
				}
				turns := (j - i + len(on)) % len(on) // of about 30 degrees
				if clockwise {
					turns = (i - j + len(on)) % len(on)
				}
				if turns == 0 {
					turns = len(on)
				}
				require.Len(t, arcs, (turns+2)/3, "%v to %v, clockwise %v: blocks of a quarter at most", from, to, clockwise)
				at := from
				for _, a := range arcs {
					require.Equal(t, at, a.From)
					require.Equal(t, clockwise, a.Clockwise)
					require.InDelta(t, 0, a.Center[0], 1e-6)
					require.InDelta(t, 0, a.Center[1], 1e-6)
					at = a.To
				}
				require.Equal(t, to, at)
			}
		}
	}
}
