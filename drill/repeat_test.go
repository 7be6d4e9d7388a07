package drill_test

import (
	"bytes"
	"context"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// arrayOf is a panel with columns x rows copies of a random board of n holes.
func arrayOf(seed uint64, n, columns, rows int) drill.Input {
	in := small()
	in.Panel.Width, in.Panel.Height = 300, 250
	in.Panel.Features = []tooling.Feature{{Role: tooling.Target, At: orb.Point{5, 5}, Diameter: 3.2}}
	in.Panel.KeepOuts = nil
	r := rand.New(rand.NewPCG(seed, 3))
	var board []drill.Hole
	for len(board) < n {
		p := orb.Point{float64(r.IntN(50)), float64(r.IntN(40))}
		clear := true
		for _, h := range board {
			clear = clear && (h.At != p)
		}
		if clear {
			board = append(board, drill.Round(p, []tooling.Size{via, component}[r.IntN(2)]))
		}
	}
	board = append(board, drill.Slot(orb.Point{10.5, 45}, orb.Point{14.5, 45}, supply))
	for y := range rows {
		for x := range columns {
			in.Panel.Boards = append(in.Panel.Boards, tooling.Placement{Offset: orb.Point{15 + 60*float64(x), 15 + 55*float64(y)}})
		}
	}
	in.Holes = drill.Place([][]drill.Hole{board}, in.Panel)
	return in
}

// The order of one board is repeated on request: its program takes far fewer
// lines, expands to the planned hits, and says what it costs.
func TestTheOrderOfOneBoardIsRepeated(t *testing.T) {
	for seed := range uint64(4) {
		in := arrayOf(seed, 40, 4, 3)
		var text [2]int
		var holes [2]int
		for k, repeat := range []bool{false, true} {
			o := quick
			o.Repeat = repeat
			passes, err := drill.Plan(context.Background(), in, o)
			require.NoError(t, err)
			for _, m := range mountPasses(t, in, passes, 4) {
				prog, err := m.Program(nc.WriteOptions{Rows: true, Patterns: true})
				require.NoError(t, err)
				var b bytes.Buffer
				_, err = prog.WriteTo(&b)
				require.NoError(t, err)
				back, err := nc.Parse(b.Bytes(), nc.ReadOptions{})
				require.NoError(t, err)
				require.NoError(t, drill.Check(in, m, back).Err())
				plain, err := m.Program(nc.WriteOptions{})
				require.NoError(t, err)
				require.Equal(t, hits(t, plain), hits(t, back), "expand(compress(p)) = p")
				text[k] += back.Lines()
				holes[k] += m.Hits()
				if repeat {
					for _, f := range m.Repeats() {
						require.True(t, f.OK)
					}
				}
			}
			if repeat {
				require.Equal(t, 12, passes[0].Runs[0].Boards)
				require.Contains(t, passes[0].Repeats()[0].Detail, "repeated over 12 boards")
				alone := 0
				for _, f := range passes[0].Repeats() {
					if f.Rule == "no-repeat" {
						alone++
					}
				}
				require.Equal(t, 1, alone, "the one target repeats nothing")
			}
		}
		require.Equal(t, holes[0], holes[1], "the same strokes in another order")
		require.Less(t, text[1], text[0]/2, "seed %d: %d lines against %d", seed, text[1], text[0])
	}
}

// What repeating costs is the difference of the two orders' travel.
func TestWhatRepeatingCosts(t *testing.T) {
	in := arrayOf(9, 60, 4, 3)
	free, err := drill.Plan(context.Background(), in, drill.Options{})
	require.NoError(t, err)
	tied, err := drill.Plan(context.Background(), in, drill.Options{Repeat: true, Tour: tour.Options{Bound: true}})
	require.NoError(t, err)
	for i, r := range tied[0].Runs {
		require.InDelta(t, r.Travel-free[0].Runs[i].Travel, r.Repeat, 1e-6)
		require.LessOrEqual(t, r.Bound, r.Travel, "the bound holds for this order too")
		require.Less(t, r.Repeat, 0.15*r.Travel, "some percent for a board of %d holes", len(r.Hits)/12)
	}
}

// Boards of two kinds and turns repeat each by itself; a single board does not.
func TestOnlyWhatIsThereTwiceRepeats(t *testing.T) {
	in := arrayOf(1, 20, 2, 2)
	for i := range in.Panel.Boards[2:] {
		in.Panel.Boards[2+i].Quarters = 2
		in.Panel.Boards[2+i].Offset[0] += 55 + 2*float64(i) // another step than the upright ones
		in.Panel.Boards[2+i].Offset[1] += 60
	}
	var board []drill.Hole
	for _, h := range arrayOf(1, 20, 1, 1).Holes {
		if h.Source.Path == "" {
			h.At, h.To = orb.Point{h.At[0] - 15, h.At[1] - 15}, orb.Point{h.To[0] - 15, h.To[1] - 15}
			board = append(board, h)
		}
	}
	in.Holes = drill.Place([][]drill.Hole{board}, in.Panel)
	o := quick
	o.Repeat = true
	passes, err := drill.Plan(context.Background(), in, o)
	require.NoError(t, err)
	require.Equal(t, 4, passes[0].Runs[0].Boards, "two upright and two turned")
	passes, err = drill.Plan(context.Background(), arrayOf(1, 20, 1, 1), o)
	require.NoError(t, err)
	require.Zero(t, passes[0].Runs[0].Boards)
	require.Equal(t, "no-repeat", passes[0].Repeats()[0].Rule)
}
