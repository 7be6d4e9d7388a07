package route_test

import (
	"context"
	"fmt"
	"hash/fnv"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/picture"
)

// golden holds a text against a file of testdata/golden, which -update writes.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := "testdata/golden/" + name
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got), "-want +got")
}

// cases holds what is said of one case after another against a golden file, in
// which every case stands behind a line with its name.
type cases struct {
	file       string
	want       map[string]string
	got        strings.Builder
	asked, ran int
}

// goldenCases reads a file of testdata/golden; -update writes it, where all
// cases have run.
func goldenCases(t *testing.T, name string) *cases {
	t.Helper()
	c := &cases{file: "testdata/golden/" + name, want: map[string]string{}}
	all, err := os.ReadFile(c.file)
	if !*update {
		require.NoError(t, err)
	}
	for part := range strings.SplitSeq(strings.TrimPrefix(string(all), "== "), "\n== ") {
		name, text, _ := strings.Cut(part, "\n")
		c.want[name] = strings.TrimSuffix(text, "\n")
	}
	t.Cleanup(func() {
		switch {
		case c.ran < c.asked: // only some were wanted
		case *update:
			require.NoError(t, os.WriteFile(c.file, []byte(c.got.String()), 0o644))
		default:
			require.Len(t, c.want, c.ran, "cases of %s that are no more", c.file)
		}
	})
	return c
}

// run compares one case.
func (c *cases) run(t *testing.T, name string, tell func(t *testing.T, b *strings.Builder)) {
	t.Helper()
	c.asked++
	t.Run(name, func(t *testing.T) {
		c.ran++
		var b strings.Builder
		tell(t, &b)
		text := strings.TrimSuffix(b.String(), "\n")
		fmt.Fprintf(&c.got, "== %s\n%s\n", name, text)
		if !*update {
			require.Empty(t, cmp.Diff(c.want[name], text), "-want +got")
		}
	})
}

// mm is a length to the micrometre, without a minus before zero.
func mm(x float64) string { return fmt.Sprintf("%.3f", math.Round(x*1000)/1000+0) }

func xy(p orb.Point) string { return "X" + mm(p[0]) + " Y" + mm(p[1]) }

func places(ps []orb.Point) string {
	var b strings.Builder
	for _, p := range ps {
		b.WriteString(" " + xy(p))
	}
	return b.String()
}

// told writes the findings of a report: what refuses in full, what was met by
// its figure, or by its name alone.
func told(b *strings.Builder, r tooling.Report) {
	var met []string
	for _, f := range r {
		figure := fmt.Sprintf("%.4f of %s, %d times%s", f.Value+0, mm(f.Limit), f.Count, places(f.Places))
		switch {
		case !f.OK:
			fmt.Fprintf(b, "  REFUSED %s [%s] %s: %s\n", f.Rule, f.Tool, f.Detail, figure)
		case f.Value == 0 && f.Limit == 0 && f.Count == 1 && f.Places == nil:
			met = append(met, f.Rule)
		default:
			fmt.Fprintf(b, "  %s [%s] %s\n", f.Rule, f.Tool, figure)
		}
	}
	if met != nil {
		h := fnv.New32a()
		fmt.Fprint(h, met)
		fmt.Fprintf(b, "  %d rules met, %08x\n", len(met), h.Sum32())
	}
}

// digest is a number for the moves of a line: ends and radii in micrometres.
func digest(c contour.Contour) uint32 {
	h := fnv.New32a()
	for _, m := range c.Moves {
		r := 0.0
		if m.Turn != 0 {
			r = gap(m.Center, m.To)
		}
		fmt.Fprintln(h, mm(m.To[0]), mm(m.To[1]), m.Turn, mm(r))
	}
	return h.Sum32()
}

// toldLayout writes what [route.Lay] has decided.
func toldLayout(b *strings.Builder, l route.Layout) {
	fmt.Fprintf(b, " cutter %s\n", mm(l.Cutter.Diameter))
	for _, t := range l.Tabs {
		fmt.Fprintf(b, " tab of board %d loop %d at %s out %s, %s wide, across %s, radius %s, perforated %v\n",
			t.Board, t.Loop, xy(t.At), xy(t.Out), mm(t.Width), mm(t.Across), mm(t.Radius), t.Perforated)
	}
	h := fnv.New32a()
	for _, p := range l.Perforations() {
		fmt.Fprintln(h, xy(p.At), mm(p.Size.Diameter))
	}
	fmt.Fprintf(b, " %d perforations, %08x\n", len(l.Perforations()), h.Sum32())
	told(b, l.Report)
}

// toldPass writes a pass, a line for each of its paths.
func toldPass(b *strings.Builder, p route.Pass) {
	fmt.Fprintf(b, " pass %s %s %s, drops from %s\n", p.Name, p.Stage, p.Direction, mm(p.DropFrom))
	for _, r := range p.Runs {
		fmt.Fprintf(b, " run %d cutter %s: travel %s mm %s s, cut %s mm %s s, stops %s s, again %d, home%s\n",
			r.Number, mm(r.Tool.Diameter), mm(r.Path), mm(r.Travel), mm(r.Cut), mm(r.Cutting), mm(r.Stopped), r.Again, places(r.Home))
		for _, c := range r.Cutters {
			fmt.Fprintf(b, "  T%d cuts %d from %d, %s mm, worn %s, home%s\n", c.Place, c.Paths, c.First, mm(c.Cut), mm(c.Worn), places(c.Home))
		}
		for _, q := range r.Paths {
			loop := fmt.Sprintf("board %d loop %d", q.Board, q.Loop)
			if q.Hole {
				loop += " hole"
			}
			if q.Open != "" {
				loop += " open " + string(q.Open)
			}
			fmt.Fprintf(b, "  %s %s: %s to %s, %d moves, %s mm, %08x", q.Role, loop, xy(q.Line.Start), xy(q.Line.End()), len(q.Line.Moves), mm(q.Length()), digest(q.Line))
			for _, f := range []struct {
				name  string
				value float64
			}{{"lead in", q.LeadIn}, {"lead out", q.LeadOut}, {"overlap", q.Overlap}, {"allowance", q.Allowance}, {"entry", q.Entry}, {"frees", q.Frees}} {
				if f.value != 0 {
					fmt.Fprintf(b, ", %s %s", f.name, mm(f.value))
				}
			}
			if q.Via != nil {
				fmt.Fprintf(b, ", via%s", places(q.Via))
			}
			b.WriteByte('\n')
		}
	}
	told(b, p.Report)
}

// toldRout lays, plans, mounts, writes, draws and checks one panel.
func toldRout(t *testing.T, b *strings.Builder, r rout) {
	t.Helper()
	in, o := r.in, r.o
	l, err := route.Lay(in)
	if err != nil {
		fmt.Fprintf(b, " not laid: %v\n", err)
		return
	}
	toldLayout(b, l)
	holes, err := l.Entries(context.Background(), o)
	if err != nil {
		fmt.Fprintf(b, " no entries: %v\n", err)
	}
	for _, h := range holes {
		fmt.Fprintf(b, " entry %s of %s, %s\n", xy(h.At), mm(h.Size.Diameter), h.Stage())
	}
	passes, err := route.Plan(context.Background(), l, o)
	if err != nil {
		fmt.Fprintf(b, " not planned: %v\n", err)
		return
	}
	for _, p := range passes {
		m, err := p.Mount(setUp(t, in, p, r.height), in.Machine)
		if err != nil {
			toldPass(b, p)
			fmt.Fprintf(b, " not mounted: %v\n", err)
			continue
		}
		toldPass(b, m)
		estimate, err := m.Estimate(in.Machine)
		require.NoError(t, err)
		fmt.Fprintf(b, " takes %.3f s in %s\n", estimate.Total().Seconds(), stepped(m, in.Machine))
		var s picture.Scene
		l.Draw(&s)
		m.Draw(&s, &in.Machine)
		drawn(b, s)
		report := route.Check(l, m, parse(t, text(t, m)))
		told(b, report)
		if !r.refused {
			require.NoError(t, report.Err(), r.name)
		}
	}
}

// stepped is the number of a pass's steps, and one for what they are.
func stepped(p route.Pass, m machine.Machine) string {
	h := fnv.New32a()
	steps, pauses := 0, 0
	for s := range p.Steps(m) {
		if steps++; s.Kind == machine.Pause {
			pauses++
		}
		fmt.Fprintln(h, s.Kind, xy(s.To), s.Clockwise, s.Tool, s.Hole, s.Path, mm(s.Depth), mm(s.Feed), mm(s.Retract))
	}
	return fmt.Sprintf("%d steps, %d pauses, %08x", steps, pauses, h.Sum32())
}

// drawn writes a number for all marks of a scene, with their times.
func drawn(b *strings.Builder, s picture.Scene) {
	h := fnv.New32a()
	marks := 0
	for _, layer := range s.Layers {
		marks += len(layer.Marks)
		fmt.Fprintf(h, "%s %s %d %d %d %s %.3f\n", layer.Name, layer.Pass, layer.SetUp, layer.Run, layer.Place, mm(layer.Diameter), layer.Start)
		for _, k := range layer.Marks {
			fmt.Fprintln(h, k.Shape, places(k.Points), k.Clockwise, mm(k.Width), k.Number, k.Role, fmt.Sprintf("%.2f", k.Seconds))
		}
	}
	fmt.Fprintf(b, "  drawn in %d layers and %d marks, %08x\n", len(s.Layers), marks, h.Sum32())
}

// rout is a panel and how it is planned.
type rout struct {
	name    string
	in      route.Input
	o       route.Options
	height  int  // panels in the stack
	refused bool // by the check
}

// routs are panels of every trait that a plan takes account of.
func routs() (out []rout) {
	put := func(name string, in route.Input, o route.Options) {
		out = append(out, rout{name: name, in: in, o: o, height: 1})
	}
	all := samples()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		out = append(out, rout{name: name, in: all[name], height: 2})
	}
	one := func(b route.Board) route.Input {
		size := b.Outline.Bound()
		in := input(b, panel(size.Max[0]-size.Min[0]+16, size.Max[1]-size.Min[1]+16, orb.Point{8, 8}))
		in.Rules.Rout.Cutter = 2.4
		return in
	}
	climb := func(in route.Input) route.Input {
		in.Rules.Rout.Direction = tooling.Climb
		return in
	}
	put("open paths", one(slits()), route.Options{})
	put("open paths, rough first, climb", climb(one(slits())), route.Options{Rough: 0.15})
	turned := one(slits())
	turned.Panel.Width, turned.Panel.Height = 56, 76
	turned.Panel.Boards[0] = tooling.Placement{Offset: orb.Point{48, 8}, Quarters: 1}
	turned.Rules.Rout.Deflection = 0.02
	put("open paths of a turned board, deflection", turned, route.Options{})
	put("a half hole before plating", halved(true), route.Options{})
	put("a half hole after plating, rough first", halved(false), route.Options{Rough: 0.1})
	for _, r := range []float64{9, 16, 30} {
		put(fmt.Sprintf("a round board of %v mm", 2*r), one(route.Board{Outline: contour.Circle(orb.Point{r, r}, r)}), route.Options{})
	}
	for _, w := range []float64{10, 2.4, 0.5} {
		in := one(route.Board{Outline: bay(w)})
		in.Rules.Rout.Cutter = 0
		put(fmt.Sprintf("a bay of %v mm", w), in, route.Options{CleanUp: 0.8})
	}
	keyhole := contour.FromRing(orb.Ring{{20, 10}, {40, 10}, {40, 30}, {31, 30}, {31, 36}, {29, 36}, {29, 30}, {20, 30}, {20, 10}})
	put("a keyhole", one(route.Board{Outline: rounded(60, 40, 0), CutOuts: []contour.Contour{keyhole}}), route.Options{})
	for _, n := range []int{1, 2} {
		in := one(plain(70, 30))
		in.Rules.Tabs.PerSide = n
		put(fmt.Sprintf("%d tabs a side", n), in, route.Options{})
	}
	dense := one(plain(70, 40))
	dense.Rules.Tabs.Perforated, dense.Rules.Tabs.Width, dense.Rules.Tabs.Spacing, dense.Rules.Tabs.PerBoard = false, 1.5, 20, 2
	put("many narrow tabs", dense, route.Options{Rough: 0.2})
	put("corners cleaned up", all["sharp inside corners"], route.Options{CleanUp: 0.8})
	dropping := all["sharp inside corners"]
	dropping.NoTabs = true
	put("corners cleaned up before the board drops", climb(dropping), route.Options{CleanUp: 0.8})
	out = append(out, rout{name: "rough first round a board that nothing holds", in: climb(all["left to drop"]), o: route.Options{Rough: 0.1}, height: 1, refused: true})
	drops := one(plain(20, 15))
	drops.Panel = panel(70, 31, orb.Point{8, 8}, orb.Point{40, 8})
	drops.NoTabs = true
	put("two boards left to drop", drops, route.Options{})
	leads := one(route.Board{Outline: rounded(60, 40, 3), CutOuts: []contour.Contour{rounded(26, 9, 1.5).Translate(5, 5), rounded(9, 24, 1.5).Translate(40, 8)}})
	leads.Rules.Rout.LeadIn = 2
	put("long leads in narrow cut-outs", leads, route.Options{ClearBelow: -1})
	put("a rough path beyond the channel", one(plain(40, 30)), route.Options{Rough: 1.9})
	put("everything cleared", one(sensor()), route.Options{ClearBelow: 50, Rough: 0.15})
	put("nothing cleared", all["routed holes"], route.Options{ClearBelow: -1, CleanUp: 0.8})
	put("holes to enter in", climb(all["routed holes"]), route.Options{EnterBelow: 3})
	put("waste taken out", stopped(5), route.Options{})
	clamps := one(sensor())
	clamps.Panel = panel(100, 80, orb.Point{20, 20})
	clamps.Panel.Features = []tooling.Feature{{Role: tooling.Pin, At: orb.Point{10, 40}, Diameter: 3.175}, {Role: tooling.Pin, At: orb.Point{90, 40}, Diameter: 3.175}, {Role: tooling.Pin, At: orb.Point{30, 30}, Diameter: 2}}
	clamps.Panel.KeepOuts = []tooling.KeepOut{
		{Name: "clamp", Min: orb.Point{30, 0}, Max: orb.Point{45, 5}, Height: 8},
		{Name: "tall", Min: orb.Point{0, 8}, Max: orb.Point{5, 12}, Height: 8},
		{Name: "bushing", Min: orb.Point{60, 72}, Max: orb.Point{70, 80}},
	}
	put("pins and clamps", clamps, route.Options{})
	mixed := one(sensor())
	mixed.Panel = panel(120, 90, orb.Point{10, 10}, orb.Point{72.4, 10})
	mixed.Boards = append(mixed.Boards, plain(30, 20), route.Board{Outline: bay(10)})
	mixed.Panel.Boards[1].Board = 1
	mixed.Panel.Boards = append(mixed.Panel.Boards, tooling.Placement{Board: 1, Offset: orb.Point{72.4, 32.4}}, tooling.Placement{Board: 1, Offset: orb.Point{110, 55}, Quarters: 1})
	put("boards of several kinds", mixed, route.Options{})
	crowd := input(route.Board{Outline: rounded(16, 12, 1), CutOuts: []contour.Contour{contour.Circle(orb.Point{8, 6}, 2.5)}}, panel(80, 60))
	for k := range 12 {
		crowd.Panel.Boards = append(crowd.Panel.Boards, tooling.Placement{Offset: orb.Point{6 + 17.6*float64(k%4), 6 + 16*float64(k/4)}})
	}
	crowd.Rules.Rout.Cutter, crowd.Rules.Tabs.Width, crowd.Rules.Tabs.Perforated, crowd.Rules.Tabs.CornerClear, crowd.Rules.Tabs.PerBoard = 1.6, 1, false, 1, 2
	put("a dozen small boards", crowd, route.Options{Seed: 3, Kicks: 3})
	rng := rand.New(rand.NewPCG(21, 1))
	for k := range 14 {
		in, o := anyInput(rng)
		in.Panel.Boards = in.Panel.Boards[:min(2, len(in.Panel.Boards))]
		put(fmt.Sprintf("random boards %d", k), in, o)
	}
	for k := range 14 {
		rng := rand.New(rand.NewPCG(uint64(k), 12))
		line := wander(rng).Translate(-10, -10)
		in := one(route.Board{Outline: rounded(100, 100, 3), Open: []route.OpenPath{{Line: line, Side: []route.Side{route.Left, route.Right, route.Centre}[k%3], Width: 0.8 + 0.2*float64(k%2), Plated: k%5 == 0}}})
		in.Holes = []drill.Hole{drill.Round(orb.Point{50, 60}, finished(1.2, true)), drill.Round(orb.Point{40, 40}, finished(2, k%2 == 0))}
		put(fmt.Sprintf("a random open path %d", k), in, route.Options{})
	}
	return out
}

// TestRoutsGolden lays, plans, mounts, writes and checks panels of every kind. The
// same input, options and seed give the same rout, to the micrometre, on every
// machine and in every version: a change of the file is a change of what shops cut.
func TestRoutsGolden(t *testing.T) {
	t.Parallel()
	c := goldenCases(t, "routs.txt")
	for _, r := range routs() {
		c.run(t, r.name, func(t *testing.T, b *strings.Builder) { toldRout(t, b, r) })
	}
}
