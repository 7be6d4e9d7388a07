package stack

import "fmt"

// limits says for each tool of a set-up what keeps it from going deeper.
func (s *shop) limits(number int, p span) []Limit {
	b := &s.benches[p.bench]
	var out []Limit
	for _, i := range b.works(p) {
		it := b.items[i]
		l := Limit{SetUp: number, Pass: it.work.Pass, Place: it.work.Place, Tool: it.work.Tool.ID, Rule: RuleDepth}
		plain, why := 0, fmt.Sprintf("%d high, expected at most that of the rules", len(it.levels[0])+1)
		for h, lev := range it.levels[0] {
			if lev.why != "" {
				l.Rule, why = lev.rule, lev.why
				break
			}
			l.Height = h + 1
			if lev.depth.Pecks <= 1 {
				plain = h + 1
			}
		}
		l.Detail = fmt.Sprintf("%.3f mm: %s allows %d", it.work.Tool.Diameter, s.ruleText(l.Rule, s.problem.Rules.Stack.Ratio), l.Height)
		if plain < l.Height {
			l.Detail = fmt.Sprintf("%.3f mm: %s allows %d; pecked, %s allows %d", it.work.Tool.Diameter,
				s.ruleText(RuleRatio, s.problem.Rules.Stack.Ratio), plain, s.ruleText(l.Rule, s.problem.Rules.Stack.PeckRatio), l.Height)
		}
		l.Detail += " (" + why + ")"
		out = append(out, l)
	}
	return out
}

// ruleText names a rule of one tool as the subject of a sentence; ratio is the
// depth ratio that is in force.
func (s *shop) ruleText(rule string, ratio float64) string {
	switch rule {
	case RuleFlute:
		return "the flute"
	case RuleRatio:
		return fmt.Sprintf("depth %g:1", ratio)
	case RuleBackup:
		return "the backup"
	case RuleLife:
		return "the life table"
	case RuleWander:
		return "the position tolerance"
	case RuleOpening:
		return "the machine's opening"
	case RuleBounds:
		return "what can be counted"
	}
	return "the tallest stack of the rules"
}
