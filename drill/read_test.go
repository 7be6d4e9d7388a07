package drill_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// program puts a header, a tool table and a body together.
func program(head, tools, body string) string {
	return "M48\n" + head + "METRIC,TZ\nFMAT,2\n" + tools + "%\nG90\nG05\n" + body + "M30\n"
}

func read(t testing.TB, text string, m drill.Marking) ([]drill.Hole, tooling.Report, error) {
	t.Helper()
	p, err := nc.Parse([]byte(text), nc.ReadOptions{File: "x.drl"})
	require.NoError(t, err)
	return drill.Read(p, "x.drl", m)
}

const (
	plain = "T1C0.900\n"
	one   = "T1\nX1.000Y2.000\n"
)

func TestReadMarking(t *testing.T) {
	for _, c := range []struct {
		name   string
		text   string
		mark   drill.Marking
		want   tooling.Size
		tented bool
		half   bool
	}{
		{
			name: "by the caller", text: program("", plain, one),
			mark: drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished, Class: tooling.PressFit},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Class: tooling.PressFit, Plated: true},
		},
		{
			name: "by the file's attribute", text: program("; #@! TF.FileFunction,Plated,1,2,PTH\n", plain, one),
			mark: drill.Marking{Sizes: tooling.Drilled},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Drilled, Plated: true},
		},
		{
			name: "by the tool's attribute", text: program("; #@! TF.FileFunction,Plated,1,2,PTH\n", "; #@! TA.AperFunction,Plated,PTH,ViaDrill\n"+plain, one),
			mark: drill.Marking{Sizes: tooling.Finished, Class: tooling.PressFit},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Class: tooling.Via, Plated: true},
		},
		{
			name: "by a TYPE comment", text: program("", ";TYPE=NON_PLATED\n"+plain, one),
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished},
		},
		{
			name: "agreeing twice", text: program("", ";TYPE=PLATED\n"+plain, one),
			mark: drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true},
		},
		{
			name: "one tool's own", text: program("", plain, one),
			mark: drill.Marking{Plating: drill.Unplated, Sizes: tooling.Finished, Tools: []drill.ToolMarking{
				{Tool: 1, Plating: drill.Plated, Class: tooling.Component, Half: true, Minus: 0.02, Plus: 0.03},
			}},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Class: tooling.Component, Plated: true, Minus: 0.02, Plus: 0.03},
			half: true,
		},
		{
			name: "tented", text: program("", plain, one),
			mark: drill.Marking{Plating: drill.Unplated, Tented: true},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished}, tented: true,
		},
		{
			name: "plated holes cannot be tented", text: program("", plain, one),
			mark: drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished, Tented: true},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true},
		},
		{
			name: "half holes", text: program("", plain, one),
			mark: drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished, Half: true},
			want: tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}, half: true,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _, err := read(t, c.text, c.mark)
			require.NoError(t, err)
			require.Len(t, got, 1)
			h := got[0]
			assert.Equal(t, c.want, h.Size)
			assert.Equal(t, c.tented, h.Tented)
			assert.Equal(t, c.half, h.Half)
			assert.Equal(t, orb.Point{1, 2}, h.At)
			assert.Equal(t, "x.drl", h.Source.File)
			assert.Equal(t, "T1", h.Source.Tool)
			assert.Contains(t, strings.Split(c.text, "\n")[h.Source.Line-1], "X1.000Y2.000")
		})
	}
}

func TestReadRefuses(t *testing.T) {
	plated := drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished}
	for _, c := range []struct {
		name string
		text string
		mark drill.Marking
		err  error
		line string // what stands in the line named; "": no line
		tool string
	}{
		{name: "no marking", text: program("", plain, one), mark: drill.Marking{Sizes: tooling.Finished}, err: drill.ErrMarking, line: "T1C0.900", tool: "T1"},
		{name: "no sizes", text: program("", plain, one), mark: drill.Marking{Plating: drill.Plated}, err: drill.ErrSizes, line: "T1C0.900", tool: "T1"},
		{name: "file against caller", text: program("", ";TYPE=PLATED\n"+plain, one), mark: drill.Marking{Plating: drill.Unplated}, err: drill.ErrMarking, line: "T1C0.900", tool: "T1"},
		{name: "file against itself", text: program("; #@! TF.FileFunction,NonPlated,1,2,NPTH\n", ";TYPE=PLATED\n"+plain, one), err: drill.ErrMarking, line: "T1C0.900", tool: "T1"},
		{name: "a plating that is none", text: program("", plain, one), mark: drill.Marking{Plating: "platted", Sizes: tooling.Finished}, err: drill.ErrMarking, line: "T1C0.900", tool: "T1"},
		{name: "blind", text: program("; #@! TF.FileFunction,Plated,1,2,Blind\n", plain, one), mark: plated, err: drill.ErrSpan, line: "FileFunction"},
		{name: "buried", text: program("; #@! TF.FileFunction,Plated,2,3,Buried\n", plain, one), mark: plated, err: drill.ErrSpan, line: "FileFunction"},
		{name: "depth-limited", text: program("", "T1C0.900Z0.500\n", one), mark: plated, err: drill.ErrSpan, line: "T1C0.900", tool: "T1"},
		{name: "a routed path", text: program("", plain, "T1\nG00X1.000Y1.000\nM15\nG01X2.000Y1.000\nG01X2.000Y5.000\nM16\n"), mark: plated, err: drill.ErrRoutPath, line: "G01X2.000Y1.000", tool: "T1"},
		{name: "an arc", text: program("", plain, "T1\nG00X1.000Y1.000\nM15\nG02X2.000Y1.000A0.500\nM16\n"), mark: plated, err: drill.ErrRoutPath, line: "G02", tool: "T1"},
		{name: "an unknown word of motion", text: program("", plain, one+"G99X3.000Y4.000\n"), mark: plated, err: drill.ErrWord, line: "G99", tool: "T1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, report, err := read(t, c.text, c.mark)
			var re *drill.ReadError
			require.ErrorAs(t, err, &re)
			require.ErrorIs(t, err, c.err)
			assert.Nil(t, got)
			assert.Nil(t, report)
			assert.Equal(t, "x.drl", re.Source.File)
			assert.Equal(t, c.tool, re.Source.Tool)
			assert.NotEmpty(t, re.Found)
			assert.NotEmpty(t, re.Expected)
			assert.Contains(t, re.Error(), re.Found)
			require.Positive(t, re.Source.Line)
			assert.Contains(t, strings.Split(c.text, "\n")[re.Source.Line-1], c.line)
		})
	}
}

func TestReadToolWithoutDiameter(t *testing.T) {
	// The reader of programs refuses such a file; a table made otherwise is
	// refused here.
	text := program("", "T1\n", one)
	_, err := nc.Parse([]byte(text), nc.ReadOptions{})
	require.ErrorIs(t, err, nc.ErrToolDiameter)
	p := parse(t, program("", plain, one))
	p.Tools[0].Diameter = 0
	_, _, err = drill.Read(p, "x.drl", drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	require.ErrorIs(t, err, drill.ErrTool)
	p.Tools = nil
	_, _, err = drill.Read(p, "x.drl", drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	require.ErrorIs(t, err, drill.ErrTool)
}

func TestReadWaivedWord(t *testing.T) {
	text := program("", plain, one+"G99X3.000Y4.000\n")
	_, _, err := read(t, text, drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	var re *drill.ReadError
	require.ErrorAs(t, err, &re)
	word := strings.Trim(re.Found, `"`)
	got, _, err := read(t, text, drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished, Waived: []string{word}})
	require.NoError(t, err)
	assert.Len(t, got, 1)
}

func TestReadShapes(t *testing.T) {
	text := program("", "T1C0.900\nT2C1.000\nT3C1.000\n",
		"T1\nX1.000Y2.000\nX3.000Y2.000G85X5.000Y2.000\nX6.000Y6.000G85X6.000Y6.000\n"+
			"G00X7.000Y7.000\nM15\nG01X9.000Y7.000\nM16\nG05\nT2\nX8.000Y8.000\nX8.000Y8.000\n")
	got, report, err := read(t, text, drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	require.NoError(t, err)
	var shapes [][2]orb.Point
	for _, h := range got {
		shapes = append(shapes, [2]orb.Point{h.At, h.To})
	}
	want := [][2]orb.Point{
		{{1, 2}, {1, 2}}, {{3, 2}, {5, 2}}, {{6, 6}, {6, 6}}, {{7, 7}, {9, 7}}, {{8, 8}, {8, 8}}, {{8, 8}, {8, 8}},
	}
	if diff := cmp.Diff(want, shapes); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	rules := map[string]string{}
	for _, f := range report {
		assert.True(t, f.OK, f.Rule)
		assert.Equal(t, "x.drl", f.Source.File)
		rules[f.Rule] = f.Tool
	}
	assert.Equal(t, "T1", rules["slot-of-no-length"])
	assert.Equal(t, "T3", rules["tool-without-hits"])
}

// A slot too short for the grid of programs is one hit, from reading to check.
func TestShorterThanTheGrid(t *testing.T) {
	in := small()
	speck := drill.Slot(orb.Point{20, 60}, orb.Point{20.0003, 60}, supply)
	assert.False(t, speck.IsSlot())
	in.Holes = append(in.Holes, speck)
	p := mountAll(t, in, 5)[0]
	require.NoError(t, drill.Check(in, p, parse(t, textOf(t, p, nc.WriteOptions{}))).Err())
	assert.Equal(t, 42, p.Holes())
}

// Each stretch with the tool down is one slot; a tool's end ends it too.
func TestReadRoutedSlots(t *testing.T) {
	got, _, err := read(t, program("", plain, "T1\nG00X1.000Y1.000\nM15\nG01X3.000Y1.000\nM16\nG00X5.000Y1.000\nM15\nG01X5.000Y4.000\nM16\n"),
		drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	require.NoError(t, err)
	require.Len(t, got, 2)
	assert.Equal(t, [2]orb.Point{{1, 1}, {3, 1}}, [2]orb.Point{got[0].At, got[0].To})
	assert.Equal(t, [2]orb.Point{{5, 1}, {5, 4}}, [2]orb.Point{got[1].At, got[1].To})
}

func TestReadCircle(t *testing.T) {
	got, _, err := read(t, program("", plain, "T1\nX10.000Y10.000G84X5.000\n"), drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, 5.0, got[0].Size.Diameter)
	assert.False(t, got[0].IsSlot())
}

// The same board as an inch and as a metric file, on a grid both can write,
// gives the same program.
func TestReadInchAndMetricAlike(t *testing.T) {
	metric := program("", "T1C0.9144\n", "T1\nX25.400Y50.800\nX27.940Y50.800\nX30.480Y53.340G85X33.020Y53.340\n")
	inch := "M48\nINCH,LZ\nT1C0.036\n%\nG90\nG05\nT1\nX01Y02\nX011Y02\nX012Y021G85X013Y021\nM30\n"
	m := drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished}
	var texts []string
	for _, text := range []string{metric, inch} {
		holes, _, err := read(t, text, m)
		require.NoError(t, err)
		in := small()
		in.Holes = holes
		for _, p := range mountAll(t, in, 10) {
			texts = append(texts, textOf(t, p, nc.WriteOptions{}))
		}
	}
	require.Len(t, texts, 2)
	assert.Equal(t, texts[0], texts[1])
}

func TestReadSamples(t *testing.T) {
	for name, want := range map[string]struct {
		holes, plated, slots, half int
		rules                      map[string]int // findings, OK all
	}{
		"greenhouse-sensor": {holes: 12*(135+16+20+6+5) + 12*7 + 5, plated: 12*(135+16+20+6+5) + 2, slots: 12 * 5},
		"tide-logger":       {holes: 6*(256+1371+16+16) + 6*6 + 3, plated: 6*(256+1371+16+16) + 1, slots: 6 * 2, half: 6 * 16},
		"pump-backplane": {
			holes: 20300 + 616 + 56 + 14 + 4 + 2, plated: 20300 + 616 + 56,
			rules: map[string]int{"duplicate-hit": 107, "tool-without-hits": 1, "tools-alike": 1},
		},
	} {
		in, _, report := sample(t, name)
		assert.Len(t, in.Holes, want.holes, name)
		plated, slots, half := 0, 0, 0
		for _, h := range in.Holes {
			if h.Size.Plated {
				plated++
			}
			if h.IsSlot() {
				slots++
			}
			if h.Half {
				half++
			}
		}
		assert.Equal(t, want.plated, plated, name)
		assert.Equal(t, want.slots, slots, name)
		assert.Equal(t, want.half, half, name)
		assert.True(t, report.OK(), name)
		found := map[string]int{}
		for _, f := range report {
			found[f.Rule] += f.Count
		}
		if want.rules == nil {
			assert.Empty(t, found, name)
		}
		for rule, n := range want.rules {
			assert.Equal(t, n, found[rule], "%s %s", name, rule)
		}
		assert.Empty(t, in.Routed(), name)
		require.NoError(t, in.Validate(), name)
	}
}

// What a note of the reader says would lose a hole or guess at one is
// refused, with its line.
func TestReadRefusesWhatWouldLoseAHole(t *testing.T) {
	for _, c := range []struct {
		name, reason, body string
		is                 error
	}{
		{"plunge without a cut", "a hole that is no hit", "G00X1.0Y1.0\nM15\nM16\n", drill.ErrRoutPath},
		{"compensated slot", "the radius is the control's", "G41\nG00X1.0Y1.0\nM15\nG01X3.0Y1.0\nM16\nG40\n", drill.ErrRoutPath},
		{"cut with the tool up", "M15 was forgotten", "G00X1.0Y1.0\nG01X3.0Y1.0\nM16\n", drill.ErrRoutPath},
		{"change with the tool down", "M16 was forgotten", "G00X1.0Y1.0\nM15\nG01X3.0Y1.0\nT2\nG05\nX5.0Y5.0\n", drill.ErrRoutPath},
	} {
		p, err := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\nT2C0.9\n%\nG90\nT1\n"+c.body+"M30\n"), nc.ReadOptions{})
		if err != nil {
			continue // the reader itself refuses it: as good
		}
		_, _, err = drill.Read(p, "x.drl", drill.Marking{Plating: drill.Plated, Sizes: tooling.Finished})
		require.ErrorIs(t, err, c.is, "%s: %s", c.name, c.reason)
		require.Contains(t, err.Error(), "x.drl:", c.name)
	}
}
