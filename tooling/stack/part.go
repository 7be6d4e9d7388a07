package stack

import "fmt"

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
	if k := p.level.tooLong; k >= 0 {
		p.rule, p.why = RuleLife, fmt.Sprintf("piece %d asks one tool for %s, expected at most its life of %s", k, it.amount(it.pieces[k].n), it.amount(p.level.life))
		return p
	}
	p.use = l.wear(it.demand, p.level.life, p.level.parts, it.pieces != nil)
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
