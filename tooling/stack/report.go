package stack

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

func (t Times) total() time.Duration { return t.Travel + t.Stroke + t.Change + t.Rout }

func (t Times) plus(o Times) Times {
	return Times{t.Travel + o.Travel, t.Stroke + o.Stroke, t.Change + o.Change, t.Rout + o.Rout}
}

// works lists the items of a span in the order of the work.
func (b *bench) works(p span) []int {
	var out []int
	for _, g := range b.groups[p.from:p.to] {
		out = append(out, g...)
	}
	if p.to == len(b.groups) {
		out = append(out, b.rout...)
	}
	slices.Sort(out)
	return out
}

// setUp spells out one set-up of a plan and its causes of cost.
func (s *shop) setUp(number int, p span) (SetUp, causes) {
	b, l := &s.benches[p.bench], s.layouts[p.layout]
	works := b.works(p)
	c, _ := s.cell(p)
	cost, _ := s.costs(p, c)
	mode := s.options.Mode
	if mode == Split {
		mode = ""
	}
	out := SetUp{
		Mode:   mode,
		Number: number, From: p.bench + 1, Stage: b.items[works[0]].work.Stage,
		Height: l.height, Loads: l.loads, Stacks: l.stacks, Short: l.short, Spindles: l.spindles, Last: l.last, Policy: l.policy,
		LoadTime: time.Duration(c.load), Handling: s.load, Carried: time.Duration(c.carried),
		Cost: cost.cost(s.problem.Lot, s.lotTime(c, l)),
	}
	for _, i := range works {
		it := b.items[i]
		part := s.chosen(p, i)
		lev, u, t := part.level, part.use, part.level.times
		t.Change += time.Duration(u.changes) * (s.change + it.work.Trip)
		out.Times = out.Times.plus(t)
		share := Share{
			Pass: it.work.Pass, Place: it.work.Place, Tool: it.work.Tool, Feed: lev.feed, Depth: lev.depth, Life: float64(lev.life), Lives: slices.Clone(lev.lives),
			PerLoad: u.perLoad, Keep: u.keep, Bought: int(u.bought), Each: money(lev.each), Cost: money(part.tools),
		}
		if it.cutter() {
			share.Life = float64(lev.life / 1000)
		}
		out.Tools = append(out.Tools, share)
	}
	out.Partial = math.Round((out.Cost.Total-s.full(p, works, c))*1e6) / 1e6
	return out, cost
}

// plan spells out all set-ups of a plan and their sum.
func (s *shop) plan(spans []span) ([]SetUp, Cost) {
	var (
		out []SetUp
		sum causes
		ns  int64
	)
	for k, p := range spans {
		one, c := s.setUp(k+1, p)
		if n := len(s.benches[p.bench].groups); p.from > 0 || p.to < n {
			for _, o := range spans {
				if o.bench == p.bench {
					one.Tiers++
					if o.from <= p.from {
						one.Tier++
					}
				}
			}
		}
		out = append(out, one)
		sum = sum.plus(c)
		ns += int64(one.Cost.LotTime)
	}
	return out, sum.cost(s.problem.Lot, ns)
}

// curve lists what the heights of a set-up cost, and why the others are
// refused.
func (s *shop) curve(number int, p span) ([]Point, []Refusal) {
	var points []Point
	var refused []Refusal
	o := s.options
	o.Height, o.Due = 0, 0
	edges := s.with(o).edges(p.bench, p.from, p.to)
	for h := 1; h <= s.problem.Rules.Stack.MaxHeight; h++ {
		if h > s.problem.Lot {
			refused = append(refused, Refusal{number, h, RuleLot, "", fmt.Sprintf("%d high is taller than the lot of %d", h, s.problem.Lot)})
			continue
		}
		k := slices.IndexFunc(edges, func(e edge) bool { return s.layouts[e.layout].height == h })
		if k < 0 {
			refused = append(refused, s.refusal(number, p, h))
			continue
		}
		e := edges[k]
		l := s.layouts[e.layout]
		c, _ := s.cell(e.span)
		points = append(points, Point{number, h, l.loads, l.spindles, int(c.bought), money(e.cost), time.Duration(e.ns)})
	}
	return points, refused
}

// refusal says why no layout of a height will do: the words of its first
// layout, which asks for the fewest spindles.
func (s *shop) refusal(number int, p span, h int) Refusal {
	out := Refusal{SetUp: number, Height: h}
	b := &s.benches[p.bench]
	c := slices.IndexFunc(s.layouts, func(l layout) bool { return l.height == h })
	l := s.layouts[c]
	var others []string
	for _, i := range b.works(p) {
		it := b.items[i]
		part := s.part(it, l)
		switch {
		case part.rule == "":
		case out.Rule == "":
			out.Rule, out.Tool = part.rule, it.work.Tool.ID
			out.Detail = fmt.Sprintf("%s T%d, %s of %.3f mm: %s", it.work.Pass, it.work.Place, it.work.Tool.Kind, it.work.Tool.Diameter, part.why)
		case !slices.Contains(others, it.work.Tool.ID) && it.work.Tool.ID != out.Tool:
			others = append(others, it.work.Tool.ID)
		}
	}
	if others != nil {
		out.Detail += fmt.Sprintf(" (and %d more: %s)", len(others), strings.Join(others, ", "))
	}
	if out.Rule != "" {
		return out
	}
	p.layout = c
	if sum, ok := s.cell(p); !ok && sum.refused == 0 {
		out.Rule = RulePlaces
		out.Detail = fmt.Sprintf("%d tools in all, expected at most the %d places of the magazine", sum.places, s.problem.Machine.Places)
		return out
	}
	if len(s.shared) > 0 {
		out.Rule, out.Detail = RuleStock, "tools used in more than one place are more than the crib holds"
		return out
	}
	out.Rule, out.Detail = RuleBounds, "time or money beyond what can be counted"
	return out
}
