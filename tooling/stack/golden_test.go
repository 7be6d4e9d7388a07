package stack_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

func digest(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	h := fnv.New32a()
	h.Write(text)
	return fmt.Sprintf("%08x", h.Sum32())
}

// planOf is a plan on one line.
func planOf(setUps []stack.SetUp, c stack.Cost) string {
	var b strings.Builder
	for _, u := range setUps {
		fmt.Fprintf(&b, "%d high %d/%d x%d %s", u.Height, u.Loads, u.Stacks, u.Spindles, u.Policy)
		if u.Tiers > 0 {
			fmt.Fprintf(&b, " tier %d of %d", u.Tier, u.Tiers)
		}
		for _, t := range u.Tools {
			fmt.Fprintf(&b, " %s:%d", t.Tool.ID, t.Bought)
		}
		b.WriteString(" | ")
	}
	fmt.Fprintf(&b, "%.6f in %v", c.Total, c.LotTime)
	return b.String()
}

// Plans of random shops and lots are what they were on every machine and in every
// version: heights, tools, money to the millionth and time to the nanosecond, the
// runner-up, the curve, what was refused and why, the front and the sensitivity.
func TestPlansAreWhatTheyWere(t *testing.T) {
	var lines []string
	for seed := range uint64(200) {
		d := draw{Rand: rand.New(rand.NewPCG(seed, 61)), diameters: 5, setUps: 2, heights: 6}
		p := d.problem()
		o := anyOptions(d)
		if seed >= 140 { // several speeds, with a small magazine or something that set-ups share
			o.Speeds, o.Taylor = []float64{1, 0.85, 0.7, 0.5}, tooling.Taylor{N: 0.3, C: 300}
			p.Machine.Places = 3 + d.IntN(20)
		}
		switch seed % 7 {
		case 1:
			o.Speeds, o.Taylor = []float64{1, 0.8, 0.6}, tooling.Taylor{N: 0.4, C: 300}
		case 2:
			o.Front = true
		case 3:
			o.StockOnly = true
			for s := range p.SetUps {
				for w := range p.SetUps[s] { // by name, as the crib counts
					p.SetUps[s][w].Tool.Stock = 5 + 3*len(p.SetUps[s][w].Tool.ID) + int(p.SetUps[s][w].Tool.Diameter*20)
				}
			}
		case 4:
			o.Due = time.Duration(1+d.IntN(20)) * time.Hour
		case 5:
			p.Rules.Stack.Wander, p.Rules.Stack.Position, p.Machine.Opening = 0.02, d.pick(0, 0.04, 0.05, 0.1), d.pick(0, 8, 10, 14)
		case 6:
			o.Height, o.HourPrice = 1+d.IntN(4), 30
		}
		r, err := stack.Solve(context.Background(), p, o)
		var none *stack.InfeasibleError
		if errors.As(err, &none) {
			lines = append(lines, fmt.Sprintf("%d: %v", seed, err))
			for _, f := range none.Refused {
				lines = append(lines, fmt.Sprintf("   %d high by %s %s: %s", f.Height, f.Rule, f.Tool, f.Detail))
			}
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		lines = append(lines, fmt.Sprintf("%d: %s; all of it %s", seed, planOf(r.SetUps, r.Cost), digest(r)))
		if r.RunnerUp != nil {
			lines = append(lines, "   or "+planOf(r.RunnerUp.SetUps, r.RunnerUp.Cost), "   "+r.RunnerUp.WhyNot)
		}
		var points, front, sens []string
		for _, c := range r.Curve {
			points = append(points, fmt.Sprintf("%d.%d %.3f %v", c.SetUp, c.Height, c.Cost, c.Time.Round(time.Millisecond)))
		}
		for _, f := range r.Front {
			front = append(front, fmt.Sprintf("%.3f %v %v", f.Cost, f.Time.Round(time.Millisecond), f.Heights))
		}
		for _, s := range r.Sensitivity {
			kept := "none"
			if s.Kept != nil {
				kept = fmt.Sprintf("%.3f", s.Kept.Total)
			}
			sens = append(sens, fmt.Sprintf("%g: %v %.3f, kept %s", s.Life, s.Heights, s.Cost.Total, kept))
		}
		lines = append(lines, "   "+strings.Join(points, ", ")+"; "+strings.Join(front, ", ")+"; "+strings.Join(sens, ", "))
		for _, f := range r.Refused {
			lines = append(lines, fmt.Sprintf("   %d.%d high by %s %s: %s", f.SetUp, f.Height, f.Rule, f.Tool, f.Detail))
		}
		for _, l := range r.Limits {
			lines = append(lines, fmt.Sprintf("   %d %s T%d %s takes %d, then %s: %s", l.SetUp, l.Pass, l.Place, l.Tool, l.Height, l.Rule, l.Detail))
		}
	}
	const file = "testdata/result/plans.txt"
	got := strings.Join(lines, "\n") + "\n"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Error(diff)
	}
}

// Every figure of a problem and of the options is accepted at both its bounds, and
// one step beyond is refused under its own key.
func TestLimitsOfAProblem(t *testing.T) {
	bounds := func(path, found, expected string, err error) {
		t.Helper()
		var list tooling.InputErrors
		require.True(t, errors.As(err, &list), "%s %s: %v", path, found, err)
		var own []tooling.InputError
		for _, e := range list {
			if e.Source.Path == path {
				own = append(own, *e)
			}
		}
		require.Contains(t, own, tooling.InputError{Source: tooling.Source{Path: path}, Found: found, Expected: expected, Err: tooling.ErrValue})
	}
	whole := func(w *stack.Work) { w.Pieces = nil }
	for _, c := range []struct {
		path   string
		lo, hi float64
		unit   string // "": a count
		set    func(*stack.Problem, float64)
	}{
		{"lot", 1, 1e7, "", func(p *stack.Problem, x float64) { p.Lot = int(x) }},
		{"panel.thickness_mm", 0.05, 20, "mm", func(p *stack.Problem, x float64) { p.Panel.Thickness = x }},
		{"panel.copper_um", 0, 1000, "um", func(p *stack.Problem, x float64) { p.Panel.Copper = x }},
		{"panel.layers", 0, 100, "", func(p *stack.Problem, x float64) { p.Panel.Layers = int(x) }},
		{"set_ups[0][0].hits", 0, 1e8, "", func(p *stack.Problem, x float64) { whole(&p.SetUps[0][0]); p.SetUps[0][0].Hits = int(x) }},
		{"set_ups[1][1].cut_mm", 0, 1e8, "mm", func(p *stack.Problem, x float64) { whole(&p.SetUps[1][1]); p.SetUps[1][1].Cut = x }},
		{"set_ups[1][1].plunges", 0, 1e8, "", func(p *stack.Problem, x float64) { p.SetUps[1][1].Plunges = int(x) }},
		{"set_ups[0][0].changes", 0, 1e4, "", func(p *stack.Problem, x float64) { p.SetUps[0][0].Changes = int(x) }},
		{"set_ups[0][0].tolerance_mm", 0, 100, "mm", func(p *stack.Problem, x float64) { p.SetUps[0][0].Tolerance = x }},
		{"set_ups[0][0].after_mm", 0, 100, "mm", func(p *stack.Problem, x float64) { p.SetUps[0][0].After = x }},
	} {
		step := 1.0
		if c.unit != "" {
			step = 1e-6
		}
		for _, x := range []float64{c.lo - step, c.lo, c.hi, c.hi + step} {
			p := greenhouse(t)
			c.set(&p, x)
			err := p.Validate()
			if x >= c.lo && x <= c.hi {
				require.NoError(t, err, "%s %v", c.path, x)
				continue
			}
			if c.unit == "" {
				bounds(c.path, fmt.Sprintf("%.0f", x), fmt.Sprintf("%.0f to %.0f", c.lo, c.hi), err)
			} else {
				bounds(c.path, fmt.Sprintf("%.6g", x), fmt.Sprintf("%.6g to %.6g %s", c.lo, c.hi, c.unit), err)
			}
		}
	}
	const part = 250 * time.Hour
	for name, at := range map[string]func(*stack.Work) *time.Duration{
		"travel": func(w *stack.Work) *time.Duration { return &w.Travel },
		"trip":   func(w *stack.Work) *time.Duration { return &w.Trip },
		"fixed":  func(w *stack.Work) *time.Duration { return &w.Fixed },
	} {
		for _, d := range []time.Duration{-1, 0, part, part + 1} {
			p := greenhouse(t)
			*at(&p.SetUps[1][1]) = d
			if d >= 0 && d <= part {
				require.NoError(t, p.Validate(), "%s %v", name, d)
			} else {
				bounds("set_ups[1][1]."+name, d.String(), "0 to 250h0m0s", p.Validate())
			}
		}
	}
	// Infeed 0 is the table's own, as 1 is.
	for x, ok := range map[float64]bool{0: true, 1: true, -1e-6: false, 1.000001: false} {
		p := greenhouse(t)
		p.SetUps[0][0].Infeed = x
		require.Equal(t, ok, p.Validate() == nil, "infeed %v", x)
	}
	for n, ok := range map[int]bool{100: true, 101: false} {
		p := greenhouse(t)
		one := p.SetUps[0]
		p.SetUps = nil
		for range n {
			p.SetUps = append(p.SetUps, one)
		}
		require.Equal(t, ok, p.Validate() == nil, "%d set-ups", n)
	}
	for n, ok := range map[int]bool{1000: true, 1001: false} {
		p := greenhouse(t)
		one := p.SetUps[0][0]
		p.SetUps = [][]stack.Work{nil}
		for range n {
			p.SetUps[0] = append(p.SetUps[0], one)
		}
		require.Equal(t, ok, p.Validate() == nil, "%d works", n)
	}

	// Pieces add up to the work to a thousandth for each of them and one.
	for _, c := range []struct {
		off float64
		ok  bool
	}{{0, true}, {0.0029, true}, {-0.0029, true}, {0.0031, false}, {-0.0031, false}} {
		p := greenhouse(t)
		w := &p.SetUps[1][1]
		w.Cut, w.Pieces = 300, []float64{100, 200 + c.off}
		require.Equal(t, c.ok, p.Validate() == nil, "%v", c.off)
	}

	for _, c := range []struct {
		path   string
		lo, hi float64
		unit   string
		set    func(*stack.Options, float64)
	}{
		{"height", 0, 50, "", func(o *stack.Options, x float64) { o.Height = int(x) }},
		{"tiers", 0, 1000, "", func(o *stack.Options, x float64) { o.Tiers = int(x) }},
		{"hour_price", 0, 1e6, "money/h", func(o *stack.Options, x float64) { o.HourPrice = x }},
		{"second_pass_mm", 0, 10, "mm", func(o *stack.Options, x float64) { o.SecondPass = x }},
		{"speeds[1]", 0.1, 1, "of the table's speed", func(o *stack.Options, x float64) {
			o.Speeds, o.Taylor = []float64{1, x}, tooling.Taylor{N: 0.3, C: 300}
		}},
		{"taylor.n", 0.01, 0.99, "", func(o *stack.Options, x float64) { o.Taylor = tooling.Taylor{N: x, C: 300} }},
	} {
		step := 1.0
		if c.unit != "" || c.path == "taylor.n" {
			step = 1e-6
		}
		for _, x := range []float64{c.lo - step, c.lo, c.hi, c.hi + step} {
			var o stack.Options
			c.set(&o, x)
			err := o.Validate()
			switch {
			case x >= c.lo && x <= c.hi:
				require.NoError(t, err, "%s %v", c.path, x)
			case step == 1:
				bounds(c.path, fmt.Sprintf("%.0f", x), fmt.Sprintf("%.0f to %.0f", c.lo, c.hi), err)
			default:
				bounds(c.path, fmt.Sprintf("%.6g", x), fmt.Sprintf("%.6g to %.6g %s", c.lo, c.hi, c.unit), err)
			}
		}
	}
	require.NoError(t, stack.Options{Due: 0}.Validate())
	bounds("due", "-1ns", "0 or more", stack.Options{Due: -1}.Validate())
}

// A plan is made up to the last nanosecond and the last billionth that can be
// counted, and refused past them.
func TestPlansAtTheBoundsOfCounting(t *testing.T) {
	one := func(change func(*stack.Problem, *stack.Work)) (stack.Result, error) {
		p := greenhouse(t)
		p.Machine.Rate, p.Machine.Load, p.Machine.Spindles, p.Machine.SpinUp = 0, 0, 1, 0
		p.Rules.Stack.MaxHeight = 1
		p.Rules.Stack.EntryPrice, p.Rules.Stack.BackupPrice, p.Rules.Stack.SetUpLabour, p.Rules.Stack.StackLabour = 0, 0, 0, 0
		w := p.SetUps[0][0]
		w.Hits, w.Travel, w.Trip, w.Changes, w.Pieces, w.Tool.Repoints = 0, 0, 0, 0, nil, 0
		change(&p, &w)
		p.SetUps = [][]stack.Work{{w}}
		return stack.Solve(context.Background(), p, stack.Options{Policy: stack.Fresh})
	}
	refused := func(err error) {
		t.Helper()
		var none *stack.InfeasibleError
		require.ErrorAs(t, err, &none)
		require.NotEmpty(t, none.Refused)
	}

	// 5000 loads of 8e14 ns are the 4e18 ns of a lot.
	long := func(travel time.Duration) (stack.Result, error) {
		return one(func(p *stack.Problem, w *stack.Work) { p.Lot, w.Travel = 5000, travel })
	}
	r, err := long(8e14)
	require.NoError(t, err)
	require.Equal(t, time.Duration(4e18), r.Cost.LotTime)
	_, err = long(8e14 + 1)
	refused(err)

	// 10,000 changes of 90 s are the 250 hours of one part of a load.
	for change, ok := range map[time.Duration]bool{90 * time.Second: true, 90*time.Second + 1: false} {
		r, err := one(func(p *stack.Problem, w *stack.Work) { p.Lot, p.Machine.Change, w.Changes = 1, change, 10_000 })
		if ok {
			require.NoError(t, err)
			require.Equal(t, 250*time.Hour, r.SetUps[0].Times.Change)
		} else {
			refused(err)
		}
	}

	// A million strokes of 0.9 s are as long.
	strokes := func(hits int, dwell time.Duration) (stack.Result, error) {
		return one(func(p *stack.Problem, w *stack.Work) { p.Lot, w.Hits, p.Machine.FootDwell = 1, hits, dwell })
	}
	r, err = strokes(1, 0)
	require.NoError(t, err)
	dwell := 900*time.Millisecond - r.SetUps[0].Times.Stroke
	r, err = strokes(1, dwell)
	require.NoError(t, err)
	require.Equal(t, 900*time.Millisecond, r.SetUps[0].Times.Stroke)
	places := func(hits int, dwell time.Duration) error { // in bits that last
		_, err := one(func(p *stack.Problem, w *stack.Work) {
			p.Lot, w.Hits, p.Machine.FootDwell, p.Machine.Places = 1, hits, dwell, 100_000
			p.Machine.Change = 0
		})
		return err
	}
	require.NoError(t, places(1_000_000, dwell))
	refused(places(1_000_000, dwell+1))

	// 4000 tools of a million are more money than can be counted.
	for lot, ok := range map[int]bool{3999: true, 4000: false} {
		r, err := one(func(p *stack.Problem, w *stack.Work) { p.Lot, w.Hits, w.Tool.Price = lot, 1, 1e6 })
		if ok {
			require.NoError(t, err)
			require.Equal(t, 3.999e9, r.Cost.Total)
		} else {
			refused(err)
		}
	}
}

// A bit that lives for one hit makes one hole; where a slower one would be fed by
// less than 1 mm/min it is an error.
func TestLeastLifeAndFeed(t *testing.T) {
	p := greenhouse(t)
	p.Lot, p.Machine.Places = 1, 1000
	w := p.SetUps[0][0]
	w.Hits, w.Pieces = 3, nil
	p.SetUps = [][]stack.Work{{w}}
	p.Rules.Life.Rows = append([]tooling.LifeRow(nil), p.Rules.Life.Rows...)
	p.Rules.Life.Factors = tooling.LifeFactors{}
	for i := range p.Rules.Life.Rows {
		p.Rules.Life.Rows[i].Life = 1
	}
	p.Rules.Stack.MaxHeight = 1
	r, err := stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err)
	require.Equal(t, 1.0, r.SetUps[0].Tools[0].Life)
	require.Equal(t, 3, r.SetUps[0].Tools[0].Bought)

	p = greenhouse(t)
	p.SetUps = [][]stack.Work{{w}}
	p.Rules.Feeds.Rows = append([]tooling.FeedRow(nil), p.Rules.Feeds.Rows...)
	for i := range p.Rules.Feeds.Rows {
		p.Rules.Feeds.Rows[i].Speed, p.Rules.Feeds.Rows[i].Surface, p.Rules.Feeds.Rows[i].ChipLoad = 10_000, 0, 0.0001
	}
	p.Machine.MinSpeed = 0
	_, err = stack.Solve(context.Background(), p, stack.Options{})
	require.NoError(t, err, "1 mm/min is a feed")
	_, err = stack.Solve(context.Background(), p, stack.Options{Speeds: []float64{1, 0.5}, Taylor: tooling.Taylor{N: 0.3, C: 300}})
	var bad *tooling.InputError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "rules.feeds", bad.Source.Path)
	require.ErrorIs(t, err, tooling.ErrValue)
}

// A plan that takes just as long as the due time allows is made, and none is a
// nanosecond later.
func TestDueToTheNanosecond(t *testing.T) {
	for _, setUps := range []int{1, 2} {
		p := greenhouse(t)
		p.SetUps = p.SetUps[:setUps]
		fastest, err := stack.Solve(context.Background(), p, stack.Options{Objective: stack.LeastTime})
		require.NoError(t, err)
		r, err := stack.Solve(context.Background(), p, stack.Options{Due: fastest.Cost.LotTime})
		require.NoError(t, err)
		require.Equal(t, fastest.Cost.LotTime, r.Cost.LotTime)
		_, err = stack.Solve(context.Background(), p, stack.Options{Due: fastest.Cost.LotTime - 1})
		var none *stack.InfeasibleError
		require.ErrorAs(t, err, &none)
		require.Equal(t, stack.RuleDue, none.Refused[0].Rule)
	}
}
