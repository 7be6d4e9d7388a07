package sheet_test

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/examples/internal/sheet"
)

func summary(t *testing.T, s *sheet.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.WriteSummary(&b, "out", []sheet.Written{{Name: "a.nc", What: "set-up 1"}, {Name: "sheet.html", What: "open it"}}))
	return b.String()
}

func TestSummaryGolden(t *testing.T) {
	s, _ := greenhouse()
	golden(t, "summary.txt", []byte(summary(t, s)))
}

func TestSummaryWarnsFirst(t *testing.T) {
	s, _ := greenhouse()
	s.Findings[0].OK = true
	s.Findings = append(s.Findings, s.Findings[0])
	s.Findings[len(s.Findings)-1].OK = false
	s.Findings[len(s.Findings)-1].Rule = "worst-of-all"
	s.Checks[0].OK = false
	s.Bits[0].Stock, s.Bits[0].Count = 1, 5
	got := summary(t, s)
	at := func(words string) int {
		i := strings.Index(got, words)
		require.GreaterOrEqual(t, i, 0, words)
		return i
	}
	require.Less(t, at("DO NOT RUN"), at("REFUSED "+s.Checks[0].Rule))
	require.Less(t, at("REFUSED worst-of-all"), at("NOTE   "))
	require.Less(t, at("SHORT  "), at("SET-UP"))
	s.Checks, s.Findings = nil, nil
	require.Contains(t, summary(t, s), "NOT CHECKED")
	require.Contains(t, summary(t, &sheet.Sheet{}), "WRITTEN to out")
}

func TestSummaryKeepsTheFirstError(t *testing.T) {
	s, _ := greenhouse()
	for n := range 30 {
		require.ErrorIs(t, s.WriteSummary(&failing{n, io.ErrShortWrite}, "out", nil), io.ErrShortWrite, "after %d writes", n)
	}
}
