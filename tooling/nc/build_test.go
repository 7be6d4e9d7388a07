package nc_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dialects are the forms the property tests write in, with half their last
// digit in mm.
var dialects = []struct {
	o    nc.WriteOptions
	half float64
}{
	{nc.WriteOptions{}, 0.0005},
	{nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 4}}, 0.00005},
	{nc.WriteOptions{Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 4, Dec: 3}}, 0.0005},
	{nc.WriteOptions{Zeros: nc.TrailingZeros, Digits: nc.Digits{Int: 4, Dec: 2}}, 0.005},
	{nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 4}}, 0.00127},
	{nc.WriteOptions{Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 5}}, 0.000127},
	{nc.WriteOptions{Units: nc.Inches, Zeros: nc.TrailingZeros, Digits: nc.Digits{Int: 3, Dec: 6}}, 0.0000127},
	{nc.WriteOptions{Rows: true, CRLF: true, End: "M00"}, 0.0005},
	{nc.WriteOptions{Patterns: true, Zeros: nc.TrailingZeros}, 0.0005},
	{nc.WriteOptions{Rows: true, Patterns: true, Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}}, 0.000127},
	{nc.WriteOptions{Incremental: true, Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 3}}, 0.0127},
	{nc.WriteOptions{Incremental: true, Rows: true, Zeros: nc.TrailingZeros, Digits: nc.Digits{Int: 4, Dec: 2}}, 0.005},
	{nc.WriteOptions{NoFeeds: true, Attributes: true, FeedUnit: nc.MillimetresPerSecond}, 0.0005},
}

// made drops what is not made: selections that repeat, stops, comments.
func made(in []nc.Op) []nc.Op {
	var out []nc.Op
	for _, op := range in {
		switch op.Kind {
		case nc.OpHit, nc.OpSlot, nc.OpCircle, nc.OpLine, nc.OpArc:
			out = append(out, op)
		}
	}
	return out
}

func TestBuildReadsBackWithinHalfADigit(t *testing.T) {
	tools := tableOf(5)
	for _, d := range dialects {
		t.Run(dialect(d.o), func(t *testing.T) {
			for seed := range uint64(20) {
				rng := rand.New(rand.NewPCG(seed, 1))
				in := random(rng, tools, 200, 0.001)
				p, err := nc.Build(slices.Values(in), tools, d.o)
				require.NoError(t, err, "seed %d", seed)
				q := parse(t, text(t, p))
				if diff := cmp.Diff(ops(t, p), ops(t, q)); diff != "" {
					t.Fatalf("seed %d: the built program and its text read differently (-built +read):\n%s", seed, diff)
				}
				checkPoints(t, seed, made(in), made(ops(t, q)), d.half)
				for i, def := range q.Tools {
					assert.InDelta(t, tools[i].Diameter, def.Diameter, 1e-9, "diameters are exact in any unit")
					if !d.o.NoFeeds {
						assert.InDelta(t, tools[i].Feed, def.Feed, 0.03)
						assert.InDelta(t, tools[i].Speed, def.Speed, 0.5)
					} else {
						assert.Zero(t, def.Feed)
					}
					assert.Equal(t, p.Tools[i].Line, def.Line)
				}
				assert.Equal(t, p.Units, q.Units)
				assert.Equal(t, p.FeedUnit, q.FeedUnit)
				if d.o.Incremental {
					assert.Equal(t, []string{"incremental"}, rules(q.Notes))
				} else {
					assert.Empty(t, q.Notes, "a strict program leaves nothing to remark")
				}
			}
		})
	}
}

// checkPoints compares what was asked for with what is read: hits, slots and
// circles one for one, ends of lines in order; arcs by their ends, since they
// are written in blocks.
func checkPoints(t *testing.T, seed uint64, want, got []nc.Op, half float64) {
	t.Helper()
	tol := half + 0.5e-6 + 1e-9 // reading snaps to nanometres
	near := func(a, b orb.Point) bool { return math.Abs(a[0]-b[0]) <= tol && math.Abs(a[1]-b[1]) <= tol }
	k := 0
	for i, w := range want {
		if w.Kind == nc.OpLine && near(w.From, w.To) {
			continue
		}
		if k >= len(got) {
			t.Fatalf("seed %d: operation %d, %v, is lost", seed, i, w)
		}
		g := got[k]
		if w.Kind == nc.OpArc {
			r := math.Hypot(w.From[0]-w.Center[0], w.From[1]-w.Center[1])
			blocks := 0
			for ; k < len(got) && got[k].Kind == nc.OpArc && blocks < 4; k++ {
				blocks++
				g = got[k]
				if g.Clockwise != w.Clockwise {
					t.Fatalf("seed %d: %v turns the wrong way for %v", seed, g, w)
				}
				for _, p := range [2]orb.Point{g.From, g.To} {
					if d := math.Abs(math.Hypot(p[0]-w.Center[0], p[1]-w.Center[1]) - r); d > 2*tol {
						t.Fatalf("seed %d: %v leaves the circle of %v by %v", seed, g, w, d)
					}
				}
				chord := math.Hypot(g.To[0]-g.From[0], g.To[1]-g.From[1])
				gr := math.Hypot(g.From[0]-g.Center[0], g.From[1]-g.Center[1])
				if math.Abs(gr-r) > 3*tol && chord > r/10 {
					t.Fatalf("seed %d: %v has radius %v instead of %v", seed, g, gr, r)
				}
				if near(g.To, w.To) {
					k++
					break
				}
			}
			if !near(g.To, w.To) || blocks == 0 {
				t.Fatalf("seed %d: %v ends as %v", seed, w, g)
			}
			continue
		}
		k++
		if g.Kind != w.Kind || g.Tool != w.Tool || !near(g.To, w.To) || math.Abs(g.Diameter-w.Diameter) > 2*tol ||
			w.Kind == nc.OpSlot && !near(g.From, w.From) {
			t.Fatalf("seed %d: operation %d: got %v, want %v", seed, i, g, w)
		}
	}
	if k != len(got) {
		t.Fatalf("seed %d: %d operations too many, first %v", seed, len(got)-k, got[k])
	}
}

func TestRowsExpandToTheSameHits(t *testing.T) {
	tools := tableOf(3)
	shorter := 0
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 2))
		in := random(rng, tools, 300, 0.001)
		plain, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		require.NoError(t, err)
		rows, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Rows: true})
		require.NoError(t, err)
		if diff := cmp.Diff(hits(t, plain), hits(t, rows)); diff != "" {
			t.Fatalf("seed %d: repeats expand to other hits (-plain +rows):\n%s", seed, diff)
		}
		if rows.Lines() < plain.Lines() {
			shorter++
		}
	}
	assert.Greater(t, shorter, 40, "rows must be found for the test to mean anything")
}

// array is a board of m hits placed n times at even offsets, hit by hit along
// each board.
func array(rng *rand.Rand, m, n int) []nc.Op {
	board := make([]orb.Point, m)
	for i := range board {
		board[i] = orb.Point{float64(rng.IntN(40_000)) / 1000, float64(rng.IntN(30_000)) / 1000}
	}
	dx, dy := float64(rng.IntN(50_000))/1000, float64(rng.IntN(50_000))/1000
	out := []nc.Op{{Kind: nc.OpTool, Tool: 1}}
	for k := range n {
		for _, p := range board {
			out = append(out, nc.Op{Kind: nc.OpHit, Tool: 1, To: orb.Point{p[0] + float64(k)*dx, p[1] + float64(k)*dy}})
		}
	}
	return out
}

func TestPatternsExpandToTheSameHits(t *testing.T) {
	tools := tableOf(1)
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 10))
		m, n := 1+rng.IntN(40), 1+rng.IntN(8)
		in := array(rng, m, n)
		for range rng.IntN(3) { // a stray hit or another array behind it
			in = append(in, array(rng, 1+rng.IntN(3), 1+rng.IntN(5))[1:]...)
		}
		plain, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		require.NoError(t, err)
		for _, rows := range []bool{false, true} {
			short, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Patterns: true, Rows: rows})
			require.NoError(t, err)
			if diff := cmp.Diff(hits(t, plain), hits(t, parse(t, text(t, short)))); diff != "" {
				t.Fatalf("seed %d: patterns expand to other hits (-plain +short):\n%s", seed, diff)
			}
			if m > 5 && n > 2 {
				assert.Less(t, short.Lines(), plain.Lines()-(n-2)*m, "seed %d: %d boards of %d hits", seed, n, m)
			}
		}
	}
}

func TestSplit(t *testing.T) {
	tools := tableOf(6)
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 11))
		in := append([]nc.Op{{Kind: nc.OpMessage, Text: "3 HIGH"}}, random(rng, tools, 400, 0.001)...)
		whole, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		require.NoError(t, err)
		const most = 4000
		parts, err := nc.Split(slices.Values(in), tools, nc.WriteOptions{}, most)
		require.NoError(t, err)
		require.Greater(t, len(parts), 1)
		var got []nc.Op
		for _, p := range parts {
			require.LessOrEqual(t, len(text(t, p)), most)
			got = append(got, made(ops(t, p))...)
		}
		want := made(ops(t, whole))
		require.Len(t, got, len(want))
		for i := range want {
			want[i].Line, got[i].Line = 0, 0
			want[i].From, got[i].From = orb.Point{}, orb.Point{} // each program starts anew
			require.Equal(t, want[i], got[i], "seed %d: operation %d", seed, i)
		}
	}
	one, err := nc.Split(slices.Values([]nc.Op(nil)), tools, nc.WriteOptions{}, 1000)
	require.NoError(t, err)
	require.Len(t, one, 1)
	hitsOf := []nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpHit}, {Kind: nc.OpTool, Tool: 2}}
	for range 200 {
		hitsOf = append(hitsOf, nc.Op{Kind: nc.OpHit})
	}
	_, err = nc.Split(slices.Values(hitsOf), tools, nc.WriteOptions{}, 1000)
	require.ErrorIs(t, err, nc.ErrLimit)
	_, err = nc.Split(slices.Values(append(hitsOf[:2:2], nc.Op{Kind: nc.OpTool, Tool: 2}, nc.Op{Kind: nc.OpUnknown})), tools, nc.WriteOptions{}, 1000)
	var be *nc.BuildError
	require.ErrorAs(t, err, &be)
	assert.Equal(t, 3, be.Index, "the index counts all operations")
	_, err = nc.Split(slices.Values(hitsOf), []nc.ToolDef{{}}, nc.WriteOptions{}, 1000)
	require.ErrorIs(t, err, nc.ErrWrite)
}

func TestRoundingIsReported(t *testing.T) {
	tools := tableOf(1)
	in := []nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpHit, To: orb.Point{1.0004, 2}}, {Kind: nc.OpHit, To: orb.Point{1, 2}}, {Kind: nc.OpHit, To: orb.Point{1, -2.0002}}}
	p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
	require.NoError(t, err)
	require.Len(t, p.Notes, 1)
	assert.Equal(t, "rounded", p.Notes[0].Rule)
	assert.Equal(t, 2, p.Notes[0].Count)
	assert.Contains(t, p.Notes[0].Detail, "0.000400 mm")
	p, err = nc.Build(slices.Values(in), tools, nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 4}})
	require.NoError(t, err)
	assert.Empty(t, p.Notes)
}

func TestExchangeSubset(t *testing.T) {
	tools := []nc.ToolDef{{Number: 1, Diameter: 0.8, Feed: 2900, Speed: 62_000, HitLimit: 9, Marking: "plated", Function: "component"}}
	in := []nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpHit, To: orb.Point{1, 2}}, {Kind: nc.OpSlot, From: orb.Point{1, 3}, To: orb.Point{2, 3}}}
	p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Exchange: true, Header: []string{"#@! TF.FileFunction,Plated,1,2,PTH"}})
	require.NoError(t, err)
	want := "M48\n; #@! TF.FileFunction,Plated,1,2,PTH\nMETRIC\n; #@! TD\n; #@! TA.AperFunction,Plated,PTH,ComponentDrill\nT1C0.800\n%\nT1\nG05\nX1.000Y2.000\nX1.000Y3.000G85X2.000Y3.000\nM30\n"
	assert.Equal(t, want, text(t, p))
	for _, op := range []nc.Op{{Kind: nc.OpMessage}, {Kind: nc.OpStop}, {Kind: nc.OpTool}, {Kind: nc.OpCompensation, Text: "G40"}, {Kind: nc.OpCircle, Diameter: 1}} {
		_, err := nc.Build(slices.Values(append(in[:1:1], op)), tools, nc.WriteOptions{Exchange: true})
		require.ErrorIs(t, err, nc.ErrWrite, "%v", op)
	}
	_, err = nc.Build(slices.Values(in), tools, nc.WriteOptions{Exchange: true, Rows: true})
	require.ErrorIs(t, err, nc.ErrWrite)
}

func TestBuildText(t *testing.T) {
	tools := []nc.ToolDef{
		{Number: 1, Diameter: 0.3, Feed: 2300, Speed: 120_500, Retract: 20_000, HitLimit: 1500, Z: -0.27, HasZ: true, Marking: "plated", Function: "via"},
		{Number: 7, Diameter: 2.4, Feed: 1200, Speed: 22_000, Marking: "unplated", Function: "mechanical"},
	}
	in := []nc.Op{
		{Kind: nc.OpMessage, Text: "3 HIGH"},
		{Kind: nc.OpStop},
		{Kind: nc.OpTool, Tool: 1},
		{Kind: nc.OpComment, Text: "0.27 into the backup"},
		{Kind: nc.OpHit, To: orb.Point{12.7, -3}},
		{Kind: nc.OpSlot, From: orb.Point{1, 2}, To: orb.Point{3, 2}},
		{Kind: nc.OpCircle, To: orb.Point{5, 5}, Diameter: 3},
		{Kind: nc.OpTool, Tool: 7},
		{Kind: nc.OpCompensation, Text: "G40"},
		{Kind: nc.OpRapid, From: orb.Point{5, 5}, To: orb.Point{0, 0}},
		{Kind: nc.OpPlunge, From: orb.Point{0, 0}, To: orb.Point{0, 0}},
		{Kind: nc.OpLine, From: orb.Point{0, 0}, To: orb.Point{10, 0}},
		{Kind: nc.OpArc, From: orb.Point{10, 0}, To: orb.Point{10, 10}, Center: orb.Point{10, 5}},
		{Kind: nc.OpRetract},
		{Kind: nc.OpCircle, To: orb.Point{20, 20}, Diameter: 8, Text: "G32", Clockwise: true},
		{Kind: nc.OpDwell, Text: "G04X1.5"},
		{Kind: nc.OpTool},
		{Kind: nc.OpEnd},
	}
	p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Header: []string{"tide-gauge, invented"}, Attributes: true})
	require.NoError(t, err)
	want := `M48
; tide-gauge, invented
; FEED_UNIT=m/min
FMAT,2
METRIC
; #@! TD
; #@! TA.AperFunction,Plated,PTH,ViaDrill
T1C0.300F2.3S120.5B20.0H1500Z-0.270
; #@! TD
; #@! TA.AperFunction,NonPlated,NPTH,MechanicalDrill
T7C2.400F1.2S22
%
G90
M47,3 HIGH
M06
T1
; 0.27 into the backup
G05
X12.700Y-3.000
X1.000Y2.000G85X3.000Y2.000
X5.000Y5.000G84X3.000
T7
G40
G00X0.000Y0.000
M15
G01X10.000Y0.000
G03X15.000Y5.000A5.000
G03X10.000Y10.000A5.000
M16
G32X20.000Y20.000A4.000
G04X1.5
T0
M30
`
	if diff := cmp.Diff(want, text(t, p)); diff != "" {
		t.Fatalf("text (-want +got):\n%s", diff)
	}
	q := parse(t, text(t, p))
	def := *q.Tool(1)
	def.Line = 0
	assert.Equal(t, tools[0], def, "the whole tool reads back")
	assert.Equal(t, "mechanical", q.Tool(7).Function)

	inch, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 5}, Slots: nc.SlotRout, CRLF: true})
	require.NoError(t, err)
	for _, line := range []string{"INCH,LZ,00.00000\r\n", "X0050000Y-0011811\r\n", "G00X0003937Y0007874\r\nM15\r\nG01X0011811Y0007874\r\nM16\r\n", "T1C0.01181102F90.551S120.5B787.402H1500Z-0.01062992\r\n"} {
		assert.Contains(t, text(t, inch), line)
	}
	assert.Empty(t, parse(t, text(t, inch)).Notes)
}

func TestArcsThatRoundToNothingVanish(t *testing.T) {
	tools := []nc.ToolDef{{Number: 1, Diameter: 2}}
	path := func(ops ...nc.Op) []nc.Op {
		return append([]nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpRapid, To: ops[0].From}, {Kind: nc.OpPlunge}}, append(ops, nc.Op{Kind: nc.OpRetract})...)
	}
	tiny := nc.Op{Kind: nc.OpArc, From: orb.Point{1, 0}, To: orb.Point{1.0002, 0.0002}, Center: orb.Point{1.0002, 0}, Clockwise: true}
	p, err := nc.Build(slices.Values(path(tiny)), tools, nc.WriteOptions{})
	require.NoError(t, err)
	assert.NotContains(t, text(t, p), "G02")
	assert.NotContains(t, text(t, p), "G03")

	small := nc.Op{Kind: nc.OpArc, From: orb.Point{1, 0}, To: orb.Point{1, 0}, Center: orb.Point{1.0002, 0}}
	p, err = nc.Build(slices.Values(path(small)), tools, nc.WriteOptions{})
	require.NoError(t, err)
	assert.NotContains(t, text(t, p), "G03", "a full circle below the grid vanishes too")

	// Nearly a full circle stays one: its ends round to one place.
	r := 5.0
	a := 2*math.Pi - 0.00002
	wide := nc.Op{Kind: nc.OpArc, From: orb.Point{r, 0}, To: orb.Point{r * math.Cos(a), r * math.Sin(a)}}
	p, err = nc.Build(slices.Values(path(wide)), tools, nc.WriteOptions{})
	require.NoError(t, err)
	assert.Equal(t, 4, strings.Count(text(t, p), "G03"))
	full := nc.Op{Kind: nc.OpArc, From: orb.Point{r, 0}, To: orb.Point{r, 0}}
	q, err := nc.Build(slices.Values(path(full)), tools, nc.WriteOptions{})
	require.NoError(t, err)
	assert.Equal(t, text(t, q), text(t, p))
}

// TestHalfCirclesFitTheirChord draws half circles of radii off the grid: a
// block of half a turn would end with a chord longer than twice the written
// radius about every other time; quarter blocks never do.
func TestHalfCirclesFitTheirChord(t *testing.T) {
	tools := []nc.ToolDef{{Number: 1, Diameter: 2}}
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 3))
		r, x, y := 0.001+rng.Float64()*20, rng.Float64()*100, rng.Float64()*100
		a := rng.Float64() * 2 * math.Pi
		from := orb.Point{x + r*math.Cos(a), y + r*math.Sin(a)}
		to := orb.Point{x - r*math.Cos(a), y - r*math.Sin(a)}
		in := []nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpRapid, To: from}, {Kind: nc.OpPlunge},
			{Kind: nc.OpArc, From: from, To: to, Center: orb.Point{x, y}, Clockwise: seed%2 == 0}, {Kind: nc.OpRetract}}
		p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{})
		require.NoError(t, err, "seed %d", seed)
		q, err := nc.Parse([]byte(text(t, p)), nc.ReadOptions{})
		require.NoError(t, err, "seed %d", seed)
		require.Empty(t, q.Notes, "seed %d: no radius is short", seed)
	}
}

func TestBuildRefuses(t *testing.T) {
	tool := nc.ToolDef{Number: 1, Diameter: 0.5}
	sel := nc.Op{Kind: nc.OpTool, Tool: 1}
	down := []nc.Op{sel, {Kind: nc.OpRapid, To: orb.Point{1, 1}}, {Kind: nc.OpPlunge}}
	with := func(ops ...nc.Op) []nc.Op { return ops }
	after := func(ops ...nc.Op) []nc.Op { return append(slices.Clone(down), ops...) }
	nan := math.NaN()
	cases := []struct {
		name  string
		tools []nc.ToolDef
		ops   []nc.Op
		o     nc.WriteOptions
		err   error
	}{
		{"hit without a tool", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpHit}), nc.WriteOptions{}, nc.ErrNoTool},
		{"tool outside the table", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpTool, Tool: 2}), nc.WriteOptions{}, nc.ErrNoTool},
		{"tool twice", []nc.ToolDef{tool, tool}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"tool 0", []nc.ToolDef{{Diameter: 1}}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"no diameter", []nc.ToolDef{{Number: 1}}, nil, nc.WriteOptions{}, nc.ErrToolDiameter},
		{"NaN diameter", []nc.ToolDef{{Number: 1, Diameter: nan}}, nil, nc.WriteOptions{}, nc.ErrToolDiameter},
		{"infinite feed", []nc.ToolDef{{Number: 1, Diameter: 1, Feed: math.Inf(1), Speed: 1}}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"feed without speed", []nc.ToolDef{{Number: 1, Diameter: 1, Feed: 1}}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"some with feeds", []nc.ToolDef{tool, {Number: 2, Diameter: 1, Feed: 100, Speed: 100}}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"wild depth", []nc.ToolDef{{Number: 1, Diameter: 1, Z: nan, HasZ: true}}, nil, nc.WriteOptions{}, nc.ErrWrite},
		{"NaN hit", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpHit, To: orb.Point{nan, 0}}), nc.WriteOptions{}, nc.ErrRange},
		{"far hit", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpHit, To: orb.Point{1e300, 0}}), nc.WriteOptions{}, nc.ErrRange},
		{"hit beyond the digits", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpHit, To: orb.Point{1000, 0}}), nc.WriteOptions{Zeros: nc.LeadingZeros}, nc.ErrRange},
		{"far slot", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpSlot, To: orb.Point{0, 1e9}}), nc.WriteOptions{}, nc.ErrRange},
		{"circle without diameter", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpCircle}), nc.WriteOptions{}, nc.ErrRange},
		{"circle below the grid", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpCircle, Diameter: 0.0001}), nc.WriteOptions{}, nc.ErrWrite},
		{"circle of another kind", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpCircle, Diameter: 1, Text: "G99"}), nc.WriteOptions{}, nc.ErrWrite},
		{"plunge without a start", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpPlunge}), nc.WriteOptions{}, nc.ErrWrite},
		{"plunge twice", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpPlunge}), nc.WriteOptions{}, nc.ErrWrite},
		{"line with the tool up", []nc.ToolDef{tool}, with(sel, nc.Op{Kind: nc.OpLine}), nc.WriteOptions{}, nc.ErrWrite},
		{"line from elsewhere", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpLine, To: orb.Point{5, 5}}), nc.WriteOptions{}, nc.ErrWrite},
		{"arc without a radius", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpArc, From: orb.Point{1, 1}, To: orb.Point{2, 2}, Center: orb.Point{1, 1}}), nc.WriteOptions{}, nc.ErrArc},
		{"arc off its circle", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpArc, From: orb.Point{1, 1}, To: orb.Point{2, 2}, Center: orb.Point{1, 1.2}}), nc.WriteOptions{}, nc.ErrArc},
		{"arc round NaN", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpArc, From: orb.Point{1, 1}, To: orb.Point{2, 2}, Center: orb.Point{nan, 1}}), nc.WriteOptions{}, nc.ErrRange},
		{"rapid with the tool down", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpRapid}), nc.WriteOptions{}, nc.ErrWrite},
		{"change with the tool down", []nc.ToolDef{tool}, after(sel), nc.WriteOptions{}, nc.ErrWrite},
		{"hit with the tool down", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpHit}), nc.WriteOptions{}, nc.ErrWrite},
		{"slot with the tool down", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpSlot}), nc.WriteOptions{Slots: nc.SlotRout}, nc.ErrWrite},
		{"stop with the tool down", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpStop}), nc.WriteOptions{}, nc.ErrWrite},
		{"end with the tool down", []nc.ToolDef{tool}, after(nc.Op{Kind: nc.OpEnd}), nc.WriteOptions{}, nc.ErrWrite},
		{"text ends with the tool down", []nc.ToolDef{tool}, down, nc.WriteOptions{}, nc.ErrWrite},
		{"after the end", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpEnd}, sel), nc.WriteOptions{}, nc.ErrWrite},
		{"unknown word", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpUnknown, Text: "G99"}), nc.WriteOptions{}, nc.ErrWrite},
		{"no kind", []nc.ToolDef{tool}, with(nc.Op{}), nc.WriteOptions{}, nc.ErrWrite},
		{"comment of two lines", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpComment, Text: "a\nX1Y1"}), nc.WriteOptions{}, nc.ErrWrite},
		{"message of two lines", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpMessage, Text: "a\rM30"}), nc.WriteOptions{}, nc.ErrWrite},
		{"dwell with a move in it", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpDwell, Text: "G04Y1"}), nc.WriteOptions{}, nc.ErrWrite},
		{"stop of another kind", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpStop, Text: "M30"}), nc.WriteOptions{}, nc.ErrWrite},
		{"compensation of another kind", []nc.ToolDef{tool}, with(nc.Op{Kind: nc.OpCompensation, Text: "G43"}), nc.WriteOptions{}, nc.ErrWrite},
		{"header of two lines", nil, nil, nc.WriteOptions{Header: []string{"a\nb"}}, nc.ErrWrite},
		{"header that states a form", nil, nil, nc.WriteOptions{Header: []string{"FORMAT={2:5/ inch}"}}, nc.ErrWrite},
		{"end word", nil, nil, nc.WriteOptions{End: "M99"}, nc.ErrWrite},
		{"no decimals", nil, nil, nc.WriteOptions{Digits: nc.Digits{Int: 3}}, nc.ErrWrite},
		{"many digits", nil, nil, nc.WriteOptions{Digits: nc.Digits{Int: 3, Dec: 9}}, nc.ErrWrite},
		{"no digits before the point", nil, nil, nc.WriteOptions{Zeros: nc.LeadingZeros, Digits: nc.Digits{Dec: 3}}, nc.ErrWrite},
		{"units of another kind", nil, nil, nc.WriteOptions{Units: 9}, nc.ErrWrite},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := nc.Build(slices.Values(c.ops), c.tools, c.o)
			assert.Nil(t, p)
			var be *nc.BuildError
			require.ErrorAs(t, err, &be)
			require.ErrorIs(t, err, c.err)
			assert.NotEmpty(t, be.Detail)
			assert.Contains(t, err.Error(), be.Detail)
		})
	}
}

func TestInchAndMetricOfOneBoardAgree(t *testing.T) {
	tools := tableOf(4)
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 4))
		in := random(rng, tools, 100, 0.0254) // on both grids only when read by nanometres
		var read [2][]orb.Point
		for i, o := range []nc.WriteOptions{{Digits: nc.Digits{Int: 4, Dec: 4}}, {Units: nc.Inches, Digits: nc.Digits{Int: 3, Dec: 4}}} {
			p, err := nc.Build(slices.Values(in), tools, o)
			require.NoError(t, err)
			read[i] = hits(t, parse(t, text(t, p)))
		}
		if diff := cmp.Diff(read[0], read[1]); diff != "" {
			t.Fatalf("seed %d (-metric +inch):\n%s", seed, diff)
		}
	}
}

// The program that Build returns says what its text says: without feeds in the
// text there are none in the table.
func TestBuiltTableIsThatOfTheText(t *testing.T) {
	ops := []nc.Op{{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpHit, To: orb.Point{1, 2}}, {Kind: nc.OpEnd}}
	tools := []nc.ToolDef{{Number: 1, Diameter: 0.8, Feed: 2500, Speed: 60_000, Retract: 20_000}}
	for _, o := range []nc.WriteOptions{{}, {NoFeeds: true}, {Exchange: true}} {
		built, err := nc.Build(slices.Values(ops), tools, o)
		require.NoError(t, err)
		var text bytes.Buffer
		_, err = built.WriteTo(&text)
		require.NoError(t, err)
		read, err := nc.Parse(text.Bytes(), nc.ReadOptions{})
		require.NoError(t, err)
		require.Equal(t, read.Tools, built.Tools, "%+v", o)
	}
	require.Equal(t, 2500.0, tools[0].Feed, "the caller's table stays")
}

func ExampleBuild() {
	tools := []nc.ToolDef{{Number: 1, Diameter: 0.8, Feed: 2900, Speed: 62_000}}
	ops := []nc.Op{
		{Kind: nc.OpTool, Tool: 1},
		{Kind: nc.OpHit, To: orb.Point{10, 10}},
		{Kind: nc.OpHit, To: orb.Point{12.54, 10}},
		{Kind: nc.OpHit, To: orb.Point{15.08, 10}},
	}
	p, err := nc.Build(slices.Values(ops), tools, nc.WriteOptions{Header: []string{"greenhouse-sensor"}, Rows: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for n := 1; n <= p.Lines(); n++ {
		fmt.Printf("%s\n", p.Text(n))
	}
	// Output:
	// M48
	// ; greenhouse-sensor
	// ; FEED_UNIT=m/min
	// FMAT,2
	// METRIC
	// T1C0.800F2.9S62
	// %
	// G90
	// T1
	// G05
	// X10.000Y10.000
	// R2X2.540Y0.000
	// M30
}
