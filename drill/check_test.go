package drill_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// allRules are the rules a check looks at, in the order of its report.
var allRules = []string{
	"hole-missing", "hole-doubled", "hole-moved", "hit-unknown", "wrong-stage", "wrong-bit", "slot-gap", "pilot-missing",
	"pilot-late", "hit-count", "order-differs", "speed-missing", "feed-missing", "speed-limit", "feed-limit", "depth-missing", "depth-limit",
	"depth-differs", "tool-unknown", "life", "keep-out", "travel-over", "off-panel", "motion-word", "rout-move", "end-missing", "opening-missing",
}

func TestCheckPassesWhatWasPlanned(t *testing.T) {
	type mounted struct {
		in     drill.Input
		passes []drill.Pass
	}
	in := small()
	inputs := map[string]mounted{"small": {in, mountAll(t, in, 24)}}
	for _, name := range planned() {
		in, passes := mountedSample(t, name)
		inputs[name] = mounted{in, passes}
	}
	forms := map[string]nc.WriteOptions{
		"plain": {}, "whole mm": {Zeros: nc.TrailingZeros}, "inch": {Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}},
		"whole inch": {Units: nc.Inches, Zeros: nc.LeadingZeros}, "rows": {Rows: true}, "fine": {Digits: nc.Digits{Int: 3, Dec: 4}, CRLF: true, End: "M00"},
	}
	for name, job := range inputs {
		in := job.in
		for _, p := range job.passes {
			for form, o := range forms {
				if testing.Short() && form != "plain" && name != "small" {
					continue
				}
				report := drill.Check(in, p, parse(t, textOf(t, p, o)))
				require.NoError(t, report.Err(), "%s %s %s", name, p.Name, form)
				var rules []string
				for _, f := range report {
					rules = append(rules, f.Rule)
				}
				require.Equal(t, allRules, rules, "%s %s %s: one finding a rule", name, p.Name, form)
			}
		}
	}
}

// edit changes the lines of a program's text.
type edit func(t *testing.T, lines []string) []string

// section returns the lines of a tool's hits: from after "T<n>" in the body to
// the next tool or end.
func section(t *testing.T, lines []string, tool int) (from, to int) {
	t.Helper()
	body := slices.Index(lines, "%")
	require.Positive(t, body)
	k := slices.Index(lines[body:], fmt.Sprintf("T%d", tool))
	require.Positive(t, k, "tool %d", tool)
	from = body + k + 1
	if lines[from] == "G05" {
		from++
	}
	to = from
	for strings.HasPrefix(lines[to], "X") {
		to++
	}
	require.Greater(t, to, from)
	return from, to
}

func removeHit(tool, k int) edit {
	return func(t *testing.T, lines []string) []string {
		from, _ := section(t, lines, tool)
		return slices.Delete(lines, from+k, from+k+1)
	}
}

func doubleHit(tool, k int) edit {
	return func(t *testing.T, lines []string) []string {
		from, _ := section(t, lines, tool)
		return slices.Insert(lines, from+k, lines[from+k])
	}
}

// shiftHit moves a hit along X by um.
func shiftHit(tool, k, um int) edit {
	return func(t *testing.T, lines []string) []string {
		from, _ := section(t, lines, tool)
		var x, y float64
		_, err := fmt.Sscanf(lines[from+k], "X%fY%f", &x, &y)
		require.NoError(t, err)
		lines[from+k] = fmt.Sprintf("X%.3fY%.3f", x+float64(um)/1000, y)
		return lines
	}
}

func insertHit(tool int, text string) edit {
	return func(t *testing.T, lines []string) []string {
		from, _ := section(t, lines, tool)
		return slices.Insert(lines, from, text)
	}
}

// carry moves the first hit of one tool to another.
func carry(from, to int) edit {
	return func(t *testing.T, lines []string) []string {
		a, _ := section(t, lines, from)
		hit := lines[a]
		lines = slices.Delete(lines, a, a+1)
		b, _ := section(t, lines, to)
		return slices.Insert(lines, b, hit)
	}
}

// table replaces a pattern in the header's line of a tool.
func table(tool int, pattern, with string) edit {
	return func(t *testing.T, lines []string) []string {
		re := regexp.MustCompile(pattern)
		for i, l := range lines {
			if strings.HasPrefix(l, fmt.Sprintf("T%dC", tool)) {
				require.Regexp(t, re, l)
				lines[i] = re.ReplaceAllString(l, with)
				return lines
			}
		}
		t.Fatalf("no line of T%d", tool)
		return nil
	}
}

func insertBefore(line, text string) edit {
	return func(t *testing.T, lines []string) []string {
		k := slices.Index(lines, line)
		require.GreaterOrEqual(t, k, 0)
		return slices.Insert(lines, k, text)
	}
}

// swapSections puts the whole section of one tool after that of another.
func swapSections(a, b int) edit {
	return func(t *testing.T, lines []string) []string {
		fromA, toA := section(t, lines, a)
		hits := slices.Clone(lines[fromA:toA])
		lines = slices.Delete(lines, fromA, toA)
		_, toB := section(t, lines, b)
		return slices.Insert(lines, toB, append([]string{fmt.Sprintf("T%d", a)}, hits...)...)
	}
}

// Faults planted in the text of a program. The plated pass of the small panel
// has T1 B0.65 (pilots of short slots), T2 B1.50 (pilot of the stud), T3 B0.40,
// T4 B1.05, T5 B3.20, T6 S0.95 (short slots), T7 S1.15 (slots), T8 B4.40.
func TestCheckCatchesPlantedFaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		change edit
		rules  []string // all that refuse
	}{
		{"hit lost", removeHit(3, 5), []string{"hole-missing", "hit-count"}},
		{"hit of a slot lost", removeHit(7, 8), []string{"slot-gap", "hit-count"}},
		{"end of a slot lost", removeHit(7, 0), []string{"slot-gap", "hit-count"}},
		{"whole tool lost", func(t *testing.T, lines []string) []string {
			from, to := section(t, lines, 3)
			return slices.Delete(lines, from, to)
		}, []string{"hole-missing", "hit-count"}},
		{"pilot of a large hole lost", removeHit(2, 0), []string{"pilot-missing", "hit-count"}},
		{"pilot of a short slot lost", removeHit(1, 1), []string{"pilot-missing", "hit-count"}},
		{"hit doubled", doubleHit(3, 5), []string{"hole-doubled", "hit-count"}},
		{"hit of a slot doubled", doubleHit(7, 3), []string{"hole-doubled", "hit-count"}},
		{"pilot doubled", doubleHit(2, 0), []string{"hole-doubled", "hit-count"}},
		{"pilot of a short slot doubled", doubleHit(1, 0), []string{"hole-doubled", "hit-count"}},
		{"hit moved by 20 um", shiftHit(3, 5, 20), []string{"hole-moved"}},
		{"hit moved by 2 um", shiftHit(3, 5, 2), []string{"hole-moved"}},
		{"hit moved by 0.4 mm", shiftHit(3, 5, -400), []string{"hole-moved"}},
		{"hit of a slot moved by 20 um along it", func(t *testing.T, lines []string) []string { // T7's slot at Y50.000 runs along X
			from, to := section(t, lines, 7)
			for k := from + 4; k < to; k++ {
				if strings.HasSuffix(lines[k], "Y50.000") && strings.HasPrefix(lines[k], "X41") {
					return shiftHit(7, k-from, 20)(t, lines)
				}
			}
			return lines
		}, []string{"order-differs"}},
		{"hits in another order", func(t *testing.T, lines []string) []string {
			from, _ := section(t, lines, 3)
			lines[from], lines[from+1] = lines[from+1], lines[from]
			return lines
		}, []string{"order-differs"}},
		{"pilot moved by 20 um", shiftHit(2, 0, 20), []string{"hit-unknown", "pilot-missing"}},
		{"pilot of a short slot moved by 20 um", shiftHit(1, 0, 20), []string{"hit-unknown", "pilot-missing"}},
		{"hit moved far", shiftHit(3, 5, 5000), []string{"hit-unknown", "hole-missing"}},
		{"hit added", insertHit(3, "X20.000Y80.000"), []string{"hit-unknown", "hit-count"}},
		{"hit off the panel", insertHit(3, "X-0.100Y40.000"), []string{"hit-unknown", "off-panel", "hit-count"}},
		{"wrong bit", carry(3, 4), []string{"wrong-bit", "hole-missing", "hit-count"}},
		{"wrong bit, larger hole", carry(4, 3), []string{"wrong-bit", "hole-missing", "hit-count"}},
		{"wrong bit in the table", table(3, `C0\.400`, "C0.450"), []string{"wrong-bit", "hole-missing"}},
		{"hole of the other stage", insertHit(5, "X25.000Y20.000"), []string{"wrong-stage", "hit-count"}},
		{"hole that is routed", insertHit(5, "X80.000Y75.000"), []string{"hit-unknown", "hit-count"}},
		{"pilot after its hole", swapSections(2, 8), []string{"pilot-late"}},
		{"pilots after their slots", swapSections(1, 6), []string{"pilot-late"}},
		{"pilot wider than its hole", table(2, `C1\.500`, "C4.500"), []string{"wrong-bit", "pilot-missing"}},
		{"speed missing", table(3, `S[0-9.]+`, ""), []string{"speed-missing"}},
		{"speed of nothing", table(3, `S[0-9.]+`, "S00"), []string{"speed-missing"}},
		{"speed above the machine's", table(3, `S[0-9.]+`, "S126"), []string{"speed-limit"}},
		{"speed below the machine's", table(3, `S[0-9.]+`, "S14"), []string{"speed-limit"}},
		{"speed not the planned one", table(3, `S[0-9.]+`, "S90"), []string{"speed-limit"}},
		{"feed missing", table(3, `F[0-9.]+`, ""), []string{"feed-missing"}},
		{"feed above the table", table(3, `F[0-9.]+`, "F3.0"), []string{"feed-limit"}},
		{"feed below the plan", table(3, `F[0-9.]+`, "F1.0"), []string{"feed-limit"}},
		{"full feed in a short slot", table(6, `F[0-9.]+`, "F2.369"), []string{"feed-limit"}},
		{"retract missing", table(3, `B[0-9.]+`, ""), []string{"feed-limit"}},
		{"retract too fast", table(3, `B[0-9.]+`, "B40"), []string{"feed-limit"}},
		{"depth past the backup's floor", table(3, `Z-[0-9.]+`, "Z-2.100"), []string{"depth-limit", "depth-differs"}},
		{"depth through the backup", table(3, `Z-[0-9.]+`, "Z-2.600"), []string{"depth-limit", "depth-differs"}},
		{"depth too small", table(3, `Z-[0-9.]+`, "Z-0.100"), []string{"depth-differs"}},
		{"depth above the backup", table(3, `Z-[0-9.]+`, "Z0.300"), []string{"depth-differs"}},
		{"depth missing", table(3, `Z-[0-9.]+`, ""), []string{"depth-missing"}},
		{"hit on a clamp", insertHit(3, "X55.000Y3.000"), []string{"hit-unknown", "keep-out", "hit-count"}},
		{"hit on a pin", insertHit(3, "X8.000Y41.000"), []string{"hit-unknown", "keep-out", "hit-count"}},
		{"foot on a clamp", insertHit(3, "X55.000Y10.000"), []string{"hit-unknown", "keep-out", "hit-count"}},
		{"foot on a pin", insertHit(3, "X15.000Y41.000"), []string{"hit-unknown", "keep-out", "hit-count"}},
		{"unknown motion word", insertBefore("M30", "G99X20.000Y20.000"), []string{"motion-word"}},
		{"canned slot", insertBefore("M30", "X40.000Y50.000G85X43.000Y50.000"), []string{"motion-word"}},
		{"canned circle", insertBefore("M30", "X80.000Y75.000G84X8.000"), []string{"motion-word"}},
		{"routing", insertBefore("M30", "G00X20.000Y20.000\nM15\nG01X30.000Y20.000\nM16"), []string{"rout-move"}},
		{"tool that the plan does not have", func(t *testing.T, lines []string) []string {
			lines = insertBefore("%", "T40C0.400F1.920S120B15.0Z-0.294")(t, lines)
			from, _ := section(t, lines, 3)
			hit := lines[from]
			lines = slices.Delete(lines, from, from+1)
			return insertBefore("M30", "T40\n"+hit)(t, lines)
		}, []string{"tool-unknown", "hit-count", "order-differs"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := small()
			p := mountAll(t, in, 12)[0]
			lines := strings.Split(strings.TrimSpace(textOf(t, p, nc.WriteOptions{})), "\n")
			text := strings.Join(c.change(t, lines), "\n") + "\n"
			report := drill.Check(in, p, parse(t, text))
			require.Error(t, report.Err(), "nothing was found")
			assert.ElementsMatch(t, c.rules, refused(report), "%v", report)
		})
	}
}

// However fine or coarse the writing, a hit may stray by its rounding and no
// farther; where one digit is worth more than half a mil the program is refused.
func TestCheckToleranceByWriting(t *testing.T) {
	in := field(6, 6)
	p := mountAll(t, in, 12)[0]
	for _, c := range []struct {
		form nc.WriteOptions
		um   float64
		ok   bool
	}{
		{nc.WriteOptions{}, 0, true},
		{nc.WriteOptions{}, 2, false},
		{nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}}, 0, true},
		{nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}}, 3, false},
		{nc.WriteOptions{Units: nc.Inches}, 0, true},
		{nc.WriteOptions{Units: nc.Inches}, 8, false},
		{nc.WriteOptions{Units: nc.Inches, Zeros: nc.TrailingZeros}, 8, false},
		{nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 2}}, 0, true},
		{nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 1}}, 60, false},
	} {
		q := p // written with its first hit moved
		q.Runs = slices.Clone(p.Runs)
		q.Runs[0].Hits = slices.Clone(p.Runs[0].Hits)
		q.Runs[0].Hits[0].At[0] += c.um / 1000
		report := drill.Check(in, p, parse(t, textOf(t, q, c.form)))
		want := []string{"hole-moved"}
		if c.ok {
			want = nil
		}
		assert.Equal(t, want, refused(report), "%+v moved by %g um", c.form, c.um)
	}
}

func TestCheckWithoutEnd(t *testing.T) {
	in := small()
	p := mountAll(t, in, 12)[0]
	text := strings.TrimSuffix(textOf(t, p, nc.WriteOptions{}), "M30\n")
	_, err := nc.Parse([]byte(text), nc.ReadOptions{})
	require.Error(t, err, "the reader refuses a truncated file by itself")
	prog, err := nc.Parse([]byte(text), nc.ReadOptions{AllowMissingEnd: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"end-missing"}, refused(drill.Check(in, p, prog)))
}

// A reader stops at the end word, a control may run on.
func TestCheckRefusesWordsBehindTheEnd(t *testing.T) {
	in := small()
	p := mountAll(t, in, 12)[0]
	text := textOf(t, p, nc.WriteOptions{})
	prog, err := nc.Parse([]byte(text+"X10.0Y10.0\n"), nc.ReadOptions{})
	require.NoError(t, err)
	assert.Equal(t, []string{"end-missing"}, refused(drill.Check(in, p, prog)))
	prog, err = nc.Parse([]byte(text+"\n"), nc.ReadOptions{})
	require.NoError(t, err)
	assert.Empty(t, refused(drill.Check(in, p, prog)))
}

func TestCheckToolWithoutTable(t *testing.T) {
	in := small()
	p := mountAll(t, in, 12)[0]
	prog := parse(t, textOf(t, p, nc.WriteOptions{}))
	prog.Tools = prog.Tools[:2]
	got := refused(drill.Check(in, p, prog))
	assert.Contains(t, got, "tool-unknown")
	var tools []string
	for _, f := range drill.Check(in, p, prog) {
		if f.Rule == "tool-unknown" {
			tools = append(tools, f.Tool)
		}
	}
	assert.Equal(t, []string{"T3", "T4", "T5", "T6", "T7", "T8"}, tools, "in the order of their numbers")
}

func TestCheckUnreadable(t *testing.T) {
	in := small()
	p := mountAll(t, in, 12)[0]
	in.Holes = append(in.Holes, drill.Round(orb.Point{20, 60}, tooling.Size{Diameter: 0.01, Basis: tooling.Drilled}))
	assert.Equal(t, []string{"wrong-bit"}, refused(drill.Check(in, p, parse(t, textOf(t, p, nc.WriteOptions{})))), "no bit for a hole")
}

// What stands against the pass is held against it too: a bit that outlives its
// hits, a height that no flute reaches, a stock of limits that changed.
func TestCheckHoldsThePassAgainstTheRules(t *testing.T) {
	in := small()
	p := mountAll(t, in, 12)[0]
	prog := parse(t, textOf(t, p, nc.WriteOptions{}))
	q := p
	q.Runs = slices.Clone(p.Runs)
	q.Runs[2].Life = 20
	assert.Equal(t, []string{"life"}, refused(drill.Check(in, q, prog)))

	q = p
	q.SetUp.Height = 20
	assert.Equal(t, []string{"opening-missing", "depth-limit"}, refused(drill.Check(in, q, prog)), "the operator is told of another stack")

	other := in
	other.Machine.MaxSpeed = 60_000
	assert.Equal(t, []string{"speed-limit", "feed-limit"}, refused(drill.Check(other, p, prog)))

	other = in
	other.Panel.Material = "quartz"
	assert.Equal(t, []string{"speed-limit"}, refused(drill.Check(other, p, prog)))

	other = in
	other.Panel.KeepOuts = append(slices.Clone(in.Panel.KeepOuts), tooling.KeepOut{Name: "tower", Min: orb.Point{12, 85}, Max: orb.Point{16, 89}, Height: 30})
	report := drill.Check(other, p, prog)
	require.NoError(t, report.Err(), "nothing travels there")
	other.Panel.KeepOuts[1].Min, other.Panel.KeepOuts[1].Max = orb.Point{44, 32}, orb.Point{48, 40}
	assert.Equal(t, []string{"travel-over"}, refused(drill.Check(other, p, prog)))
	other.Panel.KeepOuts[1].Height = 1.4 // under the clearance: travel passes over it
	require.NoError(t, drill.Check(other, p, prog).Err())
}
