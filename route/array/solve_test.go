package array_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

// Whoever accepts nothing is shown every array that may be best, in the order
// of cost, and is told why nothing is left.
func TestArraysComeInTheOrderOfCost(t *testing.T) {
	p, err := array.Prepare(context.Background(), sensor(50, 30))
	require.NoError(t, err)
	require.NoError(t, p.Problem.Validate())
	for _, v := range p.Problem.Variants {
		require.NotEmpty(t, v.SetUps, "%v %v", v.Columns, v.Rows)
	}
	first, err := array.Solve(context.Background(), p.Problem, nil)
	require.NoError(t, err)
	var shown []array.Choice
	no := errors.New("not this one")
	_, err = array.Solve(context.Background(), p.Problem, func(c array.Choice) error {
		shown = append(shown, c)
		return no
	})
	var none *array.FitError
	require.ErrorAs(t, err, &none)
	require.ErrorIs(t, err, array.ErrNoFit)
	require.ErrorIs(t, err, no)
	require.ErrorContains(t, err, "not this one")
	require.Equal(t, len(shown), len(none.Refused))
	require.Equal(t, first.Choice, shown[0])
	require.NotNil(t, first.RunnerUp)
	require.NotEmpty(t, first.Reason)
	for i, c := range shown {
		require.LessOrEqual(t, shown[max(0, i-1)].Total, c.Total+1e-9)
		require.InDelta(t, c.Laminate+c.Scoring+c.Lot.Total, c.Total, 1e-6, "the parts make the whole: %v", c)
		require.GreaterOrEqual(t, c.Boards()*c.Panels, p.Problem.Quantity)
		lines := 0
		if c.Across.Score {
			lines += c.Columns + 1
		}
		if c.Up.Score {
			lines += c.Rows + 1
		}
		require.Equal(t, lines, c.Scores())
	}
}

// The panel of an array holds its boards inside the usable area, and can be
// laid, routed and drawn.
func TestAPlacedArrayFitsItsPanel(t *testing.T) {
	in := sensor(60, 40)
	in.Scored, in.Rails = true, 8
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	c := l.Result.Choice
	require.True(t, c.Across.Score || c.Up.Score)
	placed := l.Prepared.Place(c)
	require.Len(t, placed.Boards, c.Boards())
	require.NoError(t, placed.Validate())
	_, err = l.Prepared.Try(context.Background(), c)
	require.NoError(t, err)
	at, step := l.Prepared.Field(c)
	require.GreaterOrEqual(t, min(at[0], at[1]), c.Panel.Border)
	require.LessOrEqual(t, at[0]+step[0]*float64(c.Columns), placed.Width-c.Panel.Border+step[0])
	var s picture.Scene
	s.Width, s.Height = placed.Width, placed.Height
	l.Draw(&s)
	require.NoError(t, s.Validate())
	require.Equal(t, 2*c.Boards()+holesOf(placed), marks(s, picture.Hits), "every hole is drawn")
}

// holesOf counts the panel's own holes that are drilled.
func holesOf(p tooling.Panel) (n int) {
	for _, f := range p.Features {
		if f.Role != tooling.Pin {
			n++
		}
	}
	return n
}

func marks(s picture.Scene, k picture.Kind) (n int) {
	for _, l := range s.Layers {
		if l.Kind == k {
			n += len(l.Marks)
		}
	}
	return n
}

func TestWhatCannotBeArrayedIsRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*array.Input)
		want  error
	}{
		{"no panel is large enough", func(in *array.Input) { in.Stocks = []array.Stock{array.NewStock(60, 40)} }, array.ErrNoFit},
		{"no stock", func(in *array.Input) { in.Stocks = nil }, array.ErrNoFit},
		{"too thin to be scored", func(in *array.Input) { in.Scored, in.Blank.Thickness = true, 0.6 }, array.ErrNoFit},
		{"open paths, which the job it writes would lose", func(in *array.Input) {
			in.Board.Open = []route.OpenPath{{Line: contour.FromLine(orb.LineString{{5, 5}, {9, 5}}), Side: route.Centre, Width: 1}}
		}, route.ErrOpenPath},
		{"no boards asked for", func(in *array.Input) { in.Quantity = 0 }, nil},
		{"all scrap", func(in *array.Input) { in.Scrap = 1 }, nil},
		{"a price that is no number", func(in *array.Input) { in.ScorePrice = math.NaN() }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := sensor(50, 30)
			c.spoil(&in)
			_, err := array.Best(context.Background(), in)
			require.Error(t, err)
			if c.want != nil {
				require.ErrorIs(t, err, c.want)
			}
		})
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := array.Best(ctx, sensor(50, 30))
	require.ErrorIs(t, err, context.Canceled)
}

// Ways given are the only ones, gaps included; what is too narrow is refused.
func TestGivenWaysOnly(t *testing.T) {
	in := sensor(50, 30)
	in.Columns, in.Rows = []array.Way{{Gap: 1}, {Gap: 5}}, []array.Way{{Score: true}}
	in.Stocks = append(in.Stocks, array.NewStock(20, 20), array.Stock{Width: 300, Height: 300, Border: 1})
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	columns, rows := ways(l.Result.Choice)
	require.Equal(t, array.Way{Gap: 5}, columns)
	require.Equal(t, array.Way{Score: true}, rows)
	var reasons []string
	for _, r := range append(l.Prepared.Refused, l.Result.Refused...) {
		reasons = append(reasons, r.Reason)
	}
	require.Condition(t, func() bool { return contains(reasons, "a gap of 1 mm") }, "%v", reasons)
	require.Condition(t, func() bool { return contains(reasons, "border") }, "%v", reasons)

	in.Columns, in.Rows = []array.Way{{Gap: 1}}, []array.Way{{Gap: 1}}
	_, err = array.Best(context.Background(), in)
	require.ErrorIs(t, err, array.ErrNoFit)
	in = sensor(50, 30)
	in.Crib = tooling.Crib{}
	_, err = array.Best(context.Background(), in)
	require.ErrorIs(t, err, array.ErrInput, "no cutters")
}

// Two bays that face each other over one cutter's gap hold waste too large to be
// cut away: the refusal says which gap leaves it hanging, and that gap does.
func TestWasteInABaySaysWhichGapHoldsIt(t *testing.T) {
	in := sensor(50, 50)
	at := in.Board.Outline.Bound()
	in.Holes = nil
	middle := (at.Min[1] + at.Max[1]) / 2
	in.Board.Outline = contour.Contour{Start: at.Min, Moves: []contour.Move{
		{To: orb.Point{at.Max[0], at.Min[1]}},
		{To: orb.Point{at.Max[0], middle - 9}},
		{To: orb.Point{at.Max[0], middle + 9}, Center: orb.Point{at.Max[0], middle}, Turn: -1},
		{To: at.Max},
		{To: orb.Point{at.Min[0], at.Max[1]}},
		{To: orb.Point{at.Min[0], middle + 9}},
		{To: orb.Point{at.Min[0], middle - 9}, Center: orb.Point{at.Min[0], middle}, Turn: -1},
		{To: at.Min},
	}}
	for gap, holds := range map[float64]bool{2.4: false, 6.8: true} {
		in.Columns, in.Rows = []array.Way{{Gap: gap}}, []array.Way{{Gap: gap}}
		_, err := array.Best(context.Background(), in)
		if holds {
			require.NoError(t, err)
			continue
		}
		require.ErrorIs(t, err, array.ErrNoFit)
		require.ErrorContains(t, err, "slug-loose")
		require.ErrorContains(t, err, "a gap of 6.8 mm or more leaves a strip that may hold it")
	}
}

// ways are those of columns and rows in the board's own frame.
func ways(c array.Choice) (columns, rows array.Way) {
	if c.Turned {
		return c.Up, c.Across
	}
	return c.Across, c.Up
}

func contains(lines []string, part string) bool {
	for _, l := range lines {
		if strings.Contains(l, part) {
			return true
		}
	}
	return false
}

// A scored side must not cross a half hole.
func TestHalfHolesAreNotScored(t *testing.T) {
	in := sensor(50, 30)
	half := in.Holes[0]
	half.At = orb.Point{100, -65}
	half.To = half.At
	half.Half = true
	in.Holes = append(in.Holes, half)
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	columns, _ := ways(l.Result.Choice)
	require.False(t, columns.Score, "the hole lies on the left side")
}

// A cut-out that a hole of the drill files makes is drilled, not routed.
func TestACutOutThatIsDrilledIsNotRouted(t *testing.T) {
	in := sensor(50, 30)
	at := orb.Point{125, -65}
	in.Holes = append(in.Holes, drill.Round(at, tooling.Size{Diameter: 3.2, Basis: tooling.Finished}))
	in.Board.CutOuts = []contour.Contour{contour.FromBound(orb.Bound{Min: at, Max: at}.Pad(1))}
	p, err := array.Prepare(context.Background(), in)
	require.NoError(t, err)
	require.Empty(t, p.Input.Board.CutOuts)
	var rules []string
	for _, f := range p.Report {
		rules = append(rules, f.Rule)
	}
	require.Contains(t, rules, "cut-out-drilled")
}

// A board no panel takes is refused with both sizes.
func TestABoardTooLargeSaysHowLarge(t *testing.T) {
	in := sensor(140, 140)
	in.Stocks = []array.Stock{array.NewStock(150, 150)}
	_, err := array.Best(context.Background(), in)
	require.ErrorIs(t, err, array.ErrNoFit)
	require.ErrorContains(t, err, "140 x 140 mm")
}

// A bay that no cutter comes into stays, and is told of where it is on the board;
// one that a smaller cutter comes into is cut with that.
func TestNotchesAreToldOf(t *testing.T) {
	for _, c := range []struct {
		width, cutter float64 // mm
		told          bool
	}{{0.5, 2.4, true}, {2.3, 2, false}, {2.4, 2.4, false}, {6, 2.4, false}} {
		in := sensor(50, 30)
		at := in.Board.Outline.Bound()
		x := at.Min[0] + 20
		in.Board.Outline = contour.FromRing(orb.Ring{at.Min, {at.Max[0], at.Min[1]}, at.Max, {x + c.width, at.Max[1]}, {x + c.width, at.Max[1] - 15}, {x, at.Max[1] - 15}, {x, at.Max[1]}, {at.Min[0], at.Max[1]}, at.Min})
		p, err := array.Prepare(context.Background(), in)
		require.NoError(t, err, "%g mm", c.width)
		require.Equal(t, c.cutter, p.Input.Rules.Rout.Cutter, "%g mm", c.width)
		told := false
		for _, f := range p.Report {
			if f.Rule == "notch-left" {
				told = true
				require.InDelta(t, x+c.width/2, f.Places[0][0], 1, "on the board, not on the panel it was tried on")
				require.InDelta(t, at.Max[1]-15, f.Places[0][1], 1)
			}
		}
		require.Equal(t, c.told, told, "%g mm", c.width)
	}
}

// Errors tell of places on the board, not on the panel that it was tried on, and a
// board that fits nowhere is named by its source.
func TestErrorsTellOfTheBoard(t *testing.T) {
	in := sensor(3, 2)
	in.Holes, in.Board.Source = nil, tooling.Source{File: "tiny.gbr", Line: 7}
	in.Board.Outline = contour.FromBound(orb.Bound{Min: orb.Point{100, -80}, Max: orb.Point{103, -78}})
	in.Columns, in.Rows = []array.Way{{}}, []array.Way{{}}
	_, err := array.Prepare(context.Background(), in)
	var board *route.BoardError
	require.ErrorAs(t, err, &board)
	require.Equal(t, orb.Point{100, -80}, board.At)
	require.ErrorIs(t, err, route.ErrTabLong)
	require.ErrorContains(t, err, "tabs down to 1 mm", "and smaller tabs were tried")

	in = sensor(50, 30)
	in.Board.CutOuts = []contour.Contour{
		contour.FromBound(orb.Bound{Min: orb.Point{110, -70}, Max: orb.Point{115, -65}}),
		contour.FromBound(orb.Bound{Min: orb.Point{115, -65}, Max: orb.Point{120, -60}}),
	}
	_, err = array.Prepare(context.Background(), in)
	require.ErrorAs(t, err, &board)
	require.ErrorIs(t, err, route.ErrCrossing)
	require.Equal(t, orb.Point{115, -65}, board.At)

	in = sensor(900, 700)
	in.Board.Source = tooling.Source{File: "big.gbr", Line: 3}
	_, err = array.Best(context.Background(), in)
	var fit *array.FitError
	require.ErrorAs(t, err, &fit)
	require.Equal(t, "big.gbr", fit.Source.File)
}

// A board too small for any tab is held by score lines alone where its sides allow
// it, and what would have to be routed is refused.
func TestABoardWithoutRoomForTabsIsScored(t *testing.T) {
	in := sensor(3, 2)
	in.Holes = nil
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	require.True(t, l.Result.Choice.Across.Score || l.Result.Choice.Up.Score, "%v", l.Result.Choice)
	require.Empty(t, l.Laid.Tabs)
	require.ErrorIs(t, &array.FitError{Refused: l.Result.Refused}, route.ErrTabLong)
	var rules []string
	for _, f := range l.Prepared.Report {
		rules = append(rules, f.Rule)
	}
	require.Contains(t, rules, "scored-only")

	// Lines 3 mm apart leave no room between them: the target stands beside the boards.
	for _, f := range l.Panel.Features {
		for _, s := range l.Panel.Scores {
			if s[0][0] == s[1][0] && (f.Role == tooling.Target || f.Role == tooling.Coupon) {
				require.Greater(t, math.Abs(f.At[0]-s[0][0]), f.Diameter/2, "%v", f)
			}
		}
	}

	in.Rows = []array.Way{{}}
	_, err = array.Best(context.Background(), in)
	require.ErrorIs(t, err, route.ErrTabLong)
}

// Tabs that find room on one board alone may find none between neighbours; then
// smaller ones hold the array.
func TestTabsFindRoomBetweenNeighbours(t *testing.T) {
	in := sensor(27, 20)
	in.Holes = nil
	// A tongue in the middle of the upper side, as an outline like a T has it.
	in.Board.Outline = contour.FromRing(orb.Ring{{0, 0}, {26.4, 0}, {26.4, 15}, {15.84, 15}, {15.84, 19.5}, {10.56, 19.5}, {10.56, 15}, {0, 15}, {0, 0}})
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	require.NotEqual(t, in.Rules.Tabs, l.Prepared.Input.Rules.Tabs)
	require.NotEmpty(t, l.Laid.Tabs)
	adapted := 0
	for _, f := range l.Prepared.Report {
		if f.Rule == "tabs-adapted" {
			adapted += f.Count
		}
	}
	require.Equal(t, 1, adapted, "told once")
}

// Waste between L-shaped boards comes loose in large arrays only: their way of parting
// is given up after a few of them, and a gap that leaves a strip is taken.
func TestWaysThatLetWasteLooseAreGivenUp(t *testing.T) {
	in := sensor(40, 33)
	in.Holes, in.Stocks = nil, []array.Stock{array.NewStock(400, 300)}
	in.Board.Outline = contour.FromRing(orb.Ring{{-41.67, 41.91}, {-3.07, 41.91}, {-3.07, 58.3338}, {-19.5552, 58.3338}, {-19.5552, 74.51}, {-41.67, 74.51}, {-41.67, 41.91}})
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	c := l.Result.Choice
	require.Greater(t, max(c.Across.Gap, c.Up.Gap), 6.0, "%v", c)
	given := 0
	for _, r := range l.Result.Refused {
		if strings.Contains(r.Reason, "given up") {
			given++
		}
	}
	require.LessOrEqual(t, given, 1)
	require.Less(t, len(l.Result.Refused), 20, "what was given up is told of once")
}

// A board that no panel takes names what differs among the reasons, three at most.
func TestFitErrorNamesReasons(t *testing.T) {
	e := &array.FitError{Refused: []array.Refusal{{What: "a", Reason: "x"}, {What: "b", Reason: "x"}, {What: "c", Reason: "y"}, {What: "d", Reason: "z"}, {What: "e", Reason: "w"}}}
	require.EqualError(t, e, "array: no panel takes the board: a: x; c: y; d: z (and 2 more)")
	require.EqualError(t, &array.FitError{Refused: e.Refused[:1]}, "array: no panel takes the board: a: x")
}

// A board like a U lets waste loose at the end of a row that no small array shows:
// every array is proved on its own panel before it is taken.
func TestTheArrayTakenPassesItsChecks(t *testing.T) {
	in := sensor(50, 50)
	in.Holes, in.Quantity, in.Stocks = nil, 50, []array.Stock{array.NewStock(400, 300)}
	in.Board.Outline = contour.FromRing(orb.Ring{{0, 0}, {60, 0}, {60, 50}, {45, 50}, {45, 15}, {15, 15}, {15, 50}, {0, 50}, {0, 0}})
	l, err := array.Best(context.Background(), in)
	require.NoError(t, err)
	var reasons []string
	for _, r := range l.Result.Refused {
		reasons = append(reasons, r.Reason)
	}
	require.Condition(t, func() bool { return contains(reasons, "slug-loose") }, "a cheaper array lets waste loose: %v", reasons)
}
