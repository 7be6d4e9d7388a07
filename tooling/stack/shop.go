package stack

import (
	"math"
	"slices"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// shop is a problem made ready.
type shop struct {
	problem Problem
	options Options
	layouts []layout
	benches []bench
	change  time.Duration  // one tool change by the clock
	load    time.Duration  // unloading and loading by the clock
	stacks  []causes       // by layout: what it costs whatever is drilled
	shared  []tooling.Tool // tools with a counted stock that several items draw on
	tried   *int           // mixes of speeds looked at
	thinned *bool          // some front of mixes was too long to be kept whole
}

func newShop(p Problem, o Options) (*shop, error) {
	s := &shop{problem: p, options: o, tried: new(int), thinned: new(bool)}
	s.change = p.Machine.Clock().Tick(machine.Step{Kind: machine.Change, To: p.Machine.ChangeAt})
	s.load = p.Machine.Clock().Tick(machine.Step{Kind: machine.Reload})
	s.layouts = layouts(p.Lot, p.Rules.Stack.MaxHeight, p.Machine.Spindles, o.policies())
	for _, l := range s.layouts {
		s.stacks = append(s.stacks, s.pinning(l))
	}
	for _, works := range p.SetUps {
		b := bench{}
		for _, j := range merge(works) {
			it, err := p.prepare(j, o)
			if err != nil {
				return nil, err
			}
			b.items = append(b.items, it)
		}
		s.group(&b)
		s.benches = append(s.benches, b)
	}
	s.share()
	for i := range s.benches {
		s.sum(&s.benches[i])
	}
	return s, nil
}

// with is the same shop under other options of the same tiers and speeds.
func (s *shop) with(o Options) *shop {
	t := *s
	t.options, t.tried, t.thinned = o, new(int), new(bool)
	t.benches = slices.Clone(s.benches)
	for i := range t.benches {
		t.benches[i].table = nil
	}
	return &t
}

// scaled is the same shop with all lives times factor, at least 1.
func (s *shop) scaled(factor float64) *shop {
	t := s.with(s.options)
	for i := range t.benches {
		b := &t.benches[i]
		b.items = slices.Clone(b.items)
		for k := range b.items {
			it := &b.items[k]
			it.levels = slices.Clone(it.levels)
			for v, levels := range it.levels {
				it.levels[v] = slices.Clone(levels)
				for h := range levels {
					it.levels[v][h].rescale(*it, factor)
				}
			}
		}
		t.sum(b)
	}
	return t
}

// rescale keeps lives whole, hits or mm of path, and at least one.
func (l *level) rescale(it item, factor float64) {
	if l.why != "" {
		return
	}
	unit := int64(1)
	if it.cutter() {
		unit = 1000
	}
	l.life = unit * max(int64(math.Floor(float64(float64(l.life/unit)*factor)+1e-9)), 1)
	l.parts, l.tooLong = parts(it.demand, l.life, it.pieces)
}

// share finds the tools whose stock several items draw on.
func (s *shop) share() {
	if !s.options.StockOnly {
		return
	}
	count := make(map[string]int)
	for _, b := range s.benches {
		for _, it := range b.items {
			t := it.work.Tool
			count[t.ID]++
			if t.Stock > 0 && count[t.ID] == 2 {
				s.shared = append(s.shared, t)
			}
		}
	}
}

func (s *shop) sharedIndex(id string) int {
	return slices.IndexFunc(s.shared, func(t tooling.Tool) bool { return t.ID == id })
}
