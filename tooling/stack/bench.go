package stack

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// cell adds up what items mean for one layout. Cells of neighbouring groups
// add, so prefix sums give those of any tier.
type cell struct {
	load    int64 // ns of one load, further changes in it included
	carried int64 // ns of the lot
	tools   int64 // billionths of the lot
	bought  int64
	places  int
	refused int // items that refuse the layout
}

func (a cell) plus(b cell) cell {
	return cell{a.load + b.load, a.carried + b.carried, a.tools + b.tools, a.bought + b.bought, a.places + b.places, a.refused + b.refused}
}

func (a cell) minus(b cell) cell {
	return cell{a.load - b.load, a.carried - b.carried, a.tools - b.tools, a.bought - b.bought, a.places - b.places, a.refused - b.refused}
}

// bench is one set-up of the problem laid out for the search.
type bench struct {
	items  []item      // in the order of the work
	groups [][]int     // drill items by distinct diameter, smallest first: what tiers are cut from
	rout   []int       // the others: they join the last tier
	tiers  int         // most tiers allowed
	noTier string      // why tiers are refused; empty: they are not
	sums   [][]cell    // by layout: sums[c][g] adds up the groups before g
	last   []cell      // by layout: what rout adds
	spent  [][][]int64 // by layout, group and shared tool: prefix sums of tools bought
	final  [][]int64   // by layout and shared tool: what rout adds
}

// shop is a problem made ready.
type shop struct {
	problem Problem
	options Options
	layouts []layout
	benches []bench
	change  time.Duration  // one tool change by the clock
	shared  []tooling.Tool // tools with a counted stock that several items draw on
}

func newShop(p Problem, o Options) (*shop, error) {
	s := &shop{problem: p, options: o}
	s.change = p.Machine.Clock().Tick(machine.Step{Kind: machine.Change, To: p.Machine.ChangeAt})
	s.layouts = layouts(p.Lot, p.Rules.Stack.MaxHeight, p.Machine.Spindles, o.policies())
	for _, works := range p.SetUps {
		b := bench{}
		for _, w := range merge(works) {
			it, err := p.prepare(w, o)
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

// scaled is the same shop with all lives times factor, at least 1.
func (s *shop) scaled(factor float64) *shop {
	t := *s
	t.benches = slices.Clone(s.benches)
	for i := range t.benches {
		b := &t.benches[i]
		b.items = slices.Clone(b.items)
		for k := range b.items {
			it := &b.items[k]
			it.levels = slices.Clone(it.levels)
			for v, levels := range it.levels {
				it.levels[v] = slices.Clone(levels)
				for h := range levels {
					it.levels[v][h].life = it.scale(levels[h].life, factor)
				}
			}
		}
		t.sum(b)
	}
	return &t
}

// scale keeps lives whole: hits, or mm of path.
func (i item) scale(life int64, factor float64) int64 {
	unit := int64(1)
	if i.cutter() {
		unit = 1000
	}
	return unit * max(int64(math.Floor(float64(float64(life/unit)*factor)+1e-9)), min(life, 1))
}

// group sorts the drilling by diameter and decides whether it may be cut.
func (s *shop) group(b *bench) {
	var drill []int
	for i, it := range b.items {
		if it.work.Operation == tooling.Routing || it.cutter() {
			b.rout = append(b.rout, i)
		} else {
			drill = append(drill, i)
		}
	}
	size := func(i int) int64 { return tooling.Nanometres(b.items[i].work.Tool.Diameter) }
	slices.SortStableFunc(drill, func(x, y int) int { return cmp.Compare(size(x), size(y)) })
	for k, i := range drill {
		if k == 0 || size(i) != size(drill[k-1]) {
			b.groups = append(b.groups, nil)
		}
		b.groups[len(b.groups)-1] = append(b.groups[len(b.groups)-1], i)
	}
	b.tiers = max(1, min(s.options.Tiers, len(b.groups)))
	if b.tiers == 1 {
		return
	}
	for _, i := range drill {
		w := b.items[i].work
		if w.Tolerance > 0 && tooling.Nanometres(w.Tolerance) < tooling.Nanometres(s.options.secondPass()) {
			b.tiers = 1
			b.noTier = fmt.Sprintf("%s T%d: holes within %.3f mm, two pinnings hold %.3f mm: not cut into tiers",
				w.Pass, w.Place, w.Tolerance, s.options.secondPass())
			return
		}
	}
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

// sum fills in the prefix sums of a set-up for every layout.
func (s *shop) sum(b *bench) {
	n := len(s.layouts)
	b.sums, b.last = make([][]cell, n), make([]cell, n)
	b.spent, b.final = make([][][]int64, n), make([][]int64, n)
	for c, l := range s.layouts {
		total := cell{}
		b.sums[c] = make([]cell, 1, len(b.groups)+1)
		b.spent[c] = append(b.spent[c], make([]int64, len(s.shared)))
		for _, g := range b.groups {
			spent := slices.Clone(b.spent[c][len(b.spent[c])-1])
			for _, i := range g {
				total = s.add(total, b.items[i], l, spent)
			}
			b.sums[c] = append(b.sums[c], total)
			b.spent[c] = append(b.spent[c], spent)
		}
		b.final[c] = make([]int64, len(s.shared))
		all := total
		for _, i := range b.rout {
			all = s.add(all, b.items[i], l, b.final[c])
		}
		b.last[c] = all.minus(total)
	}
}

// add is the sum with one more item. An item that refuses the layout, or
// would take the sum beyond its bounds, is only counted.
func (s *shop) add(sum cell, it item, l layout, spent []int64) cell {
	p := s.part(it, l)
	if p.rule != "" || !within(sum, p.cell, l) {
		sum.refused++
		return sum
	}
	if k := s.sharedIndex(it.work.Tool.ID); k >= 0 {
		spent[k] += p.use.bought
	}
	return sum.plus(p.cell)
}

func within(sum, one cell, l layout) bool {
	t := sum.plus(one)
	return float64(t.load)*float64(l.loads) <= float64(maxLotNs) && t.carried <= maxLotNs && t.tools <= maxMoney
}

// part is one item in a layout: what it adds, the tools it takes, and the
// rule with its words where it refuses.
type part struct {
	cell
	use   use
	level level
	rule  string
	why   string
}

// part takes the speed that serves the objective best; of equal ones, and
// where all refuse, the first.
func (s *shop) part(it item, l layout) part {
	var best part
	for v := range it.levels {
		p := s.at(it, l, v)
		if v == 0 || (p.rule == "" && (best.rule != "" || s.cheaper(p.cell, best.cell, l))) {
			best = p
		}
	}
	return best
}

// cheaper compares what two speeds of an item cost by the objective.
func (s *shop) cheaper(a, b cell, l layout) bool {
	ta, tb := a.load*int64(l.loads)+a.carried, b.load*int64(l.loads)+b.carried
	if s.options.Objective == LeastTime {
		return ta < tb || (ta == tb && a.tools < b.tools)
	}
	rate := s.problem.Machine.Rate + s.options.HourPrice
	return a.tools+hourly(rate, ta) < b.tools+hourly(rate, tb)
}

func (s *shop) at(it item, l layout, speed int) part {
	p := part{level: it.levels[speed][l.height-1]}
	if p.level.why != "" {
		p.rule, p.why = p.level.rule, p.level.why
		return p
	}
	for k, n := range it.pieces {
		if n > p.level.life {
			p.rule, p.why = RuleLife, fmt.Sprintf("piece %d asks one tool for %s, expected at most its life of %s", k, it.amount(n), it.amount(p.level.life))
			return p
		}
	}
	p.use = l.wear(it.demand, p.level.life, it.pieces)
	u := p.use
	if places := s.problem.Machine.Places; u.perLoad > places {
		p.rule, p.why = RulePlaces, fmt.Sprintf("%d tools in a load, expected at most the %d places of the magazine", u.perLoad, places)
		return p
	}
	if t := it.work.Tool; s.options.StockOnly && t.Stock > 0 && u.bought > int64(t.Stock) {
		p.rule, p.why = RuleStock, fmt.Sprintf("%d tools for the lot, expected at most the %d in the crib", u.bought, t.Stock)
		return p
	}
	further := int64(s.change + it.work.Trip)
	if float64(u.changes)*float64(further) > float64(maxPart) || float64(u.carried)*float64(further) > float64(maxLotNs) ||
		float64(u.bought)*float64(p.level.each) > float64(maxMoney) {
		p.rule, p.why = RuleBounds, "time or money beyond what can be counted"
		return p
	}
	p.cell = cell{
		load: int64(p.level.times.total()) + u.changes*further, carried: u.carried * further,
		tools: u.bought * p.level.each, bought: u.bought, places: u.perLoad,
	}
	return p
}

// amount prints hits or mm.
func (i item) amount(n int64) string {
	if i.cutter() {
		return fmt.Sprintf("%.1f mm", float64(n)/1000)
	}
	return fmt.Sprintf("%d hits", n)
}
