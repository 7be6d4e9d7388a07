package array_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/array"
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
