package stack

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"example.org/pinstack/tooling"
)

// lifeSteps are the factors of the sensitivity.
var lifeSteps = [...]float64{0.7, 1.3}

// Solve returns the best plan for the lot: the cheapest or fastest over all
// heights of every set-up, the spindles in use, the policies that the mode
// allows and, where asked for, all cuts into tiers. The search is exact for
// the work given; with equal value the shorter time wins (the lower cost,
// where time is the objective), then fewer set-ups, then the lower height.
//
// Errors: [tooling.InputErrors] for a problem or options that do not pass
// Validate, a [*tooling.InputError] for a tool that the feed table does not
// cover, an [*InfeasibleError] where no height or no plan is left. When the
// context ends first its error comes back with what was found: no plan yet,
// or the best plan without runner-up or sensitivity.
//
// Cost O(sum over set-ups of k^2 layouts) for k diameters with tiers, k
// layouts without; a layout is a height and a count of spindles. A due time or
// StockOnly keep a front of plans at every cut, in the worst case as many as
// there are plans, in practice some hundreds.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	if err := o.Validate(); err != nil {
		return Result{}, err
	}
	began := time.Now()
	s, err := newShop(p, o)
	if err != nil {
		return Result{}, err
	}
	front, err := search{shop: s}.run(ctx)
	if err != nil {
		return Result{}, err
	}
	if len(front) == 0 {
		return Result{}, s.infeasible(ctx)
	}
	best := front[0]
	spans := best.spans()
	out := Result{Refused: []Refusal{}, Sensitivity: []Sensitivity{}}
	out.SetUps, out.Cost = s.plan(spans)
	for k, p := range spans {
		points, refused := s.curve(k+1, p)
		out.Curve = append(out.Curve, points...)
		out.Refused = append(out.Refused, refused...)
		out.Limits = append(out.Limits, s.limits(k+1, p)...)
	}
	s.notes(&out, spans)
	out.Thinned = *s.thinned
	if o.Front {
		out.Front = s.trades(front)
	}
	if out.RunnerUp, err = s.runnerUp(ctx, spans, out.Cost); err != nil {
		return out, err
	}
	for _, f := range lifeSteps {
		sens, err := s.sensitivity(ctx, f, spans)
		if err != nil {
			return out, err
		}
		out.Sensitivity = append(out.Sensitivity, sens...)
	}
	tooling.Spent{Stage: "stack", Time: time.Since(began), Items: len(out.SetUps)}.Tell(ctx, o.Log, o.Stats)
	return out, nil
}

// choices names the set-ups of a plan.
func (s *shop) choices(spans []span) map[choice]bool {
	out := make(map[choice]bool, len(spans))
	for _, p := range spans {
		out[s.choice(p)] = true
	}
	return out
}

// runnerUp is the best plan with another height or cut anywhere.
func (s *shop) runnerUp(ctx context.Context, spans []span, best Cost) (*Alternative, error) {
	front, err := search{shop: s, avoid: s.choices(spans)}.run(ctx)
	if err != nil || len(front) == 0 {
		return nil, err
	}
	alt := &Alternative{}
	alt.SetUps, alt.Cost = s.plan(front[0].spans())
	chosen, _ := s.plan(spans)
	alt.WhyNot = fmt.Sprintf("%s instead of %s: %s", high(alt.SetUps), high(chosen), whyNot(best, alt.Cost, s.options))
	return alt, nil
}

// high names the heights of a plan in words: "2 and 3 high".
func high(setUps []SetUp) string {
	s := ""
	for k, u := range setUps {
		switch {
		case k == 0:
		case k == len(setUps)-1:
			s += " and "
		default:
			s += ", "
		}
		s += fmt.Sprint(u.Height)
	}
	return s + " high"
}

// whyNot puts the difference between two plans into words.
func whyNot(best, alt Cost, o Options) string {
	slower := (alt.LotTime - best.LotTime).Seconds()
	more := alt.Total - best.Total
	split := fmt.Sprintf("machine %+.2f, tools %+.2f, sheets %+.2f, set-up %+.2f",
		alt.Machine-best.Machine, alt.Tools-best.Tools, alt.Sheets-best.Sheets, alt.SetUp-best.SetUp)
	if o.Objective == LeastTime {
		return fmt.Sprintf("%+.1f s on the machine; cost %+.2f: %s", slower, more, split)
	}
	return fmt.Sprintf("cost %+.2f: %s; %+.1f s on the machine", more, split, slower)
}

// sensitivity solves again with all lives times factor, and prices the chosen
// heights with such tools. Nothing comes back when no plan is left.
func (s *shop) sensitivity(ctx context.Context, factor float64, spans []span) ([]Sensitivity, error) {
	t := s.scaled(factor)
	front, err := search{shop: t}.run(ctx)
	if err != nil || len(front) == 0 {
		return nil, err
	}
	out := Sensitivity{Life: factor}
	setUps, cost := t.plan(front[0].spans())
	out.Cost = cost
	for _, u := range setUps {
		out.Heights = append(out.Heights, u.Height)
	}
	front, err = search{shop: t, allowed: s.choices(spans)}.run(ctx)
	if err != nil {
		return nil, err
	}
	if len(front) > 0 {
		_, kept := t.plan(front[0].spans())
		out.Kept = &kept
	}
	return []Sensitivity{out}, nil
}

// trades lists a front from the cheapest plan to the fastest.
func (s *shop) trades(front []label) []Trade {
	var out []Trade
	byCost := slices.Clone(front)
	slices.SortStableFunc(byCost, func(a, b label) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.ns, b.ns)) })
	for _, l := range byCost {
		if n := len(out); n > 0 && time.Duration(l.ns) >= out[n-1].Time {
			continue // only shared tools tell it from a better one
		}
		t := Trade{Cost: money(l.cost), Time: time.Duration(l.ns)}
		for _, p := range l.spans() {
			l := s.layouts[p.layout]
			t.Heights, t.Spindles, t.Policies = append(t.Heights, l.height), append(t.Spindles, l.spindles), append(t.Policies, l.policy)
		}
		out = append(out, t)
	}
	return out
}

// notes adds the refusals that are not about one height.
func (s *shop) notes(out *Result, spans []span) {
	for k, p := range spans {
		if why := s.benches[p.bench].noTier; why != "" {
			out.Refused = append(out.Refused, Refusal{SetUp: k + 1, Rule: RuleSecond, Detail: why})
		}
	}
}

// infeasible finds the first set-up that has no height of its own, else says
// that the set-ups together break a limit.
func (s *shop) infeasible(ctx context.Context) error {
	o := s.options
	o.Due, o.Front, o.Objective = 0, false, LeastTime
	free := s.with(o)
	for k := range s.benches {
		one := *free
		one.benches = free.benches[k : k+1]
		front, err := search{shop: &one}.run(ctx)
		if err != nil {
			return err
		}
		if len(front) == 0 {
			return &InfeasibleError{SetUp: k + 1, Refused: one.reasons(k + 1)}
		}
	}
	front, err := search{shop: free}.run(ctx)
	if err != nil {
		return err
	}
	if len(front) == 0 {
		return &InfeasibleError{Refused: []Refusal{{Rule: RuleStock, Detail: "the set-ups together take more tools than the crib holds, or more time or money than can be counted"}}}
	}
	return &InfeasibleError{Refused: []Refusal{{Rule: RuleDue, Detail: fmt.Sprintf("the fastest plan takes %v, expected at most the due time of %v",
		time.Duration(front[0].ns), s.options.Due)}}}
}

// reasons lists why the heights that may be chosen are refused, for a shop of
// one set-up.
func (s *shop) reasons(number int) []Refusal {
	var out []Refusal
	for h := 1; h <= min(s.problem.Rules.Stack.MaxHeight, s.problem.Lot); h++ {
		if s.heightAllowed(h) {
			r := s.refusal(number, span{to: len(s.benches[0].groups)}, h)
			out = append(out, r)
		}
	}
	if out == nil {
		out = append(out, Refusal{SetUp: number, Height: s.options.Height, Rule: RuleDepth,
			Detail: fmt.Sprintf("%d high, expected at most the %d of the rules", s.options.Height, s.problem.Rules.Stack.MaxHeight)})
	}
	return out
}
