package job_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// slot2 is a cut-out exactly as wide as a 2 mm cutter, bay2 an outline with a bay
// of that width.
var (
	slot2 = box(20, 10, 40, 12)
	bay2  = ring(orb.Point{0, 0}, orb.Point{60, 0}, orb.Point{60, 40}, orb.Point{31, 40}, orb.Point{31, 20}, orb.Point{29, 20}, orb.Point{29, 40}, orb.Point{0, 40})
)

const (
	cutter2  = `"rules":{"rout":{"cutter_mm":2}}`
	cutter24 = `"rules":{"rout":{"cutter_mm":2.4}}`
)

// board is the job's board with its drill files said anew, and tabs by hand.
func board(plated, unplated, tabs string) string {
	return `"boards":[{"name":"a","outline":"outline.rte","tabs":[` + tabs + `],"drill":[
	 {"file":"plated.drl","sizes":"finished","plating":"plated","class":"component"` + plated + `},
	 {"file":"unplated.drl","sizes":"finished","plating":"unplated"` + unplated + `}]}]`
}

// apartBy puts the two boards so far apart.
func apartBy(mm string) string {
	return `"placements":[{"board":"a","at_mm":[25,30]},{"board":"a","at_mm":[` + mm + `,30]}]`
}

// TestPathsOfAJob holds what a job file can ask of the paths: which cutters cut
// which edges in which role and pass, all of it through the check.
func TestPathsOfAJob(t *testing.T) {
	window := box(20, 10, 40, 20)
	for _, c := range []struct {
		name string
		ask  routed
		want map[string]int // paths by what is cut
	}{
		{"tabs by the rules", routed{}, map[string]int{"rout 3.175 finish outline": 8}},
		{"two tabs a side", routed{patch: `{"rules":{"tabs":{"per_side":2}}}`}, map[string]int{"rout 3.175 finish outline": 16}},
		{"rough, then finish", routed{cutOuts: window, patch: `{"rout":{"rough_mm":0.15}}`}, map[string]int{
			"rout 3.175 rough outline": 8, "rout 3.175 finish outline": 8, "rout 3.175 rough cut-out": 2, "rout 3.175 finish cut-out": 2}},
		{"corners cleaned up", routed{cutOuts: window, patch: `{"rout":{"clean_up_mm":0.8}}`}, map[string]int{
			"rout 3.175 finish outline": 8, "rout 3.175 finish cut-out": 2, "rout 0.8 clean-up cut-out": 8}},
		{"also by a cutter that cuts a slot first", routed{cutOuts: append(box(45, 10, 46, 30), window...), patch: `{"rout":{"clean_up_mm":0.8}}`}, map[string]int{
			"rout 3.175 finish outline": 8, "rout 3.175 finish cut-out": 2, "rout 0.8 finish cut-out": 2, "rout 0.8 clean-up cut-out": 8}},
		{"a small cut-out is cleared", routed{cutOuts: box(20, 10, 29, 19)}, map[string]int{
			"rout 3.175 finish outline": 8, "rout 3.175 finish cut-out": 2, "rout 3.175 clear cut-out": 2}},
		{"asked not to", routed{cutOuts: box(20, 10, 29, 19), patch: `{"rout":{"clear_below_mm":-1}}`}, map[string]int{
			"rout 3.175 finish outline": 8, "rout 3.175 finish cut-out": 2}},
		{"a slot as wide as the only cutter", routed{cutOuts: slot2, patch: `{"crib":"crib.json"}`}, map[string]int{
			"rout 2 finish outline": 8, "rout 2 finish cut-out": 2}},
		{"a bay as wide as the cutter asked for", routed{edge: bay2, patch: `{` + cutter2 + `}`}, map[string]int{"rout 2 finish outline": 8}},
		{"the largest cutter that fits the bay", routed{edge: bay2}, map[string]int{"rout 2 finish outline": 8}},
		{"holes above the largest bit", routed{plated: []string{"T3 " + xy(40, 20)}, unplated: []string{"T3 " + xy(20, 20)}}, map[string]int{
			"plated-rout 3.175 clear hole": 2, "plated-rout 3.175 finish hole": 2,
			"rout 3.175 clear hole": 2, "rout 3.175 finish hole": 2, "rout 3.175 finish outline": 8}},
		{"wide slots", routed{plated: []string{"T4 " + xy(40, 20) + "G85" + xy(46, 20)}, unplated: []string{"T4 " + xy(20, 20) + "G85" + xy(26, 20)}}, map[string]int{
			"plated-rout 3.175 finish hole": 2, "rout 3.175 finish hole": 2, "rout 3.175 finish outline": 8}},
		{"large half holes, plated", routed{plated: []string{"T3 " + xy(30, 0)}, patch: `{` + board(`,"half":true`, ``, ``) + `}`}, map[string]int{
			"plated-rout 3.175 clear hole": 2, "plated-rout 3.175 finish hole": 2, "rout 3.175 finish outline": 8}},
		{"large half holes, unplated", routed{unplated: []string{"T3 " + xy(30, 0)}, patch: `{` + board(``, `,"half":true`, ``) + `}`}, map[string]int{
			"rout 3.175 clear hole": 2, "rout 3.175 finish hole": 2, "rout 3.175 finish outline": 8}},
		{"a round board", routed{edge: []string{"G00" + xy(20, 0), "M15", "G03" + xy(20, 40) + "A20.000", "G03" + xy(20, 0) + "A20.000", "M16"}, patch: `{"boards":[{"name":"a","outline":"outline.rte"}]}`}, map[string]int{"rout 3.175 finish outline": 8}},
		{"tabs by hand, a cut-out's among them", routed{cutOuts: window, patch: `{` + board(``, ``, `{"at_mm":[30,0],"width_mm":3},{"at_mm":[30,40]},{"loop":1,"at_mm":[30,10]}`) + `}`}, map[string]int{
			"rout 3.175 finish outline": 4, "rout 3.175 finish cut-out": 2}},
		{"left to drop", routed{patch: `{"rout":{"no_tabs":true}}`}, map[string]int{"rout 3.175 finish outline": 2}},
		{"turned by a quarter", routed{patch: `{"placements":[{"board":"a","at_mm":[70,30],"quarters":1},{"board":"a","at_mm":[80,30]}]}`}, map[string]int{"rout 3.175 finish outline": 8}},
		{"held by a score line", routed{patch: `{"panel":{"scores":[[[0,30],[200,30]]]}}`}, map[string]int{"rout 3.175 finish outline": 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, _, err := c.ask.planned(t)
			require.NoError(t, err)
			got := map[string]int{}
			for _, name := range paths(p) {
				got[name]++
			}
			require.Equal(t, c.want, got)
			requireOrder(t, p)
		})
	}
}

// requireOrder holds cut-outs before their outline, clearing and rough paths
// before the finishing ones, clean-up last.
func requireOrder(t *testing.T, p job.Plan) {
	t.Helper()
	rank := map[route.Role]int{route.Clear: 0, route.Rough: 1, route.Finish: 2, route.CleanUp: 3}
	for _, pass := range p.Rout {
		last := map[[3]int]int{} // by board, loop and hole: the rank reached
		begun := map[int]bool{}  // outlines
		for _, r := range pass.Runs {
			for _, q := range r.Paths {
				key := [3]int{q.Board, q.Loop}
				if q.Hole {
					key = [3]int{-1, q.Loop, 1}
				}
				require.GreaterOrEqual(t, rank[q.Role], last[key], "%s of %v", q.Role, key)
				last[key] = rank[q.Role]
				inner := q.Hole || q.Loop > 0
				require.False(t, inner && q.Role != route.CleanUp && begun[q.Board], "a cut-out after its outline")
				begun[q.Board] = begun[q.Board] || !inner
			}
		}
	}
}

// TestFaultsOfAJobsPaths holds that what cannot be cut is an error that names the
// place, in the words of the one who wrote the job.
func TestFaultsOfAJobsPaths(t *testing.T) {
	for _, c := range []struct {
		name string
		ask  routed
		err  error
		says string
	}{
		{"a gap below the cutter", routed{patch: `{` + apartBy("87") + `,` + cutter24 + `}`}, route.ErrGap, "X85.000 Y30.000: found a gap of 2.000 mm"},
		{"boards that overlap", routed{patch: `{` + apartBy("80") + `}`}, route.ErrOverlap, "board 0 and board 1"},
		{"a score line across a board", routed{patch: `{"panel":{"scores":[[[0,50],[200,50]]]}}`}, route.ErrScore, "scores[0]"},
		{"a score line that ends", routed{patch: `{"panel":{"scores":[[[0,30],[100,30]]]}}`}, tooling.ErrValue, "scores[0]: "},
		{"a gap beside a score line", routed{patch: `{` + apartBy("86") + `,"panel":{"scores":[[[85,0],[85,120]]]},` + cutter24 + `}`}, route.ErrGap, "a gap of 1.000 mm"},
		{"a deflection of the cutter's radius", routed{patch: `{"rules":{"rout":{"cutter_mm":0.8,"deflection_mm":0.4}}}`}, route.ErrNoCutter, "less than the radius of the cutter"},
		{"a pin in the channel", routed{patch: `{"panel":{"features":[{"role":"pin","at_mm":[55,27],"diameter_mm":3.175}]}}`}, route.ErrObstacle, "the pin at X55.000 Y27.000"},
		{"a clamp under the foot", routed{patch: `{"panel":{"keep_outs":[{"name":"clamp","min_mm":[92,0],"max_mm":[98,120],"height_mm":20}]}}`}, route.ErrObstacle, "keep-out clamp"},
		{"a path longer than a cutter lives", routed{patch: shortLived}, nil, "asks one tool for 47.3 mm, expected at most its life of 30.0 mm"},
		{"a half hole not declared", routed{plated: []string{"T3 " + xy(30, 0)}}, route.ErrHole, "or a declared half hole"},
		{"a large half hole that reaches the next board", routed{plated: []string{"T3 " + xy(60, 20)}, patch: `{` + apartBy("87.4") + `,` + board(`,"half":true`, ``, ``) + `}`}, route.ErrHole, "it is a half hole of board 0 and reaches 1.675 mm into board 1"},
		{"a drilled one", routed{plated: []string{"T2 " + xy(60, 20)}, patch: `{` + apartBy("86") + `,` + board(`,"half":true`, ``, ``) + `}`}, route.ErrHole, "into board 1"},
		{"a tab in a corner", routed{patch: `{` + board(``, ``, `{"at_mm":[2,0]}`) + `}`}, route.ErrTabPlace, "tab 0 of 2.000 mm too near"},
		{"a tab longer than its edge", routed{patch: `{` + board(``, ``, `{"at_mm":[30,0],"width_mm":70}`) + `}`}, route.ErrTabLong, "at most its edge, 60.000 mm"},
		{"a tab over a half hole", routed{plated: []string{"T3 " + xy(30, 0)}, patch: `{` + board(`,"half":true`, ``, `{"at_mm":[30,0]}`) + `}`}, route.ErrTabPlace, "over a half hole"},
		{"no such cutter", routed{patch: `{"rules":{"rout":{"cutter_mm":2.1}}}`}, route.ErrNoCutter, "2.100 mm"},
		{"no such clean-up cutter", routed{cutOuts: slot2, patch: `{"rout":{"clean_up_mm":0.7}}`}, route.ErrNoCutter, "0.700 mm"},
		{"a rough path too wide", routed{patch: `{"rout":{"rough_mm":3}}`}, tooling.ErrValue, "rout.rough_mm"},
		{"a margin that is no length", routed{patch: `{"rout":{"margin_mm":1e300}}`}, tooling.ErrValue, "rout.margin_mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := c.ask.planned(t)
			require.ErrorContains(t, err, c.says)
			if c.err != nil {
				require.ErrorIs(t, err, c.err)
			}
		})
	}
}

// lived is a life table of one figure.
func lived(mm string) string {
	row := func(kind, d, life string) string {
		return `{"material":"FR-4","kind":"` + kind + `","diameter_mm":` + d + `,"depth_mm":4.8,"life":` + life + `}`
	}
	return `{"rules":{"life":{"rows":[` + strings.Join([]string{row("cutter", "0.5", mm), row("cutter", "4", mm), row("bit", "0.1", "500"), row("bit", "6.5", "500")}, ",") + `]}}}`
}

var shortLived = lived("30")

// TestFindingsOfAJobsPaths holds what the operator is told of, with its figure.
func TestFindingsOfAJobsPaths(t *testing.T) {
	wide := box(15, 10, 45, 30)
	for _, c := range []struct {
		name  string
		ask   routed
		rule  string
		value float64 // mm; NaN: not told of
	}{
		{"a slug drops", routed{cutOuts: wide}, "slug-drops", 30 - 2*3.175},
		{"a tab holds it", routed{cutOuts: wide, patch: `{` + board(``, ``, `{"at_mm":[30,0]},{"at_mm":[30,40]},{"loop":1,"at_mm":[30,10]}`) + `}`}, "slug-drops", math.NaN()},
		{"a board drops", routed{patch: `{"rout":{"no_tabs":true}}`}, "board-drops", 0},
		{"a score line holds it", routed{patch: `{"rout":{"no_tabs":true},"panel":{"scores":[[[0,30],[200,30]]]}}`}, "board-drops", math.NaN()},
		{"a strip between two channels", routed{patch: `{` + apartBy("90.2") + `,` + cutter24 + `}`}, "sliver", 0.4},
		{"channels that overlap leave none", routed{patch: `{` + apartBy("88.6") + `,` + cutter24 + `}`}, "sliver", math.NaN()},
		{"a tab by hand is as wide as asked", routed{patch: `{` + board(``, ``, `{"at_mm":[30,0],"width_mm":3},{"at_mm":[30,40],"width_mm":3}`) + `}`}, "tab-width", 3},
		{"a perforated one between the cuts' ends", routed{patch: `{"rules":{"tabs":{"perforated":true,"width_mm":6.4}}}`}, "tab-width", 6.4},
		{"its webs apart", routed{patch: `{"rules":{"tabs":{"perforated":true,"width_mm":6.4}}}`}, "tab-perforation", 0.3},
		{"no perforations", routed{}, "tab-perforation", math.NaN()},
		{"inside corners", routed{cutOuts: wide}, "unreachable", 3.175},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, report, err := c.ask.planned(t)
			require.NoError(t, err)
			k := slices.IndexFunc(report, func(f tooling.Finding) bool { return f.Rule == c.rule })
			require.Equal(t, math.IsNaN(c.value), k < 0)
			if k >= 0 {
				require.InDelta(t, c.value, report[k].Value, 0.002)
			}
		})
	}
}

// A cutter's sense turns with the rule, outside and inside.
func TestSenseOfAJobsPaths(t *testing.T) {
	for _, c := range []struct {
		patch   string
		outline float64 // sign of the area a path runs round
	}{{`{}`, 1}, {`{"rules":{"rout":{"direction":"climb"}}}`, -1}} {
		p, _, err := routed{cutOuts: box(20, 10, 40, 30), patch: strings.Replace(c.patch, "{}", `{"rout":{"no_tabs":true}}`, 1)}.planned(t)
		require.NoError(t, err)
		middle := map[int]orb.Point{0: {55, 50}, 1: {135, 50}}
		for _, q := range p.Rout[0].Runs[0].Paths {
			turn, from := 0.0, q.Line.Start
			for _, m := range q.Line.Moves {
				o := middle[q.Board]
				turn += (from[0]-o[0])*(m.To[1]-o[1]) - (from[1]-o[1])*(m.To[0]-o[0])
				from = m.To
			}
			want := c.outline
			if q.Loop > 0 {
				want = -want
			}
			require.Positive(t, turn*want, "%s, loop %d", c.patch, q.Loop)
		}
	}
}

// With a deflection allowance the centre line lies nearer by it.
func TestDeflectionOfAJob(t *testing.T) {
	for _, deflection := range []string{"0", "0.05"} {
		p, _, err := routed{patch: `{"rout":{"no_tabs":true},"rules":{"rout":{"cutter_mm":2.4,"lead_in_mm":0,"deflection_mm":` + deflection + `}}}`}.planned(t)
		require.NoError(t, err)
		want := map[string]float64{"0": 1.2, "0.05": 1.15}[deflection]
		for _, q := range p.Rout[0].Runs[0].Paths {
			b := q.Line.Bound()
			require.InDelta(t, 60+2*want, b.Max[0]-b.Min[0], 0.002)
		}
	}
}

// A channel one cutter wide is cut once; with a deflection allowance twice.
func TestSharedChannelOfAJob(t *testing.T) {
	cut := func(patch string) (mm float64) {
		p, _, err := routed{patch: patch}.planned(t)
		require.NoError(t, err)
		for _, r := range p.Rout[0].Runs {
			mm += r.Cut
		}
		return mm
	}
	apart := cut(`{` + apartBy("95") + `,` + cutter24 + `}`)
	once := cut(`{` + apartBy("87.4") + `,` + cutter24 + `}`)
	twice := cut(`{` + apartBy("87.4") + `,"rules":{"rout":{"cutter_mm":2.4,"deflection_mm":0.05}}}`)
	require.InDelta(t, 40-4.4, apart-once, 10, "the side of 40 mm less its tab, and round the corners")
	require.InDelta(t, apart, twice, 10)
}

// Small cutters enter in a hole of the drill pass, where the path then begins.
func TestEntriesOfAJob(t *testing.T) {
	p, _, err := routed{cutOuts: box(20, 10, 40, 20), patch: `{"rout":{"enter_below_mm":2.4},` + cutter24 + `}`}.planned(t)
	require.NoError(t, err)
	drilled := map[orb.Point]float64{}
	for _, d := range p.Drill {
		for _, r := range d.Runs {
			for _, h := range r.Hits {
				drilled[h.At] = r.Tool.Diameter
			}
		}
	}
	entered := 0
	for _, q := range p.Rout[0].Runs[0].Paths {
		if q.Loop == 1 {
			entered++
			require.Equal(t, q.Entry, drilled[q.Line.Start])
			require.Greater(t, q.Entry, 2.4)
		}
	}
	require.Equal(t, 2, entered)
}

// Cutters are changed at their life in metres, between paths.
func TestCutterLifeOfAJob(t *testing.T) {
	p, _, err := routed{patch: lived("150")}.planned(t)
	require.NoError(t, err)
	r := p.Rout[0].Runs[0]
	require.Greater(t, len(r.Cutters), 2)
	next := 0
	for _, k := range r.Cutters {
		require.Equal(t, next, k.First)
		mm := 0.0
		for _, q := range r.Paths[k.First : k.First+k.Paths] {
			mm += q.Length()
		}
		require.LessOrEqual(t, mm, 150.0)
		next += k.Paths
	}
	require.Len(t, r.Paths, next)
}

// Rapids go round a clamp that stands above the clearance.
func TestRapidsOfAJobGoRoundAClamp(t *testing.T) {
	ask := routed{patch: `{"boards":[{"name":"a","outline":"outline.rte"}],"placements":[{"board":"a","at_mm":[20,30]},{"board":"a","at_mm":[115,30]}],
	 "panel":{"keep_outs":[{"name":"clamp","min_mm":[94,40],"max_mm":[101,80],"height_mm":20}]}}`}
	p, _, err := ask.planned(t)
	require.NoError(t, err)
	turns := 0
	for _, r := range p.Rout[0].Runs {
		for _, q := range r.Paths {
			turns += len(q.Via)
		}
	}
	require.Positive(t, turns)
}

// Rule tabs leave declared half holes alone.
func TestTabsKeepOffHalfHoles(t *testing.T) {
	var holes []string
	for x := 6.0; x < 60; x += 8 {
		holes = append(holes, "T2 "+xy(x, 0))
	}
	p, _, err := routed{plated: holes, patch: `{` + board(`,"half":true`, ``, ``) + `}`}.planned(t)
	require.NoError(t, err)
	for _, tab := range p.Layout.Tabs {
		for _, h := range p.Job.Drill.Holes {
			if h.Half {
				require.Greater(t, math.Hypot(h.At[0]-tab.At[0], h.At[1]-tab.At[1]), 1.0+1.5, "tab at %v", tab.At)
			}
		}
	}
}
