package route_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// bench is the layout that faults are planted on: one board with a cut-out,
// two pins, a tall clamp and a flush bushing.
func bench(t testing.TB, change func(*route.Input)) (route.Layout, route.Pass) {
	t.Helper()
	in := input(sensor(), panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{10, 50}, Diameter: 3.175}, {Role: tooling.Pin, At: orb.Point{110, 50}, Diameter: 3.175}}
	in.Panel.KeepOuts = []tooling.KeepOut{
		{Name: "clamp", Min: orb.Point{50, 0}, Max: orb.Point{70, 5}, Height: 8},
		{Name: "bushing", Min: orb.Point{50, 95}, Max: orb.Point{60, 100}},
	}
	if change != nil {
		change(&in)
	}
	l := lay(t, in)
	return l, mounted(t, l, route.Options{})
}

func broken(r tooling.Report) []string {
	var rules []string
	for _, f := range r {
		if !f.OK {
			rules = append(rules, f.Rule)
		}
	}
	return rules
}

func TestCheckPasses(t *testing.T) {
	for _, dir := range []tooling.Direction{tooling.Conventional, tooling.Climb} {
		l, p := bench(t, func(in *route.Input) { in.Rules.Rout.Direction = dir })
		r := route.Check(l, p, parse(t, text(t, p)))
		if err := r.Err(); err != nil {
			t.Errorf("%s: %v", dir, err)
		}
		seen := map[string]bool{}
		for _, f := range r {
			seen[f.Rule] = true
		}
		for _, f := range faults() {
			if !seen[f.rule] {
				t.Errorf("%s: rule %s has no finding in a program that passes", dir, f.rule)
			}
		}
	}
}

// fault is one change of the written text and the rule that must catch it.
type fault struct {
	name, reason string
	rule         string
	also         []string // further rules that may refuse it
	edit         func(string) string
}

// swap replaces the first old by new.
func swap(old, new string) func(string) string {
	return func(s string) string { return strings.Replace(s, old, new, 1) }
}

// swapAll replaces pairs of old and new throughout.
func swapAll(pairs ...string) func(string) string {
	return strings.NewReplacer(pairs...).Replace
}

// block returns the n-th path of the text, from its G00 to its M16.
func block(s string, n int) (from, to int) {
	for range n + 1 {
		from = to + strings.Index(s[to:], "G00")
		to = from + strings.Index(s[from:], "M16\n") + len("M16\n")
	}
	return from, to
}

// before puts text in front of the end of the program.
func before(add string) func(string) string { return swap("M30", add+"M30") }

func faults() []fault {
	return []fault{
		{name: "path shifted into the board", reason: "50 um off scraps a board", rule: "gouge", also: []string{"path-moved", "off-line", "uncut-edge"},
			edit: swapAll("Y28.800", "Y28.850")},
		{name: "path shifted away from the board", reason: "the board comes out large", rule: "off-line", also: []string{"path-moved", "uncut-edge", "arc-block"},
			edit: swapAll("Y28.800", "Y28.750")},
		{name: "path shifted by the grid's tenfold", reason: "10 um are found too", rule: "gouge", also: []string{"path-moved", "off-line", "uncut-edge"},
			edit: swapAll("Y28.800", "Y28.810")},
		{name: "path moved along itself", reason: "not where it was planned, though it cuts the edge", rule: "path-moved", also: []string{"tab-width"},
			edit: swap("G01X91.200Y44.923", "G01X91.200Y44.910")},
		{name: "wrong side", reason: "the cutter inside the board", rule: "wrong-side", also: []string{"path-moved", "gouge", "off-line", "uncut-edge", "direction", "tab-width", "part-loose"},
			edit: swapAll("28.800", "31.200", "91.200", "88.800", "71.200", "68.800", "A4.200", "A1.800")},
		{name: "tab lost", reason: "the cutter runs on through a tab", rule: "tab-lost", also: []string{"path-missing"},
			edit: swap("M16\nG00X91.200Y53.723\nM15\n", "G01X91.200Y53.723\n")},
		{name: "tab too narrow", reason: "0.1 mm less web", rule: "tab-width", also: []string{"path-moved"},
			edit: swap("G01X91.200Y44.923", "G01X91.200Y45.023")},
		{name: "edge left", reason: "a path is gone", rule: "uncut-edge", also: []string{"path-missing", "tab-width"},
			edit: func(s string) string { a, b := block(s, 1); return s[:a] + s[b:] }},
		{name: "cut-out left", reason: "a path is gone", rule: "path-missing", also: []string{"uncut-edge", "travel-over"},
			edit: func(s string) string { a, b := block(s, 0); return s[:a] + s[b:] }},
		{name: "wrong direction", reason: "conventional is asked", rule: "direction", also: []string{"path-moved"},
			edit: swap("G00X91.200Y53.723\nM15\nG01X91.200Y67.000\nG03X87.000Y71.200A4.200\nG01X48.492Y71.200\n",
				"G00X48.492Y71.200\nM15\nG01X87.000Y71.200\nG02X91.200Y67.000A4.200\nG01X91.200Y53.723\n")},
		{name: "pin in the way", reason: "a cut across a pin", rule: "pin", also: []string{"path-missing"},
			edit: before("G00X10.000Y45.000\nM15\nG01X10.000Y55.000\nM16\n")},
		{name: "foot on a clamp", reason: "the pressure foot is wider than the cutter", rule: "keep-out", also: []string{"path-missing", "travel-over"},
			edit: before("G00X45.000Y8.000\nM15\nG01X75.000Y8.000\nM16\n")},
		{name: "cutter on a flush bushing", reason: "the cutter meets what the foot may cover", rule: "keep-out", also: []string{"path-missing", "travel-over"},
			edit: before("G00X45.000Y94.000\nM15\nG01X75.000Y94.000\nM16\n")},
		{name: "travel over a clamp", reason: "a rapid at the clearance meets what stands above it", rule: "travel-over",
			edit: before("G00X45.000Y2.000\nG00X75.000Y2.000\n")},
		{name: "off the panel", reason: "a cut past the rim", rule: "off-panel", also: []string{"path-missing", "travel-over"},
			edit: before("G00X115.000Y80.000\nM15\nG01X125.000Y80.000\nM16\n")},
		{name: "speed missing", reason: "the control keeps the last one", rule: "speed-missing", edit: swap("S22", "")},
		{name: "feed missing", reason: "the control keeps the last one", rule: "feed-missing", edit: swap("F1.2", "")},
		{name: "speed over the machine", reason: "the spindle cannot", rule: "speed-limit", also: []string{"speed-differs"}, edit: swap("S22", "S222")},
		{name: "speed of another tool", reason: "not the set-up's", rule: "speed-differs", edit: swap("S22", "S23")},
		{name: "feed above the table", reason: "the cutter breaks", rule: "feed-limit", also: []string{"speed-differs"}, edit: swap("F1.2", "F1.4")},
		{name: "depth past the backup", reason: "the tip meets the table", rule: "depth-limit", also: []string{"depth-differs"}, edit: swap("Z-0.700", "Z-2.600")},
		{name: "depth short", reason: "the lowest panel is not cut through", rule: "depth-differs", edit: swap("Z-0.700", "Z0.100")},
		{name: "depth missing", reason: "nobody knows how deep", rule: "depth-missing", edit: swap("Z-0.700", "")},
		{name: "another cutter", reason: "the wrong diameter", rule: "tool-unknown", also: []string{"uncut-edge", "off-line", "tab-width", "direction"}, edit: swap("C2.400", "C2.000")},
		{name: "compensation left on", reason: "the control would offset once more", rule: "compensation", edit: swap("G40", "G41")},
		{name: "rapid with the cutter down", reason: "a retract is gone", rule: "tool-down", also: []string{"path-missing"}, edit: swap("M16\nG00", "G00")},
		{name: "end with the cutter down", reason: "the last retract is gone", rule: "tool-down", edit: swap("M16\nM30", "M30")},
		{name: "cut without a plunge", reason: "the cutter stays up", rule: "uncut-edge", also: []string{"path-missing", "tab-width"},
			edit: func(s string) string { i := strings.LastIndex(s, "M15\n"); return s[:i] + s[i+len("M15\n"):] }},
		{name: "hit in a rout program", reason: "a hole the plan does not know", rule: "motion-word", edit: before("G05\nX15.000Y15.000\n")},
		{name: "long arc block", reason: "a rounded radius may not reach round its chord", rule: "arc-block", also: []string{"path-missing"},
			edit: before("G00X15.000Y80.000\nM15\nG02X19.000Y80.000A2.000\nM16\n")},
		{name: "loose board", reason: "all tabs are cut through", rule: "part-loose", also: []string{"tab-lost", "path-missing", "travel-over"},
			edit: swapAll("M16\nG00X91.200Y53.723\nM15\n", "G01X91.200Y53.723\n", "M16\nG00X39.692Y71.200\nM15\n", "G01X39.692Y71.200\n",
				"M16\nM30", "G01X47.046Y28.800\nM16\nM30")},
		{name: "loose slug", reason: "a piece of scrap jams the spindle", rule: "slug-loose", also: []string{"path-missing"},
			edit: before("G00X10.000Y80.000\nM15\nG01X20.000Y80.000\nG01X20.000Y90.000\nG01X10.000Y90.000\nG01X10.000Y80.000\nM16\n")},
		{name: "no end word", reason: "the control runs on into what comes next", rule: "end-missing", also: []string{"path-missing"},
			edit: func(s string) string { return strings.Replace(s, "M30\n", "", 1) }},
	}
}

// Every fault is refused by its rule and by no rule that has nothing to do with
// it; the findings, with figures and places, are those of the golden file.
func TestCheckFaults(t *testing.T) {
	l, p := bench(t, nil)
	src := text(t, p)
	var all strings.Builder
	for _, f := range faults() {
		edited := f.edit(src)
		if edited == src {
			t.Fatalf("%s: the edit changed nothing of\n%s", f.name, src)
		}
		prog, err := nc.Parse([]byte(edited), nc.ReadOptions{AllowMissingEnd: true})
		if err != nil {
			t.Fatal(err)
		}
		report := route.Check(l, p, prog)
		refusedBy(&all, f.name, report)
		got := broken(report)
		if !slices.Contains(got, f.rule) {
			t.Errorf("%s: refused by %v, want %s: %s", f.name, got, f.rule, f.reason)
		}
		for _, g := range got {
			if g != f.rule && !slices.Contains(f.also, g) {
				t.Errorf("%s: refused by %s too, which has nothing to do with it", f.name, g)
			}
		}
	}
	golden(t, "faults.txt", all.String())
}

// Some controls run on after the end: what stands there is refused, the marks that
// close a tape are not.
func TestNothingFollowsTheEnd(t *testing.T) {
	l, p := bench(t, nil)
	src := text(t, p)
	for add, refused := range map[string]bool{
		"": false, "\n": false, "%\n": false,
		"G00X1.000Y1.000\n": true, "M15\n": true, "G01X5.000Y5.000\n": true, "T1\n": true, "X5.000Y5.000\n": true, "M47,hello\n": true,
	} {
		report := route.Check(l, p, parse(t, src+add))
		if !refused {
			require.NoError(t, report.Err(), "%q", add)
			continue
		}
		require.Equal(t, []string{"end-missing"}, broken(report), "%q", add)
	}
}
