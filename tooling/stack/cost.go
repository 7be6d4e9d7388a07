package stack

import "time"

// causes is money in billionths by cause.
type causes struct{ machine, tools, sheets, setUp int64 }

func (c causes) total() int64 { return c.machine + c.tools + c.sheets + c.setUp }

func (c causes) plus(o causes) causes {
	return causes{c.machine + o.machine, c.tools + o.tools, c.sheets + o.sheets, c.setUp + o.setUp}
}

// cost turns causes into money of a lot.
func (c causes) cost(lot int, ns int64) Cost {
	return Cost{
		Machine: money(c.machine), Tools: money(c.tools), Sheets: money(c.sheets), SetUp: money(c.setUp),
		Total: money(c.total()), PerPanel: money(c.total()) / float64(lot), LotTime: time.Duration(ns),
	}
}

// lotTime is the time of a set-up in ns.
func (s *shop) lotTime(c cell, l layout) int64 {
	return int64(l.loads)*(c.load+int64(s.load)) + c.carried
}

// pinning is what a layout costs whatever is drilled:
//
//	sheets  stacks x (entry + backup)
//	set-up  labour of the set-up + stacks x labour of pinning one
func (s *shop) pinning(l layout) causes {
	r := s.problem.Rules.Stack
	return causes{
		sheets: nano(float64(float64(l.stacks) * (r.EntryPrice + r.BackupPrice))),
		setUp:  nano(r.SetUpLabour + float64(float64(l.stacks)*r.StackLabour)),
	}
}

// costs is what a span costs, and whether that can be counted: pinning, and
//
//	machine  time of the lot x rate
//	tools    bought x (price + repoints) x life / sum of lives
func (s *shop) costs(p span, c cell) (causes, bool) {
	l := s.layouts[p.layout]
	if float64(l.loads)*float64(c.load+int64(s.load))+float64(c.carried) > float64(maxLotNs) {
		return causes{}, false // more than int64 holds, perhaps
	}
	ns := s.lotTime(c, l)
	out := s.stacks[p.layout]
	out.machine, out.tools = hourly(s.problem.Machine.Rate, ns), c.tools
	parts := float64(out.machine) + float64(out.tools) + float64(out.sheets) + float64(out.setUp)
	return out, ns <= maxLotNs && parts < float64(maxMoney)
}

// full is what a set-up would cost in money if every load held a full stack
// at every spindle and every tool were worn to its end: the limit of cost
// over large lots.
func (s *shop) full(p span, works []int, c cell) float64 {
	m, b, l := s.problem.Machine, &s.benches[p.bench], s.layouts[p.layout]
	stacks := float64(s.problem.Lot) / float64(l.height)
	loads := stacks / float64(m.Spindles)
	r := s.problem.Rules.Stack
	hours := float64(c.load+int64(s.load)) / float64(time.Hour)
	sum := float64(loads*hours*m.Rate) + float64(stacks*(r.EntryPrice+r.BackupPrice+r.StackLabour)) + r.SetUpLabour
	for _, i := range works {
		it := b.items[i]
		lev := s.chosen(p, i).level
		share := float64(it.demand) / float64(lev.life)
		sum += float64(stacks * share * money(lev.each))
	}
	return sum
}
