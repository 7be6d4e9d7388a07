package array_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// scored reads a score layer of blocks, in um, for a board of 50 x 30 mm with a window.
func scored(t *testing.T, blocks string) (*artwork.Profile, route.Board) {
	t.Helper()
	l, err := artwork.Read([]byte("%FSLAX33Y33*%\n%MOMM*%\n%ADD10C,0.1*%\nD10*\nG75*\n"+strings.Join(strings.Fields(blocks), "\n")+"\nM02*\n"), "score.gbr", artwork.Options{})
	require.NoError(t, err)
	l.Function = artwork.FunctionScore
	p, err := l.Profile(artwork.ProfileOptions{})
	require.NoError(t, err)
	board := route.Board{Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}
	board.CutOuts = []contour.Contour{contour.FromBound(orb.Bound{Min: orb.Point{20, 10}, Max: orb.Point{30, 20}}).Reverse()}
	return p, board
}

// line is a stroke in um.
func line(x0, y0, x1, y1 int) string {
	return fmt.Sprintf("X%dY%dD02* G01X%dY%dD01* ", x0, y0, x1, y1)
}

// Lines along whole sides score them, to 0.05 mm; what else is drawn beside the board
// is listed, and what lies on it refused.
func TestScoredSides(t *testing.T) {
	left, right := line(0, -5000, 0, 35000), line(50000, -5000, 50000, 35000)
	low, high := line(-5000, 0, 55000, 0), line(-5000, 30000, 55000, 30000)
	letter := line(52000, 32000, 53000, 30000) + line(53000, 30000, 54000, 32000)
	for _, c := range []struct {
		name, blocks string
		columns      bool
		rows         bool
		findings     []string // rule, how often, first place
		err          error
		at           orb.Point
	}{
		{name: "all sides", blocks: left + right + low + high, columns: true, rows: true},
		{name: "columns", blocks: left + right, columns: true},
		{name: "rows", blocks: high + low, rows: true},
		{name: "one side", blocks: right, columns: true, findings: []string{"score-both 1 [50 -5]"}},
		{name: "just the side", blocks: line(0, 30000, 0, 0) + right, columns: true},
		{name: "50 um short", blocks: line(0, 50, 0, 29950) + right, columns: true},
		{name: "51 um short", blocks: line(0, 51, 0, 30000) + right, columns: true, findings: []string{"score-short 1 [0 0.051]", "score-both 1 [50 -5]"}},
		{name: "in two pieces", blocks: line(0, 15000, 0, 35000) + line(0, -5000, 0, 14950) + right, columns: true},
		{name: "in two pieces with a gap", blocks: line(0, 15000, 0, 35000) + line(0, -5000, 0, 14949) + right, columns: true, findings: []string{"score-short 2 [0 15]", "score-both 1 [50 -5]"}},
		{name: "50 um aside", blocks: line(50, -5000, -50, 35000) + right, columns: true},
		{name: "51 um outside", blocks: line(-51, -5000, -51, 35000) + right, columns: true, findings: []string{"score-beside 1 [-0.051 -5]", "score-both 1 [50 -5]"}},
		{name: "60 um inside", blocks: line(60, -5000, 60, 35000), err: route.ErrScore, at: orb.Point{0.06, 0.05}},
		{name: "across", blocks: left + right + line(25000, -5000, 25000, 35000), err: route.ErrScore, at: orb.Point{25, 0.05}},
		{name: "a letter beside", blocks: left + right + letter, columns: true, findings: []string{"score-beside 2 [52 32]"}},
		{name: "a letter on the board", blocks: left + right + line(5000, 5000, 5000, 6000), err: route.ErrScore, at: orb.Point{5, 5}},
		{name: "a letter in the window", blocks: left + right + line(25000, 15000, 25000, 16000), columns: true, findings: []string{"score-beside 1 [25 15]"}},
		{name: "ticks", blocks: line(0, -5000, 0, -4000) + line(50000, -5000, 50000, -4000), err: array.ErrUnscored, at: orb.Point{0, -5}},
		{name: "a tick and rows", blocks: line(0, -5000, 0, -4000) + low + high, rows: true, findings: []string{"score-short 1 [0 -5]"}},
		{name: "an arc on the board", blocks: left + right + "X10000Y5000D02* G03X20000Y5000I5000J0D01*", err: route.ErrScore, at: orb.Point{10, 5}},
		{name: "an arc around a corner", blocks: "X-5000Y5000D02* G03X5000Y-5000I10000J0D01*", err: array.ErrUnscored, at: orb.Point{-5, 5}},
		{name: "a circle around", blocks: left + right + "X65000Y15000D02* G03X65000Y15000I-40000J0D01*", columns: true, findings: []string{"score-beside 1 [65 15]"}},
		{name: "a flash on the board", blocks: left + right + "X10000Y10000D03*", err: route.ErrScore, at: orb.Point{10, 10}},
		{name: "a flash beside", blocks: left + right + "X60000Y10000D03*", columns: true, findings: []string{"score-beside 1 [60 10]"}},
		{name: "an area on the board", blocks: left + right + "G36* X5000Y5000D02* G01X8000D01* Y8000D01* X5000D01* Y5000D01* G37*", err: route.ErrScore, at: orb.Point{5, 5}},
		{name: "thin areas", blocks: "G36* X-100Y-5000D02* G01X100D01* Y35000D01* X-100D01* Y-5000D01* G37* G36* X49900Y-5000D02* X50100D01* Y35000D01* X49900D01* Y-5000D01* G37*", columns: true},
		{name: "nothing", blocks: ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, board := scored(t, c.blocks)
			columns, rows, report, err := array.ScoredSides(board, p)
			if c.err != nil {
				var e *route.BoardError
				require.ErrorAs(t, err, &e)
				require.ErrorIs(t, err, c.err)
				require.Equal(t, c.at, e.At)
				require.Equal(t, "score.gbr", e.Source.File)
				require.Positive(t, e.Source.Line)
				return
			}
			require.NoError(t, err)
			require.Equal(t, []bool{c.columns, c.rows}, []bool{columns, rows}, "columns, rows")
			var got []string
			for _, f := range report {
				got = append(got, fmt.Sprintf("%s %d %v", f.Rule, f.Count, f.Places[0]))
				require.Equal(t, "score.gbr", f.Source.File)
			}
			if d := cmp.Diff(c.findings, got); d != "" {
				t.Error(d)
			}
			require.NoError(t, report.Err())
		})
	}
}

// Errors of holes that a trial on a panel of its own finds tell of the board.
func TestErrorsOfHolesTellOfTheBoard(t *testing.T) {
	for _, c := range []struct {
		name  string
		at    orb.Point
		place float64 // tolerance, mm
		text  string
	}{
		{"the edge cuts it", orb.Point{100.3, -65}, 0, "board 0 at X100.300 Y-65.000: found hole 0: its wall crosses the edge"},
		{"not looked at before it is drilled", orb.Point{110, -65}, 200, "hole 0 at X110.000 Y-65.000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := sensor(50, 30)
			in.Holes = []drill.Hole{drill.Round(c.at, tooling.Size{Diameter: 0.8, Basis: tooling.Drilled})}
			in.Holes[0].Position = c.place
			_, err := array.Prepare(t.Context(), in)
			require.ErrorContains(t, err, c.text)
			require.Equal(t, 1, strings.Count(err.Error(), " at X"), "one place: %v", err)
		})
	}
}
