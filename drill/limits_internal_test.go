package drill

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// bench is an input and a checker over it without hits.
func bench() *checker {
	mill, _ := machine.Preset("ball screw")
	return &checker{
		in: Input{
			Panel: tooling.Panel{Width: 128, Height: 64, Thickness: 1.6, Material: tooling.FR4},
			Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill,
		},
		pass: Pass{Name: "plated", Stage: tooling.BeforePlating, SetUp: stack.SetUp{Height: 2}}, tolerance: 0.25,
	}
}

// said is what a report refuses, a line for each finding.
func said(r tooling.Report) string {
	var out []string
	for _, f := range r {
		if !f.OK {
			out = append(out, fmt.Sprintf("%s %s %s %g/%g x%d", f.Rule, f.Tool, f.Detail, f.Value, f.Limit, f.Count))
		}
	}
	return strings.Join(out, "\n")
}

// A figure exactly at its limit passes, the next one is refused, with both of
// them in the finding.
func TestWrittenFeedsAtTheirLimits(t *testing.T) {
	c := bench()
	bit := tooling.Tool{}
	for _, b := range c.in.Crib.Tools {
		if b.Kind == tooling.Bit && b.Diameter == 1 {
			bit = b
		}
	}
	table, err := c.in.Rules.Feed(bit, c.in.Panel.Material, c.in.Machine.Speeds())
	if err != nil {
		t.Fatal(err)
	}
	least, most := c.in.Machine.MinSpeed, c.in.Machine.MaxSpeed
	r := Run{Tool: bit, Feed: table}
	r.Feed.Infeed -= 100
	plan := r.Feed
	good := nc.ToolDef{Number: 3, Speed: plan.Speed, Feed: plan.Infeed, Retract: plan.Retract}
	for _, x := range []struct {
		name   string
		change func(d *nc.ToolDef, r *Run)
		want   string
	}{
		{"as planned", func(*nc.ToolDef, *Run) {}, ""},
		{"a millimetre a minute more", func(d *nc.ToolDef, _ *Run) { d.Feed += 1 }, ""},
		{"and some", func(d *nc.ToolDef, _ *Run) { d.Feed += 1.5 }, fmt.Sprintf("feed-limit T3 the infeed is not the planned one %g/%g x1", plan.Infeed+1.5, plan.Infeed)},
		{"a millimetre a minute less", func(d *nc.ToolDef, _ *Run) { d.Feed -= 1 }, ""},
		{"and some less", func(d *nc.ToolDef, _ *Run) { d.Feed -= 1.5 }, fmt.Sprintf("feed-limit T3 the infeed is not the planned one %g/%g x1", plan.Infeed-1.5, plan.Infeed)},
		{"at the table", func(d *nc.ToolDef, _ *Run) { d.Feed = table.Infeed + 1 }, fmt.Sprintf("feed-limit T3 the infeed is not the planned one %g/%g x1", table.Infeed+1, plan.Infeed)},
		{"above the table", func(d *nc.ToolDef, _ *Run) { d.Feed = table.Infeed + 1.5 }, fmt.Sprintf("feed-limit T3 the infeed is above the table's %g/%g x1", table.Infeed+1.5, table.Infeed)},
		{"no infeed", func(d *nc.ToolDef, _ *Run) { d.Feed = 0 }, fmt.Sprintf("feed-missing T3 no infeed 0/%g x1", table.Infeed)},
		{"no speed", func(d *nc.ToolDef, _ *Run) { d.Speed = 0 }, fmt.Sprintf("speed-missing T3 no spindle speed 0/%g x1", table.Speed)},
		{"the machine's most", func(d *nc.ToolDef, r *Run) { d.Speed, r.Feed.Speed = most, most }, ""},
		{"above it", func(d *nc.ToolDef, r *Run) { d.Speed, r.Feed.Speed = most+1, most+1 }, fmt.Sprintf("speed-limit T3 the speed is outside what machine and tool allow %g/%g x1", most+1, most)},
		{"the machine's least", func(d *nc.ToolDef, r *Run) { d.Speed, r.Feed.Speed = least, least }, ""},
		{"below it", func(d *nc.ToolDef, r *Run) { d.Speed, r.Feed.Speed = least-1, least-1 }, fmt.Sprintf("speed-limit T3 the speed is outside what machine and tool allow %g/%g x1", least-1, most)},
		{"the tool's most", func(_ *nc.ToolDef, r *Run) { r.Tool.MaxSpeed = plan.Speed }, ""},
		{"above the tool's", func(_ *nc.ToolDef, r *Run) { r.Tool.MaxSpeed = plan.Speed - 1 }, fmt.Sprintf("speed-limit T3 the speed is outside what machine and tool allow %g/%g x1", plan.Speed, most)},
		{"the tool's least", func(_ *nc.ToolDef, r *Run) { r.Tool.MinSpeed = plan.Speed }, ""},
		{"below the tool's", func(_ *nc.ToolDef, r *Run) { r.Tool.MinSpeed = plan.Speed + 1 }, fmt.Sprintf("speed-limit T3 the speed is outside what machine and tool allow %g/%g x1", plan.Speed, most)},
		{"another speed", func(d *nc.ToolDef, _ *Run) { d.Speed -= 500 }, fmt.Sprintf("speed-limit T3 the speed is not the planned one %g/%g x1", plan.Speed-500, plan.Speed)},
		{"no retract", func(d *nc.ToolDef, _ *Run) { d.Retract = 0 }, fmt.Sprintf("feed-limit T3 the retract is missing or above the planned one 0/%g x1", plan.Retract)},
		{"a slow retract", func(d *nc.ToolDef, _ *Run) { d.Retract = 1 }, ""},
		{"a fast retract", func(d *nc.ToolDef, _ *Run) { d.Retract = plan.Retract + 1 }, ""},
		{"too fast", func(d *nc.ToolDef, _ *Run) { d.Retract = plan.Retract + 2 }, fmt.Sprintf("feed-limit T3 the retract is missing or above the planned one %g/%g x1", plan.Retract+2, plan.Retract)},
	} {
		c.report = nil
		d, run := good, r
		x.change(&d, &run)
		c.checkFeed(d, run)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
	c.report, c.asked.NoFeeds = nil, true
	c.checkFeed(nc.ToolDef{}, r)
	c.checkNoFeeds(nc.ToolDef{Number: 1})
	if len(c.report) > 0 {
		t.Errorf("no feeds, as asked: %v", c.report)
	}
	for _, d := range []nc.ToolDef{{Feed: 7}, {Speed: 7}, {Retract: 7}} {
		c.report = nil
		d.Number = 5
		c.checkNoFeeds(d)
		if got := said(c.report); got != "feed-mixed T5 a feed or speed in a program that is to have none 7/0 x1" {
			t.Errorf("%+v: %q", d, got)
		}
	}
}

func TestWrittenDepthsAtTheirLimits(t *testing.T) {
	c := bench()
	s := &c.in.Rules.Stack
	s.Backup, s.BackupFloor = 2.5, 1.5 // the tip may go 1 mm into it
	bit := tooling.Tool{ID: "B1.00", Kind: tooling.Bit, Diameter: 1, Flute: 10, PointAngle: 130}
	want, err := s.Drill(bit, c.pass.SetUp.Height, c.in.Panel.Thickness)
	if err != nil {
		t.Fatal(err)
	}
	planned := want.IntoBackup
	r := Run{Tool: bit, Depth: want}
	for _, x := range []struct {
		name string
		d    nc.ToolDef
		want string
	}{
		{"as planned", nc.ToolDef{HasZ: true, Z: -planned}, ""},
		{"within what writing moves", nc.ToolDef{HasZ: true, Z: -(planned + 0.25)}, ""},
		{"and less", nc.ToolDef{HasZ: true, Z: -(planned - 0.25)}, ""},
		{"too deep", nc.ToolDef{HasZ: true, Z: -(planned + 0.26)}, fmt.Sprintf("depth-differs T0 the depth into the backup is not the set-up's %g/%g x1", planned+0.26, planned)},
		{"not deep enough", nc.ToolDef{HasZ: true, Z: -(planned - 0.26)}, fmt.Sprintf("depth-differs T0 the depth into the backup is not the set-up's %g/%g x1", planned-0.26, planned)},
		{"none", nc.ToolDef{}, fmt.Sprintf("depth-missing T0 no depth 0/%g x1", -planned)},
		{"at the floor", nc.ToolDef{HasZ: true, Z: -1.25}, fmt.Sprintf("depth-differs T0 the depth into the backup is not the set-up's 1.25/%g x1", planned)},
		{"into the floor", nc.ToolDef{HasZ: true, Z: -1.5}, fmt.Sprintf("depth-limit T0 the tip leaves too little of the backup 1.5/1 x1\ndepth-differs T0 the depth into the backup is not the set-up's 1.5/%g x1", planned)},
	} {
		c.report = nil
		c.checkDepth(x.d, r)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

func TestLifeAtItsLimit(t *testing.T) {
	c := bench()
	c.in.Machine.Places = 12
	bits := func(worn ...int) (out []Bit) {
		for k, w := range worn {
			out = append(out, Bit{Place: 10 + k, First: 10 * k, Hits: 10, Worn: w})
		}
		return out
	}
	for _, x := range []struct {
		name string
		d    nc.ToolDef
		r    Run
		hits int
		want string
	}{
		{"to the last hit", nc.ToolDef{Number: 10}, Run{Life: 100, Bits: bits(0)}, 100, ""},
		{"a part of a hit left over", nc.ToolDef{Number: 10}, Run{Life: 100.5, Bits: bits(0)}, 100, ""},
		{"one more", nc.ToolDef{Number: 10}, Run{Life: 100, Bits: bits(0)}, 101, "life T10 a bit makes more hits than it lasts 101/100 x1"},
		{"worn before", nc.ToolDef{Number: 10}, Run{Life: 100, Bits: bits(40)}, 60, ""},
		{"worn before, one more", nc.ToolDef{Number: 10}, Run{Life: 100, Bits: bits(41)}, 60, "life T10 a bit makes more hits than it lasts 101/100 x1"},
		{"a limit nobody planned", nc.ToolDef{Number: 10, HitLimit: 5}, Run{Life: 100, Bits: bits(0)}, 10, "hit-limit T10 the hit limit is not the planned one 5/0 x1"},
		{"a limit at the life", nc.ToolDef{Number: 10, HitLimit: 100}, Run{Life: 100, Limit: 100, Bits: bits(0)}, 100, ""},
		{"a limit above it", nc.ToolDef{Number: 10, HitLimit: 101}, Run{Life: 100, Limit: 101, Bits: bits(0)}, 100, "life T10 the hit limit lets a bit make more hits than it lasts 101/100 x1"},
		{"no limit where one was planned", nc.ToolDef{Number: 10}, Run{Life: 100, Limit: 50, Bits: bits(0)}, 100, "hit-limit T10 the hit limit is not the planned one 0/50 x1\nlife T10 the hit limit lets a bit make more hits than it lasts 0/100 x1"},
		{"a limit of one", nc.ToolDef{Number: 10, HitLimit: 1}, Run{Life: 100, Limit: 1, Bits: bits(0)}, 1, ""},
		{"as many spares as it takes", nc.ToolDef{Number: 10, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(0, 0)}, 100, ""},
		{"one too few", nc.ToolDef{Number: 10, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(0, 0)}, 101, "spares T10 the load takes more bits than stand in the magazine 3/2 x1"},
		{"the wear counts", nc.ToolDef{Number: 10, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(1, 0)}, 100, "spares T10 the load takes more bits than stand in the magazine 3/2 x1"},
		{"the last place", nc.ToolDef{Number: 11, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(0, 0)}, 100, ""},
		{"behind the last place", nc.ToolDef{Number: 12, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(0, 0)}, 100, "spares T12 the spares stand beyond the magazine 13/12 x1"},
		{"a bit alone has no spare", nc.ToolDef{Number: 13, HitLimit: 50}, Run{Life: 100, Limit: 50, Bits: bits(0)}, 50, ""},
	} {
		c.report = nil
		c.checkLife(x.d, x.r, x.hits)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

// Walls may touch the panel's edge, a pin or a keep-out, and the foot what
// stands; nothing may come nearer. Travel may touch nothing that stands above
// the clearance.
func TestPlacesAtTheirLimits(t *testing.T) {
	for _, x := range []struct {
		name     string
		at       orb.Point
		diameter float64
		want     string
	}{
		{"clear", orb.Point{64, 32}, 1, ""},
		{"at the left edge", orb.Point{0.5, 20}, 1, ""},
		{"over it", orb.Point{0.25, 20}, 1, "off-panel T4 a hit leaves the panel 0/0 x1"},
		{"at the right edge", orb.Point{127.5, 20}, 1, ""},
		{"over it", orb.Point{127.75, 20}, 1, "off-panel T4 a hit leaves the panel 0/0 x1"},
		{"at the upper edge", orb.Point{60, 63.5}, 1, ""},
		{"over it", orb.Point{60, 63.75}, 1, "off-panel T4 a hit leaves the panel 0/0 x1"},
		{"the foot at a pin", orb.Point{32, 32}, 1, ""}, // the pin stands at 20/32: 2 mm to its wall, 10 mm of foot
		{"the foot on a pin", orb.Point{31.5, 32}, 1, "keep-out T4 tool or foot comes down on a pin 9.5/10 x1"},
		{"a wide tool at a pin", orb.Point{36, 32}, 28, ""},
		{"a wide tool on a pin", orb.Point{35.5, 32}, 28, "keep-out T4 tool or foot comes down on a pin 13.5/14 x1"},
		{"the foot at a clamp", orb.Point{90, 20}, 1, ""}, // from 100/10 to 110/30
		{"the foot on a clamp", orb.Point{90.5, 20}, 1, `keep-out T4 tool or foot comes down on keep-out "clamp" 9.5/10 x1`},
		{"the foot over a flat area", orb.Point{60, 12}, 1, ""}, // from 50/0 to 70/10
		{"a hole at a flat area", orb.Point{60, 10.5}, 1, ""},
		{"a hole in a flat area", orb.Point{60, 10.25}, 1, `keep-out T4 tool or foot comes down on keep-out "flat" 0.25/0.5 x1`},
	} {
		c := bench()
		c.in.Machine.Foot = 20
		c.in.Machine.ChangeAt = orb.Point{-40, 100}
		c.in.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{20, 32}, Diameter: 4, SetUp: 1}, {Role: tooling.Pin, At: orb.Point{64, 32}, Diameter: 4, SetUp: 2}}
		c.in.Panel.KeepOuts = []tooling.KeepOut{
			{Name: "clamp", Min: orb.Point{100, 10}, Max: orb.Point{110, 30}, Height: 1},
			{Name: "flat", Min: orb.Point{50, 0}, Max: orb.Point{70, 10}},
		}
		c.in.Rules.Stack.Clearance = 5
		c.hits = []writtenHit{{at: x.at, real: x.at, tool: 4, diameter: x.diameter}}
		c.checkPlaces()
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

func TestTravelAtItsLimits(t *testing.T) {
	one, two := orb.Point{20, 20}, orb.Point{40, 20}
	for _, x := range []struct {
		name  string
		tower tooling.KeepOut
		tools [2]int
		want  string
	}{
		{"far off", tooling.KeepOut{Min: orb.Point{80, 40}, Max: orb.Point{82, 42}, Height: 30}, [2]int{1, 1}, ""},
		{"between the hits", tooling.KeepOut{Min: orb.Point{32, 19}, Max: orb.Point{33, 21}, Height: 30}, [2]int{1, 1}, `travel-over T1 travel may cross keep-out "" 30/5 x2`}, // and on the way back
		{"as high as the clearance", tooling.KeepOut{Min: orb.Point{32, 19}, Max: orb.Point{33, 21}, Height: 5}, [2]int{1, 1}, ""},
		{"a little higher", tooling.KeepOut{Min: orb.Point{32, 19}, Max: orb.Point{33, 21}, Height: 5.5}, [2]int{1, 1}, `travel-over T1 travel may cross keep-out "" 5.5/5 x2`},
		{"touched by the foot", tooling.KeepOut{Min: orb.Point{50, 0}, Max: orb.Point{51, 21}, Height: 30}, [2]int{1, 1}, `travel-over T1 travel may cross keep-out "" 30/5 x2`},
		{"beside the foot", tooling.KeepOut{Min: orb.Point{50.5, 0}, Max: orb.Point{51, 21}, Height: 30}, [2]int{1, 1}, ""},
		{"on the way in, between and back", tooling.KeepOut{Min: orb.Point{10, 10}, Max: orb.Point{11, 11}, Height: 30}, [2]int{1, 1}, `travel-over T1 travel may cross keep-out "" 30/5 x3`},
		{"a change of tools between", tooling.KeepOut{Min: orb.Point{-5, -5}, Max: orb.Point{-4, -4}, Height: 30}, [2]int{1, 2}, "travel-over T1 travel may cross keep-out \"\" 30/5 x2\ntravel-over T2 travel may cross keep-out \"\" 30/5 x2"},
	} {
		c := bench()
		c.in.Machine.ChangeAt = orb.Point{0, 0}
		c.in.Panel.KeepOuts = []tooling.KeepOut{x.tower}
		c.in.Rules.Stack.Clearance = 5
		c.hits = []writtenHit{{real: one, tool: x.tools[0]}, {real: two, tool: x.tools[1]}}
		c.checkTravel(10)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

func TestSlotHitsAtTheirLimits(t *testing.T) {
	c := bench()
	c.tolerance = 0.125
	c.in.Rules.Bump = 1 // a bit of 2 mm may go 2 mm from hit to hit
	h := Hole{At: orb.Point{10, 10}, To: orb.Point{18, 10}}
	bit := tooling.Tool{Diameter: 2}
	for _, x := range []struct {
		name  string
		along []float64
		want  string
	}{
		{"by the pitch", []float64{0, 2, 4, 6, 8}, ""},
		{"in any order", []float64{8, 0, 4, 2, 6}, ""},
		{"stretched as far as writing may", []float64{0, 2.25, 4.5, 6.5, 8}, ""},
		{"and farther", []float64{0, 2.5, 4.5, 6.5, 8}, "slot-gap 2.000 mm hits of a slot lie too far apart 2.5/2.25 x1"},
		{"short of its beginning", []float64{0.125, 2, 4, 6, 8}, ""},
		{"too short of it", []float64{0.25, 2, 4, 6, 8}, "slot-gap 2.000 mm an end of a slot is not reached 0.25/0.125 x1"},
		{"short of its end", []float64{0, 2, 4, 6, 7.875}, ""},
		{"too short of that", []float64{0, 2, 4, 6, 7.5}, "slot-gap 2.000 mm an end of a slot is not reached 0.5/0.125 x1"},
		{"as near as two may be", []float64{0, 2, 2.125, 4, 6, 8}, ""},
		{"twice", []float64{0, 2, 2.0625, 4, 6, 8}, "hole-doubled 2.000 mm a hit of a slot is made twice 0/0 x1"},
	} {
		c.report = nil
		var hits []visit
		for _, d := range x.along {
			hits = append(hits, visit{at: orb.Point{10 + d, 10}})
		}
		c.checkSlot(h, bit, hits)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

// A stray hit within a millimetre of a hole that its bit did not finish is that
// hole's; one pair each, the nearest first come.
func TestStrayHitsAreGivenToTheNearestHole(t *testing.T) {
	c := bench()
	c.in.Holes = []Hole{Round(orb.Point{10, 10}, tooling.Size{Diameter: 1}), Round(orb.Point{10, 11.5}, tooling.Size{Diameter: 1}), Slot(orb.Point{30, 10}, orb.Point{34, 10}, tooling.Size{Diameter: 2})}
	c.bits = []tooling.Tool{{Diameter: 1}, {Diameter: 1}, {Diameter: 2}}
	hit := func(x, y, d float64) writtenHit { return writtenHit{at: orb.Point{x, y}, tool: 3, diameter: d} }
	for _, x := range []struct {
		name    string
		hits    []writtenHit
		missing []int
		want    string
	}{
		{"beside", []writtenHit{hit(10.5, 10, 1)}, []int{0}, "hole-moved T3 a hit lies beside its hole 0.5/0.25 x1"},
		{"the nearer of two", []writtenHit{hit(10, 11, 1)}, []int{0, 1}, "hole-moved T3 a hit lies beside its hole 0.5/0.25 x1\nhole-missing 1.000 mm a hole is not drilled 0/0 x1"},
		{"the other's turn", []writtenHit{hit(10, 11, 1), hit(10, 10.75, 1)}, []int{0, 1}, "hole-moved T3 a hit lies beside its hole 0.75/0.25 x2"},
		{"a whole millimetre", []writtenHit{hit(11, 10, 1)}, []int{0}, "hit-unknown T3 a hit where the plan has no hole 0/0 x1\nhole-missing 1.000 mm a hole is not drilled 0/0 x1"},
		{"another bit", []writtenHit{hit(10.5, 10, 1.5)}, []int{0}, "hit-unknown T3 a hit where the plan has no hole 0/0 x1\nhole-missing 1.000 mm a hole is not drilled 0/0 x1"},
		{"within a slot's width", []writtenHit{hit(31, 10.75, 2)}, nil, "hole-moved T3 a hit lies beside its slot 0/0.25 x1"},
		{"at a slot's wall", []writtenHit{hit(31, 11, 2)}, nil, "hit-unknown T3 a hit where the plan has no hole 0/0 x1"},
		{"in a slot with another bit", []writtenHit{hit(31, 10.75, 1)}, nil, "hit-unknown T3 a hit where the plan has no hole 0/0 x1"},
		{"none", nil, []int{1}, "hole-missing 1.000 mm a hole is not drilled 0/0 x1"},
	} {
		c.report, c.hits = nil, x.hits
		stray := make([]int, len(x.hits))
		for k := range stray {
			stray[k] = k
		}
		c.checkStray(stray, x.missing)
		if diff := cmp.Diff(x.want, said(c.report)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", x.name, diff)
		}
	}
}

// Half the last written digit, the half micrometre of the plan, both on two
// axes; never more than half a thousandth of an inch.
func TestToleranceOfAWriting(t *testing.T) {
	parse := func(text string) *nc.Program {
		p, err := nc.Parse([]byte(text), nc.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, x := range []struct {
		name, text string
		digits     int
		want       float64
	}{
		{"mm, three places", "M48\nMETRIC\nT1C1.000\n%\nT1\nX10.001Y5.\nX1.5Y2.25\nM30\n", 3, math.Sqrt2 * (0.0005 + 0.00051)},
		{"mm, most places in Y", "M48\nMETRIC\nT1C1.000\n%\nT1\nX10.0Y5.1234\nM30\n", 4, math.Sqrt2 * (0.00005 + 0.00051)},
		{"inch, four places", "M48\nINCH\nT1C.0400\n%\nT1\nX1.0001Y.5\nM30\n", 4, math.Sqrt2 * (0.00127 + 0.00051)},
		{"coarse", "M48\nMETRIC\nT1C1.000\n%\nT1\nX10.1Y5.1\nM30\n", 1, coarsest},
	} {
		p := parse(x.text)
		if got := decimals(p); got != x.digits {
			t.Errorf("%s: %d digits, want %d", x.name, got, x.digits)
		}
		p.Digits.Dec = 0
		if got := tolerance(p); math.Abs(got-x.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", x.name, got, x.want)
		}
	}
}

// Where several holes are at hand, a hit is that of the hole with its bit that
// is not finished yet, and the first of equal ones.
func TestHitsGoToTheHoleOfTheirBit(t *testing.T) {
	c := bench()
	c.in.Holes = []Hole{
		Slot(orb.Point{8, 10}, orb.Point{12, 10}, tooling.Size{Diameter: 2}), Round(orb.Point{10, 10}, tooling.Size{Diameter: 1}),
		Round(orb.Point{10.25, 10}, tooling.Size{Diameter: 1}), Round(orb.Point{20, 10}, tooling.Size{Diameter: 1}),
	}
	c.bits = []tooling.Tool{{Diameter: 2}, {Diameter: 1}, {Diameter: 1}, {Diameter: 1}}
	index := c.index()
	for _, x := range []struct {
		name     string
		x, y     float64
		diameter float64
		visits   map[int][]float64 // diameters of what was there before
		want     int
	}{
		{"the slot's bit", 10, 10, 2, nil, 0},
		{"the slot's bit again", 10, 10, 2, map[int][]float64{0: {2}}, 0},
		{"the round hole's bit", 10, 10, 1, nil, 1},
		{"finished already: the next", 10.125, 10, 1, map[int][]float64{1: {1}}, 2},
		{"only its pilot was made", 10.125, 10, 1, map[int][]float64{1: {0.5}}, 1},
		{"both finished: the first", 10.125, 10, 1, map[int][]float64{1: {1}, 2: {1}}, 1},
		{"no hole's bit: the first at hand", 10, 10, 1.5, nil, 0},
		{"a hole alone, of another bit", 20, 10, 1.5, nil, 3},
		{"at the tolerance", 20, 10.25, 1, nil, 3},
		{"past it", 20, 10.251, 1, nil, -1},
		{"past the end of the slot", 12.5, 10, 2, nil, -1},
	} {
		visits := make([][]visit, len(c.in.Holes))
		for i, ds := range x.visits {
			for _, d := range ds {
				visits[i] = append(visits[i], visit{diameter: d})
			}
		}
		if got := c.match(index, visits, writtenHit{at: orb.Point{x.x, x.y}, diameter: x.diameter}); got != x.want {
			t.Errorf("%s: hole %d, want %d", x.name, got, x.want)
		}
	}
}

// Pilots are wanted from the rule's diameter on and in slots shorter than their
// bit; a pilot is smaller than its bit and lies where the rule says.
func TestPilotsAtTheirLimits(t *testing.T) {
	c := bench()
	c.in.Rules.PilotFrom = 4
	c.in.Holes = []Hole{
		Round(orb.Point{10, 10}, tooling.Size{Diameter: 4, Plated: true}), Round(orb.Point{30, 10}, tooling.Size{Diameter: 3, Plated: true}),
		Slot(orb.Point{50, 10}, orb.Point{51, 10}, tooling.Size{Diameter: 2, Plated: true}), Slot(orb.Point{70, 10}, orb.Point{72, 10}, tooling.Size{Diameter: 2, Plated: true}),
	}
	c.bits = []tooling.Tool{{Diameter: 4}, {Diameter: 3}, {Diameter: 2}, {Diameter: 2}}
	c.tolerance = 0.123 // and 2 um for the grids
	p := c.newPilots()
	for i, want := range []int{1, 0, 2, 0} {
		if got := p.wanted(i); got != want {
			t.Errorf("hole %d wants %d pilots, not %d", i, want, got)
		}
	}
	c.in.Rules.PilotFrom = 0
	if p.wanted(0) != 0 {
		t.Error("no rule, no pilot")
	}
	c.in.Rules.PilotFrom = 4
	for _, x := range []struct {
		i        int
		diameter float64
		want     bool
	}{{0, 3.5, true}, {0, 4, false}, {1, 1, false}, {3, 1, false}} {
		if got := p.round(x.i, visit{diameter: x.diameter}); got != x.want {
			t.Errorf("a pilot of %v mm in hole %d: %v", x.diameter, x.i, got)
		}
	}
	for _, x := range []struct {
		x, y, diameter float64
		end            int // -1: none
	}{
		{49.5, 10, 1, 0}, {51.5, 10, 1, 1}, {49.625, 10, 1, 0}, {49.627, 10, 1, -1}, {49.5, 10.125, 1, 0}, {49.5, 9.873, 1, -1},
		{49.75, 10, 1.5, 0}, {51.25, 10, 1.5, 1}, {50.5, 10, 1, -1}, {50, 10, 2, -1}, {69.5, 10, 1, -1},
	} {
		p = c.newPilots()
		if got := p.take(visit{diameter: x.diameter, at: orb.Point{x.x, x.y}}); got != (x.end >= 0) {
			t.Errorf("a pilot of %v mm at X%v Y%v: %v", x.diameter, x.x, x.y, got)
		} else if got && len(p.found[2][x.end]) != 1 {
			t.Errorf("a pilot at X%v Y%v is not that of end %d", x.x, x.y, x.end)
		}
	}
}

// A written slot is one of the plan when both its ends lie within what writing
// moves, either way round; its hits run from the end it begins at.
func TestWrittenSlotsAtTheirLimits(t *testing.T) {
	c := bench()
	c.in.Holes = []Hole{Slot(orb.Point{10, 10}, orb.Point{14, 10}, tooling.Size{Diameter: 1}), Slot(orb.Point{10, 10.125}, orb.Point{14, 10.125}, tooling.Size{Diameter: 2}), Round(orb.Point{30, 10}, tooling.Size{Diameter: 1})}
	c.bits = []tooling.Tool{{Diameter: 1}, {Diameter: 2}, {Diameter: 1}}
	for _, x := range []struct {
		name     string
		from, to orb.Point
		diameter float64
		first    orb.Point // hit; zero: refused
	}{
		{"as planned", orb.Point{10, 10}, orb.Point{14, 10}, 1, orb.Point{10, 10}},
		{"from the other end", orb.Point{14, 10}, orb.Point{10, 10}, 1, orb.Point{14, 10}},
		{"at the tolerance", orb.Point{9.75, 10}, orb.Point{14.25, 10}, 1, orb.Point{10, 10}},
		{"past it at one end", orb.Point{9.75, 10}, orb.Point{14.5, 10}, 1, orb.Point{}},
		{"past it at the other", orb.Point{9.5, 10}, orb.Point{14.25, 10}, 1, orb.Point{}},
		{"back, at the tolerance", orb.Point{14.25, 10}, orb.Point{9.75, 10}, 1, orb.Point{14, 10}},
		{"back, past it", orb.Point{14.5, 10}, orb.Point{10, 10}, 1, orb.Point{}},
		{"that of the bit, of two at hand", orb.Point{10, 10}, orb.Point{14, 10}, 2, orb.Point{10, 10.125}},
		{"of no bit: the last at hand", orb.Point{10, 10}, orb.Point{14, 10}, 1.5, orb.Point{10, 10.125}},
		{"a round hole", orb.Point{30, 10}, orb.Point{30, 10}, 1, orb.Point{}},
	} {
		c.report, c.hits = nil, nil
		c.slot(nc.Op{Kind: nc.OpSlot, Tool: 3, From: x.from, To: x.to, Line: 7}, x.diameter)
		switch got := said(c.report); {
		case x.first == orb.Point{}:
			if got != "slot-unknown T3 line 7: a slot where the plan has none from end to end 0/0 x1" || len(c.hits) > 0 {
				t.Errorf("%s: %q, %d hits", x.name, got, len(c.hits))
			}
		case got != "" || len(c.hits) < 3 || c.hits[0].at != x.first || c.hits[0].tool != 3 || c.hits[0].diameter != x.diameter:
			t.Errorf("%s: %q, hits %v", x.name, got, c.hits)
		}
	}
}

func TestCrossesAndWear(t *testing.T) {
	for _, c := range []struct {
		a, b, c, d orb.Point
		want       bool
	}{
		{orb.Point{10, 10}, orb.Point{20, 30}, orb.Point{10, 30}, orb.Point{20, 10}, true},
		{orb.Point{10, 10}, orb.Point{20, 30}, orb.Point{11, 30}, orb.Point{16, 23}, false},
		{orb.Point{10, 10}, orb.Point{20, 30}, orb.Point{30, 10}, orb.Point{40, 30}, false},
		{orb.Point{-10, 5}, orb.Point{10, -5}, orb.Point{-1, -3}, orb.Point{2, 7}, true},
	} {
		if crosses(c.a, c.b, c.c, c.d) != c.want || crosses(c.c, c.d, c.a, c.b) != c.want {
			t.Errorf("%v-%v and %v-%v cross: %v", c.a, c.b, c.c, c.d, !c.want)
		}
	}
	// Hits made with a spindle parked do not wear its bit.
	r := Run{Again: 14, Bits: []Bit{{Place: 1, First: 0, Hits: 10, Worn: 25}, {Place: 2, First: 10, Hits: 10, Worn: 9}, {Place: 3, First: 20, Hits: 5, Worn: 3}}}
	for place, want := range map[int]int{1: 15, 2: 5, 3: 3, 4: 0} {
		if got := r.wornBefore(place); got != want {
			t.Errorf("the bit in T%d is worn by %d, want %d", place, got, want)
		}
	}
}
