package sheet

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.org/pinstack/tooling"
)

// Written is a file that was written for a job.
type Written struct {
	Name string
	What string // one line on what it is for
}

// WriteSummary writes what somebody at a terminal wants to know of a job, at
// most 100 columns wide: warnings first, then set-ups and passes, tools, time
// and cost, and last what was written to the directory. It returns the first
// error of w.
func (s *Sheet) WriteSummary(w io.Writer, dir string, files []Written) error {
	t := &text{w: w}
	name := s.Job
	if s.Revision != "" {
		name += ", revision " + s.Revision
	}
	t.line("%s: %s, %s x %s mm, %s %s mm", plain(name), s.panels(), brief(s.Width), brief(s.Height), plain(s.Material), brief(s.Thickness))
	if s.Note != "" {
		t.wrap("", "", s.Note)
	}
	s.warnings(t)
	for _, u := range s.SetUps {
		s.summarySetUp(t, u)
	}
	t.line("")
	s.fetchLines(t)
	t.wrap("TIME   ", "       ", fmt.Sprintf("%s for the lot: %s", Clock(s.LotSeconds), byShare(s.LotTime.Parts(), func(v float64) string { return percent(v, s.LotSeconds) })))
	t.wrap("COST   ", "       ", fmt.Sprintf("%s a panel: %s", s.money(s.CostPerPanel), byShare(s.CostSplit.Parts(), s.money)))
	t.line("")
	t.line("WRITTEN to %s", plain(dir))
	rows := make([][]string, 0, len(files))
	for _, f := range files {
		rows = append(rows, []string{f.Name, f.What})
	}
	t.aligned("  ", rows)
	t.line("")
	t.wrap("", "", "Cautions stand on the sheet and at the head of every program: read them before the spindles turn. "+
		"The check knows the program, not the machine; the machine maker's manual, local codes and trained operators come first.")
	return t.err
}

// warnings says first what must not be missed: the verdict of the checks, what
// refuses, then what is worth reading.
func (s *Sheet) warnings(t *text) {
	t.line("")
	switch s.State() {
	case Passed:
		t.line("CHECKS all %d passed", len(s.Checks))
	case Refused:
		t.line("DO NOT RUN: a check refused this job")
	default:
		t.line("NOT CHECKED: no check has been made of this job")
	}
	for _, c := range s.Checks {
		if !c.OK {
			t.wrap("REFUSED "+plain(c.Rule)+": ", "       ", c.Detail)
		}
	}
	findings := slices.Clone(s.Findings)
	slices.SortStableFunc(findings, func(a, b tooling.Finding) int { return cmp.Compare(rank(a.OK), rank(b.OK)) })
	for _, f := range findings {
		word := "NOTE   "
		if !f.OK {
			word = "REFUSED "
		}
		line := f.Rule + ": " + f.Detail
		if f.Count > 1 {
			line = fmt.Sprintf("%s x%d: %s", f.Rule, f.Count, f.Detail)
		}
		if len(f.Places) > 0 {
			line += ", first at " + place(f.Places[0])
		}
		if at := f.Source.String(); at != "" {
			line += " (" + at + ")"
		} else if f.Tool != "" {
			line += " (" + f.Tool + ")"
		}
		t.wrap(word, "       ", line)
	}
	t.wrap("NOTE   ", "       ", "machine: "+s.Machine)
	for _, b := range s.Bits {
		if b.Stock >= 0 && b.Stock < b.Count {
			t.line("SHORT  %s: %d to fetch, %d in the crib", plain(b.label()), b.Count, b.Stock)
		}
	}
}

// rank sorts what refuses before what informs.
func rank(ok bool) int {
	if ok {
		return 1
	}
	return 0
}

func (s *Sheet) summarySetUp(t *text, u SetUp) {
	stacks := fmt.Sprintf("%s of %d", count(u.Stacks, "stack"), u.Height)
	if u.ShortStack > 0 {
		stacks += fmt.Sprintf(", the last of %d", u.ShortStack)
	}
	t.line("")
	t.line("SET-UP %d, %s: %s; %s on %s; %s", u.Number, stage(u.Stage), stacks, count(u.Loads, "load"), count(u.Spindles, "spindle"), Clock(u.Seconds))
	rows := [][]string{{"pass", "run", "place", "mm", "makes", "amount", "tools a lot", "rev/min", "infeed", "time a load"}}
	for _, p := range s.Passes {
		if p.SetUp != u.Number {
			continue
		}
		name := p.Name
		for _, r := range p.Runs {
			amount := strconv.Itoa(r.Hits)
			if p.Operation == "rout" {
				amount = fixed(r.Cut, 0) + " mm"
			}
			rows = append(rows, []string{name, strconv.Itoa(r.Number), r.tools(), size(r.Diameter), r.Work, amount, strconv.Itoa(r.PerLot), fixed(r.Speed, 0), fixed(r.Infeed, 0), Clock(r.Seconds)})
			name = ""
		}
		if len(p.Runs) > 1 {
			rows = append(rows, []string{"", "", "", "", "", "", "", "", "", Clock(p.LoadSeconds)})
		}
	}
	t.aligned("  ", rows, 1, 3, 5, 6, 7, 8, 9)
}

// aligned writes rows in columns; those listed stand to the right.
func (t *text) aligned(indent string, rows [][]string, right ...int) {
	var width []int
	for _, r := range rows {
		for i, c := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], len([]rune(c)))
		}
	}
	for _, r := range rows {
		line := indent
		for i, c := range r {
			c = plain(c)
			pad := strings.Repeat(" ", max(width[i]-len([]rune(c)), 0))
			if slices.Contains(right, i) {
				c, pad = pad+c, ""
			}
			line += c + pad + "  "
		}
		t.line("%s", strings.TrimRight(line, " "))
	}
}

// fetchLines lists the tools of the lot by count and size, a line a kind.
func (s *Sheet) fetchLines(t *text) {
	word := "FETCH  "
	for from := 0; from < len(s.Bits); {
		kind, parts := s.Bits[from].Kind, []string(nil)
		for ; from < len(s.Bits) && s.Bits[from].Kind == kind; from++ {
			parts = append(parts, strconv.Itoa(s.Bits[from].Count)+"×"+size(s.Bits[from].Diameter))
		}
		t.wrap(word, "       ", kind+"s: "+strings.Join(parts, ", "))
		word = "       "
	}
}

// byShare lists amounts, the largest first, nothing left out but zeros.
func byShare(parts []Amount, words func(float64) string) string {
	slices.SortStableFunc(parts, func(a, b Amount) int { return cmp.Compare(b.Value, a.Value) })
	var list []string
	for _, p := range parts {
		if p.Value > 0 {
			list = append(list, p.Name+" "+words(p.Value))
		}
	}
	return strings.Join(list, ", ")
}
