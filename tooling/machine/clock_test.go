package machine_test

import (
	"encoding/csv"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

func values(steps []machine.Step) iter.Seq[machine.Step] { return slices.Values(steps) }

func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil || len(table) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(table), err)
	}
	var rows []map[string]string
	for _, cells := range table[1:] {
		row := make(map[string]string)
		for i, cell := range cells {
			row[table[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

func value(t *testing.T, row map[string]string, key string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[key], 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Source: arithmetic of testdata/published/README.md, 1 g, settle 15 ms, no Z
// ramps. The worked strokes use a penetration of 0.5 mm, which is not the
// default rule's.
func TestPublishedHitRates(t *testing.T) {
	m := preset(t, "worked")
	const clearance, entry, penetration = 1.5, 0.15, 0.5
	for _, row := range published(t, "hit-rates.csv") {
		depth := clearance + entry + value(t, row, "panels")*value(t, row, "thickness_mm") + penetration
		if want := value(t, row, "stroke_mm"); math.Abs(depth-want) > 1e-9 {
			t.Errorf("stroke: got %v mm, want %v", depth, want)
		}
		e := m.Time(values([]machine.Step{
			{Kind: machine.Move, To: orb.Point{value(t, row, "hop_mm"), 0}},
			{Kind: machine.Stroke, Depth: depth, Feed: value(t, row, "infeed_m_per_min") * 1000, Retract: value(t, row, "retract_m_per_min") * 1000},
		}))
		hit := e.Total()
		if got := math.Round(hit.Seconds() * 1000); got != value(t, row, "milliseconds") {
			t.Errorf("%v: got %v ms, want %s", row, got, row["milliseconds"])
		}
		if got := math.Round(e.HitsPerMinute()); got != value(t, row, "hits_per_min") {
			t.Errorf("%v: got %v hits/min, want %s", row, got, row["hits_per_min"])
		}
	}
}

// plain is a machine whose times come out even: 100 mm/s, 1000 mm/s2 in XY;
// Z 50 mm/s at 500 mm/s2.
func plain() machine.Machine {
	xy := machine.Axis{Speed: 100, Accel: 1000}
	return machine.Machine{
		X: xy, Y: xy, Z: machine.Axis{Speed: 50, Accel: 500}, Settle: 10 * time.Millisecond,
		Change: 10 * time.Second, SpinUp: 2 * time.Second, Load: time.Minute, Stop: 5 * time.Second,
		Spindles: 1, Places: 10, MaxSpeed: 1e5,
	}
}

func TestTick(t *testing.T) {
	ms := func(x float64) time.Duration { return time.Duration(math.Round(x * 1e6)) }
	dwell := plain()
	dwell.FootDwell, dwell.Approach = 3*time.Millisecond, 1.25
	jerk := plain()
	jerk.Z.Jerk = 5000
	still := plain()
	still.Z.Accel = 0
	slowY := plain()
	slowY.Y.Accel = 500
	overlap := plain()
	overlap.Overlap = 30 * time.Millisecond
	for _, row := range []struct {
		name, reason string
		m            machine.Machine
		steps        []machine.Step
		want         time.Duration // of the last step
	}{
		{"move", "20 mm: 0.2 s and a ramp of 0.1 s, then settle", plain(), []machine.Step{{Kind: machine.Move, To: orb.Point{20, 0}}}, ms(310)},
		{"short move", "2 sqrt(d/a)", plain(), []machine.Step{{Kind: machine.Move, To: orb.Point{2.5, 1}}}, ms(110)},
		{"no move", "nothing moves, nothing settles", plain(), []machine.Step{{Kind: machine.Move}}, 0},
		{"overlap", "part of the move is hidden behind the retract", overlap, []machine.Step{{Kind: machine.Move, To: orb.Point{20, 0}}}, ms(280)},
		{"change", "trip, change and spin-up", plain(), []machine.Step{{Kind: machine.Change, To: orb.Point{20, 0}, Tool: 1}}, ms(12_310)},
		{"stroke", "4 mm at 20 up to speed 0.2 + 0.04, up at 40: 0.1 + 0.08", plain(), []machine.Step{{Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400}}, ms(240 + 180)},
		{"stroke beyond Z", "feeds above the axis' own speed: 50 mm/s", plain(), []machine.Step{{Kind: machine.Stroke, Depth: 5, Feed: 9000, Retract: 9000}}, ms(400)},
		{"no ramp", "d/v both ways", still, []machine.Step{{Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400}}, ms(200 + 100)},
		{"pecked", "2 mm, out and back at 40, 2 mm, out", plain(), []machine.Step{{Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400, Pecks: 2}},
			2*ms(140) + 2*ms(1000*2*math.Sqrt(2.0/500)) + ms(180)},
		{"dwell and approach", "1.25 mm at 2 sqrt(d/a), 2.75 mm at 20, up", dwell, []machine.Step{{Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400}}, ms(3 + 100 + 137.5 + 40 + 180)},
		{"approach at most half", "a shallow stroke is not all approach", dwell, []machine.Step{{Kind: machine.Stroke, Depth: 1, Feed: 600, Retract: 600}},
			ms(3) + ms(1000*2*math.Sqrt(0.5/500)) + ms(50+20) + ms(100+20)},
		{"jerk", "20 mm/s at 500 mm/s2 and 5000 mm/s3: ramp 2 sqrt(v/j)", jerk, []machine.Step{{Kind: machine.Stroke, Depth: 8, Feed: 1200, Retract: 1200}}, 2 * ms(400+1000*2*math.Sqrt(20.0/5000))},
		{"same stroke again", "the remembered time", plain(), []machine.Step{{Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400}, {Kind: machine.Stroke, Depth: 4, Feed: 1200, Retract: 2400}}, ms(420)},
		{"plunge", "rest to rest", plain(), []machine.Step{{Kind: machine.Plunge, Depth: 4, Feed: 1200}}, ms(240)},
		{"retract", "rest to rest", plain(), []machine.Step{{Kind: machine.Retract, Depth: 4, Retract: 2400}}, ms(180)},
		{"line", "10 mm at 10 mm/s and a ramp", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}}, ms(1010)},
		{"straight on", "no second ramp", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}, {Kind: machine.Line, To: orb.Point{20, 0}, Feed: 600}}, ms(1000)},
		{"corner", "a stop and a ramp", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}, {Kind: machine.Line, To: orb.Point{10, 10}, Feed: 600}}, ms(1010)},
		{"ten degrees", "run through", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600},
			{Kind: machine.Line, To: orb.Point{10 + 10*math.Cos(math.Pi/18), 10 * math.Sin(math.Pi/18)}, Feed: 600}}, ms(1000)},
		{"other feed", "a stop", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}, {Kind: machine.Line, To: orb.Point{20, 0}, Feed: 1200}}, ms(520)},
		{"after a rapid", "a new stretch", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}, {Kind: machine.Move, To: orb.Point{10, 5}}, {Kind: machine.Line, To: orb.Point{20, 5}, Feed: 600}}, ms(1010)},
		{"slower axis rules a cut", "Y at 500 mm/s2: a ramp of 20 ms", slowY, []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}, Feed: 600}}, ms(1020)},
		{"no line", "nothing to cut", plain(), []machine.Step{{Kind: machine.Line, Feed: 600}}, 0},
		{"no feed", "takes no time", plain(), []machine.Step{{Kind: machine.Line, To: orb.Point{10, 0}}}, 0},
		{"pause", "its own time", plain(), []machine.Step{{Kind: machine.Pause, Time: time.Second}}, time.Second},
		{"stop", "the operator's usual time", plain(), []machine.Step{{Kind: machine.Pause}}, 5 * time.Second},
		{"reload", "the machine's", plain(), []machine.Step{{Kind: machine.Reload}}, time.Minute},
		{"unknown", "nothing", plain(), []machine.Step{{Kind: "dance"}}, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := row.m.Clock()
			var got, all time.Duration
			for _, s := range row.steps {
				got = c.Tick(s)
				all += got
			}
			if d := (got - row.want).Abs(); d > 2 {
				t.Errorf("%s: got %v, want %v", row.reason, got, row.want)
			}
			if all != c.Sum().Total() {
				t.Errorf("the ticks add up to %v, the sum says %v", all, c.Sum().Total())
			}
		})
	}
}

// Arcs against plain geometry: quarter and full circles both ways.
func TestArcLength(t *testing.T) {
	for _, row := range []struct {
		name      string
		to        orb.Point
		clockwise bool
		want      float64
	}{
		{"quarter", orb.Point{0, 10}, false, 5 * math.Pi},
		{"three quarters", orb.Point{0, 10}, true, 15 * math.Pi},
		{"half", orb.Point{-10, 0}, true, 10 * math.Pi},
		{"full", orb.Point{10, 0}, false, 20 * math.Pi},
		{"full clockwise", orb.Point{10, 0}, true, 20 * math.Pi},
	} {
		m := plain()
		m.ChangeAt = orb.Point{10, 0}
		e := m.Time(values([]machine.Step{{Kind: machine.Arc, To: row.to, Clockwise: row.clockwise, Feed: 600, Tool: 3}}))
		if math.Abs(e.Cut-row.want) > 1e-6 || e.Used[0].Cut != e.Cut || e.Used[0].Tool != 3 {
			t.Errorf("%s: got %+v, want %v mm", row.name, e, row.want)
		}
	}
	m := plain()
	if e := m.Time(values([]machine.Step{{Kind: machine.Arc, Feed: 600}})); e.Cut != 0 {
		t.Errorf("an arc about itself: got %v mm", e.Cut)
	}
	// A slot's outline, line, arc, line, arc, is one stretch: every joint is tangent.
	m.ChangeAt = orb.Point{0, 0}
	e := m.Time(values([]machine.Step{
		{Kind: machine.Line, To: orb.Point{20, 0}, Feed: 600},
		{Kind: machine.Arc, To: orb.Point{20, 10}, Center: orb.Point{20, 5}, Feed: 600},
		{Kind: machine.Line, To: orb.Point{0, 10}, Feed: 600},
		{Kind: machine.Arc, To: orb.Point{0, 0}, Center: orb.Point{0, 5}, Feed: 600},
	}))
	want := time.Duration(math.Round((40 + 10*math.Pi) / 10 * 1e9))
	if d := e.Rout - want - 10*time.Millisecond; d.Abs() > time.Microsecond {
		t.Errorf("tangent joints: got %v, want %v and one ramp of 10 ms", e.Rout, want)
	}
}

// simulate is a second clock, written from the trade's formulas alone: no
// profile, no travel value, no memory.
func simulate(m machine.Machine, steps []machine.Step) (total time.Duration, hits int) {
	rest := func(d, v float64, a machine.Axis) float64 {
		v = min(v, a.Speed)
		switch {
		case d <= 0:
			return 0
		case a.Accel == 0:
			return d / v
		case d >= v*v/a.Accel:
			return d/v + v/a.Accel
		}
		return 2 * math.Sqrt(d/a.Accel)
	}
	at := m.ChangeAt
	var s float64
	move := func(to orb.Point) {
		dx, dy := math.Abs(to[0]-at[0]), math.Abs(to[1]-at[1])
		if at = to; dx == 0 && dy == 0 {
			return
		}
		s += max(max(rest(dx, m.X.Speed, m.X), rest(dy, m.Y.Speed, m.Y))-m.Overlap.Seconds(), 0) + m.Settle.Seconds()
	}
	for _, step := range steps {
		switch step.Kind {
		case machine.Change:
			move(step.To)
			s += (m.Change + m.SpinUp).Seconds()
		case machine.Move:
			move(step.To)
		case machine.Stroke:
			hits++
			fast := min(m.Approach, step.Depth/2)
			s += m.FootDwell.Seconds() + rest(fast, m.Z.Speed, m.Z)
			n := max(step.Pecks, 1)
			from := fast
			for k := range n {
				if k > 0 {
					s += 2 * rest(from, step.Retract/60, m.Z)
				}
				s += rest((step.Depth-fast)/float64(n), step.Feed/60, m.Z)
				from += (step.Depth - fast) / float64(n)
			}
			s += rest(step.Depth, step.Retract/60, m.Z)
		case machine.Pause:
			s += step.Time.Seconds()
		case machine.Reload:
			s += m.Load.Seconds()
		}
	}
	return time.Duration(s * 1e9), hits
}

// Random passes on random machines: both clocks agree within 1 us a thousand
// steps, the sum of the causes is the total, and adding halves gives the whole.
func TestClockAgainstSimulator(t *testing.T) {
	const seed = 21
	rng := rand.New(rand.NewPCG(seed, 1))
	for i := range 60 {
		axis := func() machine.Axis {
			return machine.Axis{Speed: 100 + 1500*rng.Float64(), Accel: 1000 + 20_000*rng.Float64()}
		}
		m := machine.Machine{X: axis(), Y: axis(), Z: axis(), Settle: time.Duration(rng.IntN(50)) * time.Millisecond, Change: 9 * time.Second, Load: time.Minute,
			ChangeAt: orb.Point{-10, float64(rng.IntN(100))}}
		if i%2 == 0 {
			m.Overlap, m.Approach, m.FootDwell, m.SpinUp = 8*time.Millisecond, 2*rng.Float64(), 4*time.Millisecond, time.Second
		}
		if i%3 == 0 {
			m.Z.Accel = 0
		}
		steps := []machine.Step{{Kind: machine.Change, To: m.ChangeAt, Tool: 1}}
		for k := range 1000 {
			to := orb.Point{tooling.Snap(300 * rng.Float64()), tooling.Snap(200 * rng.Float64())}
			steps = append(steps, machine.Step{Kind: machine.Move, To: to},
				machine.Step{Kind: machine.Stroke, Depth: 2 + float64(k/100), Feed: 500 + float64(rng.IntN(3000)), Retract: 20_000, Pecks: rng.IntN(4), Tool: 1 + k/250})
			if k%250 == 249 {
				steps = append(steps, machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: 2 + k/250}, machine.Step{Kind: machine.Pause, Time: time.Second})
			}
		}
		steps = append(steps, machine.Step{Kind: machine.Reload})
		want, hits := simulate(m, steps)
		got := m.Time(values(steps))
		if d := (got.Total() - want).Abs(); d > 2*time.Microsecond || got.Hits != hits {
			t.Fatalf("seed %d, machine %d: got %v and %d hits, want %v and %d", seed, i, got.Total(), got.Hits, want, hits)
		}
		c := m.Clock()
		for _, s := range steps[:700] {
			c.Tick(s)
		}
		first := c.Sum()
		for _, s := range steps[700:] {
			c.Tick(s)
		}
		if diff := cmp.Diff(got, c.Sum()); diff != "" {
			t.Fatalf("seed %d: step by step (-want +got):\n%s", seed, diff)
		}
		strokes := 0
		for _, u := range first.Used {
			strokes += u.Hits
		}
		if strokes != first.Hits || first.Hits >= got.Hits {
			t.Fatalf("seed %d: the sum so far was changed by later steps: %+v", seed, first)
		}
	}
}

func TestEstimateAdd(t *testing.T) {
	a := machine.Estimate{Travel: 1, Settle: 2, Stroke: 3, Change: 4, Load: 5, Rout: 6, Pause: 7, Floor: 8, Hits: 9, Path: 10, Cut: 11, Used: []machine.ToolUse{{Tool: 1, Hits: 9}, {Tool: 2, Cut: 11}}}
	b := machine.Estimate{Travel: 10, Floor: 5, Hits: 1, Used: []machine.ToolUse{{Tool: 3, Hits: 1}, {Tool: 1, Hits: 2, Cut: 1}}}
	want := machine.Estimate{Travel: 11, Settle: 2, Stroke: 3, Change: 4, Load: 5, Rout: 6, Pause: 7, Floor: 13, Hits: 10, Path: 10, Cut: 11,
		Used: []machine.ToolUse{{Tool: 1, Hits: 11, Cut: 1}, {Tool: 2, Cut: 11}, {Tool: 3, Hits: 1}}}
	if diff := cmp.Diff(want, a.Add(b)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if a.Used[0].Hits != 9 {
		t.Error("the summand was changed")
	}
	if got := a.Add(machine.Estimate{Travel: 1}).Floor; got != 0 {
		t.Errorf("floor of an unknown: got %v, want 0", got)
	}
	if got := a.Add(machine.Estimate{}).Floor; got != 8 {
		t.Errorf("floor with nothing added: got %v, want 8", got)
	}
	if got := a.FloorRatio(); got != 28.0/8 {
		t.Errorf("floor ratio: got %v", got)
	}
	if got := (machine.Estimate{Travel: 5}); got.FloorRatio() != 0 || got.HitsPerMinute() != 0 {
		t.Errorf("neither floor nor hits: got %v, %v", got.FloorRatio(), got.HitsPerMinute())
	}
	if got := (machine.Estimate{Travel: time.Second, Settle: time.Second, Stroke: time.Second, Load: time.Hour, Hits: 10}).HitsPerMinute(); got != 200 {
		t.Errorf("hit rate: got %v, want 200", got)
	}
	if got := a.Total(); got != 28 {
		t.Errorf("total: got %v", got)
	}
}

func ExampleMachine_Time() {
	m, _ := machine.Preset("worked")
	steps := []machine.Step{
		{Kind: machine.Change, To: m.ChangeAt, Tool: 1},
		{Kind: machine.Move, To: orb.Point{2.5, 0}},
		{Kind: machine.Stroke, Tool: 1, Depth: 5.35, Feed: 2500, Retract: 20_000},
	}
	e := m.Time(slices.Values(steps))
	fmt.Println(e.Hits, "hit:", (e.Travel + e.Settle + e.Stroke).Round(time.Millisecond), "and a change of", e.Change)
	// Output: 1 hit: 191ms and a change of 10s
}

func ExampleClock() {
	m, _ := machine.Preset("ball screw")
	c := m.Clock()
	move := c.Tick(machine.Step{Kind: machine.Move, To: orb.Point{10, 0}})
	stroke := c.Tick(machine.Step{Kind: machine.Stroke, Depth: 6.95, Feed: 2480, Retract: 25_000})
	fmt.Println(move.Round(time.Millisecond), stroke.Round(time.Millisecond), c.Sum().Hits)
	// Output: 79ms 214ms 1
}

// A corner up to [machine.CornerStop] is taken at full feed, a sharper one
// from rest: the same way takes longer by one ramp down and one up. The angle is
// taken the short way round.
func TestACutStopsAtCornersOnly(t *testing.T) {
	m := preset(t, "worked")
	m.X.Accel, m.Y.Accel = 1000, 1000
	cut := func(start, turned float64) time.Duration {
		at := orb.Point{100, 100}
		to := func(p orb.Point, angle float64) orb.Point {
			return orb.Point{p[0] + 50*math.Cos(angle), p[1] + 50*math.Sin(angle)}
		}
		mid := to(at, start)
		steps := []machine.Step{
			{Kind: machine.Move, To: at},
			{Kind: machine.Line, To: mid, Feed: 3000},
			{Kind: machine.Line, To: to(mid, start+turned), Feed: 3000},
		}
		return m.Time(values(steps)).Total()
	}
	for _, start := range []float64{0, 1, math.Pi - 0.01, -math.Pi + 0.01, -2} {
		straight := cut(start, 0)
		for _, side := range []float64{1, -1} {
			if got := cut(start, side*0.9*machine.CornerStop); got != straight {
				t.Errorf("from %v rad, a turn of 9 degrees takes %v, straight on %v", start, got, straight)
			}
			if got := cut(start, side*1.1*machine.CornerStop); got <= straight {
				t.Errorf("from %v rad, a turn of 11 degrees takes %v, no longer than straight on", start, got)
			}
		}
	}
}
