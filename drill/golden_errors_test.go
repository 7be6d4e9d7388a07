package drill_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// What is said of a hole on, beside and over every edge: the panel's, a
// keep-out's and a pin's.
func TestGoldenPlacesOfHoles(t *testing.T) {
	r := rand.New(rand.NewPCG(149, 0))
	var out strings.Builder
	in := small()
	in.Holes = nil
	edge := func(values ...float64) float64 { // at one of them, or a micrometre or a radius to either side
		return values[r.IntN(len(values))] + float64(float64(r.IntN(3)-1)*[]float64{0.001, 0.2, 0.4, 1}[r.IntN(4)])
	}
	for range 260 {
		at := orb.Point{edge(0, 120, 50, 60, 8, 110, 30), edge(0, 90, 5, 41, 20, 64, 45)}
		h := drill.Round(tooling.SnapPoint(at), []tooling.Size{via, mount, gauge}[r.IntN(3)])
		if r.IntN(3) == 0 {
			h.To = tooling.SnapPoint(orb.Point{edge(0, 120, 50, 60, 8, 110, 30), h.At[1] + float64(r.IntN(9)-4)/4})
		}
		h.Position = []float64{0, 0, 0.05, 100, 100.001, -0.001}[r.IntN(6)]
		one := in
		one.Holes = []drill.Hole{drill.Round(orb.Point{30, 45}, via), h}
		if err := one.Validate(); err != nil {
			fmt.Fprintln(&out, err)
		} else {
			fmt.Fprintf(&out, "X%.3f Y%.3f to X%.3f Y%.3f of %.3f mm is right\n", h.At[0], h.At[1], h.To[0], h.To[1], h.Size.Diameter)
		}
	}
	compareGolden(t, "places.txt", out.String())
}

// Which of several holes at one place stays, and what is said of it.
func TestGoldenDistinct(t *testing.T) {
	r := rand.New(rand.NewPCG(151, 0))
	var out strings.Builder
	for k := range 80 {
		var holes []drill.Hole
		for n := range 7 {
			size := via
			switch r.IntN(12) {
			case 0:
				size = component
			case 1:
				size = mount
			case 2:
				size.Basis = tooling.Drilled
			}
			h := drill.Round(orb.Point{float64(r.IntN(2)), float64(r.IntN(2)) + []float64{0, 0, 0.0004, 0.001, -0.0006}[r.IntN(5)]}, size)
			if r.IntN(3) == 0 {
				h.To = orb.Point{2, 2}
				if r.IntN(2) == 0 {
					h.At, h.To = h.To, h.At
				}
			}
			h.Tented, h.Half = r.IntN(40) == 0, r.IntN(40) == 0
			h.Position = []float64{0, 0, 0.1, 0.05}[r.IntN(4)]
			h.Source = tooling.Source{File: "a.drl", Line: n + 1}
			holes = append(holes, h)
		}
		got, report, err := drill.Distinct(holes, k%2 == 0)
		fmt.Fprintf(&out, "%d: %v\n", k, err)
		for _, h := range got {
			fmt.Fprintf(&out, "  line %d %v %v %.3f position %v\n", h.Source.Line, h.At, h.To, h.Size.Diameter, h.Position)
		}
		for _, f := range report {
			fmt.Fprintf(&out, "  %s\n", said(f))
		}
	}
	compareGolden(t, "distinct.txt", out.String())
}

// What is read of the files of the corpus that have to do with holes, marked one way or another.
func TestGoldenReadings(t *testing.T) {
	var files []string
	for _, trait := range []string{"attributes*", "*span*", "circle*", "duplicates*", "*slot*", "*rout*", "marking*", "*unknown*", "tool*", "inch-*", "metric-3*"} {
		found, err := filepath.Glob("../testdata/nc/" + trait)
		require.NoError(t, err)
		files = append(files, found...)
	}
	var out strings.Builder
	markings := []drill.Marking{
		{}, {Plating: drill.Plated, Sizes: tooling.Finished, Class: tooling.Via, Position: 0.1},
		{Plating: drill.Unplated, Tented: true, Half: true, Tools: []drill.ToolMarking{{Tool: 2, Class: tooling.Component, Position: 0.05, Minus: 0.02, Plus: 0.03}, {Tool: 1, Plating: drill.Plated}}},
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := nc.Parse(src, nc.ReadOptions{File: filepath.Base(file)})
		if err != nil {
			continue // not this package's word
		}
		for k, m := range markings {
			holes, report, err := drill.Read(p, filepath.Base(file), m)
			fmt.Fprintf(&out, "%s marking %d: %d holes %s, %v\n", filepath.Base(file), k, len(holes), digest(fmt.Sprintf("%+v", holes)), err)
			for _, f := range report {
				fmt.Fprintf(&out, "  %s\n", said(f))
			}
		}
	}
	compareGolden(t, "readings.txt", out.String())
}

// What is said of a saved pass of which one figure is another.
func TestGoldenDamagedPasses(t *testing.T) {
	r := rand.New(rand.NewPCG(157, 0))
	_, rest := saved(t)
	rest.Runs, rest.Rest.Done = rest.Runs[:2], rest.Rest.Done[:1]
	src, err := json.Marshal(rest)
	require.NoError(t, err)
	text := string(src)
	at := number.FindAllStringIndex(text, -1)
	var out strings.Builder
	for range 300 {
		span := at[r.IntN(len(at))]
		now := []string{"-1", "0", "1", "2", "0.5", "99", "1000", "10001", "1e9", "2147483648", "1e300", `"x"`}[r.IntN(12)]
		_, err := drill.DecodePass([]byte(text[:span[0]]+now+text[span[1]:]), "pass.json")
		if err != nil {
			fmt.Fprintf(&out, "%d %s for %s: %v\n", span[0], now, text[span[0]:span[1]], err)
		} else {
			fmt.Fprintf(&out, "%d %s for %s is read\n", span[0], now, text[span[0]:span[1]])
		}
	}
	compareGolden(t, "damaged.txt", out.String())
}

// What is said of stops that no pass has, and of set-ups that do not fit.
func TestGoldenRefusals(t *testing.T) {
	r := rand.New(rand.NewPCG(163, 0))
	var out strings.Builder
	in := resumable()
	p := shortLived(t, in, plan(t, in)[0], 30)
	for range 150 {
		stop := drill.Stop{Run: r.IntN(10), Hit: r.IntN(30) - 1, Last: r.IntN(32) - 1, Spindles: []int{1 + r.IntN(4)}}
		if stop.Run < 1 || stop.Run > 8 || r.IntN(2) == 0 {
			stop.Run = longRun(p).Number
		}
		if r.IntN(2) == 0 {
			stop.Last = min(stop.Hit+r.IntN(4), 25)
		}
		for range r.IntN(3) {
			stop.Fragments = append(stop.Fragments, stop.Hit+r.IntN(5)-1)
		}
		if r.IntN(6) == 0 {
			stop.Scrapped = []orb.Bound{{Min: orb.Point{5, float64(r.IntN(3))}, Max: orb.Point{5 + float64(r.IntN(3)), 1}}}
		}
		rest, err := drill.Resume(context.Background(), in, p, stop, quick)
		fmt.Fprintf(&out, "%+v: %d hits, %v\n", stop, rest.Hits(), err)
	}
	bare := plan(t, in)[0]
	for range 60 {
		m := in.Machine
		m.Places = 1 + r.IntN(14)
		s := setUpOf(t, in, bare, 1+r.IntN(3), 1+r.IntN(3), float64([]int{0, 1, 9, 24, 25, 42, 100}[r.IntN(7)]))
		s.Height = r.IntN(3)
		switch r.IntN(8) {
		case 0:
			s.Tools = s.Tools[:len(s.Tools)-1-r.IntN(7)]
		case 1:
			s.Tools[r.IntN(len(s.Tools))].Tool.Diameter++
		case 2:
			s.Tiers, s.Tier = 2, 1
			s.Tools = slices.Delete(s.Tools, 2, 2+r.IntN(5))
		}
		got, err := bare.Mount(s, m)
		fmt.Fprintf(&out, "height %d, %d places, life %v, %d bits, %d tools: %d runs, %v\n", s.Height, m.Places, s.Tools[0].Life, s.Tools[0].PerLoad, len(s.Tools), len(got.Runs), err)
		for _, run := range got.Runs {
			fmt.Fprintf(&out, "  %d %v\n", run.Number, run.Bits)
		}
	}
	compareGolden(t, "refusals.txt", out.String())
}

// The hits of slots of any length and direction, for any bump.
func TestGoldenNibbles(t *testing.T) {
	r := rand.New(rand.NewPCG(167, 0))
	var out strings.Builder
	for range 60 {
		a := tooling.SnapPoint(orb.Point{100 * r.Float64(), 100 * r.Float64()})
		b := tooling.SnapPoint(orb.Point{a[0] + float64(8*r.Float64()) - 4, a[1] + float64(8*r.Float64()) - 4})
		d, h := 0.4+float64(2*r.Float64()), 0.002+float64(0.1*r.Float64())
		at := drill.Nibble(a, b, d, h)
		fmt.Fprintf(&out, "%v to %v, %.4f mm, bumps of %.5f mm, pitch %.6f: %d hits", a, b, d, h, drill.Pitch(d, h), len(at))
		for _, p := range at[:min(len(at), 9)] {
			fmt.Fprintf(&out, " %.3f/%.3f", p[0], p[1])
		}
		fmt.Fprintf(&out, ", all %s\n", digest(at))
	}
	compareGolden(t, "nibbles.txt", out.String())
}
