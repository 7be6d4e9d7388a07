package route_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// written writes a pass and reads it back.
func written(t *testing.T, p route.Pass, o nc.WriteOptions) (string, []*nc.Program) {
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

func refuses(r tooling.Report, rule string) bool {
	for _, f := range r {
		if f.Rule == rule && !f.OK {
			return true
		}
	}
	return false
}

// tideGauge is a board that a control can compensate: rounded outside corners
// sharp and blunt, an inside corner of more than the cutter's radius, a cut-out
// with corners of 2 mm.
func tideGauge() route.Board {
	return route.Board{Name: "tide-gauge", Outline: contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{
		{To: orb.Point{60, 0}},
		{To: orb.Point{60, 20}},
		{To: orb.Point{43, 20}},
		{To: orb.Point{40, 23}, Center: orb.Point{43, 23}, Turn: -1},
		{To: orb.Point{40, 36}},
		{To: orb.Point{36, 40}, Center: orb.Point{36, 36}, Turn: 1},
		{To: orb.Point{0, 40}},
		{To: orb.Point{0, 0}},
	}}, CutOuts: []contour.Contour{rounded(20, 10, 2).Translate(10, 15)}}
}

func TestEveryWayOfWritingIsChecked(t *testing.T) {
	for _, direction := range []tooling.Direction{tooling.Conventional, tooling.Climb} {
		in := input(tideGauge(), panel(180, 120, orb.Point{20, 20}, orb.Point{100, 20}))
		in.Rules.Rout.Direction = direction
		l := lay(t, in)
		p := mounted(t, l, route.Options{})
		for name, c := range map[string]struct {
			o      nc.WriteOptions
			untold string // a rule that refuses where the check was not told; "": none
			has    string
		}{
			"as usual":      {nc.WriteOptions{}, "", "G40"},
			"TZ":            {nc.WriteOptions{Zeros: nc.TrailingZeros}, "", "METRIC,TZ,000.000"},
			"steps":         {nc.WriteOptions{Incremental: true}, "", "G91"},
			"index":         {nc.WriteOptions{Index: true}, "", "T0101"},
			"without feeds": {nc.WriteOptions{NoFeeds: true}, "speed-missing", tooling.NoFeedsText},
			"compensated":   {nc.WriteOptions{Compensated: true}, "compensation", "; compensation index 1 is"},
		} {
			t.Run(name+" "+string(direction), func(t *testing.T) {
				for _, frame := range []tooling.Frame{{}, {Quarters: 3, Datum: orb.Point{90, 60}}, {FaceDown: true, Datum: orb.Point{180, 0}}} {
					q := p
					q.Frame = frame
					src, back := written(t, q, c.o)
					require.Contains(t, src, c.has)
					require.NoError(t, route.CheckAs(l, q, back, c.o).Err(), "%v", frame)
					if c.o.Compensated {
						word := map[bool]string{true: "G42\n", false: "G41\n"}[(direction == tooling.Conventional) != frame.FaceDown]
						require.Contains(t, src, word)
						require.Equal(t, strings.Count(src, word), strings.Count(src, "M15"), "every path under compensation")
						require.Contains(t, src, "T0101")
					}
					report := route.Check(l, q, back[0])
					if c.untold == "" {
						require.NoError(t, report.Err())
					} else {
						require.True(t, refuses(report, c.untold))
					}
				}
			})
		}
	}
}

func TestSplitRoutPrograms(t *testing.T) {
	in := input(sensor(), panel(460, 306))
	for x := range 5 {
		for y := range 5 {
			in.Panel.Boards = append(in.Panel.Boards, tooling.Placement{Offset: orb.Point{15 + 80*float64(x), 15 + 55*float64(y)}})
		}
	}
	for i := range in.Rules.Life.Rows {
		in.Rules.Life.Rows[i].Life /= 4
	}
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	_, one := written(t, p, nc.WriteOptions{})
	o := nc.WriteOptions{MaxBytes: 15_000}
	src, back := written(t, p, o)
	require.Greater(t, len(back), 1)
	require.Contains(t, src, "carried on, the same stack stays pinned")
	require.NoError(t, route.CheckAs(l, p, back, o).Err())
	require.False(t, route.CheckAs(l, p, back[:1], o).OK(), "a part is missing")
	require.False(t, route.CheckAs(l, p, append(back[1:len(back):len(back)], back[0]), o).OK(), "parts in another order")
	require.NoError(t, route.Check(l, p, one[0]).Err())
}

// What a control cannot compensate is refused when it is written, by the path.
func TestPathsThatCannotBeCompensated(t *testing.T) {
	for name, c := range map[string]struct {
		board route.Board
		o     route.Options
		why   string
	}{
		"a rough path":          {sensor(), route.Options{Rough: 0.15}, "only a finishing path follows one edge"},
		"a sharp inside corner": {route.Board{Name: "ell", Outline: ell()}, route.Options{}, "an inside radius below the cutter's"},
		"a cleared slug":        {sensor(), route.Options{ClearBelow: 15}, "only a finishing path"},
	} {
		t.Run(name, func(t *testing.T) {
			l := lay(t, input(c.board, panel(120, 100, orb.Point{20, 20})))
			p := mounted(t, l, c.o)
			_, err := p.Program(nc.WriteOptions{Compensated: true})
			var ce *route.CompensationError
			require.True(t, errors.As(err, &ce), "%v", err)
			require.ErrorIs(t, err, route.ErrCompensation)
			require.Contains(t, err.Error(), c.why)
			require.Contains(t, err.Error(), "run ")
			_, err = p.Program(nc.WriteOptions{})
			require.NoError(t, err, "the centre line can be written all the same")
		})
	}
}

// ell is a board with one sharp inside corner.
func ell() contour.Contour {
	return contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{
		{To: orb.Point{60, 0}}, {To: orb.Point{60, 20}}, {To: orb.Point{30, 20}}, {To: orb.Point{30, 40}}, {To: orb.Point{0, 40}}, {To: orb.Point{0, 0}},
	}}
}

// Faults planted in compensated programs.
func TestFaultsUnderCompensationAreCaught(t *testing.T) {
	l := lay(t, input(tideGauge(), panel(120, 100, orb.Point{20, 20})))
	p := mounted(t, l, route.Options{})
	o := nc.WriteOptions{Compensated: true}
	src, _ := written(t, p, o)
	for name, c := range map[string]struct {
		edit func(string) string
		rule string
	}{
		"the other side":           {func(s string) string { return strings.ReplaceAll(s, "G42", "G41") }, "gouge"},
		"never cancelled":          {func(s string) string { return strings.ReplaceAll(s, "\nG40", "") }, "compensation"},
		"not cancelled at the end": {func(s string) string { i := strings.LastIndex(s, "G40\n"); return s[:i] + s[i+4:] }, "compensation"},
		"cancelled while cutting":  {func(s string) string { return strings.Replace(s, "M16\nG40", "G40\nM16", 1) }, "compensation"},
		"switched on while down":   {func(s string) string { return strings.Replace(s, "G42\nM15", "M15\nG42", 1) }, "compensation"},
		"not switched on":          {func(s string) string { return strings.Replace(s, "G42\n", "", 1) }, "path-moved"},
		"twice":                    {func(s string) string { return strings.Replace(s, "G42\n", "G42\nG42\n", 1) }, "compensation"},
		"an edge moved":            {func(s string) string { return strings.Replace(s, "X80.000Y40.000", "X80.000Y40.050", 1) }, "path-moved"},
		"the operator is not told": {func(s string) string { return strings.Replace(s, "compensation index", "with index", 2) }, "opening-missing"},
		"a larger cutter":          {func(s string) string { return strings.ReplaceAll(s, "T1C3.175", "T1C3.000") }, "tool-unknown"},
	} {
		t.Run(name, func(t *testing.T) {
			bad := c.edit(src)
			require.NotEqual(t, src, bad)
			back, err := nc.Parse([]byte(bad), nc.ReadOptions{})
			require.NoError(t, err)
			report := route.CheckAs(l, p, []*nc.Program{back}, o)
			require.True(t, refuses(report, c.rule), "%v", report.Err())
		})
	}
}
