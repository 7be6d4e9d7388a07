package stack_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

func TestBadProblemsAreNamedByTheirPath(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		name   string
		reason string
		edit   func(*stack.Problem)
		path   string
		err    error
	}{
		{"lot of zero", "nothing to make", func(p *stack.Problem) { p.Lot = 0 }, "lot", tooling.ErrValue},
		{"negative lot", "nothing to make", func(p *stack.Problem) { p.Lot = -5 }, "lot", tooling.ErrValue},
		{"lot of 10^9", "a slip of the keyboard", func(p *stack.Problem) { p.Lot = 1_000_000_000 }, "lot", tooling.ErrValue},
		{"no thickness", "no stack without", func(p *stack.Problem) { p.Panel.Thickness = 0 }, "panel.thickness_mm", tooling.ErrValue},
		{"NaN thickness", "not a number", func(p *stack.Problem) { p.Panel.Thickness = nan }, "panel.thickness_mm", tooling.ErrValue},
		{"no material", "no table without", func(p *stack.Problem) { p.Panel.Material = "" }, "panel.material", tooling.ErrMissing},
		{"copper of minus one", "no such copper", func(p *stack.Problem) { p.Panel.Copper = -1 }, "panel.copper_um", tooling.ErrValue},
		{"infinite copper", "no such copper", func(p *stack.Problem) { p.Panel.Copper = inf }, "panel.copper_um", tooling.ErrValue},
		{"layers of minus one", "no such panel", func(p *stack.Problem) { p.Panel.Layers = -1 }, "panel.layers", tooling.ErrValue},
		{"no spindle", "nothing turns", func(p *stack.Problem) { p.Machine.Spindles = 0 }, "machine.spindles", tooling.ErrValue},
		{"infinite rate", "not a price", func(p *stack.Problem) { p.Machine.Rate = inf }, "machine.rate_per_hour", tooling.ErrValue},
		{"NaN price of a sheet", "not a price", func(p *stack.Problem) { p.Rules.Stack.EntryPrice = nan }, "rules.stack.entry_price", tooling.ErrValue},
		{"no height allowed", "no stack", func(p *stack.Problem) { p.Rules.Stack.MaxHeight = 0 }, "rules.stack.max_height", tooling.ErrValue},
		{"life row of zero", "names the row", func(p *stack.Problem) {
			p.Rules.Life = tooling.DefaultLife()
			p.Rules.Life.Rows[3].Life = 0
		}, "rules.life.rows[3].life", tooling.ErrValue},
		{"life that grows with depth", "a contradiction, names the row", func(p *stack.Problem) {
			p.Rules.Life = tooling.DefaultLife()
			r := p.Rules.Life.Rows[4]
			r.Depth, r.Life = r.Depth+1, r.Life+1
			p.Rules.Life.Rows = append(p.Rules.Life.Rows, r)
		}, fmt.Sprintf("rules.life.rows[%d].life", len(tooling.DefaultLife().Rows)), tooling.ErrConflict},
		{"no set-up", "nothing to plan", func(p *stack.Problem) { p.SetUps = nil }, "set_ups", tooling.ErrValue},
		{"empty set-up", "nothing to pin for", func(p *stack.Problem) { p.SetUps[1] = nil }, "set_ups[1]", tooling.ErrValue},
		{"negative hits", "no such work", func(p *stack.Problem) { p.SetUps[0][1].Hits = -1 }, "set_ups[0][1].hits", tooling.ErrValue},
		{"too many hits", "bounded", func(p *stack.Problem) { p.SetUps[0][1].Hits = 1 << 40 }, "set_ups[0][1].hits", tooling.ErrValue},
		{"NaN cut", "not a length", func(p *stack.Problem) { p.SetUps[1][1].Cut = nan }, "set_ups[1][1].cut_mm", tooling.ErrValue},
		{"cut of 1e300", "not a length", func(p *stack.Problem) { p.SetUps[1][1].Cut = 1e300 }, "set_ups[1][1].cut_mm", tooling.ErrValue},
		{"negative travel", "no such time", func(p *stack.Problem) { p.SetUps[0][0].Travel = -1 }, "set_ups[0][0].travel", tooling.ErrValue},
		{"endless detour", "bounded", func(p *stack.Problem) { p.SetUps[0][0].Trip = math.MaxInt64 }, "set_ups[0][0].trip", tooling.ErrValue},
		{"a million changes", "bounded", func(p *stack.Problem) { p.SetUps[0][0].Changes = 1_000_000 }, "set_ups[0][0].changes", tooling.ErrValue},
		{"infinite tolerance", "not a length", func(p *stack.Problem) { p.SetUps[0][0].Tolerance = inf }, "set_ups[0][0].tolerance_mm", tooling.ErrValue},
		{"infeed above the table's", "never above the table", func(p *stack.Problem) { p.SetUps[0][0].Infeed = 1.5 }, "set_ups[0][0].infeed", tooling.ErrValue},
		{"tool without a kind", "bit or cutter decides the rule", func(p *stack.Problem) { p.SetUps[0][2].Tool.Kind = "" }, "set_ups[0][2].tool.kind", tooling.ErrValue},
		{"NaN flute", "not a length", func(p *stack.Problem) { p.SetUps[0][2].Tool.Flute = nan }, "set_ups[0][2].tool.flute_mm", tooling.ErrValue},
		{"hits of a cutter", "a cutter has a path", func(p *stack.Problem) { p.SetUps[1][1].Hits = 3 }, "set_ups[1][1].hits", tooling.ErrConflict},
		{"path of a bit", "a bit has hits", func(p *stack.Problem) { p.SetUps[0][0].Cut = 3 }, "set_ups[0][0].cut_mm", tooling.ErrConflict},
		{"pieces that miss hits", "must add up", func(p *stack.Problem) { p.SetUps[0][0].Pieces = []float64{1000, 799} }, "set_ups[0][0].pieces", tooling.ErrConflict},
		{"NaN piece", "not a count", func(p *stack.Problem) { p.SetUps[0][0].Pieces = []float64{nan, 800} }, "set_ups[0][0].pieces[0]", tooling.ErrValue},
		{"two tools at one place", "a place holds one", func(p *stack.Problem) { p.SetUps[0][1].Place = 1 }, "set_ups[0][1].place", tooling.ErrConflict},
		{"two tools of one name", "stock and life go by name", func(p *stack.Problem) { p.SetUps[1][0].Tool.ID = "B0.35" }, "set_ups[1][0].tool", tooling.ErrConflict},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := greenhouse(t)
			tc.edit(&p)
			r, err := stack.Solve(context.Background(), p, stack.Options{})
			var list tooling.InputErrors
			require.ErrorAs(t, err, &list, tc.reason)
			assert.Empty(t, cmp.Diff(stack.Result{}, r), "nothing is planned from bad input")
			var paths []string
			for _, e := range list {
				paths = append(paths, e.Source.Path)
				if e.Source.Path == tc.path {
					assert.ErrorIs(t, e, tc.err)
					assert.NotEmpty(t, e.Found)
					assert.NotEmpty(t, e.Expected)
				}
			}
			assert.Contains(t, paths, tc.path)
		})
	}
}

func TestBadOptionsAreNamedByTheirField(t *testing.T) {
	for _, tc := range []struct {
		name string
		o    stack.Options
		path string
		err  error
	}{
		{"objective", stack.Options{Objective: "fame"}, "objective", tooling.ErrValue},
		{"mode", stack.Options{Mode: "both"}, "mode", tooling.ErrValue},
		{"policy", stack.Options{Policy: "never"}, "policy", tooling.ErrValue},
		{"only a control that counts can carry on", stack.Options{Policy: stack.CarryOn}, "policy", tooling.ErrConflict},
		{"height", stack.Options{Height: -1}, "height", tooling.ErrValue},
		{"tiers", stack.Options{Tiers: -1}, "tiers", tooling.ErrValue},
		{"NaN price of an hour", stack.Options{HourPrice: math.NaN()}, "hour_price", tooling.ErrValue},
		{"due", stack.Options{Due: -time.Hour}, "due", tooling.ErrValue},
		{"second pass", stack.Options{SecondPass: math.NaN()}, "second_pass_mm", tooling.ErrValue},
		{"speed above the table's", stack.Options{Taylor: tooling.Taylor{N: 0.2, C: 100}, Speeds: []float64{1, 1.1}}, "speeds[1]", tooling.ErrValue},
		{"a law without speeds", stack.Options{Taylor: tooling.Taylor{N: -1, C: 100}}, "taylor.n", tooling.ErrValue},
		{"speeds without a law", stack.Options{Speeds: []float64{0.5}}, "taylor.n", tooling.ErrValue},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := stack.Solve(context.Background(), greenhouse(t), tc.o)
			var list tooling.InputErrors
			require.ErrorAs(t, err, &list)
			assert.Equal(t, tc.path, list[0].Source.Path)
			assert.ErrorIs(t, err, tc.err)
		})
	}
}

func TestAMaterialWithoutTablesIsAnError(t *testing.T) {
	p := greenhouse(t)
	p.Panel.Material = "PTFE"
	_, err := stack.Solve(context.Background(), p, stack.Options{})
	assert.ErrorIs(t, err, tooling.ErrNoRow)
}

func TestNoHeightIsAnErrorWithReasons(t *testing.T) {
	for _, tc := range []struct {
		name  string
		edit  func(*stack.Problem, *stack.Options)
		setUp int
		rule  string
		words string
	}{
		{"flute shorter than one panel", func(p *stack.Problem, _ *stack.Options) { p.SetUps[0][0].Tool.Flute = 1 }, 1, stack.RuleFlute, "flute of 1.00 mm"},
		{"cutter shorter than one panel", func(p *stack.Problem, _ *stack.Options) { p.SetUps[1][1].Tool.Flute = 1 }, 2, stack.RuleFlute, "flute of 1.00 mm"},
		{"panel too thick for the bit", func(p *stack.Problem, _ *stack.Options) {
			p.Panel.Thickness = 6.0
			p.SetUps[0][0].Tool.Flute = 20
		}, 1, stack.RuleRatio, "diameters"},
		{"backup too thin", func(p *stack.Problem, _ *stack.Options) { p.Rules.Stack.Backup = 0.6 }, 1, stack.RuleBackup, "backup of 0.60 mm"},
		{"table ends above", func(p *stack.Problem, _ *stack.Options) {
			p.Rules.Life.Fall = tooling.Fall{}
			p.Panel.Thickness = 3.21
		}, 1, stack.RuleLife, "depth up to the table's 3.200 mm"},
		{"no place for the tools", func(p *stack.Problem, _ *stack.Options) { p.Machine.Places = 2 }, 1, stack.RulePlaces, "3 tools in all"},
		{"one tool worn too often", func(p *stack.Problem, _ *stack.Options) { p.Machine.Places = 3; p.SetUps[0][0].Hits = 9000 }, 1, stack.RulePlaces, "5 tools in a load"},
		{"a slot longer than a life", func(p *stack.Problem, _ *stack.Options) {
			p.SetUps[0][0].Hits = 2500
			p.SetUps[0][0].Pieces = []float64{2500}
		}, 1, stack.RuleLife, "piece 0 asks one tool for 2500 hits"},
		{"a path longer than a life", func(p *stack.Problem, _ *stack.Options) {
			p.SetUps[1][1].Cut = 20_000
			p.SetUps[1][1].Pieces = []float64{1000, 19_000}
		}, 2, stack.RuleLife, "piece 1 asks one tool for 19000.0 mm"},
		{"forced height above the flute", func(_ *stack.Problem, o *stack.Options) { o.Height = 3 }, 1, stack.RuleFlute, "5.50 mm"},
		{"forced height above the rules", func(_ *stack.Problem, o *stack.Options) { o.Height = 11 }, 1, stack.RuleDepth, "10 of the rules"},
		{"bit would wander", func(p *stack.Problem, _ *stack.Options) { p.SetUps[0][0].Tolerance = 0.021 }, 1, stack.RuleWander, "tolerance of 0.021 mm"},
		{"crib too small", func(p *stack.Problem, o *stack.Options) { p.SetUps[0][0].Tool.Stock = 10; o.StockOnly = true }, 1, stack.RuleStock, "10 in the crib"},
		{"crib too small for two places", func(p *stack.Problem, o *stack.Options) {
			o.StockOnly, o.Height = true, 2
			p.SetUps[0][1].Tool.Stock = 40
			p.SetUps[0][2].Tool = p.SetUps[0][1].Tool
		}, 1, stack.RuleStock, "more than one place"},
		{"crib too small for two set-ups", func(p *stack.Problem, o *stack.Options) {
			o.StockOnly = true
			p.SetUps[0][1].Tool.Stock = 24
			p.SetUps[1][0].Tool = p.SetUps[0][1].Tool
		}, 0, stack.RuleStock, "set-ups together"},
		{"due too soon", func(_ *stack.Problem, o *stack.Options) { o.Due = time.Hour }, 0, stack.RuleDue, "due time of 1h0m0s"},
		{"time beyond counting", func(p *stack.Problem, _ *stack.Options) {
			p.SetUps[0][0].Hits = 100_000_000
			p.Machine.Places = 100_000
		}, 1, stack.RuleBounds, "250h"},
		{"money beyond counting", func(p *stack.Problem, _ *stack.Options) {
			p.Lot = 10_000_000
			p.SetUps[0][0].Tool.Price = 1e6
		}, 1, stack.RuleBounds, "beyond what can be counted"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p, o := greenhouse(t), stack.Options{}
			tc.edit(&p, &o)
			_, err := stack.Solve(context.Background(), p, o)
			var none *stack.InfeasibleError
			require.ErrorAs(t, err, &none)
			assert.ErrorIs(t, err, stack.ErrInfeasible)
			assert.Equal(t, tc.setUp, none.SetUp)
			require.NotEmpty(t, none.Refused)
			assert.Equal(t, tc.rule, none.Refused[0].Rule)
			assert.Contains(t, none.Refused[0].Detail, tc.words)
			assert.Contains(t, err.Error(), none.Refused[0].Detail)
		})
	}
}

func TestACancelledContextEndsTheSearch(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, o := range []stack.Options{{}, {Tiers: 4}, {Due: time.Second}} {
		_, err := stack.Solve(ctx, greenhouse(t), o)
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%+v: got %v", o, err)
		}
	}
}

// Loading alone may take longer than can be counted: that is said, and does
// not wrap round.
func TestALotBeyondCountingIsRefused(t *testing.T) {
	p := greenhouse(t)
	p.Lot, p.Machine.Spindles, p.Machine.Load = 10_000_000, 1, 24*time.Hour
	for _, o := range []stack.Options{{}, {Objective: stack.LeastTime}, {HourPrice: 1e6}, {Tiers: 3, HourPrice: 1e6}, {Front: true}} {
		_, err := stack.Solve(context.Background(), p, o)
		var none *stack.InfeasibleError
		require.ErrorAs(t, err, &none)
		assert.Equal(t, stack.RuleBounds, none.Refused[0].Rule)
	}
	p.Machine.Load = time.Hour
	p.Lot = 1_000_000
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	assert.Greater(t, r.Cost.LotTime, 20*365*24*time.Hour)
}
