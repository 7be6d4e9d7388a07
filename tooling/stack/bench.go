package stack

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/pinstack/tooling"
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
	joined []bool      // by group: no tier may begin with it, see Work.After
	noTier string      // why tiers are refused; empty: they are not
	sums   [][]cell    // by layout: sums[c][g] adds up the groups before g
	last   []cell      // by layout: what rout adds
	spent  [][][]int64 // by layout, group and shared tool: prefix sums of tools bought
	final  [][]int64   // by layout and shared tool: what rout adds
	table  [][]edge    // see shop.edgesOf; nil until asked for
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
		if most := s.problem.tolerance(w); most > 0 && tooling.Nanometres(most) < tooling.Nanometres(s.options.secondPass()) {
			b.tiers = 1
			b.noTier = fmt.Sprintf("%s T%d: holes within %.3f mm, two pinnings hold %.3f mm: not cut into tiers",
				w.Pass, w.Place, most, s.options.secondPass())
			return
		}
	}
	b.joined = make([]bool, len(b.groups)+1)
	for g := range b.groups {
		for _, small := range b.groups[:g] {
			for _, i := range small {
				if tooling.Nanometres(b.items[i].work.After) >= size(b.groups[g][0]) {
					b.joined[g] = true
				}
			}
		}
	}
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
