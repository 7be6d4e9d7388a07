package browser

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// What a page must show of a job, line by line, written by the test's own
// arithmetic and words.

// page gathers the lines that hold a figure.
type page []string

func (l *page) add(parts ...string) {
	parts = slices.DeleteFunc(parts, func(s string) bool { return strings.TrimSpace(s) == "" })
	if line := strings.Join(strings.Fields(strings.Join(parts, "|")), " "); numbered(line) {
		*l = append(*l, line)
	}
}

// lines returns every line of the page that holds a figure, in its order.
func (j job) lines() []string {
	var l page
	j.top(&l)
	j.picker(&l)
	for _, c := range j.Cautions {
		l.add(c)
	}
	j.fetch(&l)
	for _, h := range j.FirstArticle {
		h.lines(&l)
	}
	for _, u := range j.SetUps {
		u.lines(&l)
		for _, s := range j.Passes {
			if s.SetUp == u.Number {
				s.lines(&l)
			}
		}
	}
	for i, s := range j.Scores {
		l.add(fmt.Sprintf("S%d", i+1), xy(s.From), xy(s.To), hundredths(s.Depth), hundredths(s.Web), short(s.Angle)+"°")
	}
	for _, s := range j.HandWork {
		l.add(s)
	}
	j.splits(&l)
	j.heights(&l)
	j.verdicts(&l)
	return l
}

func (j job) top(l *page) {
	l.add(j.Job, "rev. "+j.Revision)
	note := "Machine: " + j.Machine + "."
	if j.Note != "" {
		note = j.Note + ". " + note
	}
	l.add(note)
	reading := ""
	if n := len(j.Findings); n > 0 {
		reading = fmt.Sprint(n, " to read")
	}
	l.add(fmt.Sprintf("%d of %d", j.good(), len(j.Checks)), "checks passed", reading)
	count, noun, _ := strings.Cut(some(j.Panels, "panel"), " ")
	l.add("Lot", count, noun+" of "+fmt.Sprint(j.Boards))
	l.add("Panel", short(j.Width)+" × "+short(j.Height), j.Material+" "+short(j.Thickness)+" mm")
	for _, u := range j.SetUps {
		l.add(fmt.Sprintf("Set-up %d, %s", u.Number, words(u.Stage)), fmt.Sprint(u.Height, " high"), some(u.Loads, "load")+", "+some(u.Spindles, "spindle"))
	}
	l.add("Machine time, whole lot", clock(j.LotSeconds))
	l.add("Cost of a panel", j.money(j.CostPerPanel))
}

func (j job) good() int {
	n := 0
	for _, c := range j.Checks {
		if c.OK {
			n++
		}
	}
	return n
}

func (j job) picker(l *page) {
	setUp := 0
	for _, s := range j.Passes {
		if s.SetUp != setUp {
			setUp = s.SetUp
			l.add(fmt.Sprintf("Set-up %d, %s", setUp, words(s.Stage)))
		}
		operation := s.Operation
		if operation == s.Name {
			operation = ""
		}
		l.add(s.Name, operation, clock(s.LoadSeconds))
		for _, r := range s.Runs {
			amount := fmt.Sprint(r.Hits)
			if r.Hits == 0 {
				amount = some(r.Paths, "path")
			}
			l.add(r.places(), hundredths(r.Diameter), r.Work, amount)
		}
	}
}

func (j job) fetch(l *page) {
	for _, b := range j.Bits {
		stock := "-"
		switch {
		case b.Stock >= 0 && b.Stock < b.Count:
			stock = fmt.Sprint(b.Stock, " SHORT")
		case b.Stock >= 0:
			stock = fmt.Sprint(b.Stock)
		}
		l.add(hundredths(b.Diameter), strings.TrimSpace(b.Kind+" "+b.ID), fmt.Sprint(b.Count), stock, orDash(b.Price, 2))
	}
}

func (h article) lines(l *page) {
	allowed := fmt.Sprintf("+%.2f -%.2f", h.Plus, h.Minus)
	switch {
	case h.Plus == 0 && h.Minus == 0:
		allowed = "-"
	case h.Plus == h.Minus:
		allowed = "±" + hundredths(h.Plus)
	}
	what := "unplated " + h.What
	if h.Plated {
		what = "plated " + h.What
	}
	if h.Length > 0 {
		what += ", " + hundredths(h.Length) + " long"
	}
	l.add(hundredths(h.Finished), allowed, what, fmt.Sprint(h.Count))
}

func (u setUp) lines(l *page) {
	l.add(fmt.Sprint("Set-up ", u.Number), fmt.Sprintf("%s, %s for the lot", words(u.Stage), clock(u.Seconds)))
	l.add("Stack", fmt.Sprint(u.Height, " panels"), ", "+hundredths(u.StackMM)+" mm with sheets")
	stacks := fmt.Sprint(u.Stacks)
	if u.ShortStack > 0 {
		stacks += fmt.Sprint(", the last of ", u.ShortStack)
	}
	l.add("Stacks", stacks)
	l.add("Loads", fmt.Sprintf("%d on %d spindles", u.Loads, u.Spindles))
	l.add("Entry", fmt.Sprintf("%s mm, %s sheets", hundredths(u.Entry), short(u.EntrySheets)))
	l.add("Backup", fmt.Sprintf("%s mm, %s sheets", hundredths(u.Backup), short(u.BackupSheets)))
	for _, p := range u.Pins {
		name := "Pin " + short(p.Diameter) + " mm"
		if p.Note != "" {
			name += ", " + p.Note
		}
		l.add(name, xy(p.At))
	}
}

// lines are heading, runs, remarks and travel of a pass.
func (s pass) lines(l *page) {
	load := fmt.Sprintf("%d hits, %d holes", s.Hits, s.Holes)
	if s.Operation == "rout" {
		load = fmt.Sprintf("%.0f mm cut", s.Cut)
	}
	l.add("Pass "+s.Name, fmt.Sprintf("%s, %s. Each load: %s,", s.Operation, s.Program, load), clock(s.LoadSeconds))
	for _, r := range s.Runs {
		fetch := fmt.Sprint(r.PerLoad)
		if r.PerLot > 0 {
			fetch += fmt.Sprint(" / ", r.PerLot)
		}
		depths := []string{fmt.Sprintf("%.1f", r.ChipLoad), fmt.Sprintf("%.0f", r.Retract), hundredths(r.IntoBackup), hundredths(r.AboveTable)}
		row := []string{fmt.Sprint(r.Number), r.places()}
		if s.Operation == "rout" {
			row = append(row, hundredths(r.Diameter), r.Work, fmt.Sprintf("%.0f", r.Speed), fmt.Sprintf("%.0f", r.Infeed), orDash(r.Feed, 0))
			row = append(append(row, depths...), fmt.Sprint(r.Paths), fmt.Sprintf("%.0f", r.Cut))
		} else {
			files, kind := "–", ""
			if len(r.Files) > 0 {
				files = all(r.Files) + " → " + all(r.Finished)
			}
			if r.Kind != "bit" {
				kind = r.Kind
			}
			row = append(row, files, hundredths(r.Diameter), r.Work, kind, fmt.Sprintf("%.0f", r.Speed), fmt.Sprintf("%.0f", r.Infeed))
			row = append(append(row, depths...), fmt.Sprint(r.Hits), fmt.Sprint(r.Holes))
		}
		l.add(append(row, fetch, clock(r.Seconds))...)
	}
	for _, r := range s.Runs {
		if r.Comment != "" {
			l.add(fmt.Sprintf("Run %d: %s.", r.Number, r.Comment))
		}
	}
	for _, r := range s.Runs {
		var list []string
		for _, b := range r.Shares {
			list = append(list, fmt.Sprint("T", b.Place), fmt.Sprintf("%d to %d", b.First, b.First+b.Hits-1))
		}
		if len(list) > 0 {
			l.add(fmt.Sprintf("Run %d: which tool makes which hits", r.Number))
			l.add(list...)
		}
	}
	proven := slices.ContainsFunc(s.Runs, func(r run) bool { return r.BoundS > 0 })
	for _, r := range s.Runs {
		row := []string{fmt.Sprint(r.Number), fmt.Sprintf("%.0f", r.Travel), fmt.Sprintf("%.1f", r.TravelS)}
		if proven {
			row = append(row, orDash(r.BoundS, 1), r.gap())
		}
		l.add(row...)
	}
}

func (r run) gap() string {
	switch {
	case r.BoundS == 0:
		return "-"
	case r.MovesPct == 0:
		return fmt.Sprintf("%.1f %%", r.GapPct)
	}
	return fmt.Sprintf("%.1f (%.1f) %%", r.GapPct, r.MovesPct)
}

// places are the T numbers of a run: "T4", "T4-T9" in a row, "T4+9" apart.
func (r run) places() string {
	text, row := fmt.Sprint("T", r.Tool), len(r.Spares) > 0
	for i, s := range r.Spares {
		text += fmt.Sprint("+", s)
		row = row && s == r.Tool+i+1
	}
	if row {
		return fmt.Sprintf("T%d-T%d", r.Tool, r.Tool+len(r.Spares))
	}
	return text
}

// splits are time and cost by cause, each as bar and as table.
func (j job) splits(l *page) {
	split := func(whole float64, write func(float64) string, names []string, amounts ...float64) {
		for _, v := range amounts {
			width := strconv.FormatFloat(math.Round(10000*v/whole)/100, 'f', -1, 64)
			l.add("bar " + width + "%")
		}
		for i, v := range amounts {
			l.add(names[i], fmt.Sprintf("%.1f %%", 100*v/whole), write(v))
		}
	}
	t, c := j.LotTime, j.CostSplit
	l.add("Where the time goes", "the lot, "+clock(j.LotSeconds))
	split(j.LotSeconds, clock, []string{"travel", "settle", "stroke", "rout", "tool change", "load"}, t.Travel, t.Settle, t.Stroke, t.Rout, t.Change, t.Load)
	l.add("What a panel costs", j.money(j.CostPerPanel))
	split(j.CostPerPanel, j.money, []string{"machine", "tools", "sheets", "set-up"}, c.Machine, c.Tools, c.Sheets, c.SetUp)
}

// heights are the plots of cost over height, a plot a set-up, 150 px high.
func (j job) heights(l *page) {
	for from := 0; from < len(j.Curve); {
		to, most := from, 0.0
		for ; to < len(j.Curve) && j.Curve[to].SetUp == j.Curve[from].SetUp; to++ {
			most = max(most, j.Curve[to].Cost)
		}
		if n := j.Curve[from].SetUp; n > 0 {
			l.add(fmt.Sprint("Set-up ", n))
		}
		for _, h := range j.Curve[from:to] {
			high := fmt.Sprint(h.Height, " high")
			if h.Chosen {
				high += " chosen"
			}
			if h.OK {
				l.add(fmt.Sprint("dot ", 176-int(150*h.Cost/most)))
				l.add(j.money(h.Cost))
			}
			l.add(high)
			if h.OK {
				l.add(fmt.Sprint(h.Tools, " tools"))
				l.add(clock(h.Seconds))
			}
		}
		for _, h := range j.Curve[from:to] {
			if !h.OK {
				l.add(fmt.Sprintf("%d high refused: %s", h.Height, h.Reason))
			}
		}
		from = to
	}
	for _, h := range j.Limits {
		l.add(fmt.Sprintf("set-up %d, %s", h.SetUp, h.Detail))
	}
}

func (j job) verdicts(l *page) {
	for i, f := range j.Findings {
		verdict, worst := "REFUSED", "-"
		if f.OK {
			verdict = "note"
		}
		if f.Value != 0 || f.Limit != 0 {
			worst = short(f.Value) + " / " + short(f.Limit)
		}
		row := []string{fmt.Sprint(i + 1), verdict, f.Rule, f.Tool, fmt.Sprint(f.Count), f.Detail, f.Source.String(), worst}
		for _, at := range f.Places {
			row = append(row, fmt.Sprintf("%s at %.0f,%.0f", xy(at), at[0]*1000, at[1]*1000))
		}
		l.add(row...)
	}
	var rules []string
	times := map[string]int{}
	for _, c := range j.Checks {
		if times[c.Rule]++; times[c.Rule] == 1 {
			rules = append(rules, c.Rule)
		}
	}
	for i, r := range rules {
		if times[r] > 1 {
			rules[i] = fmt.Sprintf("%s x%d", r, times[r])
		}
	}
	l.add(fmt.Sprintf("%d of %d checks passed: %s", j.good(), len(j.Checks), strings.Join(rules, ", ")))
	for _, c := range j.Checks {
		l.add(c.Rule, c.Detail)
	}
	l.add("Content of the job's input", j.Hash)
}

func (j job) money(v float64) string { return strings.TrimSpace(fmt.Sprintf("%.2f %s", v, j.Money)) }

func words(s string) string        { return strings.ReplaceAll(s, "_", " ") }
func hundredths(mm float64) string { return fmt.Sprintf("%.2f", mm) }
func xy(p [2]float64) string       { return fmt.Sprintf("X%.3f Y%.3f", p[0], p[1]) }
func short(v float64) string       { return fmt.Sprint(math.Round(v*1000) / 1000) }

func some(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func orDash(v float64, decimals int) string {
	if v == 0 {
		return "-"
	}
	return fmt.Sprintf("%.*f", decimals, v)
}

// all joins sizes, each once.
func all(sizes []float64) string {
	var list []string
	for _, v := range sizes {
		if text := hundredths(v); !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	return strings.Join(list, "/")
}
