package drill_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/picture"
	"example.org/pinstack/tooling/stack"
)

// compareGolden compares text with a golden file line by line, or writes the
// file with -update.
func compareGolden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

func digest(parts ...any) string {
	sum := fnv.New32a()
	fmt.Fprint(sum, parts...)
	return fmt.Sprintf("%08x", sum.Sum32())
}

// mixed is the panel of small with other holes: all kinds of sizes, some close
// to each other, slots long and short at any angle, holes with a tolerance.
func mixed(seed uint64) drill.Input {
	in := small()
	in.Holes = nil
	r := rand.New(rand.NewPCG(seed, 90))
	sizes := []tooling.Size{via, via, component, supply, shield, stud, mount, gland, wide, gauge}
	for x := 20.0; x < 100; x += 6 + float64(r.IntN(4)) {
		for y := 12.0; y < 78; y += 6 + float64(r.IntN(5)) {
			at := orb.Point{x + float64(r.IntN(1000))/1000, y + float64(r.IntN(1000))/1000}
			size := sizes[r.IntN(len(sizes))]
			h := drill.Round(at, size)
			switch r.IntN(12) {
			case 0, 1: // longer than twice its width, or not
				h.To = orb.Point{at[0] + float64(r.IntN(3000))/1000 - 1.5, at[1] + float64(r.IntN(3000))/1000 - 1.5}
			case 2:
				h.Tented = !size.Plated
			case 3:
				h.Position = []float64{0.05, 0.075, 0.1}[r.IntN(3)]
			case 4: // a close neighbour
				in.Holes = append(in.Holes, drill.Round(orb.Point{at[0] + size.Diameter/2 + 0.3, at[1]}, via))
			case 5:
				h.Half = true
			}
			in.Holes = append(in.Holes, h)
		}
	}
	return in
}

// said is a finding on one line.
func said(f tooling.Finding) string {
	s := fmt.Sprintf("%s, %s, %s: %s, %.6f/%.6f, %d at", f.Rule, f.Source, f.Tool, f.Detail, f.Value, f.Limit, f.Count)
	for _, p := range f.Places {
		s += fmt.Sprintf(" %.3f/%.3f", p[0], p[1])
	}
	return s
}

// describe adds all that is known of a pass, a line for each run.
func describe(t *testing.T, out *strings.Builder, in drill.Input, p drill.Pass) {
	t.Helper()
	fmt.Fprintf(out, "  %s %s, %d hits, %d holes\n", p.Name, p.Stage, p.Hits(), p.Holes())
	for _, r := range p.Runs {
		if p.Rest != nil { // the rest is as planned but for its hits and bits
			fmt.Fprintf(out, "    %d %s, %d hits, again %d, travel %v, bits %v, hits %s, all %s\n", r.Number, r.Tool.ID, len(r.Hits), r.Again, r.Travel, r.Bits, digest(r.Hits), digest(fmt.Sprintf("%+v", r)))
			continue
		}
		sizes := ""
		for _, s := range r.Sizes {
			sizes += fmt.Sprintf(" %dx%.3f->%.3f", s.Holes, s.Size.Diameter, s.Finished)
		}
		fmt.Fprintf(out, "    %d %s slow %v,%s, %d hits, again %d, path %v, travel %v, settle %v, trip %v, bound %v, boards %d repeat %v, tolerance %v after %v, feed %v, depth %v, life %v limit %d, bits %v, hits %s\n",
			r.Number, r.Tool.ID, r.Slow, sizes, len(r.Hits), r.Again, r.Path, r.Travel, r.Settle, r.Trip, r.Bound, r.Boards, r.Repeat, r.Tolerance, r.After,
			r.Feed, r.Depth, r.Life, r.Limit, r.Bits, digest(r.Hits))
	}
	work := p.Work()
	fmt.Fprintf(out, "    work %s", digest(work))
	if !p.Mounted() {
		fmt.Fprintln(out)
		return
	}
	e, err := p.Estimate(in.Machine)
	require.NoError(t, err)
	lot, err := p.Lot(in.Machine)
	require.NoError(t, err)
	steps := digest()
	for at, s := range in.Machine.Timed(p.Steps(in.Machine)) {
		steps = digest(steps, at, s)
	}
	scene := &picture.Scene{}
	p.Draw(scene, &in.Machine)
	saved, err := json.Marshal(p)
	require.NoError(t, err)
	fmt.Fprintf(out, ", load %v floor %v, lot %v floor %v, steps %s, drawn %s, saved %s\n", e.Total(), e.Floor, lot.Total(), lot.Floor, steps, drawn(scene), digest(string(saved)))
	for n := 2; n <= min(p.SetUp.Loads, 3); n++ {
		load, err := p.Load(n)
		require.NoError(t, err)
		for _, r := range load.Runs {
			fmt.Fprintf(out, "    load %d run %d bits %v\n", n, r.Number, r.Bits)
		}
	}
}

func drawn(s *picture.Scene) string {
	sum := digest()
	for _, l := range s.Layers {
		sum = digest(sum, fmt.Sprintf("%+v", *l))
	}
	return sum
}

// goldenForms are ways of writing, in turn.
var goldenForms = []nc.WriteOptions{
	{}, {Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 5}}, {Rows: true, Patterns: true}, {NoFeeds: true},
	{Slots: nc.SlotG85}, {Slots: nc.SlotRout}, {Incremental: true, Digits: nc.Digits{Int: 3, Dec: 3}, Zeros: nc.TrailingZeros},
}

// The same input gives the same passes, times, pictures and programs from
// version to version, unless planning is changed on purpose.
func TestGoldenPasses(t *testing.T) {
	var out strings.Builder
	for _, c := range []struct {
		name string
		in   drill.Input
		plan drill.Options
		lot  int
		load stack.Options
	}{
		{"small", small(), drill.Options{Tour: tour.Options{Kicks: 2}}, 12, stack.Options{}},
		{"small, bounds", small(), drill.Options{Tour: tour.Options{Kicks: 1, Bound: true}}, 24, stack.Options{Height: 2}},
		{"mixed, spares carried on", mixed(1), drill.Options{Tour: tour.Options{Kicks: -1}}, 240, stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}},
		{"mixed, spares", mixed(2), drill.Options{Tour: tour.Options{Kicks: 1, Bound: true}}, 2400, stack.Options{Mode: stack.Spares}},
		{"mixed, interleaved", mixed(3), drill.Options{Tour: tour.Options{Kicks: -1}, Interleave: 3}, 40, stack.Options{}},
		{"mixed, tiers", mixed(4), drill.Options{Tour: tour.Options{Kicks: -1}}, 240, stack.Options{Tiers: 3}},
		{"array, repeated", arrayOf(3, 30, 3, 2), drill.Options{Tour: tour.Options{Kicks: -1}, Repeat: true}, 10, stack.Options{}},
		{"field, many bits", field(50, 46), drill.Options{Tour: tour.Options{Kicks: -1}}, 300, stack.Options{}},
		{"field, many spares", field(50, 46), drill.Options{Tour: tour.Options{Kicks: -1}}, 300, stack.Options{Mode: stack.Spares, Policy: stack.CarryOn}},
	} {
		fmt.Fprintf(&out, "%s: %d holes\n", c.name, len(c.in.Holes))
		found, err := drill.Inspect(c.in)
		require.NoError(t, err, c.name)
		for _, f := range found {
			fmt.Fprintf(&out, "  %s\n", said(f))
		}
		fmt.Fprintf(&out, "  routed %v\n", c.in.Routed())
		passes, err := drill.Plan(context.Background(), c.in, c.plan)
		require.NoError(t, err, c.name)
		problem := stack.Problem{Lot: c.lot, Panel: c.in.Panel, Rules: c.in.Rules, Machine: c.in.Machine}
		for _, p := range passes {
			problem.SetUps = append(problem.SetUps, p.Work())
		}
		solved, err := stack.Solve(context.Background(), problem, c.load)
		require.NoError(t, err, c.name)
		for _, p := range passes {
			for _, s := range solved.SetUps {
				if !s.Has(p.Name) {
					continue
				}
				m, err := p.Mount(s, c.in.Machine)
				require.NoError(t, err, c.name)
				describe(t, &out, c.in, m)
				for k, form := range goldenForms {
					text, back := written(t, m, form)
					report := drill.CheckAs(c.in, m, back, form)
					require.NoError(t, report.Err(), "%s form %d", c.name, k)
					fmt.Fprintf(&out, "    form %d: %d bytes %s, report %s\n", k, len(text), digest(text), digest(fmt.Sprintf("%+v", report)))
				}
			}
		}
	}
	compareGolden(t, "passes.txt", out.String())
}

var number = regexp.MustCompile(`[0-9]+\.?[0-9]*`)

// damaged changes one line of a program somehow, and says how.
func damaged(r *rand.Rand, text string) (out, how string) {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	k := 1 + r.IntN(len(lines)-2)
	if r.IntN(3) > 0 { // rather one with digits
		for n := 0; n < 20 && !strings.HasPrefix(lines[k], "X") && !strings.HasPrefix(lines[k], "T"); n++ {
			k = 1 + r.IntN(len(lines)-2)
		}
	}
	kind := r.IntN(8)
	if kind == 7 { // the table of tools has few lines, with much in each
		var table []int
		for n, l := range lines {
			if strings.HasPrefix(l, "T") && strings.Contains(l, "C") {
				table = append(table, n)
			}
		}
		k = table[r.IntN(len(table))]
	}
	line := lines[k]
	switch kind {
	case 0:
		lines = append(lines[:k:k], lines[k+1:]...)
		how = "left out"
	case 1:
		lines = append(append(lines[:k:k], line), lines[k:]...)
		how = "twice"
	case 2:
		lines[k], lines[k+1] = lines[k+1], lines[k]
		how = "after " + lines[k]
	case 3:
		other := 1 + r.IntN(len(lines)-2)
		lines[k], lines[other] = lines[other], lines[k]
		how = "instead of " + lines[k]
	default:
		at := number.FindAllStringIndex(line, -1)
		if len(at) == 0 {
			return text, "as it was"
		}
		span := at[r.IntN(len(at))]
		was := line[span[0]:span[1]]
		v, _ := strconv.ParseFloat(was, 64)
		dec := 0
		if _, after, ok := strings.Cut(was, "."); ok {
			dec = len(after)
		}
		v += []float64{-400, -20, -2, -1, 1, 2, 3, 20, 500, 5000}[r.IntN(10)] / 1000
		if kind == 7 || dec == 0 { // some units of the last digit
			v += float64(r.IntN(9)-4) / math.Pow10(dec)
		}
		lines[k] = line[:span[0]] + strconv.FormatFloat(max(v, 0), 'f', dec, 64) + line[span[1]:]
		how = "now " + lines[k]
	}
	return strings.Join(lines, "\n") + "\n", fmt.Sprintf("line %d %s %s", k+1, line, how)
}

// judge checks damaged programs of a pass and notes what is refused.
func judge(t *testing.T, out *strings.Builder, r *rand.Rand, in drill.Input, p drill.Pass, form nc.WriteOptions, times int) {
	t.Helper()
	parts, err := p.Programs(form)
	require.NoError(t, err)
	var whole strings.Builder
	_, err = parts[0].WriteTo(&whole)
	require.NoError(t, err)
	for range times {
		text, how := damaged(r, whole.String())
		fmt.Fprintf(out, "  %s\n", how)
		back, err := nc.Parse([]byte(text), nc.ReadOptions{})
		if err != nil {
			fmt.Fprintln(out, "    not read")
			continue
		}
		for _, f := range drill.CheckAs(in, p, []*nc.Program{back}, form) {
			if !f.OK {
				fmt.Fprintf(out, "    %s\n", said(f))
			}
		}
	}
}

// What a check says of damaged programs: the rule, the tool, what was found and
// what was wanted, and where.
func TestGoldenReportsOfDamagedPrograms(t *testing.T) {
	r := rand.New(rand.NewPCG(83, 0))
	var out strings.Builder
	for k, in := range []drill.Input{small(), mixed(5), mixed(6)} {
		for _, p := range mountAll(t, in, 24) {
			for n, form := range goldenForms {
				times := 6
				if n == 0 {
					times = 24
				}
				fmt.Fprintf(&out, "panel %d, %s, form %d\n", k, p.Name, n)
				judge(t, &out, r, in, p, form, times)
			}
		}
	}
	compareGolden(t, "reports.txt", out.String())
}

// What is left after a stop anywhere, and what a check says of its program.
func TestGoldenRests(t *testing.T) {
	r := rand.New(rand.NewPCG(89, 0))
	var out strings.Builder
	for k, in := range []drill.Input{resumable(), mixed(7)} {
		in.Machine.Spindles, in.Machine.Places, in.Machine.Stop = 3, 400, time.Minute
		for _, p := range plan(t, in) {
			p = shortLived(t, in, p, 30)
			for n := range 16 {
				stop := randomStop(r, in, p)
				fmt.Fprintf(&out, "panel %d, %s, %+v\n", k, p.Name, stop)
				rest, err := drill.Resume(context.Background(), in, p, stop, quick)
				if err != nil {
					var se *drill.StopError
					require.True(t, errors.As(err, &se), "%v", err)
					fmt.Fprintf(&out, "  %v\n", err)
					continue
				}
				describe(t, &out, in, rest)
				fmt.Fprintf(&out, "    left out %v, done %s\n", rest.Rest.LeftOut, digest(fmt.Sprintf("%+v", *rest.Rest)))
				text, back := written(t, rest, nc.WriteOptions{})
				require.NoError(t, drill.CheckAs(in, rest, back, nc.WriteOptions{}).Err())
				fmt.Fprintf(&out, "    text %s\n", digest(text))
				judge(t, &out, r, in, rest, nc.WriteOptions{}, 2)
				if n%4 == 0 { // and once more
					again, err := drill.Resume(context.Background(), in, rest, randomStop(r, in, rest), quick)
					if err != nil {
						fmt.Fprintf(&out, "  again: %v\n", err)
						continue
					}
					describe(t, &out, in, again)
					fmt.Fprintf(&out, "    left out %v, done %s\n", again.Rest.LeftOut, digest(fmt.Sprintf("%+v", *again.Rest)))
				}
			}
		}
	}
	compareGolden(t, "rests.txt", out.String())
}

// What is said of two files of one board that were read as they may be: moved,
// turned, in another unit, with few holes or many.
func TestGoldenRegistration(t *testing.T) {
	r := rand.New(rand.NewPCG(97, 0))
	var out strings.Builder
	for k := range 160 {
		at := func(n int, w, h float64) []orb.Point {
			ps := make([]orb.Point, n)
			for i := range ps {
				ps[i] = orb.Point{float64(r.IntN(int(w*20))) / 20, float64(r.IntN(int(h*20))) / 20}
			}
			return ps
		}
		w, h := 20+float64(80*r.Float64()), 15+float64(60*r.Float64())
		a, b := at(3+r.IntN(40), w, h), at(1+r.IntN(12), w, h)
		if k%3 == 0 { // what every file repeats
			b = append(b, a[:min(3, len(a))]...)
		}
		if k%4 == 1 {
			b = at(4, w, h)
			b = append(b, orb.Point{0, 0}, orb.Point{w, h})
		}
		scale := []float64{1, 1, 1, 25.4, 1 / 25.4}[r.IntN(5)]
		sx, sy := float64(1-2*r.IntN(2)), float64(1-2*r.IntN(2))
		dx, dy := []float64{0, 0, w / 5, w / 3, -w, 1.2 * w, 3 * w}[r.IntN(7)], []float64{0, 0, 0, h, -2 * h}[r.IntN(5)]
		sizes := []float64{1, 1, scale}[r.IntN(3)]
		holes := append(filed("a.drl", a, []float64{0.3, 1, 2.5}[r.IntN(3)], 1, func(p orb.Point) orb.Point { return p }),
			filed("b.drl", b, []float64{0.3, 1, 3.2}[r.IntN(3)], sizes, func(p orb.Point) orb.Point {
				return orb.Point{float64(scale*float64(sx*p[0])) + dx, float64(scale*float64(sy*p[1])) + dy}
			})...)
		if k%5 == 0 {
			last := &holes[len(holes)-1]
			last.To = tooling.SnapPoint(orb.Point{last.At[0] + 3, last.At[1] + 1})
		}
		report, err := drill.Agree(holes, orb.Bound{})
		fmt.Fprintf(&out, "%d: %v\n", k, err)
		for _, f := range report {
			fmt.Fprintf(&out, "  %s\n", said(f))
		}
	}
	compareGolden(t, "registration.txt", out.String())
}
