package nc_test

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Every limit of a reading is met exactly by what is just so long, and one less
// refuses it with the limit's name, the most and what was found.
func TestLimitsOfAReading(t *testing.T) {
	src := body("T1", "X1.0Y1.0", "R3X1.0", "M25", "X2.0Y2.0", "X3.0Y2.0", "M25", "X4.0Y4.0", "M01", "R2M02X1.0", "M01", "M02Y5.0", "M08", "X9.0Y9.0G85X10.0Y9.0", "; a remark", "T2", "X1.0Y5.0")
	operations := len(ops(t, parse(t, src)))
	for _, c := range []struct {
		name string
		most int
		set  func(*nc.ReadOptions, int)
	}{
		{"bytes", len(src), func(o *nc.ReadOptions, n int) { o.MaxBytes = n }},
		{"blocks", strings.Count(src, "\n"), func(o *nc.ReadOptions, n int) { o.MaxBlocks = n }},
		{"operations", operations, func(o *nc.ReadOptions, n int) { o.MaxOps = n }},
		{"tools", 2, func(o *nc.ReadOptions, n int) { o.MaxTools = n }},
		{"nesting", 2, func(o *nc.ReadOptions, n int) { o.MaxNesting = n }},
	} {
		o := nc.ReadOptions{File: "f.drl"}
		c.set(&o, c.most)
		_, err := nc.Parse([]byte(src), o)
		require.NoError(t, err, c.name)
		c.set(&o, c.most-1)
		_, err = nc.Parse([]byte(src), o)
		var over *nc.LimitError
		require.ErrorAs(t, err, &over, c.name)
		require.ErrorIs(t, err, nc.ErrLimit)
		require.Equal(t, "f.drl", over.File)
		require.Equal(t, c.name, over.Limit)
		require.Equal(t, c.most-1, over.Max)
		require.Equal(t, c.most, over.Found)
	}
	// Every place where operations are counted stops at the first too many.
	for most := 1; most < operations; most++ {
		_, err := nc.Parse([]byte(src), nc.ReadOptions{MaxOps: most})
		var over *nc.LimitError
		require.ErrorAs(t, err, &over, "%d", most)
		require.Equal(t, most, over.Max)
		require.Greater(t, over.Found, most)
	}
	far := 0.0
	for _, op := range ops(t, parse(t, src)) {
		far = max(far, op.To[0], op.To[1])
	}
	for reach, ok := range map[float64]bool{far: true, far - 1e-6: false, 10_000: true} {
		_, err := nc.Parse([]byte(src), nc.ReadOptions{MaxReach: reach})
		if ok {
			require.NoError(t, err, "%v", reach)
		} else {
			require.ErrorIs(t, err, nc.ErrRange, "%v", reach)
		}
	}
}

// Ten thousand attributes are kept, what comes after is counted.
func TestManyAttributes(t *testing.T) {
	for n, more := range map[int]int{10_000: 0, 10_003: 3} {
		src := body(strings.Repeat("; #@! TA.AperFunction,Other,x\n", n)+"T1", "X1.0Y1.0")
		p := parse(t, src)
		require.Len(t, p.Attributes, 10_000)
		count := 0
		for _, note := range p.Notes {
			if note.Rule == "many-attributes" {
				count = note.Count
			}
		}
		require.Equal(t, more, count)
	}
}

// Two hundred and fifty-six groups of notes are told apart, further ones together.
func TestManyNotes(t *testing.T) {
	for _, n := range []int{255, 256, 257, 300} {
		var table, work strings.Builder
		for k := range n {
			fmt.Fprintf(&table, "T%dC0.800\n", k+1)
			fmt.Fprintf(&work, "T%d\nX1.0Y1.0G85X1.0Y1.0\n", k+1) // a slot without a length
		}
		p := parse(t, "M48\nMETRIC\n"+table.String()+"%\n"+work.String()+"M30\n")
		told, more := 0, 0
		for _, note := range p.Notes {
			switch note.Rule {
			case "zero-slot":
				told++
			case "more":
				more = note.Count
			}
		}
		require.Equal(t, min(n, 256), told, "%d", n)
		require.Equal(t, max(n-256, 0), more, "%d", n)
	}
}

// An ambiguous file is named before its line, a text without a name is not.
func TestAmbiguousFilesAreNamed(t *testing.T) {
	src := []byte("M48\nT1C0.1\n%\nT1\nX10000Y20000\nX15000Y25000\nM30\n")
	var open *nc.AmbiguousError
	_, err := nc.Parse(src, nc.ReadOptions{File: "gauge.drl"})
	require.True(t, errors.As(err, &open))
	require.True(t, strings.HasPrefix(err.Error(), "gauge.drl:5:1: nc: no units: "), "%v", err)
	_, err = nc.Parse(src, nc.ReadOptions{})
	require.True(t, strings.HasPrefix(err.Error(), "5:1: nc: no units: "), "%v", err)
}

// scanned reads a text as a stream.
func scanned(r io.Reader, o nc.ReadOptions) (n int, err error) {
	for _, err := range nc.Scan(r, o) {
		if err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// A line may be a mebibyte long, from memory and from a stream; one byte more is
// refused on that line.
func TestLongestLine(t *testing.T) {
	const most = 1 << 20
	for _, n := range []int{most, most + 1} {
		src := body("T1", "X1.0Y1.0", ";"+strings.Repeat("x", n-1), "X2.0Y2.0")
		_, parsed := nc.Parse([]byte(src), nc.ReadOptions{})
		_, streamed := scanned(strings.NewReader(src), nc.ReadOptions{})
		if n == most {
			require.NoError(t, parsed)
			require.NoError(t, streamed)
			continue
		}
		for _, err := range []error{parsed, streamed} {
			var over *nc.LimitError
			require.ErrorAs(t, err, &over)
			require.Equal(t, nc.LimitError{Line: 8, Column: 1, Limit: "bytes in a line", Max: most, Found: most + 1}, *over)
		}
	}
}

// A stream may hand over nothing a hundred times in a row.
func TestIdleStreams(t *testing.T) {
	for idle, want := range map[int]error{100: nil, 101: io.ErrNoProgress} {
		r := &idler{idle: idle, src: body("T1", "X1.0Y1.0")}
		n, err := scanned(r, nc.ReadOptions{})
		require.ErrorIs(t, err, want, "%d", idle)
		require.Equal(t, want == nil, n > 0)
	}
}

// idler hands over nothing so often before each third byte.
type idler struct {
	src       string
	idle, now int
}

func (r *idler) Read(p []byte) (int, error) {
	if r.src == "" {
		return 0, io.EOF
	}
	if r.now < r.idle {
		r.now++
		return 0, nil
	}
	r.now = 0
	n := copy(p, r.src[:min(3, len(r.src))])
	r.src = r.src[n:]
	return n, nil
}

// The bytes of a stream are counted as they come, over every chunk.
func TestBytesOfAStream(t *testing.T) {
	src := body("T1", strings.Repeat("X1.0Y1.0\nX2.0Y2.0\n", 100_000))
	n, err := scanned(strings.NewReader(src), nc.ReadOptions{MaxBytes: len(src)})
	require.NoError(t, err)
	require.Greater(t, n, 200_000)
	_, err = scanned(strings.NewReader(src), nc.ReadOptions{MaxBytes: len(src) - 1})
	var over *nc.LimitError
	require.ErrorAs(t, err, &over)
	require.Equal(t, "bytes", over.Limit)
	require.Equal(t, len(src)-1, over.Max)
	require.Equal(t, len(src), over.Found)
}

// What asks for too much says how much: repeats one by one, copies by the pattern.
func TestWhatRepeatsAskFor(t *testing.T) {
	for _, c := range []struct {
		lines []string
		found int
	}{
		{[]string{"T1", "X1.0Y1.0", "R1000X0.01"}, 2 + 1000},                                      // the tool and a hit before
		{[]string{"T1", "M25", "X1.0Y1.0", "X2.0Y1.0", "X3.0Y1.0", "M01", "R50M02X1.0"}, 4 + 150}, // the tool and three hits
	} {
		src := []byte(body(c.lines...))
		_, err := nc.Parse(src, nc.ReadOptions{MaxOps: 100})
		var over *nc.LimitError
		require.ErrorAs(t, err, &over)
		require.Equal(t, c.found, over.Found)
		_, err = nc.Parse(src, nc.ReadOptions{MaxOps: c.found + 1}) // and the end
		require.NoError(t, err)
	}
	for _, line := range []string{"R2.X1.0", "R2.0X1.0", "R-1X1.0", "R0X1.0"} {
		_, err := nc.Parse([]byte(body("T1", "X1.0Y1.0", line)), nc.ReadOptions{})
		require.ErrorIs(t, err, nc.ErrRepeat, line)
	}
}

// A place may lie as far off as asked on every side.
func TestReachOnEverySide(t *testing.T) {
	for _, axis := range []string{"X%s", "X-%s", "Y%s", "Y-%s"} {
		for far, ok := range map[string]bool{"50.0": true, "50.000001": false} {
			for _, line := range []string{fmt.Sprintf(axis, far), "X0.0Y0.0G85" + fmt.Sprintf(axis, far)} {
				_, err := nc.Parse([]byte(body("T1", "X1.0Y1.0", line)), nc.ReadOptions{MaxReach: 50})
				if ok {
					require.NoError(t, err, line)
				} else {
					require.ErrorIs(t, err, nc.ErrRange, line)
				}
			}
		}
	}
}

// Digits asked for are at most as many as a number has.
func TestDigitsAskedFor(t *testing.T) {
	src := []byte("M48\nMETRIC,LZ\nT1C0.8\n%\nT1\nX1Y1\nM30\n")
	for digits, ok := range map[nc.Digits]bool{{Int: 9, Dec: 9}: true, {Int: 10, Dec: 9}: false, {Int: 18, Dec: 0}: true, {Int: 19, Dec: 0}: false, {Int: -1, Dec: 3}: false, {Int: 3, Dec: -1}: false} {
		_, err := nc.Parse(src, nc.ReadOptions{File: "f", Digits: digits})
		if !ok {
			require.EqualError(t, err, fmt.Sprintf("f:1:1: nc: number form not known: found %v, expected at most 18 digits in all", digits))
			continue
		}
		require.NotErrorIs(t, err, nc.ErrDigits, "%v", digits)
	}
}

// A program that would end with the tool down is refused as a whole.
func TestProgramsThatEndDown(t *testing.T) {
	_, err := nc.Build(slices.Values([]nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpRapid, Tool: 1}, {Kind: nc.OpPlunge, Tool: 1}}), tableOf(1), nc.WriteOptions{})
	var bad *nc.BuildError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, nc.BuildError{Index: -1, Detail: "the program would end with the tool down", Err: nc.ErrWrite}, *bad)
}

// Feeds of more than 60 m/min and speeds of more than 400,000 rev/min are doubted,
// hit limits are whole numbers of 31 bits, and what is said twice must agree.
func TestParametersOfTools(t *testing.T) {
	for _, c := range []struct {
		table      string
		note, fail string
	}{
		{"T1C0.8F60.0", "", ""}, {"T1C0.8F60.001", "odd-feed: 60001 mm/min at 0 rev/min, retract 0 mm/min: is the unit of F, S or B another one?", ""},
		{"T1C0.8B60.0", "", ""}, {"T1C0.8B60.001", "odd-feed: 0 mm/min at 0 rev/min, retract 60001 mm/min: is the unit of F, S or B another one?", ""},
		{"T1C0.8S400", "", ""}, {"T1C0.8S400.001", "odd-feed: 0 mm/min at 400001 rev/min, retract 0 mm/min: is the unit of F, S or B another one?", ""},
		{"T1C0.8H2147483647", "", ""}, {"T1C0.8H2147483648", "", `3:7: nc: bad tool definition: found "H2147483648", expected H with a whole number of hits`},
		{"T1C0.8H5.", "", `3:7: nc: bad tool definition: found "H5.", expected H with a whole number of hits`},
		{"T1C0.8H-5", "", `3:7: nc: bad tool definition: found "H-5", expected H with a whole number of hits`},
		{"T1C0.8F-2", "", `3:7: nc: bad tool definition: found "F-2", expected F of 0 or more`}, {"T1C0.8F-0", "", ""},
		{"T1C0.8F2.5\nT1C0.8F2.5", "tool-again", ""}, {"T1C0.8F2.5\nT1C0.8F2.6", "tool-changed: F of T1 is said twice, the later holds", ""},
		{"T1C0.8S50\nT1C0.8S0", "tool-again", ""},
	} {
		p, err := nc.Parse([]byte("M48\nMETRIC\n"+c.table+"\n%\nT1\nX1.0Y1.0\nM30\n"), nc.ReadOptions{})
		if c.fail != "" {
			require.EqualError(t, err, c.fail, c.table)
			continue
		}
		require.NoError(t, err, c.table)
		var notes []string
		for _, n := range p.Notes {
			notes = append(notes, n.Rule+": "+n.Detail)
		}
		if c.note == "" {
			require.Empty(t, notes, c.table)
			continue
		}
		found := slices.ContainsFunc(notes, func(s string) bool { return strings.HasPrefix(s, c.note) })
		require.True(t, found, "%s: %q", c.table, notes)
		changed := slices.ContainsFunc(notes, func(s string) bool { return strings.HasPrefix(s, "tool-changed") })
		require.Equal(t, strings.HasPrefix(c.note, "tool-changed"), changed, "%s: %q", c.table, notes)
	}
}

// Every first digit of a size that only a comment tells is one.
func TestSizesInComments(t *testing.T) {
	for _, size := range []string{"0.5", "1.5", "5.5", "9.5", ".9"} {
		p := parse(t, "M48\nMETRIC\n;T1 = "+size+" mm\n%\nT1\nX1.0Y1.0\nM30\n")
		var want float64
		_, err := fmt.Sscan(strings.Replace(size, ".9", "0.9", 1), &want)
		require.NoError(t, err)
		require.Equal(t, want, p.Tools[0].Diameter, size)
	}
}

// Nothing is drilled or cut, in the header, or without a tool; a byte-order mark may be
// all there is of a text.
func TestOddLittleTexts(t *testing.T) {
	for _, c := range []struct{ src, err string }{
		{"\xef\xbb\xbf", "nc: no end of program, the file is cut off"},
		{"\xef\xbb", "1:1: nc: "},
		{"\xff\xfe", "1:1: nc: not a text of single bytes"}, {"\xfe\xff", "1:1: nc: not a text of single bytes"},
	} {
		_, err := nc.Parse([]byte(c.src), nc.ReadOptions{})
		require.ErrorContains(t, err, c.err, "%q", c.src)
	}
	for _, op := range []nc.Op{{Kind: nc.OpPlunge}, {Kind: nc.OpLine, To: orb.Point{1, 1}}, {Kind: nc.OpArc, To: orb.Point{1, 1}, Center: orb.Point{1, 0}}} {
		_, err := nc.Build(slices.Values([]nc.Op{op}), tableOf(1), nc.WriteOptions{})
		require.ErrorIs(t, err, nc.ErrNoTool, "%v", op)
	}
	for _, op := range []nc.Op{{Kind: nc.OpRapid, To: orb.Point{1, 1}}, {Kind: nc.OpRetract}} {
		_, err := nc.Build(slices.Values([]nc.Op{op}), tableOf(1), nc.WriteOptions{})
		require.NotErrorIs(t, err, nc.ErrNoTool, "%v", op)
	}
}
