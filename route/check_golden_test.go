package route_test

import (
	"context"
	"fmt"
	"hash/fnv"
	"regexp"
	"slices"
	"strconv"
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

// refusedBy writes what a report refuses in full, and a number for the rest.
func refusedBy(b *strings.Builder, name string, r tooling.Report) {
	fmt.Fprintf(b, "%s\n", name)
	var bad, good tooling.Report
	for _, f := range r {
		if f.OK {
			good = append(good, f)
		} else {
			bad = append(bad, f)
		}
	}
	told(b, bad)
	var rest strings.Builder
	told(&rest, good)
	h := fnv.New32a()
	fmt.Fprint(h, rest.String())
	fmt.Fprintf(b, "  %d others, %08x\n", len(good), h.Sum32())
}

// written is a layout with a pass made for it, and the way it is written.
type madeOf struct {
	name string
	l    route.Layout
	p    route.Pass
	o    nc.WriteOptions
}

// source is the pass as it is written.
func (m madeOf) source(t *testing.T) string {
	t.Helper()
	src, _ := written(t, m.p, m.o)
	return src
}

// check judges a text as the pass's program.
func (m madeOf) check(t *testing.T, src string) tooling.Report {
	t.Helper()
	prog, err := nc.Parse([]byte(src), nc.ReadOptions{AllowMissingEnd: true})
	require.NoError(t, err)
	return route.CheckAs(m.l, m.p, []*nc.Program{prog}, m.o)
}

// made are passes of several kinds to plant faults in.
func made(t *testing.T) (out []madeOf) {
	t.Helper()
	put := func(name string, in route.Input, o route.Options, w nc.WriteOptions) {
		in.Rules.Rout.Cutter = 2.4
		l := lay(t, in)
		for _, p := range plan(t, l, o) {
			m, err := p.Mount(setUp(t, in, p, 1), in.Machine)
			require.NoError(t, err)
			out = append(out, madeOf{name + ", " + p.Name, l, m, w})
		}
	}
	small := func(b route.Board) route.Input { return input(b, panel(76, 56, orb.Point{8, 8})) }
	put("open paths", small(slits()), route.Options{}, nc.WriteOptions{})
	climb := small(slits())
	climb.Rules.Rout.Direction, climb.Rules.Rout.Deflection = tooling.Climb, 0.02
	climb.Boards[0].Open[1].Plated = true
	put("open paths, climb, rough first", climb, route.Options{Rough: 0.15}, nc.WriteOptions{})
	put("compensated", small(tideGauge()), route.Options{}, nc.WriteOptions{Compensated: true})
	climb = small(tideGauge())
	climb.Rules.Rout.Direction = tooling.Climb
	put("compensated, climb", climb, route.Options{}, nc.WriteOptions{Compensated: true})
	put("without feeds", small(sensor()), route.Options{}, nc.WriteOptions{NoFeeds: true})
	half := halved(true)
	half.Panel = panel(76, 60, orb.Point{8, 12})
	half.Holes[0] = drill.Round(orb.Point{38, 12}, half.Holes[0].Size)
	half.Holes[0].Half = true
	put("a half hole", half, route.Options{}, nc.WriteOptions{})
	shared := input(plain(30, 20), panel(80, 60, orb.Point{8, 8}, orb.Point{40.4, 8}, orb.Point{8, 30.4}))
	shared.Rules.Tabs.Perforated, shared.Rules.Tabs.Width = false, 3
	put("shared channels", shared, route.Options{}, nc.WriteOptions{})
	scored := input(route.Board{Outline: rounded(30, 20, 2)}, panel(80, 40, orb.Point{10, 10}, orb.Point{40, 10}))
	scored.Panel.Scores = []tooling.Score{{{40, 0}, {40, 40}}, {{70, 0}, {70, 40}}}
	put("scored", scored, route.Options{}, nc.WriteOptions{})
	put("waste taken out", stopped(5), route.Options{}, nc.WriteOptions{})
	round := small(route.Board{Outline: contour.Circle(orb.Point{20, 20}, 20)})
	put("round", round, route.Options{}, nc.WriteOptions{})
	corners := samples()["sharp inside corners"]
	put("corners cleaned up", corners, route.Options{CleanUp: 0.8}, nc.WriteOptions{})
	l, p := stoppable(t, 180)
	rest, err := route.Resume(context.Background(), l, p, route.Stop{Run: p.Runs[0].Number, Path: 2, Last: 4, Spindles: []int{2}, Fragments: []int{4}}, route.Options{})
	require.NoError(t, err)
	out = append(out, madeOf{"the rest after a stop", l, rest, nc.WriteOptions{}})
	return out
}

var word = regexp.MustCompile(`([XY])(-?[0-9.]+)`)

// moved shifts every place of a text by so many mm.
func moved(s string, x, y float64) string {
	return word.ReplaceAllStringFunc(s, func(w string) string {
		v, err := strconv.ParseFloat(w[1:], 64)
		if err != nil {
			return w
		}
		if w[0] == 'X' {
			return fmt.Sprintf("X%.3f", v+x)
		}
		return fmt.Sprintf("Y%.3f", v+y)
	})
}

// TestChecksGolden plants faults in written programs and holds every refusal, with
// its figures and places, to what it was: paths left out, swapped, cut twice and
// shifted in programs of all kinds.
func TestChecksGolden(t *testing.T) {
	t.Parallel()
	c := goldenCases(t, "checks.txt")
	for _, m := range made(t) {
		c.run(t, m.name, func(t *testing.T, b *strings.Builder) { plant(t, b, m) })
	}
}

// plant tells what the check says of a program with faults.
func plant(t *testing.T, b *strings.Builder, m madeOf) {
	t.Helper()
	src := m.source(t)
	refusedBy(b, "as it is", m.check(t, src))
	n := strings.Count(src, "M15\n")
	for k := 0; k < n; k += max(1, n/2) {
		from, to := block(src, k)
		edits := []struct{ what, with string }{
			{"left out", ""},
			{"cut twice", src[from:to] + src[from:to]},
			{"3 um to the right", moved(src[from:to], 0.003, 0)},
			{"3 um to the left", moved(src[from:to], -0.003, 0)},
			{"50 um up", moved(src[from:to], 0, 0.05)},
			{"3 mm down", moved(src[from:to], 0, -3)},
		}
		for i, e := range edits {
			if i < 2 || i%3 == k%3 { // any of the shifts somewhere
				refusedBy(b, fmt.Sprintf("path %d %s", k+1, e.what), m.check(t, src[:from]+e.with+src[to:]))
			}
		}
	}
	if n > 1 {
		from, middle := block(src, n-2)
		_, to := block(src, n-1)
		refusedBy(b, "the last two paths swapped", m.check(t, src[:from]+src[middle:to]+src[from:middle]+src[to:]))
	}
	for _, message := range slices.Compact(slices.Sorted(slices.Values(regexp.MustCompile(`M47.*\n`).FindAllString(src, -1)))) {
		refusedBy(b, "without "+strings.TrimSpace(message), m.check(t, strings.Replace(src, message, "", 1)))
	}
	for _, e := range []struct{ what, old, new string }{
		{"down twice", "M15\n", "M15\nM15\n"}, {"never down", "M15\n", ""}, {"never up", "M16\n", ""}, {"the tools' sizes left out", "C2.400", "C2.000"},
		{"compensation not cancelled", "M16\nG40\n", "M16\n"}, {"the other side", "G42", "G41"}, {"the other side", "G41", "G42"},
	} {
		if strings.Contains(src, e.old) {
			refusedBy(b, e.what, m.check(t, strings.Replace(src, e.old, e.new, 1)))
		}
	}
	backwards := m
	backwards.p.Runs = slices.Clone(m.p.Runs)
	r := &backwards.p.Runs[len(m.p.Runs)-1]
	r.Paths = slices.Clone(r.Paths)
	r.Paths[0].Line = r.Paths[0].Line.Reverse()
	if !m.o.Compensated {
		refusedBy(b, "planned backwards", backwards.check(t, backwards.source(t)))
	}
}
