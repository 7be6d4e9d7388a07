package array_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Every figure of a problem is accepted at both its bounds, and one step beyond is
// refused under its own key with what was found and what is allowed.
func TestLimitsOfAProblem(t *testing.T) {
	problem := func(change func(*array.Problem)) error {
		p := shop(t, rand.New(rand.NewPCG(1, 29)))
		p.Variants[0].Columns, p.Variants[0].Rows = array.Way{Gap: 3}, array.Way{Gap: 3}
		change(&p)
		return p.Validate()
	}
	refused := func(path, found, expected string, err error) {
		t.Helper()
		var list tooling.InputErrors
		require.True(t, errors.As(err, &list), "%s %s: %v", path, found, err)
		require.Len(t, list, 1, "%s %s", path, found)
		require.Equal(t, tooling.InputError{Source: tooling.Source{Path: path}, Found: found, Expected: expected, Err: tooling.ErrValue}, *list[0])
	}
	for _, c := range []struct {
		path   string
		lo, hi float64
		unit   string
		set    func(*array.Problem, float64)
	}{
		{"board.width_mm", 1e-6, 1e4, "mm", func(p *array.Problem, x float64) { p.Width = x }},
		{"board.height_mm", 1e-6, 1e4, "mm", func(p *array.Problem, x float64) { p.Height = x }},
		{"board.area_mm2", 0, 1e8, "mm2", func(p *array.Problem, x float64) { p.Area = x }},
		{"scrap", 0, 0.95, "", func(p *array.Problem, x float64) { p.Scrap = x }},
		{"rails_mm", 0, 1000, "mm", func(p *array.Problem, x float64) { p.Rails = x }},
		{"score_price", 0, 1e6, "", func(p *array.Problem, x float64) { p.ScorePrice = x }},
		{"stocks[0].width_mm", 1, 1e4, "mm", func(p *array.Problem, x float64) { p.Stocks[0].Width = x }},
		{"stocks[0].height_mm", 1, 1e4, "mm", func(p *array.Problem, x float64) { p.Stocks[0].Height = x }},
		{"stocks[0].border_mm", 0, 1e4, "mm", func(p *array.Problem, x float64) { p.Stocks[0].Border = x }},
		{"stocks[0].price", 0, 1e9, "", func(p *array.Problem, x float64) { p.Stocks[0].Price = x }},
		{"variants[0].columns.gap_mm", 0, 1000, "mm", func(p *array.Problem, x float64) { p.Variants[0].Columns.Gap = x }},
		{"variants[0].rows.gap_mm", 0, 1000, "mm", func(p *array.Problem, x float64) { p.Variants[0].Rows.Gap = x }},
	} {
		for _, x := range []float64{math.Nextafter(c.lo, -1), c.lo, c.hi, math.Nextafter(c.hi, 1e300), math.NaN(), math.Inf(1)} {
			err := problem(func(p *array.Problem) { c.set(p, x) })
			if x >= c.lo && x <= c.hi {
				require.NoError(t, err, "%s %v", c.path, x)
			} else {
				refused(c.path, fmt.Sprintf("%.6g", x), fmt.Sprintf("%.6g to %.6g %s", c.lo, c.hi, c.unit), err)
			}
		}
	}
	for _, c := range []struct {
		path   string
		lo, hi int
		set    func(*array.Problem, int)
	}{
		{"quantity", 1, 10_000_000, func(p *array.Problem, n int) { p.Quantity = n }},
		{"stocks", 1, 100, func(p *array.Problem, n int) { p.Stocks = many(p.Stocks[0], n) }},
		{"variants", 1, 100, func(p *array.Problem, n int) { p.Variants = many(p.Variants[0], n) }},
	} {
		for n, ok := range map[int]bool{c.lo - 1: false, c.lo: true, c.hi: true, c.hi + 1: false} {
			err := problem(func(p *array.Problem) { c.set(p, n) })
			if ok {
				require.NoError(t, err, "%s %d", c.path, n)
			} else {
				refused(c.path, fmt.Sprint(n), fmt.Sprintf("%d to %d", c.lo, c.hi), err)
			}
		}
	}
}

func many[T any](one T, n int) []T {
	out := make([]T, n)
	for i := range out {
		out[i] = one
	}
	return out
}

// As many boards as fit to the nanometre are laid; with a panel one nanometre less
// there is a column or a row less.
func TestBoardsFitToTheNanometre(t *testing.T) {
	for _, c := range []struct {
		name                string
		stock               array.Stock
		rails               float64
		across, up          array.Way
		columns, rows, less int // less: boards on a panel 1 nm smaller each way
	}{
		{"gaps and borders", array.Stock{Width: 3*50 + 2*2.4 + 20, Height: 4*30 + 3*3 + 20, Border: 10}, 0, array.Way{Gap: 2.4}, array.Way{Gap: 3}, 3, 4, 6},
		{"flush", array.Stock{Width: 3 * 50, Height: 4 * 30}, 0, array.Way{Score: true}, array.Way{Score: true}, 3, 4, 6},
		{"between rails", array.Stock{Width: 3*50 + 20, Height: 4*30 + 20 + 16, Border: 10}, 8, array.Way{Score: true}, array.Way{Score: true}, 3, 4, 6},
		{"just one", array.Stock{Width: 50, Height: 30}, 0, array.Way{Gap: 2.4}, array.Way{Gap: 2.4}, 1, 1, 0},
	} {
		for _, nm := range []float64{0, 1e-6} {
			p := shop(t, rand.New(rand.NewPCG(1, 29)))
			p.Width, p.Height, p.Scrap, p.Rails = 50, 30, 0, c.rails
			p.Quantity = c.columns * c.rows
			p.Variants = p.Variants[:1]
			p.Variants[0].Columns, p.Variants[0].Rows = c.across, c.up
			s := c.stock
			s.Width, s.Height, s.Price = s.Width-nm, s.Height-nm, 1000 // one panel less is worth all else
			p.Stocks = []array.Stock{s}
			r, err := array.Solve(context.Background(), p, func(c array.Choice) error {
				if c.Turned {
					return errors.New("turned")
				}
				return nil
			})
			if nm > 0 && c.less == 0 {
				require.ErrorIs(t, err, array.ErrNoFit, c.name)
				continue
			}
			require.NoError(t, err, c.name)
			if nm == 0 {
				require.Equal(t, [3]int{c.columns, c.rows, 1}, [3]int{r.Choice.Columns, r.Choice.Rows, r.Choice.Panels}, c.name)
			} else {
				require.LessOrEqual(t, r.Choice.Columns, c.columns-1, c.name)
				require.LessOrEqual(t, r.Choice.Rows, c.rows-1, c.name)
			}
		}
	}
}

// prepared says why ways and stocks of a board are refused, the others are good.
func prepared(t *testing.T, change func(*array.Input)) map[string]string {
	t.Helper()
	in := sensor(50, 30)
	in.Holes, in.Rules.Rout.Cutter = nil, 2.4
	in.Columns, in.Rows = []array.Way{{Score: true}}, []array.Way{{Score: true}}
	change(&in)
	p, err := array.Prepare(context.Background(), in)
	out := map[string]string{}
	for _, r := range p.Refused {
		out[r.What] = r.Reason
	}
	if err != nil {
		require.NotEmpty(t, out, "%v", err)
		require.ErrorIs(t, err, array.ErrNoFit)
	}
	return out
}

// A stock panel has room for two pins in each set-up, and a border in which the foot
// comes down clear of them, to the micrometre.
func TestStocksAtTheirLimits(t *testing.T) {
	// 5 mm to the pins' middles, half a pin of 3.175 mm, and half the foot or the cutter and 1 mm.
	for _, c := range []struct {
		width, height, border, foot float64
		why                         string
	}{
		{60, 60, 11.5875, 10, ""}, {300, 60, 11.5875, 10, ""},
		{59.999, 60, 11.5875, 10, "stocks: array: the input cannot be used: found 59.999 x 60 mm, expected at least 60 mm each way, room for two pins in each set-up"},
		{60, 59.999, 11.5875, 10, "stocks: array: the input cannot be used: found 60 x 59.999 mm, expected at least 60 mm each way, room for two pins in each set-up"},
		{60, 60, 11.587, 10, "stocks: array: the input cannot be used: found a border of 11.587 mm, expected at least 11.5875 mm, so that the foot comes down clear of the pins"},
		{60, 60, 9.9875, 2, ""},
		{60, 60, 9.987, 2, "stocks: array: the input cannot be used: found a border of 9.987 mm, expected at least 9.9875 mm, so that the foot comes down clear of the pins"},
	} {
		stock := array.Stock{Width: c.width, Height: c.height, Border: c.border, Price: 1}
		got := prepared(t, func(in *array.Input) {
			in.Machine.Foot = c.foot
			in.Stocks = []array.Stock{array.NewStock(400, 300), stock}
		})
		require.Equal(t, c.why, got[stock.String()], "%+v", c)
	}
}

// What may be scored: sides straight on the micrometre grid of written programs, with no half hole's wall
// across them.
func TestSidesAtTheirLimits(t *testing.T) {
	const scored = "columns scored, rows scored"
	side := func(from, middle, to orb.Point, rest ...orb.Point) func(*array.Input) {
		return func(in *array.Input) {
			ring := append(orb.Ring{from, middle, to}, rest...)
			in.Board.Outline = contour.FromRing(append(ring, from))
		}
	}
	half := func(x, y float64) func(*array.Input) {
		return func(in *array.Input) {
			h := drill.Round(orb.Point{x, y}, tooling.Size{Diameter: 1, Basis: tooling.Drilled})
			h.Half = true
			in.Holes = []drill.Hole{h}
		}
	}
	for _, c := range []struct {
		name   string
		change func(*array.Input)
		why    string
	}{
		{"a rectangle", func(*array.Input) {}, ""},
		{"less than half a micrometre out of line", side(orb.Point{100, -50}, orb.Point{100.0004, -65}, orb.Point{100, -80}, orb.Point{150, -80}, orb.Point{150, -50}), ""},
		{"two micrometres", side(orb.Point{100, -50}, orb.Point{100.002, -65}, orb.Point{100, -80}, orb.Point{150, -80}, orb.Point{150, -50}), "the board's left side is not straight all along"},
		{"above", side(orb.Point{150, -50}, orb.Point{125, -50.002}, orb.Point{100, -50}, orb.Point{100, -80}, orb.Point{150, -80}), "the board's upper side is not straight all along"},
		{"below", side(orb.Point{100, -80}, orb.Point{125, -79.998}, orb.Point{150, -80}, orb.Point{150, -50}, orb.Point{100, -50}), "the board's lower side is not straight all along"},
		{"right", side(orb.Point{150, -80}, orb.Point{149.998, -65}, orb.Point{150, -50}, orb.Point{100, -50}, orb.Point{100, -80}), "the board's right side is not straight all along"},
		{"a hole across the left", half(100, -65), "a hole lies on the board's left side"},
		{"across the right", half(150.1, -65), "a hole lies on the board's right side"},
		{"across the lower", half(125, -79.9), "a hole lies on the board's lower side"},
		{"across the upper", half(125, -50), "a hole lies on the board's upper side"},
		{"thin", func(in *array.Input) { in.Blank.Thickness = 0.799 }, "the panel is thinner than score lines need"},
		{"just thick enough", func(in *array.Input) { in.Blank.Thickness = 0.8 }, ""},
	} {
		require.Equal(t, c.why, prepared(t, c.change)[scored], c.name)
	}
}

// A gap is as wide as the cutter or wider, to the nanometre.
func TestGapsAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		gap float64
		why string
	}{{2.4, ""}, {2.399999, "a gap of 2.399999 mm, expected at least the cutter's 2.4 mm"}} {
		got := prepared(t, func(in *array.Input) {
			in.Columns, in.Rows = []array.Way{{Score: true}, {Gap: c.gap}}, []array.Way{{Score: true}}
		})
		require.Equal(t, c.why, got[fmt.Sprintf("columns routed, gap %g mm, rows scored", c.gap)])
		got = prepared(t, func(in *array.Input) {
			in.Columns, in.Rows = []array.Way{{Score: true}}, []array.Way{{Score: true}, {Gap: c.gap}}
		})
		require.Equal(t, c.why, got[fmt.Sprintf("columns scored, rows routed, gap %g mm", c.gap)])
	}
}

// A hole makes a cut-out that reaches 0.05 mm beyond it at most: then it is drilled,
// else it is routed.
func TestCutOutsThatAHoleMakes(t *testing.T) {
	at := orb.Point{120, -65}
	round := drill.Round(at, tooling.Size{Diameter: 4, Basis: tooling.Drilled})
	long := drill.Slot(at, orb.Point{128, -65}, tooling.Size{Diameter: 3, Basis: tooling.Drilled})
	for _, c := range []struct {
		name    string
		hole    drill.Hole
		cutOut  contour.Contour
		drilled bool
	}{
		{"the hole", round, contour.Circle(at, 2), true},
		{"0.045 larger", round, contour.Circle(at, 2.045), true},
		{"0.055 larger", round, contour.Circle(at, 2.055), false},
		{"smaller", round, contour.Circle(at, 1), true},
		{"beside it", round, contour.Circle(orb.Point{122, -65}, 2), false},
		{"a box in it", round, contour.FromBound(orb.Bound{Min: at, Max: at}.Pad(1.4)), true},
		{"a box whose corners stand out", round, contour.FromBound(orb.Bound{Min: at, Max: at}.Pad(1.5)), false},
		{"a slot", long, stadium(at, orb.Point{128, -65}, 3), true},
		{"0.045 wider", long, stadium(at, orb.Point{128, -65}, 3.09), true},
		{"0.055 wider", long, stadium(at, orb.Point{128, -65}, 3.11), false},
		{"longer", long, stadium(at, orb.Point{128.1, -65}, 3), false},
		{"a part of it", long, stadium(orb.Point{121, -65}, orb.Point{125, -65}, 3), true},
	} {
		in := sensor(50, 30)
		in.Holes, in.Board.CutOuts = []drill.Hole{c.hole}, []contour.Contour{c.cutOut}
		in.Columns, in.Rows = []array.Way{{Score: true}}, []array.Way{{Score: true}}
		p, err := array.Prepare(context.Background(), in)
		told := false
		for _, f := range p.Report {
			told = told || f.Rule == "cut-out-drilled"
		}
		require.Equal(t, c.drilled, told, "%s: %v", c.name, err)
	}
}

// A board with open paths, or an outline that crosses itself, is refused before
// anything is tried: no board of a panel is named, since there is none yet.
func TestBoardsThatCannotBePrepared(t *testing.T) {
	in := sensor(50, 30)
	in.Board.Source.File = "gauge.gbr"
	slit := route.OpenPath{Line: contour.Contour{Start: orb.Point{110, -70}, Moves: []contour.Move{{To: orb.Point{120, -70}}}}}
	in.Board.Open = []route.OpenPath{slit, slit}
	_, err := array.Prepare(context.Background(), in)
	var bad *route.BoardError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, route.BoardError{Board: -1, Other: -1, At: orb.Point{110, -70}, Source: tooling.Source{File: "gauge.gbr"}, Err: route.ErrOpenPath,
		Found: "2 open paths", Expected: "none: give them to the job that is written"}, *bad)

	in.Board.Open = nil
	in.Board.Outline = contour.FromRing(orb.Ring{{100, -80}, {150, -50}, {150, -80}, {100, -50}, {100, -80}})
	_, err = array.Prepare(context.Background(), in)
	require.ErrorAs(t, err, &bad)
	require.ErrorIs(t, err, route.ErrBoard)
	require.Equal(t, -1, bad.Board)
	require.Equal(t, -1, bad.Other)
	require.Equal(t, "the outline", bad.Found)
	require.Equal(t, "gauge.gbr", bad.Source.File)
}
