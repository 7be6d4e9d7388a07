package sheet

import (
	"fmt"
	"strconv"
	"strings"
)

// The parts of the text sheet, in the order in which they are printed.

func (s *Sheet) setUp(t *text, u SetUp) {
	t.title(fmt.Sprintf("set-up %d, %s", u.Number, stage(u.Stage)))
	stacks := fmt.Sprintf("%s of %d", count(u.Stacks, "stack"), u.Height)
	if u.ShortStack > 0 {
		stacks += fmt.Sprintf(", the last of %d", u.ShortStack)
	}
	t.line("  %s; %s on %s; time %s", stacks, count(u.Loads, "load"), count(u.Spindles, "spindle"), Clock(u.Seconds))
	t.line("  entry %s mm, backup %s mm, stack %s mm high; %s entry and %s backup sheets",
		size(u.Entry), size(u.Backup), size(u.StackMM), brief(u.EntrySheets), brief(u.BackupSheets))
	for _, p := range u.Pins {
		t.wrap("  ", "    ", fmt.Sprintf("pin %s mm at %s%s", brief(p.Diameter), place(p.At), after(p.Note)))
	}
	for _, p := range s.Passes {
		if p.SetUp == u.Number {
			s.pass(t, p)
		}
	}
}

// after joins a note to what it is about.
func after(note string) string {
	if note == "" {
		return ""
	}
	return ", " + note
}

func (s *Sheet) pass(t *text, p Pass) {
	t.line("")
	t.line("  PASS %s (%s)  %s", plain(p.Name), plain(p.Operation), plain(p.Program))
	what := fmt.Sprintf("%d hits, %d holes", p.Hits, p.Holes)
	if p.Operation == "rout" {
		what = fmt.Sprintf("%s mm cut", fixed(p.Cut, 0))
	}
	t.line("  each load: %s, %s mm travel, %s", what, fixed(p.Travel, 0), Clock(p.LoadSeconds))
	load, count := p.loading(), p.counting()
	t.table(load...)
	t.line("")
	t.table(count...)
	for _, r := range p.Runs {
		if r.Comments != "" {
			t.wrap(fmt.Sprintf("  run %d: ", r.Number), "    ", r.Comments)
		}
	}
}

// loading returns what the operator sets and compares at the machine, a row a
// run under a heading.
func (p Pass) loading() [][]string {
	rows := [][]string{{"run", "place", "file", "finished", "tool mm", "rev/min", "infeed", "um/rev", "retract", "in backup", "work"}}
	if p.Operation == "rout" {
		rows[0] = []string{"run", "place", "tool mm", "rev/min", "plunge", "feed", "um/rev", "retract", "in backup", "work"}
	}
	for _, r := range p.Runs {
		row := []string{strconv.Itoa(r.Number), r.tools()}
		if p.Operation != "rout" {
			row = append(row, sizes(r.Files), sizes(r.Finished))
		}
		row = append(row, size(r.Diameter), fixed(r.Speed, 0), fixed(r.Infeed, 0))
		work := r.Kind + ", " + r.Work
		if p.Operation == "rout" {
			row = append(row, dash(r.Feed, 0))
			work = r.Work
		}
		rows = append(rows, append(row, fixed(r.ChipLoad, 1), fixed(r.Retract, 0), size(r.IntoBackup), work))
	}
	return rows
}

// counting returns what the operator counts and expects, a row a run under a
// heading.
func (p Pass) counting() [][]string {
	rows := [][]string{{"run", "hits", "holes", "over table", "a load", "a lot", "travel mm", "travel s", "bound s", "gap %", "time"}}
	if p.Operation == "rout" {
		rows[0][1], rows[0][2] = "cut mm", "paths"
	}
	for _, r := range p.Runs {
		hits, holes := strconv.Itoa(r.Hits), strconv.Itoa(r.Holes)
		if p.Operation == "rout" {
			hits, holes = fixed(r.Cut, 0), strconv.Itoa(r.Paths)
		}
		rows = append(rows, []string{
			strconv.Itoa(r.Number), hits, holes, size(r.AboveTable), strconv.Itoa(r.PerLoad), strconv.Itoa(r.PerLot),
			fixed(r.Travel, 0), fixed(r.TravelS, 1), dash(r.BoundS, 1), gap(r), Clock(r.Seconds),
		})
	}
	return rows
}

func dash(v float64, decimals int) string {
	if v == 0 {
		return "-"
	}
	return fixed(v, decimals)
}

// gap is the travel above its bound, and in brackets that of the moves alone,
// without the settle time that no order can change.
func gap(r Run) string {
	switch {
	case r.BoundS == 0:
		return "-"
	case r.MovesPct == 0:
		return fixed(r.GapPct, 1)
	}
	return fixed(r.GapPct, 1) + " (" + fixed(r.MovesPct, 1) + ")"
}

func (s *Sheet) scores(t *text) {
	rows := [][]string{{"line", "from", "to", "depth mm", "web mm", "angle"}}
	for i, l := range s.Scores {
		rows = append(rows, []string{"S" + strconv.Itoa(i+1), place(l.From), place(l.To), size(l.Depth), size(l.Web), brief(l.Angle) + " deg"})
	}
	if len(rows) > 1 {
		t.title("score lines (another machine)")
	}
	t.table(rows...)
}

func (s *Sheet) firstArticle(t *text) {
	rows := [][]string{{"finished mm", "tolerance", "in one panel", "what"}}
	for _, h := range s.FirstArticle {
		what := plating(h.Plated) + " " + h.What
		if h.Length > 0 {
			what += ", " + size(h.Length) + " mm long"
		}
		rows = append(rows, []string{size(h.Finished), tolerance(h), strconv.Itoa(h.Count), what})
	}
	if len(rows) > 1 {
		t.title("first article: count and gauge")
	}
	t.table(rows...)
}

func (s *Sheet) lot(t *text) {
	t.title("the lot")
	t.line("  machine time %s, cost a panel %s", Clock(s.LotSeconds), s.money(s.CostPerPanel))
	rows := [][]string{{"time by cause", "of lot", "time"}}
	for _, p := range s.LotTime.Parts() {
		rows = append(rows, []string{p.Name, percent(p.Value, s.LotSeconds), Clock(p.Value)})
	}
	t.table(rows...)
	rows = [][]string{{"cost by cause", "of cost", "a panel"}}
	for _, p := range s.CostSplit.Parts() {
		rows = append(rows, []string{p.Name, percent(p.Value, s.CostPerPanel), s.money(p.Value)})
	}
	t.table(rows...)
}

func (s *Sheet) fetch(t *text) {
	rows := [][]string{{"tool mm", "fetch", "in the crib", "price", "kind"}}
	for _, b := range s.Bits {
		rows = append(rows, []string{size(b.Diameter), strconv.Itoa(b.Count), stock(b), dash(b.Price, 2), b.label()})
	}
	if len(rows) > 1 {
		t.title("tools to fetch")
	}
	t.table(rows...)
}

func (b Bit) label() string {
	if b.ID == "" {
		return b.Kind
	}
	return b.Kind + " " + b.ID
}

func stock(b Bit) string {
	switch {
	case b.Stock < 0:
		return "-"
	case b.Stock < b.Count:
		return strconv.Itoa(b.Stock) + " SHORT"
	}
	return strconv.Itoa(b.Stock)
}

func (s *Sheet) heights(t *text) {
	rows := [][]string{{"set-up", "high", "cost", "tools", "time", ""}}
	for _, h := range s.Curve {
		which, note := "all", ""
		if h.SetUp > 0 {
			which = strconv.Itoa(h.SetUp)
		}
		if h.Chosen {
			note = "chosen"
		}
		if h.OK {
			rows = append(rows, []string{which, strconv.Itoa(h.Height), fixed(h.Cost, 2), strconv.Itoa(h.Tools), Clock(h.Seconds), note})
		} else {
			rows = append(rows, []string{which, strconv.Itoa(h.Height), "-", "-", "-", "refused"})
		}
	}
	if len(rows) > 1 {
		t.title("stack heights")
	}
	t.table(rows...)
	for _, h := range s.Curve {
		if !h.OK {
			of := ""
			if h.SetUp > 0 {
				of = fmt.Sprintf("set-up %d, ", h.SetUp)
			}
			t.wrap(fmt.Sprintf("  %s%d high refused: ", of, h.Height), "    ", h.Reason)
		}
	}
	for _, l := range s.Limits {
		short, _, _ := strings.Cut(l.Detail, " (") // the figures are in page and JSON
		t.wrap(fmt.Sprintf("  set-up %d, ", l.SetUp), "    ", short)
	}
}

func (s *Sheet) verdicts(t *text) {
	if len(s.Checks) > 0 {
		t.title("checks of the written programs")
	}
	for _, c := range s.Checks {
		if !c.OK {
			t.wrap(fmt.Sprintf("  %-8s %s: ", verdict(c.OK), plain(c.Rule)), "           ", c.Detail)
		}
	}
	if n := s.passed(); n > 0 {
		t.wrap(fmt.Sprintf("  %-8s %d: ", verdict(true), n), "           ", s.passedRules())
	}
	if len(s.Findings) > 0 {
		t.title("findings")
	}
	for i, f := range s.Findings {
		line := f.Detail
		if f.Tool != "" {
			line += " (" + f.Tool + ")"
		}
		if m := measured(f); m != "-" {
			line += "; worst " + m
		}
		if len(f.Places) > 0 {
			line += "; at " + places(f.Places)
		}
		if at := f.Source.String(); at != "" {
			line += "; " + at
		}
		t.wrap(fmt.Sprintf("  %-8s %d. %s x%d: ", remark(f.OK), i+1, plain(f.Rule), f.Count), "           ", line)
	}
}

// passedRules names the rules of the checks that passed, each once, with how
// often it was held where that is more than once.
func (s *Sheet) passedRules() string {
	var rules []string
	times := map[string]int{}
	for _, c := range s.Checks {
		if !c.OK {
			continue
		}
		if times[c.Rule] == 0 {
			rules = append(rules, c.Rule)
		}
		times[c.Rule]++
	}
	for i, r := range rules {
		if n := times[r]; n > 1 {
			rules[i] = fmt.Sprintf("%s x%d", r, n)
		}
	}
	return strings.Join(rules, ", ")
}
