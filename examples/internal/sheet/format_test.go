package sheet_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/tooling"
	"github.com/stretchr/testify/require"
)

func TestClock(t *testing.T) {
	for _, row := range []struct {
		seconds float64
		want    string
		reason  string
	}{
		{0, "0.0 s", "nothing"},
		{7.04, "7.0 s", "short times have a decimal"},
		{59.94, "59.9 s", "just below a minute"},
		{59.96, "1 min 0 s", "never 60.0 s"},
		{5025, "1 h 23 min 45 s", "hours"},
		{3599.6, "1 h 0 min 0 s", "rounding carries over"},
		{-90, "-1 min 30 s", "a saving"},
		{math.NaN(), "-", "no time"},
		{math.Inf(1), "-", "no time"},
	} {
		require.Equal(t, row.want, sheet.Clock(row.seconds), row.reason)
	}
}

func text(t *testing.T, s *sheet.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.WriteText(&b))
	return b.String()
}

func TestTextSaysWhatMatters(t *testing.T) {
	for _, row := range []struct {
		name, reason string
		change       func(*sheet.Sheet)
		want         string
	}{
		{"spares in a row", "a range is read at a glance", func(s *sheet.Sheet) { s.Passes[0].Runs[0].Spares = []int{2, 3, 4} }, " T1-T4 "},
		{"spares apart", "each place is named", func(s *sheet.Sheet) { s.Passes[0].Runs[0].Spares = []int{7} }, " T1+7 "},
		{"sizes shared", "all sizes are side by side", func(s *sheet.Sheet) { s.Passes[0].Runs[0].Files = []float64{0.3, 0.32} }, " 0.30/0.32 "},
		{"no unit of money", "no unit is invented", func(s *sheet.Sheet) { s.Money = "" }, "cost a panel 3.42\n"},
		{"short stack", "the last load differs", func(s *sheet.Sheet) { s.SetUps[0].ShortStack = 2 }, "80 stacks of 3, the last of 2;"},
		{"one panel", "grammar", func(s *sheet.Sheet) { s.Panels, s.Boards = 1, 1 }, "1 panel of 1 board,"},
		{"a check failed", "the operator must see it first", func(s *sheet.Sheet) { s.Checks[1].OK = false }, "DO NOT RUN"},
		{"a finding refuses", "the operator must see it first", func(s *sheet.Sheet) { s.Findings[0].OK = false }, "DO NOT RUN"},
		{"nobody looked", "no check is not a passed check", func(s *sheet.Sheet) { s.Checks = nil }, "NOT CHECKED"},
		{"too few in the crib", "before the job starts", func(s *sheet.Sheet) { s.Bits[0].Stock = 17 }, "17 SHORT"},
		{"uneven tolerance", "both sides", func(s *sheet.Sheet) { s.FirstArticle[0].Plus = 0.1 }, "+0.10 -0.30"},
		{"no bound", "an unproven gap is not shown", func(s *sheet.Sheet) { s.Passes[0].Runs[0].BoundS = 0 }, "  -  1 min 54 s"},
		{"curve by set-up", "each set-up has a height", func(s *sheet.Sheet) { s.Curve[3].SetUp = 2 }, "     2     4     -"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, _ := greenhouse()
			require.NotContains(t, text(t, s), row.want)
			row.change(s)
			require.Contains(t, text(t, s), row.want, row.reason)
		})
	}
}

func TestTextKeepsHostileWordsInTheirPlace(t *testing.T) {
	s, _ := greenhouse()
	s.Job = "a\x1b[31mred\nJOB SHEET  forged"
	s.Bits[0].ID = "B\t1\v2\x00\xff"
	s.Findings[0].Detail = strings.Repeat("word ", 60) + strings.Repeat("x", 200)
	got := text(t, s)
	require.NotContains(t, got, "\x1b")
	require.NotContains(t, got, "\x00")
	require.Equal(t, 1, strings.Count(got, "\nJOB SHEET")+strings.Count(got[:9], "JOB SHEET"))
}

func TestEmptySheet(t *testing.T) {
	var s sheet.Sheet
	require.Contains(t, text(t, &s), "NOT CHECKED")
	require.NotContains(t, text(t, &s), "FINDINGS")
	require.Equal(t, "not checked", s.State().String())
	s.Findings = tooling.Report{{Rule: "hole-missing"}}
	require.Equal(t, "refused", s.State().String())
}

type failing struct {
	after int
	err   error
}

func (f *failing) Write(p []byte) (int, error) {
	if f.after--; f.after < 0 {
		return 0, f.err
	}
	return len(p), nil
}

func TestTextReturnsTheWritersError(t *testing.T) {
	s, _ := greenhouse()
	for _, after := range []int{0, 5, 20, 60} {
		require.ErrorIs(t, s.WriteText(&failing{after, bytes.ErrTooLarge}), bytes.ErrTooLarge, "after %d writes", after)
	}
}
