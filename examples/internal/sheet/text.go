package sheet

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// columns is the width of the text sheet; long sentences are wrapped to it.
const columns = 96

// WriteText writes the sheet for a terminal, at most 100 columns wide: facts of
// the lot, each set-up with its passes and runs, and the tables that an
// operator works from. It returns the first error of w.
func (s *Sheet) WriteText(w io.Writer) error {
	t := &text{w: w}
	s.head(t)
	for _, u := range s.SetUps {
		s.setUp(t, u)
	}
	s.scores(t)
	s.firstArticle(t)
	s.lot(t)
	s.fetch(t)
	s.heights(t)
	s.verdicts(t)
	t.list("Hand operations", s.HandWork)
	t.list("Cautions", s.Cautions)
	return t.err
}

// text writes lines until the first failure, which it keeps.
type text struct {
	w   io.Writer
	err error
}

func (t *text) line(format string, args ...any) {
	if t.err == nil {
		_, t.err = fmt.Fprintf(t.w, format+"\n", args...)
	}
}

func (t *text) title(s string) {
	t.line("")
	t.line("%s", strings.ToUpper(s))
}

// table writes rows with columns to the right; the last column, which may be
// words, stays to the left.
func (t *text) table(rows ...[]string) {
	if t.err != nil || len(rows) < 2 {
		return
	}
	tw := tabwriter.NewWriter(t.w, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, r := range rows {
		for len(r) > 1 && r[len(r)-1] == "" {
			r = r[:len(r)-1]
		}
		last := len(r) - 1
		for i, c := range r {
			sep := "\t"
			if i == last {
				sep = "\n"
				if c != "" {
					c = "  " + c
				}
			}
			if _, err := io.WriteString(tw, plain(c)+sep); err != nil {
				t.err = err
				return
			}
		}
	}
	t.err = tw.Flush()
}

// plain keeps a cell on its line and in its column.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
}

func (t *text) list(title string, items []string) {
	if len(items) == 0 {
		return
	}
	t.title(title)
	for _, s := range items {
		t.wrap("  - ", "    ", s)
	}
}

// wrap writes a sentence over as many lines as it needs.
func (t *text) wrap(first, rest, s string) {
	line := first
	used := false
	for _, word := range strings.Fields(plain(s)) {
		if used && len([]rune(line))+1+len([]rune(word)) > columns {
			t.line("%s", line)
			line, used = rest, false
		}
		if used {
			line += " "
		}
		line += word
		used = true
	}
	t.line("%s", line)
}

func (s *Sheet) head(t *text) {
	name := s.Job
	if s.Revision != "" {
		name += ", revision " + s.Revision
	}
	if s.Note != "" {
		name += " (" + s.Note + ")"
	}
	t.wrap("JOB SHEET  ", "  ", name)
	t.wrap("", "  ", fmt.Sprintf("%s, %s x %s mm, %s %s mm", s.panels(), brief(s.Width), brief(s.Height), s.Material, brief(s.Thickness)))
	t.wrap("machine ", "  ", s.Machine)
	t.wrap("content ", "  ", s.Hash)
	switch s.State() {
	case Passed:
		t.line("checks: all %d passed", len(s.Checks))
	case Refused:
		t.line("DO NOT RUN: a check refused this job, see the findings")
	default:
		t.line("NOT CHECKED: no check has been made of this job")
	}
}
