package drill_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// written writes a pass and reads it back.
func written(t *testing.T, p drill.Pass, o nc.WriteOptions) (string, []*nc.Program) {
	t.Helper()
	parts, err := p.Programs(o)
	require.NoError(t, err)
	var all strings.Builder
	var back []*nc.Program
	for _, part := range parts {
		var b bytes.Buffer
		_, err := part.WriteTo(&b)
		require.NoError(t, err)
		if o.MaxBytes > 0 {
			require.LessOrEqual(t, b.Len(), o.MaxBytes)
		}
		q, err := nc.Parse(b.Bytes(), nc.ReadOptions{})
		require.NoError(t, err)
		all.Write(b.Bytes())
		back = append(back, q)
	}
	return all.String(), back
}

// Every writing option passes the check that was told of it, in the panel's
// own coordinates and in others; one that was not told refuses what changes
// what the program does or says.
func TestEveryWayOfWritingIsChecked(t *testing.T) {
	for name, c := range map[string]struct {
		o      nc.WriteOptions
		untold string // a rule that refuses where the check was not told; "": none
		has    string // in one of the programs at least
	}{
		"as usual":            {nc.WriteOptions{}, "", "FMAT,2"},
		"inch, LZ":            {nc.WriteOptions{Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 5}}, "", "INCH,LZ,00.00000"},
		"mm, TZ":              {nc.WriteOptions{Zeros: nc.TrailingZeros}, "", "METRIC,TZ,000.000"},
		"header words":        {nc.WriteOptions{Words: []string{"VER,1", "FMAT,2", "ATC,ON"}}, "", "VER,1\nFMAT,2\nATC,ON\n"},
		"steps":               {nc.WriteOptions{Incremental: true, Rows: true, Digits: nc.Digits{Int: 3, Dec: 3}, Zeros: nc.TrailingZeros}, "", "G91"},
		"index and table":     {nc.WriteOptions{Index: true, Table: nc.TableByNumber}, "", "T0101"},
		"rows and patterns":   {nc.WriteOptions{Rows: true, Patterns: true}, "", "FMAT,2"},
		"without feeds":       {nc.WriteOptions{NoFeeds: true}, "speed-missing", tooling.NoFeedsText},
		"canned slots":        {nc.WriteOptions{Slots: nc.SlotG85}, "motion-word", "G85"},
		"slots as rout moves": {nc.WriteOptions{Slots: nc.SlotRout}, "rout-move", "M15"},
		"split":               {nc.WriteOptions{MaxBytes: 2500}, "", "part 002"},
		"split, canned, bare": {nc.WriteOptions{MaxBytes: 1900, Slots: nc.SlotG85, NoFeeds: true}, "speed-missing", "carried on, the same stack stays pinned"},
	} {
		t.Run(name, func(t *testing.T) {
			in := small()
			seen := false
			for _, p := range mountAll(t, in, 10) {
				for _, frame := range []tooling.Frame{{}, {Quarters: 1, FaceDown: true, Datum: in.Panel.Features[0].At}} {
					p.Frame = frame
					src, back := written(t, p, c.o)
					seen = seen || strings.Contains(src, c.has)
					require.NoError(t, drill.CheckAs(in, p, back, c.o).Err())
					if len(back) > 1 {
						require.False(t, drill.CheckAs(in, p, back[1:], c.o).OK(), "a part is missing")
						require.False(t, drill.CheckAs(in, p, append(back[:1:1], back[0]), c.o).OK(), "a part twice")
						continue
					}
					report := drill.Check(in, p, back[0])
					if c.untold == "" {
						require.NoError(t, report.Err())
					} else if strings.Contains(src, c.has) {
						require.True(t, refuses(report, c.untold), "%v", report.Err())
					}
				}
			}
			require.True(t, seen, "nothing was written the way that is tested")
		})
	}
}

func refuses(r tooling.Report, rule string) bool {
	for _, f := range r {
		if f.Rule == rule && !f.OK {
			return true
		}
	}
	return false
}

// Faults planted in programs written another way than as usual.
func TestFaultsInOtherWritingsAreCaught(t *testing.T) {
	in := small()
	for _, p := range mountAll(t, in, 10) {
		for name, c := range map[string]struct {
			o        nc.WriteOptions
			from, to string
			rule     string
		}{
			"one tool has a speed":     {nc.WriteOptions{NoFeeds: true}, "T2C", "T2S80C", "feed-mixed"},
			"the message is silent":    {nc.WriteOptions{NoFeeds: true}, tooling.NoFeedsText, "all is well", "opening-missing"},
			"a canned slot is short":   {nc.WriteOptions{Slots: nc.SlotG85}, "G85X40.000", "G85X40.100", "slot-unknown"},
			"a canned slot is moved":   {nc.WriteOptions{Slots: nc.SlotG85}, "X34.000Y73.000", "X34.100Y73.000", "slot-unknown"},
			"a routed slot is short":   {nc.WriteOptions{Slots: nc.SlotRout}, "G01X43.000", "G01X42.000", "slot-unknown"},
			"a routed slot turns off":  {nc.WriteOptions{Slots: nc.SlotRout}, "M16", "G01X1.000Y1.000\nM16", "rout-move"},
			"a routed slot stays down": {nc.WriteOptions{Slots: nc.SlotRout}, "M16\nM30", "M30", "rout-move"},
		} {
			one, err := p.Program(c.o)
			require.NoError(t, err)
			var b bytes.Buffer
			_, err = one.WriteTo(&b)
			require.NoError(t, err)
			src := strings.Replace(b.String(), c.from, c.to, 1)
			if src == b.String() {
				continue // the other pass has it
			}
			back, err := nc.Parse([]byte(src), nc.ReadOptions{})
			require.NoError(t, err, name)
			require.True(t, refuses(drill.CheckAs(in, p, []*nc.Program{back}, c.o), c.rule), "%s: %v", name, drill.CheckAs(in, p, []*nc.Program{back}, c.o).Err())
		}
	}
}

// The parts of a split program have one tool table; a part with another, a tool
// more or a tool less is refused and named.
func TestPartsOfOtherTablesAreRefused(t *testing.T) {
	in := small()
	p := mountAll(t, in, 10)[0]
	o := nc.WriteOptions{MaxBytes: 2500}
	for name, change := range map[string]func(tools []nc.ToolDef) []nc.ToolDef{
		"as written":   func(tools []nc.ToolDef) []nc.ToolDef { return tools },
		"another feed": func(tools []nc.ToolDef) []nc.ToolDef { tools[1].Feed++; return tools },
		"a tool less":  func(tools []nc.ToolDef) []nc.ToolDef { return tools[:len(tools)-1] },
		"a tool more":  func(tools []nc.ToolDef) []nc.ToolDef { return append(tools, nc.ToolDef{Number: 99}) },
		"another line": func(tools []nc.ToolDef) []nc.ToolDef { tools[0].Line += 7; return tools },
	} {
		_, back := written(t, p, o)
		require.Greater(t, len(back), 1)
		back[1].Tools = change(back[1].Tools)
		report := drill.CheckAs(in, p, back, o)
		if name == "as written" || name == "another line" {
			require.NoError(t, report.Err(), name)
			continue
		}
		require.Equal(t, []string{"parts-differ"}, refused(report), name)
		require.ErrorContains(t, report.Err(), "program 2 has another tool table", name)
	}
}
