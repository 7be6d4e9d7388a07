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
	return int64(l.loads)*(c.load+int64(s.problem.Machine.Load)) + c.carried
}

// costs is what a set-up costs, and whether that can be counted:
//
//	machine  time of the lot x rate
//	tools    bought x (price + repoints) / (sum of lives)
//	sheets   stacks x (entry + backup)
//	set-up   labour of the set-up + stacks x labour of pinning one
func (s *shop) costs(c cell, l layout) (causes, bool) {
	r := s.problem.Rules.Stack
	ns := s.lotTime(c, l)
	out := causes{
		machine: hourly(s.problem.Machine.Rate, ns),
		tools:   c.tools,
		sheets:  nano(float64(float64(l.stacks) * (r.EntryPrice + r.BackupPrice))),
		setUp:   nano(r.SetUpLabour + float64(float64(l.stacks)*r.StackLabour)),
	}
	parts := float64(out.machine) + float64(out.tools) + float64(out.sheets) + float64(out.setUp)
	return out, ns <= maxLotNs && parts < float64(maxMoney)
}

// full is what a set-up would cost in money if every load held a full stack
// at every spindle and every tool were worn to its end: the limit of cost
// over large lots.
func (s *shop) full(b *bench, works []int, l layout, c cell) float64 {
	r, m := s.problem.Rules.Stack, s.problem.Machine
	stacks := float64(s.problem.Lot) / float64(l.height)
	loads := stacks / float64(m.Spindles)
	hours := float64(c.load+int64(m.Load)) / float64(time.Hour)
	sum := float64(loads*hours*m.Rate) + float64(stacks*(r.EntryPrice+r.BackupPrice+r.StackLabour)) + r.SetUpLabour
	for _, i := range works {
		it := b.items[i]
		lev := s.part(it, l).level
		share := float64(it.demand) / float64(lev.life)
		sum += float64(stacks * share * money(lev.each))
	}
	return sum
}
