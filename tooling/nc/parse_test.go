package nc_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOperations(t *testing.T) {
	cases := []struct {
		name  string
		lines string
		want  []string
		notes []string
	}{
		{name: "hits with modal coordinates", lines: "T1\nX1.0Y2.0\nY3.0\nX4.0", want: []string{
			"hit T1 at (1.000000, 2.000000)", "hit T1 at (1.000000, 3.000000)", "hit T1 at (4.000000, 3.000000)"}},
		{name: "block numbers, blanks, lower case and signs", lines: "t01\nN10 x+1.0 y-2.0\n N20 X 1.5", want: []string{
			"hit T1 at (1.000000, -2.000000)", "hit T1 at (1.500000, -2.000000)"}},
		{name: "mode and coordinates in one block", lines: "T1\nG05X1.Y2.\nG90X3.Y4.", want: []string{
			"hit T1 at (1.000000, 2.000000)", "hit T1 at (3.000000, 4.000000)"}},
		{name: "tool and coordinates in one block", lines: "T2X1.Y2.", want: []string{"hit T2 at (1.000000, 2.000000)"}},
		{name: "incremental by G91 and back", notes: []string{"incremental"}, lines: "T1\nX10.Y10.\nG91\nX1.\nX1.Y-1.\nG90\nX0.Y0.", want: []string{
			"hit T1 at (10.000000, 10.000000)", "hit T1 at (11.000000, 10.000000)", "hit T1 at (12.000000, 9.000000)", "hit T1 at (0.000000, 0.000000)"}},
		{name: "incremental by ICI", notes: []string{"incremental"}, lines: "ICI,ON\nT1\nX1.Y1.\nX1.\nICI,OFF\nX1.", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 1.000000)", "hit T1 at (1.000000, 1.000000)"}},
		{name: "zero set", lines: "T1\nG93X10.Y20.\nX1.Y1.\nG93X0.Y0.\nX1.Y1.", notes: []string{"zero-set"}, want: []string{
			"hit T1 at (11.000000, 21.000000)", "hit T1 at (1.000000, 1.000000)"}},
		{name: "repeats", lines: "T1\nX1.Y1.\nR3X2.\nR1Y-1.", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (3.000000, 1.000000)", "hit T1 at (5.000000, 1.000000)", "hit T1 at (7.000000, 1.000000)", "hit T1 at (7.000000, 0.000000)"}},
		{name: "slots", lines: "T1\nX1.Y1.G85X3.Y1.\nG85X3.Y4.\nX5.Y5.G85Y6.\nX9.Y9.G85X9.Y9.", notes: []string{"zero-slot"}, want: []string{
			"slot T1 (1.000000, 1.000000) to (3.000000, 1.000000)", "slot T1 (3.000000, 1.000000) to (3.000000, 4.000000)",
			"slot T1 (5.000000, 5.000000) to (5.000000, 6.000000)", "slot T1 (9.000000, 9.000000) to (9.000000, 9.000000)"}},
		{name: "incremental slot", notes: []string{"incremental"}, lines: "T1\nX1.Y1.\nG91\nX1.G85X2.Y0.", want: []string{
			"hit T1 at (1.000000, 1.000000)", "slot T1 (2.000000, 1.000000) to (4.000000, 1.000000)"}},
		{name: "stepped slot", lines: "T1\nX1.Y1.G87X3.Y1.", notes: []string{"stepped-slot"}, want: []string{"slot T1 (1.000000, 1.000000) to (3.000000, 1.000000)"}},
		{name: "canned circles", lines: "T1\nX5.Y6.G84X4.\nG32X1.Y2.A3.\nG33X1.Y2.A3.", want: []string{
			"circle T1 round (5.000000, 6.000000) diameter 4.000000", "circle T1 round (1.000000, 2.000000) diameter 6.000000", "circle T1 round (1.000000, 2.000000) diameter 6.000000"}},
		{name: "rout path", lines: "T2\nG40\nG00X0.Y0.\nM15\nG01X10.\nY5.\nM16\nG05\nX1.Y1.", want: []string{
			`compensation "G40"`, "rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)", "line T2 (0.000000, 0.000000) to (10.000000, 0.000000)",
			"line T2 (10.000000, 0.000000) to (10.000000, 5.000000)", "retract T2 at (10.000000, 5.000000)", "hit T2 at (1.000000, 1.000000)"}},
		{name: "arcs by radius", lines: "T2\nG00X0.Y0.\nM15\nG02X2.Y0.A1.\nG03X4.Y0.A1.\nX4.Y4.A2.5\nM17", want: []string{
			"rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)",
			"arc T2 (0.000000, 0.000000) to (2.000000, 0.000000) round (1.000000, 0.000000) clockwise",
			"arc T2 (2.000000, 0.000000) to (4.000000, 0.000000) round (3.000000, 0.000000) counter-clockwise",
			"arc T2 (4.000000, 0.000000) to (4.000000, 4.000000) round (2.500000, 2.000000) counter-clockwise", "retract T2 at (4.000000, 4.000000)"}},
		{name: "arcs by centre", lines: "T2\nG00X0.Y0.\nM15\nG02X1.Y1.I1.J0.\nG03X1.Y1.I-1.\nM16", want: []string{
			"rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)",
			"arc T2 (0.000000, 0.000000) to (1.000000, 1.000000) round (1.000000, 0.000000) clockwise",
			"arc T2 (1.000000, 1.000000) to (1.000000, 1.000000) round (0.000000, 1.000000) counter-clockwise", "retract T2 at (1.000000, 1.000000)"}},
		{name: "an arc whose ends are not quite as far from its centre", lines: "T2\nG00X0.Y0.\nM15\nG02X1.Y1.005I1.\nM16", notes: []string{"uneven-arc"}, want: []string{
			"rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)",
			"arc T2 (0.000000, 0.000000) to (1.000000, 1.005000) round (1.000000, 0.000000) clockwise", "retract T2 at (1.000000, 1.005000)"}},
		{name: "a radius a rounding short of half its chord", lines: "T2\nG00X0.Y0.\nM15\nG02X2.001Y0.A1.\nM16", notes: []string{"short-radius"}, want: []string{
			"rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)",
			"arc T2 (0.000000, 0.000000) to (2.001000, 0.000000) round (1.000500, 0.000000) clockwise", "retract T2 at (2.001000, 0.000000)"}},
		{name: "moves in the wrong state are kept with a note", lines: "T2\nG01X1.Y1.\nM15\nG00X2.Y2.\nM15\nG05\nT1", notes: []string{"change-down", "down-in-drill", "down-twice", "end-down", "feed-move-up", "rapid-down"}, want: []string{
			"rapid T2 at (1.000000, 1.000000)", "plunge T2 at (1.000000, 1.000000)", "rapid T2 at (2.000000, 2.000000)", "plunge T2 at (2.000000, 2.000000)"}},
		{name: "stops with the tool down", lines: "T2\nG00X1.Y1.\nM15\nM06\nM00\nG01X2.\nM16", notes: []string{"stop-down", "stop-m00"}, want: []string{
			"rapid T2 at (1.000000, 1.000000)", "plunge T2 at (1.000000, 1.000000)", `stop "M06"`, `stop "M00"`, "line T2 (1.000000, 1.000000) to (2.000000, 1.000000)", "retract T2 at (2.000000, 1.000000)"}},
		{name: "pattern", lines: "T1\nM25\nX1.Y1.\nX2.Y1.\nM01\nM02X10.\nM02Y5.\nM08\nX0.Y0.", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 1.000000)", "hit T1 at (11.000000, 1.000000)", "hit T1 at (12.000000, 1.000000)",
			"hit T1 at (11.000000, 6.000000)", "hit T1 at (12.000000, 6.000000)", "hit T1 at (0.000000, 0.000000)"}},
		{name: "repeated copies", lines: "T1\nM25\nX1.Y1.\nM01\nR3M02X10.\nM08", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (11.000000, 1.000000)", "hit T1 at (21.000000, 1.000000)", "hit T1 at (31.000000, 1.000000)"}},
		{name: "swapped and mirrored copies", lines: "T1\nM25\nX1.Y2.\nM01\nM02X10.M70\nM02X0.Y10.M80\nM02M90X0.\nM08", notes: []string{"mirrored-copy"}, want: []string{
			"hit T1 at (1.000000, 2.000000)", "hit T1 at (12.000000, 1.000000)", "hit T1 at (9.000000, 12.000000)", "hit T1 at (11.000000, 8.000000)"}},
		{name: "a mirrored arc turns the other way", lines: "T2\nM25\nG00X0.Y0.\nM15\nG02X2.Y0.A1.\nM16\nM01\nM02Y-5.M90\nM08", notes: []string{"mirrored-copy"}, want: []string{
			"rapid T2 at (0.000000, 0.000000)", "plunge T2 at (0.000000, 0.000000)", "arc T2 (0.000000, 0.000000) to (2.000000, 0.000000) round (1.000000, 0.000000) clockwise", "retract T2 at (2.000000, 0.000000)",
			"rapid T2 at (0.000000, -5.000000)", "plunge T2 at (0.000000, -5.000000)", "arc T2 (0.000000, -5.000000) to (2.000000, -5.000000) round (1.000000, -5.000000) counter-clockwise", "retract T2 at (2.000000, -5.000000)"}},
		{name: "nested patterns", lines: "T1\nM25\nM25\nX1.Y1.\nM01\nM02X1.\nM01\nM02Y10.\nM08", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 1.000000)", "hit T1 at (1.000000, 11.000000)", "hit T1 at (2.000000, 11.000000)"}},
		{name: "second level without M25", lines: "T1\nM25\nX1.Y1.\nM01\nM02X1.\nM01\nM02Y10.\nM08", notes: []string{"pattern-level"}, want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 1.000000)", "hit T1 at (1.000000, 11.000000)", "hit T1 at (2.000000, 11.000000)"}},
		{name: "slots and repeats in a pattern", lines: "T1\nM25\nX1.Y1.\nR1X1.\nX3.Y3.G85X4.Y3.\nM01\nM02X10.\nM08", want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 1.000000)", "slot T1 (3.000000, 3.000000) to (4.000000, 3.000000)",
			"hit T1 at (11.000000, 1.000000)", "hit T1 at (12.000000, 1.000000)", "slot T1 (13.000000, 3.000000) to (14.000000, 3.000000)"}},
		{name: "stops, messages, dwell and comments", lines: "M47,TURN THE KEY; NOW\nM06\nT1\nM09\nG04X2.\nX1.Y1.;last\n(note)X2.Y2.", want: []string{
			`message "TURN THE KEY; NOW"`, `stop "M06"`, `stop "M09"`, `dwell "G04X2."`, `comment "last"`, "hit T1 at (1.000000, 1.000000)", `comment "note"`, "hit T1 at (2.000000, 2.000000)"}},
		{name: "unknown words are kept", lines: "T1\nG82X1.Y1.\nM97,ABC\nX1.Y1.Z-0.5\nF200", notes: []string{"unknown-word"}, want: []string{
			`unknown "G82X1.Y1."`, `unknown "M97,ABC"`, "hit T1 at (1.000000, 1.000000)", `unknown "X1.Y1.Z-0.5"`, `unknown "F200"`}},
		{name: "block delete", lines: "T1\n/X1.Y1.\nX2.Y2.", notes: []string{"block-delete"}, want: []string{"hit T1 at (1.000000, 1.000000)", "hit T1 at (2.000000, 2.000000)"}},
		{name: "T0 puts the tool away", lines: "T1\nX1.Y1.\nT0", want: []string{"hit T1 at (1.000000, 1.000000)"}},
		{name: "compensation index", lines: "T0102\nX1.Y1.\nT0201\nX2.Y2.", notes: []string{"tool-index"}, want: []string{"hit T1 at (1.000000, 1.000000)", "hit T2 at (2.000000, 2.000000)"}},
		{name: "tool defined in the body", lines: "T5C0.5\nX1.Y1.", want: []string{"hit T5 at (1.000000, 1.000000)"}},
		{name: "unit change in mid-file", lines: "T1\nX1.Y1.\nM72\nX1.Y1.\nM71\nX2.Y2.", notes: []string{"unit-change"}, want: []string{
			"hit T1 at (1.000000, 1.000000)", "hit T1 at (25.400000, 25.400000)", "hit T1 at (2.000000, 2.000000)"}},
		{name: "text after the end", lines: "T1\nX1.Y1.\nM30\n%\nX9.Y9.", notes: []string{"after-end"}, want: []string{"hit T1 at (1.000000, 1.000000)"}},
		{name: "M02 without an offset ends the program", lines: "T1\nX1.Y1.\nM02", notes: []string{"after-end", "end-word"}, want: []string{"hit T1 at (1.000000, 1.000000)"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := parse(t, body(c.lines))
			if diff := cmp.Diff(c.want, lines(t, p)); diff != "" {
				t.Errorf("operations (-want +got):\n%s", diff)
			}
			if c.notes == nil {
				c.notes = []string{}
			}
			if diff := cmp.Diff(c.notes, rules(p.Notes)); diff != "" {
				t.Errorf("notes (-want +got):\n%s", diff)
			}
		})
	}
}

// TestErrorsPointAtTheirPlace reads sources with the expected place marked §.
func TestErrorsPointAtTheirPlace(t *testing.T) {
	head := "M48\nMETRIC\nT1C0.800\n%\nT1\n"
	cases := []struct {
		name string
		src  string
		err  error
	}{
		{"hit with no tool", "M48\nMETRIC\nT1C0.8\n%\n§X1.0Y1.0\nM30\n", nc.ErrNoTool},
		{"hit after T0", head + "T0\n§X1.0Y1.0\nM30\n", nc.ErrNoTool},
		{"hit by a tool outside the table", head + "T3\n§X1.0Y1.0\nM30\n", nc.ErrToolDiameter},
		{"hit by a tool without a diameter", "M48\nMETRIC\nT1F2S60\n%\nT1\n§X1.0\nM30\n", nc.ErrToolDiameter},
		{"slot with no tool", "M48\nMETRIC\n%\nX1.0Y1.0§G85X2.0\nM30\n", nc.ErrNoTool},
		{"plunge with no tool", "M48\nMETRIC\n%\nG00X1.0Y1.0\n§M15\nM30\n", nc.ErrNoTool},
		{"cut off in the body", head + "X1.0Y1.0\n§", nc.ErrTruncated},
		{"cut off in a line", head + "X1.0Y1.0\nX1.0Y\n", nc.ErrNumber},
		{"cut off in the header", "M48\nMETRIC\nT1C0.8\n§", nc.ErrTruncated},
		{"empty file", "§", nc.ErrTruncated},
		{"no number", head + "X§Y1.0\nM30\n", nc.ErrNumber},
		{"a letter in a number", head + "X1.0Y1O§?\nM30\n", nc.ErrNumber},
		{"too many digits", head + "X§1234567890123456789\nM30\n", nc.ErrNumber},
		{"beyond 10 m", head + "§X10000.1\nM30\n", nc.ErrRange},
		{"beyond 10 m by steps", head + "X9000.0Y0.0\nG91\n§X2000.0\nM30\n", nc.ErrRange},
		{"two X", head + "X1.0§X2.0\nM30\n", nc.ErrSyntax},
		{"tool after coordinates", head + "X1.0Y1.0§T1\nM30\n", nc.ErrSyntax},
		{"G after coordinates", head + "X1.0Y1.0§G05\nM30\n", nc.ErrSyntax},
		{"fractional code", head + "§G1.5X1.0\nM30\n", nc.ErrNumber},
		{"large code", head + "§M1000\nM30\n", nc.ErrNumber},
		{"two canned words", head + "X1.0G85X2.0§G85X3.0\nM30\n", nc.ErrSyntax},
		{"slot with one end", head + "X1.0Y1.0§G85\nM30\n", nc.ErrSyntax},
		{"circle without diameter", head + "X1.0Y1.0§G84\nM30\n", nc.ErrSyntax},
		{"circle of diameter 0", head + "X1.0Y1.0G84§X0\nM30\n", nc.ErrNumber},
		{"routed circle without radius", head + "§G32X1.0Y1.0\nM30\n", nc.ErrArc},
		{"arc without radius", head + "G00X0.Y0.\nM15\nG02§X1.0Y1.0\nM30\n", nc.ErrArc},
		{"arc with a radius below half its chord", head + "G00X0.Y0.\nM15\nG02X9.0Y0.0§A1.0\nM30\n", nc.ErrArc},
		{"arc to its own start by radius", head + "G00X0.Y0.\nM15\nG02X0.Y0.§A1.0\nM30\n", nc.ErrArc},
		{"arc with ends off its centre", head + "G00X0.Y0.\nM15\nG02§X5.0Y0.I1.0\nM30\n", nc.ErrArc},
		{"arc with radius and centre", head + "G00X0.Y0.\nM15\nG02X2.0Y0.I1.0§A1.0\nM30\n", nc.ErrArc},
		{"repeat without a hit", head + "§R3X1.0\nM30\n", nc.ErrRepeat},
		{"repeat of nothing", head + "X1.0Y1.0\n§R0X1.0\nM30\n", nc.ErrRepeat},
		{"repeat without a step", head + "X1.0Y1.0\n§R3\nM30\n", nc.ErrRepeat},
		{"repeat of a slot", head + "X1.0Y1.0G85X2.0\n§R3X1.0\nM30\n", nc.ErrRepeat},
		{"repeat beyond 10 m", head + "X1.0Y1.0\n§R30X999.0\nM30\n", nc.ErrRange},
		{"pattern that never ends", head + "M25\nX1.0Y1.0\n§M30\n", nc.ErrRepeat},
		{"M01 without M25", head + "X1.0Y1.0\n§M01\nM30\n", nc.ErrRepeat},
		{"M02 without a pattern", head + "X1.0Y1.0\n§M02X1.0\nM30\n", nc.ErrRepeat},
		{"M08 in an open pattern", head + "M25\nX1.0Y1.0\n§M08\nM30\n", nc.ErrRepeat},
		{"copy beyond 10 m", head + "M25\nX1.0Y1.0\nM01\n§M02X9999.9\nM08\nM30\n", nc.ErrRange},
		{"pattern with the tool down", head + "G00X1.0Y1.0\nM15\n§M25\nM30\n", nc.ErrRepeat},
		{"modal coordinate after copies", head + "M25\nX1.0Y1.0\nM01\nM02X5.0\nM08\n§X7.0\nM30\n", nc.ErrPosition},
		{"modal coordinate after an unknown word", head + "X1.0Y1.0\nG83X5.0\n§Y7.0\nM30\n", nc.ErrPosition},
		{"two units", "M48\nMETRIC\n§INCH\nT1C0.8\n%\nM30\n", nc.ErrContradiction},
		{"units against M71", "M48\nINCH\nT1C0.03\n%\n§M71\nT1\nX1.0Y1.0\nM30\n", nc.ErrContradiction},
		{"two zero forms", "M48\nMETRIC,LZ\n§METRIC,TZ\n%\nM30\n", nc.ErrContradiction},
		{"two diameters of one tool", "M48\nMETRIC\nT1C0.8\nT1§C0.9\n%\nM30\n", nc.ErrContradiction},
		{"unknown part of a units word", "M48\nMETRIC,§QZ\n%\nM30\n", nc.ErrSyntax},
		{"unknown format", "M48\n§FMAT,3\nMETRIC\n%\nM30\n", nc.ErrSyntax},
		{"unknown ICI", "M48\n§ICI,MAYBE\nMETRIC\n%\nM30\n", nc.ErrSyntax},
		{"negative feed", "M48\nMETRIC\nT1C0.8§F-2\n%\nM30\n", nc.ErrTool},
		{"negative diameter", "M48\nMETRIC\nT1§C-0.8\n%\nM30\n", nc.ErrTool},
		{"definition of T0", "M48\nMETRIC\n§T0C0.8\n%\nM30\n", nc.ErrTool},
		{"tool number too large", "M48\nMETRIC\n§T10000C0.8\n%\nM30\n", nc.ErrTool},
		{"hit limit with a point", "M48\nMETRIC\nT1C0.8§H1.5\n%\nM30\n", nc.ErrTool},
		{"second header", head + "X1.0Y1.0\n§M48\nM30\n", nc.ErrSyntax},
		{"a number without a point where nothing says how", head + strings.Repeat("X1.0Y1.0\n", 60_000) + "X1.0Y1.0\n" + strings.Repeat("X1.25Y17.125\n", 60_000) + "§X1Y2.0\nM30\n", nc.ErrZeros},
		{"a number form without a digit before the point", "M48\nMETRIC,§.000\n%\nM30\n", nc.ErrSyntax},
		{"a number form without a digit behind the point", "M48\nMETRIC,§000.\n%\nM30\n", nc.ErrSyntax},
		{"a number form of 19 letters", "M48\nMETRIC,§000000000.000000000\n%\nM30\n", nc.ErrSyntax},
		{"UTF-16 with its mark", "§\xff\xfeM\x004\x008\x00", nc.ErrEncoding},
		{"big-endian UTF-16 with its mark", "§\xfe\xff\x00M\x004\x008", nc.ErrEncoding},
		{"UTF-16 without a mark", "§M\x004\x008\x00\n\x00", nc.ErrEncoding},
		{"big-endian UTF-16 without a mark", "§\x00M\x004\x008\x00\n", nc.ErrEncoding},
		{"a binary file", "§\x7fELF\x02\x01", nc.ErrSyntax},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			line, column := 0, 0
			before, after, marked := strings.Cut(c.src, "§")
			src := before + after
			if marked {
				line = strings.Count(before, "\n") + 1
				column = len(before) - strings.LastIndex(before, "\n")
			}
			p, err := nc.Parse([]byte(src), nc.ReadOptions{File: "board.drl"})
			assert.True(t, p == nil)
			require.ErrorIs(t, err, c.err)
			var se *nc.SyntaxError
			require.ErrorAs(t, err, &se)
			if marked {
				assert.Equal(t, fmt.Sprintf("%d:%d", line, column), fmt.Sprintf("%d:%d", se.Line, se.Column), "place of %v", err)
			}
			assert.Equal(t, "board.drl", se.File)
			assert.NotEmpty(t, se.Found)
			assert.NotEmpty(t, se.Expected)
			assert.Contains(t, err.Error(), "board.drl:")
			assert.Equal(t, err.Error(), scanError(src, nc.ReadOptions{File: "board.drl"}).Error(), "both doors refuse alike")
		})
	}
}

// scanError streams a source and returns the error that ended it.
func scanError(src string, o nc.ReadOptions) error {
	for _, err := range nc.Scan(strings.NewReader(src), o) {
		if err != nil {
			return err
		}
	}
	return nil
}

func TestLimits(t *testing.T) {
	long := body("T1", strings.Repeat("X1.Y1.\n", 100))
	billion := body("T1", "X1.Y1.", "R1000000000X0.")
	copies := body("T1", "M25", "X1.Y1.", "X1.Y2.", "M01", "R999999999M02X0.", "M08")
	nested := body("T1", strings.Repeat("M25\n", 9)+"X1.Y1.")
	var tools strings.Builder
	for i := range 20 {
		fmt.Fprintf(&tools, "T%dC0.5\n", i+1)
	}
	cases := []struct {
		name, src string
		o         nc.ReadOptions
		limit     string
		max       int
	}{
		{"bytes", long, nc.ReadOptions{MaxBytes: 100}, "bytes", 100},
		{"blocks", long, nc.ReadOptions{MaxBlocks: 50}, "blocks", 50},
		{"operations", long, nc.ReadOptions{MaxOps: 20}, "operations", 20},
		{"a billion repeats", billion, nc.ReadOptions{}, "operations", nc.DefaultMaxOps},
		{"a billion copies", copies, nc.ReadOptions{}, "operations", nc.DefaultMaxOps},
		{"nesting", nested, nc.ReadOptions{}, "nesting", nc.DefaultMaxNesting},
		{"tools", "M48\nMETRIC\n" + tools.String() + "%\nM30\n", nc.ReadOptions{MaxTools: 10}, "tools", 10},
		{"negative means nothing", long, nc.ReadOptions{MaxOps: -1}, "operations", 0},
		{"a line without end", body("T1", ";"+strings.Repeat("x", 2<<20)), nc.ReadOptions{}, "bytes in a line", 1 << 20},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := nc.Parse([]byte(c.src), c.o)
			for _, err := range []error{err, scanError(c.src, c.o)} {
				var le *nc.LimitError
				require.ErrorAs(t, err, &le)
				require.ErrorIs(t, err, nc.ErrLimit)
				assert.Equal(t, c.limit, le.Limit)
				assert.Equal(t, c.max, le.Max)
				assert.Greater(t, le.Found, le.Max)
				assert.Contains(t, err.Error(), c.limit)
			}
		})
	}
}

// TestDoorsAgreeAcrossTheWindow reads files longer than the part that is looked
// at before the form is decided, cut by its end at every place of a block.
func TestDoorsAgreeAcrossTheWindow(t *testing.T) {
	head := "M48\r\nMETRIC\r\nT1C0.100\r\nT2C3.200\r\n%\r\nT1\r\n" // so small that its hits do not overlap
	for shift := range 12 {                                        // a block is 12 bytes
		var b strings.Builder
		b.WriteString(";" + strings.Repeat("x", shift) + "\r\n" + head)
		for k := range 96_000 {
			fmt.Fprintf(&b, "X0%02d%dY0%d%d\r\n", k%90, 1+k%9, 1+k%7, 1+k%9) // no zeros at the end: they are dropped
		}
		b.WriteString("T2\r\nX005Y005\r\nM30\r\n")
		src := []byte(b.String())
		require.Greater(t, len(src), 1<<20)
		p := sameThroughBothDoors(t, src, nc.ReadOptions{})
		require.NotNil(t, p)
		require.Equal(t, nc.LeadingZeros, p.Zeros)
		if testing.Short() && shift == 2 {
			break
		}
	}
}

func TestPatternsAreBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("keeps half a million operations")
	}
	fill := []string{"T1", "M25", "X1.0Y1.0", "R600000X0.001", "M01", "M02Y1.0", "M08"}
	_, err := nc.Parse([]byte(body(fill...)), nc.ReadOptions{})
	var le *nc.LimitError
	require.ErrorAs(t, err, &le)
	assert.Equal(t, "operations in a pattern", le.Limit)

	// Copies beyond the bound are made but not kept, so no second level can be.
	fill = []string{"T1", "M25", "X1.0Y1.0", "R299999X0.001", "M01", "R3M02Y1.0", "M08"}
	p := parse(t, body(fill...))
	s, err := p.Summary()
	require.NoError(t, err)
	assert.Equal(t, 1_200_000, s.Tools[0].Hits)
	fill[6] = "M01"
	_, err = nc.Parse([]byte(body(append(fill, "M02Y10.0", "M08")...)), nc.ReadOptions{})
	require.ErrorAs(t, err, &le)
}

func TestReach(t *testing.T) {
	src := body("T1", "X600.0Y1.0")
	for _, o := range []nc.ReadOptions{{MaxReach: 500}, {MaxReach: -1}, {MaxReach: math.NaN()}} {
		_, err := nc.Parse([]byte(src), o)
		require.ErrorIs(t, err, nc.ErrRange, "%v", o.MaxReach)
	}
	for _, reach := range []float64{600, 1e300} {
		_, err := nc.Parse([]byte(src), nc.ReadOptions{MaxReach: reach})
		require.NoError(t, err)
	}
	_, err := nc.Parse([]byte(body("T1", "X9000.0Y1.0", "R1X999.0", "R1X2.0")), nc.ReadOptions{MaxReach: 1e300})
	require.ErrorIs(t, err, nc.ErrRange)
	_, err = nc.Parse([]byte(src), nc.ReadOptions{Units: 7})
	require.ErrorIs(t, err, nc.ErrUnits)
}

func TestLineEndsAndMarks(t *testing.T) {
	lf := body("T1", "X1.0Y2.0", "", "X3.0", ";done")
	want := ops(t, parse(t, lf))
	for name, src := range map[string]string{
		"CR LF":           strings.ReplaceAll(lf, "\n", "\r\n"),
		"CR":              strings.ReplaceAll(lf, "\n", "\r"),
		"byte-order mark": "\xef\xbb\xbf" + lf,
		"no last end":     strings.TrimSuffix(lf, "\n"),
	} {
		t.Run(name, func(t *testing.T) {
			p := parse(t, src)
			if diff := cmp.Diff(want, ops(t, p)); diff != "" {
				t.Errorf("operations (-LF +%s):\n%s", name, diff)
			}
			assert.Equal(t, src, text(t, p), "the text is kept byte for byte")
			assert.Equal(t, "X1.0Y2.0", string(p.Text(7)))
			assert.Nil(t, p.Text(0))
			assert.Nil(t, p.Text(p.Lines()+1))
			var got []nc.Op
			for op, err := range nc.Scan(iotest.OneByteReader(strings.NewReader(src)), nc.ReadOptions{}) {
				require.NoError(t, err)
				got = append(got, op)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("streamed byte by byte (-want +got):\n%s", diff)
			}
		})
	}
}

func TestEndOfProgram(t *testing.T) {
	cases := []struct {
		name, tail string
		allow      bool
		ok         bool
		notes      []string
	}{
		{name: "M30", tail: "X1.0Y1.0\nM30\n", ok: true},
		{name: "M00", tail: "X1.0Y1.0\nM00\n", ok: true},
		{name: "tool put away and line ended", tail: "X1.0Y1.0\nT0\n", ok: true, notes: []string{"no-end"}},
		{name: "tape mark", tail: "X1.0Y1.0\n%\n", ok: true, notes: []string{"no-end", "tape-mark"}},
		{name: "tool put away in a line cut short", tail: "X1.0Y1.0\nT0"},
		{name: "hit last", tail: "X1.0Y1.0\n"},
		{name: "hit last, allowed", tail: "X1.0Y1.0\n", allow: true, ok: true, notes: []string{"no-end"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\n%\nT1\n"+c.tail), nc.ReadOptions{AllowMissingEnd: c.allow})
			if !c.ok {
				require.ErrorIs(t, err, nc.ErrTruncated)
				return
			}
			require.NoError(t, err)
			assert.ElementsMatch(t, c.notes, rules(p.Notes))
			assert.Len(t, hits(t, p), 1)
		})
	}
}

func TestToolTable(t *testing.T) {
	src := `M48
;TYPE=PLATED
INCH,LZ
F00S00T01C0.0120
T2C0.0315F90S62.5B600H2500Z-0.02
;TYPE=NON_PLATED
T03F00S00C0.126
; #@! TF.FileFunction,MixedPlating,1,4
; #@! TA.AperFunction,Plated,PTH,ViaDrill
T4C0.01
; #@! TD
%
M30
`
	p := parse(t, src)
	want := []nc.ToolDef{
		{Number: 1, Diameter: 0.3048, Line: 4, Marking: "plated"},
		{Number: 2, Diameter: 0.8001, Feed: 2286, Speed: 62_500, Retract: 15_240, HitLimit: 2500, Z: -0.508, HasZ: true, Line: 5, Marking: "plated"},
		{Number: 3, Diameter: 3.2004, Line: 7, Marking: "unplated"},
		{Number: 4, Diameter: 0.254, Line: 10, Function: "via"}, // marked in two ways, so in none
	}
	if diff := cmp.Diff(want, p.Tools); diff != "" {
		t.Errorf("tools (-want +got):\n%s", diff)
	}
	assert.Equal(t, nc.FileFunction{Plating: "mixed", From: 1, To: 4}, p.Function)
	assert.Equal(t, []string{"marking-contradiction"}, rules(p.Notes), "T4 follows TYPE=NON_PLATED and is called plated")
	wantAttributes := []nc.Attribute{
		{Name: "TF.FileFunction", Values: []string{"MixedPlating", "1", "4"}, Line: 8},
		{Name: "TA.AperFunction", Values: []string{"Plated", "PTH", "ViaDrill"}, Tool: 4, Line: 9},
		{Name: "TD", Values: []string{}, Line: 11},
	}
	if diff := cmp.Diff(wantAttributes, p.Attributes); diff != "" {
		t.Errorf("attributes (-want +got):\n%s", diff)
	}
	assert.Nil(t, p.Tool(9))

	p, err := nc.Parse([]byte(strings.Replace(src, "B600", "", 1)), nc.ReadOptions{FeedUnit: nc.MillimetresPerSecond})
	require.NoError(t, err)
	assert.Equal(t, 5400.0, p.Tool(2).Feed)
	assert.Equal(t, nc.MillimetresPerSecond, p.FeedUnit)
}

func TestDiametersFromElsewhere(t *testing.T) {
	src := "M48\nMETRIC\n; T1 = 0.8 mm\n; TOOL 2 DIA 32 MIL\nT1\nT2\nT3\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y1.0\nT3\nX3.0Y1.0\nM30\n"
	_, err := nc.Parse([]byte(src), nc.ReadOptions{})
	require.ErrorIs(t, err, nc.ErrToolDiameter)
	p, err := nc.Parse([]byte(src), nc.ReadOptions{Tools: []nc.ToolDef{{Number: 3, Diameter: 1.2}}})
	require.NoError(t, err)
	assert.Equal(t, []float64{0.8, 0.8128, 1.2}, []float64{p.Tool(1).Diameter, p.Tool(2).Diameter, p.Tool(3).Diameter})
	assert.Equal(t, []string{"tool-comment", "tool-given"}, rules(p.Notes))
}

func TestMarkingInTheBody(t *testing.T) {
	p := parse(t, body(";TYPE=PLATED", "T1", "X1.0Y1.0", ";TYPE=NON_PLATED", "T2", "X2.0Y1.0"))
	assert.Equal(t, "plated", p.Tool(1).Marking)
	assert.Equal(t, "unplated", p.Tool(2).Marking)
	p = parse(t, body(";TYPE=PLATED", "T1", "X1.0Y1.0", ";TYPE=NON_PLATED", "T1", "X2.0Y1.0"))
	assert.Equal(t, []string{"marking-contradiction"}, rules(p.Notes))
}

func TestNotesAreGrouped(t *testing.T) {
	p := parse(t, body("T1", strings.Repeat("X1.0Y1.0Z-1.0\n", 1000)+"X90.0Y50.0"))
	require.Len(t, p.Notes, 1)
	n := p.Notes[0]
	assert.Equal(t, 1000, n.Count)
	assert.Equal(t, []int{7, 8, 9}, n.Lines)
	assert.Equal(t, 1, n.Tool)
	assert.Equal(t, 7, n.Line)
	assert.Equal(t, 9, n.Column)

	var src strings.Builder
	for i := range 900 {
		fmt.Fprintf(&src, "T%dC0.5\nT%dC0.5\n", i+1, i+1)
	}
	p = parse(t, "M48\nMETRIC\n"+src.String()+"%\nM30\n")
	assert.LessOrEqual(t, len(p.Notes), 300)
	assert.Contains(t, rules(p.Notes), "more")
}

func TestScannerFacts(t *testing.T) {
	src := body("T1", "X1.0Y1.0", "X1.0Y1.0Z-1.0")
	s := nc.NewScanner(strings.NewReader(src), nc.ReadOptions{})
	assert.Empty(t, s.Facts().Tools)
	n := 0
	for op, err := range s.Ops() {
		require.NoError(t, err)
		if op.Kind == nc.OpHit {
			n++
			assert.Equal(t, 0.8, s.Facts().Tools[0].Diameter)
		}
	}
	assert.Equal(t, 2, n)
	p := parse(t, src)
	f := s.Facts()
	if diff := cmp.Diff(p.Notes, f.Notes); diff != "" {
		t.Errorf("notes (-parsed +scanned):\n%s", diff)
	}
	assert.Equal(t, p.Tools, f.Tools)
	for _, err := range s.Ops() {
		assert.Error(t, err, "a scanner reads once")
	}
	n = 0
	for range nc.Scan(strings.NewReader(src), nc.ReadOptions{}) {
		n++
		break
	}
	assert.Equal(t, 1, n, "a consumer may stop")
	n = 0
	for range p.Ops() {
		n++
		break
	}
	assert.Equal(t, 1, n)
}

func TestReaderErrorsComeThrough(t *testing.T) {
	broken := errors.New("the disk is gone")
	r := io.MultiReader(strings.NewReader("M48\nMETRIC\n"), iotest.ErrReader(broken))
	var got error
	for _, err := range nc.Scan(r, nc.ReadOptions{}) {
		got = err
	}
	require.ErrorIs(t, got, broken)
	for _, err := range nc.Scan(idle{}, nc.ReadOptions{}) {
		require.ErrorIs(t, err, io.ErrNoProgress)
	}
}

// idle is a reader that never gives anything.
type idle struct{}

func (idle) Read([]byte) (int, error) { return 0, nil }

func TestParseKeepsNothingOfItsInput(t *testing.T) {
	src := []byte(body("T1", "X1.0Y1.0"))
	p, err := nc.Parse(src, nc.ReadOptions{})
	require.NoError(t, err)
	want := text(t, p)
	for i := range src {
		src[i] = 'M'
	}
	assert.Equal(t, want, text(t, p))
	var out bytes.Buffer
	_, err = p.WriteTo(&out)
	require.NoError(t, err)
	require.NoError(t, err)
	_, err = p.WriteTo(shortWriter{})
	require.ErrorIs(t, err, io.ErrShortWrite)
}

type shortWriter struct{}

func (shortWriter) Write(b []byte) (int, error) { return len(b) / 2, nil }

func TestZeroValues(t *testing.T) {
	var p nc.Program
	assert.Empty(t, lines(t, &p))
	assert.Zero(t, p.Lines())
	assert.Equal(t, "none \"\"", nc.Op{}.String())
	assert.Equal(t, "OpKind(99)", nc.OpKind(99).String())
	assert.Equal(t, []string{"unknown", "unknown", "", "unknown", "usual"},
		[]string{nc.Units(0).String(), nc.Zeros(0).String(), nc.Digits{}.String(), nc.How(0).String(), nc.FeedUnit(0).String()})
	assert.Equal(t, []string{"given", "judged", "stated"}, []string{nc.Given.String(), nc.Judged.String(), nc.Stated.String()})
	empty, err := nc.Build(func(func(nc.Op) bool) {}, nil, nc.WriteOptions{})
	require.NoError(t, err)
	assert.Empty(t, lines(t, parse(t, text(t, empty))))
}

func ExampleParse() {
	src := `M48
; tide-gauge, invented
INCH,TZ
T1C0.0315
%
T1
X10000Y5000
R2X1000
M30
`
	p, err := nc.Parse([]byte(src), nc.ReadOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Units, p.Zeros, p.Digits, p.DigitsHow)
	for op, err := range p.Ops() {
		if err == nil && op.Kind == nc.OpHit {
			fmt.Printf("%.2f %.2f by %.4f mm\n", op.To[0], op.To[1], p.Tool(op.Tool).Diameter)
		}
	}
	// Output:
	// inch TZ 2:4 judged
	// 25.40 12.70 by 0.8001 mm
	// 27.94 12.70 by 0.8001 mm
	// 30.48 12.70 by 0.8001 mm
}

func ExampleScan() {
	src := "M48\nMETRIC\nT1C0.800\n%\nT1\nX1.5Y2.5\nX1.5Y\nM30\n"
	for op, err := range nc.Scan(strings.NewReader(src), nc.ReadOptions{File: "tide-gauge.drl"}) {
		if err != nil {
			fmt.Println(err)
			break
		}
		fmt.Println(op)
	}
	// Output:
	// tool T1
	// hit T1 at (1.500000, 2.500000)
	// tide-gauge.drl:7:6: nc: bad number: found the end of the line, expected a number of at most 18 digits after Y
}

// What is no program is not read as one that makes nothing; a program may make
// nothing.
func TestTextsThatAreNoProgram(t *testing.T) {
	for _, c := range []struct {
		name, src string
		want      error
	}{
		{"a letter", "Hello, drill shop. Find attached the files.\nBest, M\n", nc.ErrSyntax},
		{"an archive's beginning", "PK\x03\x04 this is\nREADME for my board\nThanks\nM30\n", nc.ErrSyntax},
		{"blank lines", "\n  \n\n", nc.ErrTruncated},
		{"a circle before any place", "M48\nMETRIC,TZ,000.000\nT1C0.8\n%\nT1\nG84X5000\nX10000Y10000\nM30\n", nc.ErrPosition},
		{"no holes", "M48\nMETRIC\n%\nM30\n", nil},
		{"a mark of the file's end", "M48\nMETRIC,TZ,000.000\nT1C0.8\n%\nT1\nX10000Y10000\n\x1a", nil},
	} {
		_, err := nc.Parse([]byte(c.src), nc.ReadOptions{AllowMissingEnd: true})
		require.ErrorIs(t, err, c.want, c.name)
		require.ErrorIs(t, scanError(c.src, nc.ReadOptions{AllowMissingEnd: true}), c.want, c.name)
	}
}

// What the messages say is what was found: lengths in mm, shares in per cent, the
// line that is too long.
func TestMessagesHoldTheFigures(t *testing.T) {
	_, err := nc.Parse([]byte(body("T2", "G00X0.0Y0.0", "M15", "G02X10.0Y0.0I4.5J0.0", "M16")), nc.ReadOptions{})
	require.ErrorContains(t, err, "found an end 5.500000 mm from the centre, expected 4.500000 mm, as at its start")
	require.Equal(t, "mm LZ 3:3: box 1.000,2.000 to 3.000,4.000 mm, on grid 25 %, overlap 50 %, score 1.5 (why)",
		nc.Candidate{Units: nc.Millimetres, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 3, Dec: 3}, Box: orb.Bound{Min: orb.Point{1, 2}, Max: orb.Point{3, 4}},
			OnGrid: 0.25, Overlap: 0.5, Score: 1.5, Why: "why"}.String())
	_, err = nc.Parse([]byte("M48\nMETRIC\n;"+strings.Repeat("x", 1<<20)+"\nM30\n"), nc.ReadOptions{})
	var le *nc.LimitError
	require.ErrorAs(t, err, &le)
	require.Equal(t, 3, le.Line)
	p := parse(t, "M48\nMETRIC,TZ,000000000.00000000\nT1C0.8\n%\nT1\nX100000000Y200000000\nM30\n")
	require.Equal(t, nc.Digits{Int: 9, Dec: 8}, p.Digits, "the longest form")
	require.Equal(t, []orb.Point{{1, 2}}, hits(t, p))
}
