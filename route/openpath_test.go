package route_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

func through(points ...orb.Point) contour.Contour {
	c := contour.Contour{Start: points[0]}
	for _, p := range points[1:] {
		c.Moves = append(c.Moves, contour.Move{To: p})
	}
	return c
}

// slits is the sensor board with three open paths: an L beside its line, an arc
// on centre, and a slit in from the lower edge.
func slits() route.Board {
	b := sensor()
	b.Open = []route.OpenPath{
		{Line: through(orb.Point{8, 8}, orb.Point{8, 32}, orb.Point{30, 32}), Side: route.Left},
		{Line: contour.Contour{Start: orb.Point{46, 14}, Moves: []contour.Move{{To: orb.Point{46, 26}, Center: orb.Point{46, 20}, Turn: 1}}}, Side: route.Centre, Width: 1},
		{Line: through(orb.Point{40, -1}, orb.Point{40, 8}), Side: route.Right, Width: 1},
	}
	return b
}

func openPaths(p route.Pass) (out []route.Path) {
	for _, r := range p.Runs {
		for _, q := range r.Paths {
			if q.Open != "" {
				out = append(out, q)
			}
		}
	}
	return out
}

// TestOpenPathsRunWhereAsked holds every open path against its line: the
// distance is the cutter's radius less the deflection, on the side asked for,
// whatever way the board is turned.
func TestOpenPathsRunWhereAsked(t *testing.T) {
	for _, dir := range []tooling.Direction{tooling.Conventional, tooling.Climb} {
		for quarters := range 4 {
			for _, deflection := range []float64{0, 0.02} {
				in := input(slits(), panel(200, 200, orb.Point{100, 100}))
				in.Panel.Boards[0].Quarters = quarters
				in.Rules.Rout.Cutter, in.Rules.Rout.Direction, in.Rules.Rout.Deflection = 2.4, dir, deflection
				l := lay(t, in)
				p := mounted(t, l, route.Options{})
				report := route.Check(l, p, parse(t, text(t, p)))
				require.NoError(t, report.Err())
				require.Less(t, finding(t, report, "off-line").Value, 0.002)
				made := openPaths(p)
				require.Len(t, made, 3)
				for _, q := range made {
					o := in.Boards[0].Open[q.Loop]
					radius := orDefault(o.Width, 2.4)/2 - deflection
					if o.Side == route.Centre {
						radius = 0
					}
					for k := range 200 {
						on, _ := q.Line.At(q.Line.Length() * float64(k) / 199)
						at := unplaced(on, in.Panel.Boards[0])
						require.InDelta(t, radius, o.Line.Distance(at), 0.002, "%v", at)
					}
					// With the edge that stays as the material on the left, the cut is
					// conventional: the cutter on the line's left runs against it.
					if o.Side != route.Centre {
						first, last := unplaced(q.Line.Start, in.Panel.Boards[0]), unplaced(q.Line.End(), in.Panel.Boards[0])
						along := gap(first, o.Line.Start) < gap(last, o.Line.Start)
						require.Equal(t, (o.Side == route.Left) == (dir == tooling.Climb), along, "path %d, %s", q.Loop, dir)
					}
				}
			}
		}
	}
}

func orDefault(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

func gap(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// unplaced brings a point of the panel back to its board.
func unplaced(p orb.Point, b tooling.Placement) orb.Point {
	p = orb.Point{p[0] - b.Offset[0], p[1] - b.Offset[1]}
	for range b.Quarters {
		p = orb.Point{p[1], -p[0]}
	}
	return p
}

// finding is the first finding of a rule.
func finding(t *testing.T, r tooling.Report, rule string) tooling.Finding {
	t.Helper()
	i := slices.IndexFunc(r, func(f tooling.Finding) bool { return f.Rule == rule })
	require.GreaterOrEqual(t, i, 0, rule)
	return r[i]
}

func TestOpenPathsAreCutInTheirStage(t *testing.T) {
	for _, rough := range []float64{0.1, 1.9} {
		openPathsInTheirStage(t, rough)
	}
}

func openPathsInTheirStage(t *testing.T, rough float64) {
	t.Helper()
	b := slits()
	b.Open[0].Plated = true
	l := lay(t, input(b, panel(120, 100, orb.Point{30, 30})))
	passes := plan(t, l, route.Options{Rough: rough})
	require.Len(t, passes, 2)
	require.Equal(t, route.PlatedRout, passes[0].Name)
	before, after := openPaths(passes[0]), openPaths(passes[1])
	require.Len(t, before, 2)
	require.Equal(t, []route.Role{route.Rough, route.Finish}, []route.Role{before[0].Role, before[1].Role})
	require.Len(t, after, 3) // rough and finish beside the line, one on centre
	for _, p := range passes {
		firsts := map[int]route.Role{}
		for _, q := range openPaths(p) {
			if firsts[q.Loop] == "" {
				firsts[q.Loop] = q.Role
			}
			o := b.Open[q.Loop]
			want := o.Width / 2
			if o.Width == 0 {
				want = l.Cutter.Diameter / 2
			}
			if q.Role == route.Rough {
				want += rough
			}
			if o.Side == route.Centre {
				want = 0
			}
			middle, _ := q.Line.At(q.Line.Length() / 2)
			require.InDelta(t, want, o.Line.Distance(orb.Point{middle[0] - 30, middle[1] - 30}), 0.002)
		}
		for k, role := range firsts {
			require.Equal(t, b.Open[k].Side != route.Centre, role == route.Rough, "rough before finish")
		}
		m, err := p.Mount(setUp(t, l.Input, p, 2), l.Input.Machine)
		require.NoError(t, err)
		require.NoError(t, route.Check(l, m, parse(t, text(t, m))).Err())
		var outline int
		for _, r := range p.Runs {
			for k, q := range r.Paths {
				if q.Role == route.Finish && q.Open == "" && q.Loop == 0 {
					outline = r.Number*1000 + k
				}
			}
		}
		for _, r := range p.Runs {
			for k, q := range r.Paths {
				if q.Open != "" && outline > 0 {
					require.Less(t, r.Number*1000+k, outline, "an open path after its board's outline")
				}
			}
		}
	}
}

// TestFaultsInOpenPathsAreCaught plants faults in the written text.
func TestFaultsInOpenPathsAreCaught(t *testing.T) {
	in := input(slits(), panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	good := text(t, p)
	require.NoError(t, route.Check(l, p, parse(t, good)).Err())
	var left, centre [2]orb.Point
	for _, q := range openPaths(p) {
		switch q.Open {
		case route.Left:
			left = [2]orb.Point{q.Line.Start, q.Line.End()}
		case route.Centre:
			centre = [2]orb.Point{q.Line.Start, q.Line.End()}
		}
	}
	word := func(p orb.Point) string { return fmt.Sprintf("X%.3fY%.3f", p[0], p[1]) }
	require.Equal(t, [2]orb.Point{{60, 63.2}, {36.8, 38}}, left)
	for _, tt := range []struct {
		name, old, new string
		rules          []string
	}{
		{"into the edge", "Y63.200", "Y63.150", []string{"gouge"}},
		{"away from the edge", "Y63.200", "Y63.250", []string{"off-line"}},
		{"on the other side", "Y63.200", "Y60.800", []string{"wrong-side"}},
		{"short by 2 mm", word(left[1]), "X36.800Y40.000", []string{"uncut-edge"}},
		{"bulging off centre between its ends", "A6.000", "A6.300", []string{"off-line"}},
		{"off centre", word(centre[1]), word(orb.Point{centre[1][0], centre[1][1] + 0.05}), []string{"off-line"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			bad := strings.ReplaceAll(good, tt.old, tt.new)
			require.NotEqual(t, good, bad)
			got := broken(route.Check(l, p, parse(t, bad)))
			for _, rule := range tt.rules {
				require.Contains(t, got, rule)
			}
		})
	}
}

func TestOpenPathCutBackwardsIsCaught(t *testing.T) {
	for _, side := range []route.Side{route.Left, route.Right} {
		l := lay(t, input(slits(), panel(120, 100, orb.Point{30, 30})))
		p := mounted(t, l, route.Options{})
		for i := range p.Runs {
			for k := range p.Runs[i].Paths {
				if q := &p.Runs[i].Paths[k]; q.Open == side {
					q.Line = q.Line.Reverse()
				}
			}
		}
		require.Contains(t, broken(route.Check(l, p, parse(t, text(t, p)))), "direction", side)
	}
}

// What is left of a line is told with its length and where it begins.
func TestUncutOpenPathIsMeasured(t *testing.T) {
	in := input(slits(), panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	short := strings.ReplaceAll(text(t, p), "X36.800Y38.000", "X36.800Y40.000")
	f := finding(t, route.Check(l, p, parse(t, short)), "uncut-edge")
	require.InDelta(t, 2, f.Value, 0.15)
	require.InDelta(t, 38, f.Places[0][0], 1e-6)
	require.InDelta(t, 38, f.Places[0][1], 0.11)
}

// The check knows of holes and boards on its own: a pass planned without them is
// refused beside them.
func TestOpenPathMeetsWhatThePlanDidNotKnow(t *testing.T) {
	in := input(slits(), panel(220, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	p := mounted(t, lay(t, in), route.Options{})
	written := parse(t, text(t, p))
	// The slit on the right of X70 is 1 mm wide: its centre line is X70.5.
	at := func(x float64, half bool) bool {
		holed := in
		h := drill.Round(orb.Point{x, 36}, tooling.Size{Diameter: 0.8, Basis: tooling.Drilled, Plated: true})
		h.Half = half
		holed.Holes = []drill.Hole{h}
		l := lay(t, holed)
		refused := slices.Contains(broken(route.Check(l, p, written)), "gouge")
		_, err := route.Plan(context.Background(), l, route.Options{})
		require.Equal(t, refused, errors.Is(err, route.ErrHole), "plan and check agree")
		return refused
	}
	require.True(t, at(71.39, false), "its wall is 0.01 mm in the channel")
	require.False(t, at(71.41, false), "its wall is clear of it")
	require.False(t, at(71.39, true), "a declared half hole may be cut")

	beside := in
	beside.Boards = append(beside.Boards, route.Board{Outline: rounded(40, 38, 0)})
	beside.Panel.Boards = append(beside.Panel.Boards, tooling.Placement{Board: 1, Offset: orb.Point{92.4, 30}})
	beside.Boards[0] = sensor()
	beside.Boards[0].Open = []route.OpenPath{{Line: through(orb.Point{50, 8}, orb.Point{62, 8}), Side: route.Centre, Width: 1}}
	l := lay(t, beside)
	alone := beside
	alone.Boards, alone.Panel.Boards = beside.Boards[:1], beside.Panel.Boards[:1]
	q := mounted(t, lay(t, alone), route.Options{})
	f := finding(t, route.Check(l, q, parse(t, text(t, q))), "gouge")
	require.Contains(t, f.Detail, "another board")
	require.InDelta(t, 0.4, f.Value, 0.001, "from the end of the path to the board at X92.4")
}

// The first edge of the first board is met like any other.
func TestOpenPathMeetsTheFirstBoard(t *testing.T) {
	in := input(plain(30, 20), panel(60, 90, orb.Point{12, 55}, orb.Point{12, 12}))
	in.Boards = append(in.Boards, plain(30, 20))
	in.Boards[1].Open = []route.OpenPath{{Line: through(orb.Point{15, 12}, orb.Point{15, 22}), Side: route.Centre, Width: 1}}
	in.Panel.Boards[1].Board = 1
	in.Rules.Rout.Cutter = 2.4
	in.Boards[1].Tabs = []route.Tab{{At: orb.Point{6, 0}, Width: 2}, {At: orb.Point{24, 0}, Width: 2}}
	p := mounted(t, lay(t, in), route.Options{})
	written := parse(t, text(t, p))
	for _, y := range []float64{34.4, 34.6} { // the cut ends at Y34 and is 1 mm wide
		moved := in
		moved.Panel.Boards = []tooling.Placement{{Offset: orb.Point{12, y}}, in.Panel.Boards[1]}
		met := false
		for _, f := range route.Check(lay(t, moved), p, written) {
			met = met || f.Rule == "gouge" && strings.Contains(f.Detail, "another board")
		}
		require.Equal(t, y < 34.5, met, "%v", y)
	}
}

// TestAPieceCutOffABoardIsCaught has a path that parts a board in two: half of
// it hangs on no tab.
func TestAPieceCutOffABoardIsCaught(t *testing.T) {
	b := sensor()
	b.Open = []route.OpenPath{{Line: through(orb.Point{0, 32}, orb.Point{12, 32}, orb.Point{12, 20}, orb.Point{0, 20}), Side: route.Left, Width: 1}}
	b.Tabs = []route.Tab{{At: orb.Point{30, 0}, Width: 3}, {At: orb.Point{30, 40}, Width: 3}}
	in := input(b, panel(120, 100, orb.Point{30, 30}))
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	require.Contains(t, broken(route.Check(l, p, parse(t, text(t, p)))), "part-loose")
}

func TestOpenPathsAreRefused(t *testing.T) {
	good := route.OpenPath{Line: through(orb.Point{8, 8}, orb.Point{8, 32}), Side: route.Left}
	for _, tt := range []struct {
		name   string
		change func(*route.Input, *route.OpenPath)
		want   error
		found  string
	}{
		{"no side", func(_ *route.Input, o *route.OpenPath) { o.Side = "" }, route.ErrOpenPath, `side ""`},
		{"negative width", func(_ *route.Input, o *route.OpenPath) { o.Width = -1 }, route.ErrOpenPath, "width of -1"},
		{"no number", func(_ *route.Input, o *route.OpenPath) { o.Width = math.NaN() }, route.ErrOpenPath, "NaN"},
		{"centre without width", func(_ *route.Input, o *route.OpenPath) { o.Side = route.Centre }, route.ErrOpenPath, "without a width"},
		{"closed", func(_ *route.Input, o *route.OpenPath) { o.Line = rounded(5, 5, 1) }, route.ErrOpenPath, "closed"},
		{"no moves", func(_ *route.Input, o *route.OpenPath) { o.Line.Moves = nil }, route.ErrOpenPath, "open path 0"},
		{"crossing", func(_ *route.Input, o *route.OpenPath) {
			o.Line = through(orb.Point{8, 8}, orb.Point{18, 8}, orb.Point{14, 12}, orb.Point{14, 4})
		}, route.ErrCrossing, "open path 0"},
		{"no such cutter", func(_ *route.Input, o *route.OpenPath) { o.Width = 1.234 }, route.ErrNoCutter, "1.234 mm"},
		{"into the next board", func(_ *route.Input, o *route.OpenPath) { o.Line = through(orb.Point{50, 8}, orb.Point{63, 8}) }, route.ErrOpenPath, "board 1"},
		{"within the next board", func(_ *route.Input, o *route.OpenPath) { o.Line = through(orb.Point{70, 8}, orb.Point{80, 8}) }, route.ErrOpenPath, "board 1"},
		{"off the panel", func(_ *route.Input, o *route.OpenPath) { o.Line = through(orb.Point{0, 8}, orb.Point{-35, 8}) }, route.ErrOffPanel, "off the panel"},
		{"through a tab", func(in *route.Input, o *route.OpenPath) {
			in.Boards[0].Tabs = []route.Tab{{At: orb.Point{30, 0}, Width: 3}, {At: orb.Point{30, 40}, Width: 3}}
			o.Line = through(orb.Point{30, 5}, orb.Point{30, -3})
		}, route.ErrTabPlace, ""},
		{"through a pin", func(in *route.Input, o *route.OpenPath) {
			in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{38, 50}, Diameter: 3}}
		}, route.ErrObstacle, "open path 0"},
		{"through a plated hole", func(in *route.Input, _ *route.OpenPath) {
			in.Holes = []drill.Hole{drill.Round(orb.Point{37, 50}, tooling.Size{Diameter: 0.8, Plated: true, Basis: tooling.Finished})}
		}, route.ErrHole, "hole 0"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := input(sensor(), panel(200, 100, orb.Point{30, 30}, orb.Point{92.4, 30}))
			o := good
			tt.change(&in, &o)
			in.Boards = append(in.Boards, sensor())
			in.Panel.Boards[1].Board = 1
			in.Boards[0].Open, in.Boards[0].Source.File = []route.OpenPath{o}, "board.rte"
			l, err := route.Lay(in)
			if err == nil {
				_, err = route.Plan(context.Background(), l, route.Options{})
			}
			require.ErrorIs(t, err, tt.want)
			require.ErrorContains(t, err, tt.found)
			var be *route.BoardError
			require.ErrorAs(t, err, &be)
			if tt.want != route.ErrHole { // of which the hole has a source of its own
				require.Equal(t, in.Boards[0].Source.File, be.Source.File, "of the board, where the path names none")
			}
		})
	}
}

// TestTabsKeepOffOpenPaths has slits through the places where tabs would stand.
func TestTabsKeepOffOpenPaths(t *testing.T) {
	without := lay(t, input(sensor(), panel(120, 100, orb.Point{30, 30})))
	b := sensor()
	for _, tab := range without.Tabs {
		if at := unplaced(tab.At, tooling.Placement{Offset: orb.Point{30, 30}}); tab.Out[1] == -1 {
			b.Open = append(b.Open, route.OpenPath{Line: through(at, orb.Point{at[0], at[1] + 4}), Side: route.Centre, Width: 1})
		}
	}
	require.NotEmpty(t, b.Open)
	l := lay(t, input(b, panel(120, 100, orb.Point{30, 30})))
	p := mounted(t, l, route.Options{})
	require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
}

func TestHolesCutOpenAndCornersLeftAreTold(t *testing.T) {
	b := sensor()
	b.Open = []route.OpenPath{{Line: through(orb.Point{8, 8}, orb.Point{8, 33}, orb.Point{20, 33}), Side: route.Right}}
	in := input(b, panel(120, 100, orb.Point{30, 30}))
	in.Rules.Rout.Cutter = 2.4
	in.Holes = []drill.Hole{drill.Round(orb.Point{39, 45}, tooling.Size{Diameter: 1, Basis: tooling.Drilled, Class: tooling.Mechanical})}
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
	require.Equal(t, []orb.Point{{39, 45}}, finding(t, p.Report, "hole-cut-open").Places)
	require.InDelta(t, 0.5+1.2-0.2, finding(t, p.Report, "hole-cut-open").Value, 1e-6) // its centre is 0.2 mm off the cutter's
	require.InDelta(t, 2.4, finding(t, p.Report, "unreachable").Value, 0.2)            // a radius on either side of the corner
}

func TestReadOpen(t *testing.T) {
	const src = `M48
METRIC
T1C1.0
T2C2.4
%
G00X10.Y10.
T1
G00X10.Y10.
M15
G01X20.Y10.
G03X20.Y20.A5.
M16
G40
T2
G41
G00X0.Y0.
M15
G01X5.Y0.
M16
G42
G00X0.Y2.
M15
G01X5.Y2.
M16
G40
M30
`
	p, err := nc.Parse([]byte(src), nc.ReadOptions{File: "slits.nc"})
	require.NoError(t, err)
	got, _, err := route.ReadOpen(p, "slits.nc")
	require.NoError(t, err)
	require.Len(t, got, 3)
	require.Equal(t, []route.Side{route.Centre, route.Left, route.Right}, []route.Side{got[0].Side, got[1].Side, got[2].Side})
	require.Equal(t, []float64{1, 2.4, 2.4}, []float64{got[0].Width, got[1].Width, got[2].Width})
	require.InDelta(t, 10+math.Pi*5, got[0].Line.Length(), 1e-9)
	require.Equal(t, tooling.Source{File: "slits.nc", Line: 10, Tool: "T1"}, got[0].Source)

	for name, bad := range map[string]string{
		"no cuts":  "M48\nMETRIC\nT1C1.\n%\nT1\nM30\n",
		"a hole":   "M48\nMETRIC\nT1C1.\n%\nT1\nX1.Y1.\nM30\n",
		"closed":   "M48\nMETRIC\nT1C1.\n%\nT1\nG00X1.Y1.\nM15\nG01X5.Y1.\nX5.Y5.\nX1.Y1.\nM16\nM30\n",
		"crossing": "M48\nMETRIC\nT1C1.\n%\nT1\nG00X1.Y1.\nM15\nG01X5.Y1.\nX5.Y5.\nX3.Y0.\nM16\nM30\n",
	} {
		t.Run(name, func(t *testing.T) {
			p, err := nc.Parse([]byte(bad), nc.ReadOptions{File: "slits.nc"})
			require.NoError(t, err)
			_, _, err = route.ReadOpen(p, "slits.nc")
			var re *route.ReadError
			require.ErrorAs(t, err, &re)
		})
	}
}

func TestOpenPathOnCentreIsNotCompensated(t *testing.T) {
	l := lay(t, input(slits(), panel(120, 100, orb.Point{30, 30})))
	p := mounted(t, l, route.Options{})
	_, err := p.Program(nc.WriteOptions{Compensated: true})
	require.ErrorIs(t, err, route.ErrCompensation)
	require.ErrorContains(t, err, "on centre")
}

func TestOpenPathsAreResumed(t *testing.T) {
	l := lay(t, input(slits(), panel(120, 100, orb.Point{30, 30})))
	p := mounted(t, l, route.Options{})
	for _, r := range p.Runs {
		for k := range len(r.Paths) + 1 {
			rest, err := route.Resume(context.Background(), l, p, route.Stop{Run: r.Number, Path: k}, route.Options{})
			if err != nil {
				require.ErrorIs(t, err, route.ErrStop) // nothing is left
				continue
			}
			require.NoError(t, route.Check(l, rest, parse(t, text(t, rest))).Err(), "run %d path %d", r.Number, k)
			raw, err := json.Marshal(rest)
			require.NoError(t, err)
			back, err := route.DecodePass(raw, "rest.json")
			require.NoError(t, err)
			require.Equal(t, len(openPaths(rest)), len(openPaths(back)))
		}
	}
}

// wander is a random walk of lines and tangent or turned arcs over a board.
func wander(rng *rand.Rand) contour.Contour {
	at := orb.Point{30 + 60*rng.Float64(), 30 + 60*rng.Float64()}
	heading := 2 * math.Pi * rng.Float64()
	c := contour.Contour{Start: tooling.SnapPoint(at)}
	for range 1 + rng.IntN(8) {
		if rng.IntN(2) == 0 {
			heading += (rng.Float64() - 0.5) * 3
		}
		d := 0.5 + 15*rng.Float64()
		m := contour.Move{}
		if rng.IntN(2) == 0 {
			m.To = orb.Point{at[0] + d*math.Cos(heading), at[1] + d*math.Sin(heading)}
		} else {
			turn := float64(1 - 2*rng.IntN(2))
			r, sweep := 0.3+12*rng.Float64(), 0.2+3*rng.Float64()
			m.Turn = int8(turn)
			m.Center = orb.Point{at[0] - turn*r*math.Sin(heading), at[1] + turn*r*math.Cos(heading)}
			from := math.Atan2(at[1]-m.Center[1], at[0]-m.Center[0])
			m.To = orb.Point{m.Center[0] + r*math.Cos(from+turn*sweep), m.Center[1] + r*math.Sin(from+turn*sweep)}
			heading += turn * sweep
		}
		c.Moves = append(c.Moves, m)
		at = m.To
	}
	return c
}

// TestRandomOpenPaths has random walks cut on either side and on centre: what
// can be planned passes its check, and no place of the cutter comes nearer to the
// line than its radius.
func TestRandomOpenPaths(t *testing.T) {
	made, seeds := 0, uint64(100)
	if testing.Short() {
		seeds = 30
	}
	for seed := range seeds {
		rng := rand.New(rand.NewPCG(seed, 11))
		b := route.Board{Outline: rounded(120, 120, 3)}
		o := route.OpenPath{Line: wander(rng), Side: []route.Side{route.Left, route.Right, route.Centre}[rng.IntN(3)], Width: []float64{0.8, 1, 1.6, 2.4}[rng.IntN(4)]}
		b.Open = []route.OpenPath{o}
		in := input(b, panel(140, 140, orb.Point{10, 10}))
		l, err := route.Lay(in)
		if err != nil {
			require.True(t, errors.Is(err, route.ErrOpenPath) || errors.Is(err, route.ErrCrossing), "seed %d: %v", seed, err)
			continue
		}
		passes, err := route.Plan(context.Background(), l, route.Options{})
		if err != nil {
			var be *route.BoardError
			require.ErrorAs(t, err, &be, "seed %d", seed)
			continue
		}
		p, err := passes[0].Mount(setUp(t, in, passes[0], 1), in.Machine)
		if errors.Is(err, route.ErrLife) {
			continue // one path longer than its cutter lives
		}
		require.NoError(t, err)
		for _, rule := range broken(route.Check(l, p, parse(t, text(t, p)))) {
			require.Contains(t, []string{"part-loose"}, rule, "seed %d", seed) // the walk comes round to itself
		}
		want := o.Width / 2
		if o.Side == route.Centre {
			want = 0
		}
		for _, q := range openPaths(p) {
			made++
			for k := range 100 {
				at, _ := q.Line.At(q.Line.Length() * float64(k) / 99)
				require.InDelta(t, want, o.Line.Distance(orb.Point{at[0] - 10, at[1] - 10}), 0.002, "seed %d at %v", seed, at)
			}
		}
	}
	require.Greater(t, made, 20)
}

// A line of thousands of chords is planned and checked in time that grows with
// their number, not with its square.
func TestAnOpenPathOfManyChords(t *testing.T) {
	line := contour.Contour{Start: orb.Point{10, 20}}
	for k := range 6000 {
		x := 10 + float64(k+1)/150
		line.Moves = append(line.Moves, contour.Move{To: tooling.SnapPoint(orb.Point{x, 20 + 8*math.Sin(x/3)})})
	}
	in := input(route.Board{Outline: rounded(60, 40, 3), Open: []route.OpenPath{{Line: line, Side: route.Left, Width: 0.8}}}, panel(120, 100, orb.Point{30, 30}))
	for k := range 2000 { // and as many holes out of its way
		in.Holes = append(in.Holes, drill.Round(orb.Point{35 + float64(k%50)*0.9, 32 + float64(k/50)*0.08}, tooling.Size{Diameter: 0.3, Basis: tooling.Finished, Plated: true}))
	}
	l := lay(t, in)
	p := mounted(t, l, route.Options{})
	require.NoError(t, route.Check(l, p, parse(t, text(t, p))).Err())
}
