package route_test

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
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

// toldContour writes a contour in micrometres.
func toldContour(c contour.Contour) string {
	var b strings.Builder
	b.WriteString(xy(c.Start))
	for _, m := range c.Moves {
		fmt.Fprintf(&b, " %s", xy(m.To))
		if m.Turn != 0 {
			fmt.Fprintf(&b, " %+d about %s", m.Turn, xy(m.Center))
		}
	}
	return b.String()
}

// chopped writes outlines in pieces, shuffled, some of them backwards, their ends
// up to so many micrometres off.
func chopped(rng *rand.Rand, off int, cs ...contour.Contour) string {
	var parts []contour.Contour
	for _, c := range cs {
		at := c.Start
		for _, m := range c.Moves {
			if n := len(parts); n == 0 || rng.IntN(2) == 0 || at != parts[n-1].End() {
				parts = append(parts, contour.Contour{Start: at})
			}
			parts[len(parts)-1].Moves = append(parts[len(parts)-1].Moves, m)
			at = m.To
		}
	}
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	var b strings.Builder
	b.WriteString(head + "G40\n")
	place := func(x, y string, p orb.Point) string { return fmt.Sprintf("%s%.6f%s%.6f", x, p[0], y, p[1]) }
	for _, p := range parts {
		if rng.IntN(3) == 0 {
			p = p.Reverse()
		}
		at := p.Start
		if p.Moves[0].Turn == 0 {
			at[0] += um(rng.IntN(off + 1))
		}
		b.WriteString("G00" + place("X", "Y", at) + "\nM15\n")
		for k, m := range p.Moves {
			switch {
			case m.Turn == 0 && k == len(p.Moves)-1:
				m.To[1] += um(rng.IntN(off + 1))
				fallthrough
			case m.Turn == 0:
				b.WriteString("G01" + place("X", "Y", m.To) + "\n")
			default:
				word := "G02"
				if m.Turn > 0 {
					word = "G03"
				}
				b.WriteString(word + place("X", "Y", m.To) + place("I", "J", orb.Point{m.Center[0] - at[0], m.Center[1] - at[1]}) + "\n")
			}
			at = m.To
		}
		b.WriteString("M16\n")
	}
	return b.String() + "M30\n"
}

// TestReadingsGolden reads outlines that lie about in pieces: what is joined, and
// with which finding, and which two ends are told where they do not meet.
func TestReadingsGolden(t *testing.T) {
	var b strings.Builder
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 61))
		fmt.Fprintf(&b, "%d, ends up to %d um off\n", seed, seed%6)
		src := chopped(rng, int(seed%6), rounded(30, 20, 3*float64(seed%2)), rounded(10, 5, 1).Translate(8, 8))
		p, err := nc.Parse([]byte(src), nc.ReadOptions{File: "edge.rou"})
		require.NoError(t, err)
		got, report, err := route.Read(p, "edge.rou")
		if err != nil {
			fmt.Fprintf(&b, " refused: %v\n", err)
			continue
		}
		for _, c := range got {
			fmt.Fprintf(&b, " %s\n", toldContour(c))
		}
		told(&b, report)
	}
	golden(t, "readings.txt", b.String())
}

// Ends within 5 um are one corner, what is farther apart is open.
func TestReadJoinsAtTheLimit(t *testing.T) {
	for um, ok := range map[string]bool{"0.0049": true, "0.005": true, "0.0051": false} {
		for _, src := range []string{
			"G00X0Y0\nM15\nG01X10.0\nG01Y10.0\nG01X" + um + "Y0\nM16\n",
			"G00X0Y0\nM15\nG01X10.0\nM16\nG00X10.0Y" + um + "\nM15\nG01X10.0Y10.0\nG01X0Y0\nM16\n",
		} {
			_, err := read(t, head+src+"M30\n")
			if ok {
				require.NoError(t, err, um)
			} else {
				require.ErrorIs(t, err, route.ErrOpen, um)
				require.ErrorContains(t, err, um, "the gap")
			}
		}
	}
}

// TestAgreementsGolden reads the holes of a board wrongly in every way and holds
// what is said of them.
func TestAgreementsGolden(t *testing.T) {
	board := route.Board{Name: "gauge", Outline: rounded(80, 60, 3).Translate(5, 2)}
	size := tooling.Size{Diameter: 0.8, Basis: tooling.Finished, Plated: true}
	var b strings.Builder
	for seed := range uint64(80) {
		rng := rand.New(rand.NewPCG(seed, 62))
		if seed == 60 {
			board.CutOuts = []contour.Contour{contour.Circle(orb.Point{60, 45}, 8)}
		}
		scale, turn, shift := 1.0, orb.Point{1, 1}, orb.Point{}
		switch seed % 8 {
		case 1:
			scale = 25.4
		case 2, 3:
			scale = 1 / 25.4
		case 4:
			turn[rng.IntN(2)] = -1
		case 5:
			turn = orb.Point{-1, -1}
		case 6:
			shift = orb.Point{float64(rng.IntN(200) - 100), float64(rng.IntN(200) - 100)}
		case 7:
			turn[rng.IntN(2)], shift = -1, orb.Point{float64(rng.IntN(100)), float64(rng.IntN(100))}
		}
		span := []float64{70, 30, 19, 16, 10}[rng.IntN(5)]
		var holes []drill.Hole
		for k := range 2 + rng.IntN(5) {
			at := orb.Point{8 + span*rng.Float64(), 6 + span*0.7*rng.Float64()}
			h := drill.Round(tooling.SnapPoint(orb.Point{scale*turn[0]*at[0] + shift[0], scale*turn[1]*at[1] + shift[1]}), size)
			if k == 1 {
				h.To[0] += 2 * scale * turn[0]
			}
			h.Half = rng.IntN(6) == 0
			h.Source = tooling.Source{File: []string{"a.drl", "b.drl"}[rng.IntN(8)/7], Line: k + 3}
			holes = append(holes, h)
		}
		fmt.Fprintf(&b, "%d: %v\n", seed, route.Agree(board, holes))
	}
	golden(t, "agreements.txt", b.String())
	wide := route.Board{Outline: rounded(101.6, 60, 0)} // half of it is 50.8 mm: 2 mm in inches
	var holes []drill.Hole
	for _, p := range []orb.Point{{0.5, 0.5}, {2.5, 0.5}, {1, 1}, {1.5, 1.5}} {
		holes = append(holes, drill.Round(p, size))
	}
	require.ErrorContains(t, route.Agree(wide, holes), "at the origin", "exactly half")
}

// Holes crowded at the origin are taken for inches from four of them on, where
// they span half the board or more in inches.
func TestCrowdedAtTheLimit(t *testing.T) {
	board := route.Board{Name: "square", Outline: rounded(76.2, 50.8, 0)}
	size := tooling.Size{Diameter: 0.2, Basis: tooling.Finished, Plated: true}
	for _, tt := range []struct {
		name string
		at   []orb.Point // mm
		ok   bool
	}{
		{"four over half the board", []orb.Point{{0.5, 0.5}, {2.001, 0.5}, {1, 1}, {1.5, 1.5}}, false},
		{"three", []orb.Point{{0.5, 0.5}, {2.001, 0.5}, {1, 1}}, true},
		{"over less than half", []orb.Point{{0.5, 0.5}, {1.999, 0.5}, {1, 1}, {1.5, 1.5}}, true},
		{"upright over half", []orb.Point{{0.5, 0.2}, {0.6, 1.701}, {1, 1}, {1.5, 1.5}}, false},
		{"to the edge in inches", []orb.Point{{0.5, 0.5}, {3, 0.5}, {1, 1}, {1.5, 1.5}}, true},
		{"off the board in inches", []orb.Point{{0.5, 0.5}, {3.1, 0.5}, {1, 1}, {1.5, 1.5}}, true},
	} {
		var holes []drill.Hole
		for _, p := range tt.at {
			holes = append(holes, drill.Round(p, size))
		}
		err := route.Agree(board, holes)
		if tt.ok {
			require.NoError(t, err, tt.name)
		} else {
			require.ErrorIs(t, err, route.ErrRegistration, tt.name)
			require.ErrorContains(t, err, fmt.Sprintf("all %d holes at the origin", len(tt.at)))
		}
	}
}

// A mistake explains holes off the board where they then span a quarter of it one
// way or the other; what is smaller would lie inside anywhere.
func TestExplainedFromAQuarterOn(t *testing.T) {
	board := route.Board{Name: "gauge", Outline: rounded(80, 60, 0)}
	size := tooling.Size{Diameter: 0.8, Basis: tooling.Finished, Plated: true}
	for _, tt := range []struct {
		w, h float64
		says bool
	}{{20, 14, true}, {19, 15, true}, {19, 14, false}, {20, 15, true}, {40, 2, true}, {2, 30, true}, {2, 2, false}} {
		err := route.Agree(board, []drill.Hole{drill.Round(orb.Point{-10, 10}, size), drill.Round(orb.Point{-10 - tt.w, 10 + tt.h}, size)})
		require.ErrorContains(t, err, "2 of 2 holes outside the outline")
		require.Equal(t, tt.says, strings.Contains(err.Error(), "mirrored left to right about the origin"), "%v: %v", tt, err)
	}
}

// TestProgramsGolden has every way of writing give the same text.
func TestProgramsGolden(t *testing.T) {
	var b strings.Builder
	for _, m := range made(t) {
		for _, frame := range []tooling.Frame{{}, {Quarters: 3, Datum: orb.Point{90, 60}}, {FaceDown: true, Datum: orb.Point{40, 0}}} {
			p := m.p
			p.Frame = frame
			for k, o := range []nc.WriteOptions{m.o, {Incremental: true}, {Zeros: nc.TrailingZeros, MaxBytes: 2600}} {
				parts, err := p.Programs(o)
				fmt.Fprintf(&b, "%s, %s, %s: %d parts, %v", m.name, frame, []string{"as asked", "in steps", "split"}[k], len(parts), err)
				for _, part := range parts {
					h := fnv.New32a()
					n, err := part.WriteTo(h)
					require.NoError(t, err)
					fmt.Fprintf(&b, ", %d bytes %08x", n, h.Sum32())
				}
				b.WriteByte('\n')
			}
		}
	}
	golden(t, "programs.txt", b.String())
}

// TestCompensatedRunsOnTheEdge reads a program for the control to compensate: every
// move between plunge and retract lies on an edge of the board.
func TestCompensatedRunsOnTheEdge(t *testing.T) {
	for _, direction := range []tooling.Direction{tooling.Conventional, tooling.Climb} {
		for _, deflection := range []float64{0, 0.03} {
			b := tideGauge()
			in := input(b, panel(76, 56, orb.Point{8, 8}))
			in.Rules.Rout.Direction, in.Rules.Rout.Cutter, in.Rules.Rout.Deflection, in.Rules.Rout.LeadIn = direction, 2.4, deflection, 0
			p := mounted(t, lay(t, in), route.Options{})
			_, back := written(t, p, nc.WriteOptions{Compensated: true})
			cuts, corners := 0, 0
			for op, err := range back[0].Ops() {
				require.NoError(t, err)
				if op.Kind != nc.OpLine && op.Kind != nc.OpArc {
					continue
				}
				cuts++
				q := contour.Contour{Start: op.From, Moves: []contour.Move{{To: op.To}}}
				if op.Kind == nc.OpArc {
					q.Moves[0].Center, q.Moves[0].Turn = op.Center, 1
					if op.Clockwise {
						q.Moves[0].Turn = -1
					}
				}
				for k := range 9 {
					at, _ := q.At(q.Length() * float64(k) / 8)
					at = orb.Point{at[0] - 8, at[1] - 8}
					require.Less(t, min(b.Outline.Distance(at), b.CutOuts[0].Distance(at)), 0.0015, "%v", at)
				}
				if slices.Contains([]orb.Point{{8, 8}, {68, 8}, {68, 28}, {8, 48}}, op.To) {
					corners++
				}
			}
			require.Positive(t, cuts)
			require.GreaterOrEqual(t, corners, 4, "sharp outside corners are written as corners")
		}
	}
}

// TestOutlinesGolden has contours written with the same words, arcs of more than
// half a turn in quarters.
func TestOutlinesGolden(t *testing.T) {
	rng := rand.New(rand.NewPCG(63, 1))
	var cs []contour.Contour
	for _, sweep := range []float64{90, 179, 180, 181, 270, 300} {
		c := arcFrom(orb.Point{10 * rng.Float64(), 10 * rng.Float64()}, 4, 360*rng.Float64(), sweep)
		cs = append(cs, c, c.Reverse())
	}
	cs = append(cs, contour.Circle(orb.Point{3, 4}, 2.5), contour.Circle(orb.Point{3, 4}, 2.5).Reverse(), rounded(9, 7, 2), tideGauge().Outline)
	src := string(route.Outlines(cs, "invented", "with\na line"))
	number := regexp.MustCompile(`[XYIJ]-?[0-9]+\.[0-9]{6}`)
	for _, w := range number.FindAllString(src, -1) {
		_, err := strconv.ParseFloat(w[1:], 64)
		require.NoError(t, err)
	}
	golden(t, "outlines.txt", src)
}

// arcFrom is a pie with an arc of so many degrees.
func arcFrom(c orb.Point, r, from, sweep float64) contour.Contour {
	start, end := polar(c, r, from), polar(c, r, from+sweep)
	return contour.Contour{Start: c, Moves: []contour.Move{{To: start}, {To: end, Center: c, Turn: 1}, {To: c}}}
}

// polar is a place so far from a centre, on the grid of coordinates.
func polar(c orb.Point, r, degrees float64) orb.Point {
	a := degrees * math.Pi / 180
	return tooling.SnapPoint(orb.Point{c[0] + r*math.Cos(a), c[1] + r*math.Sin(a)})
}
