package route

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// blob is a random closed contour round a place: corners at growing angles, joined
// by lines, and by arcs that bulge out or in.
func blob(rng *rand.Rand) contour.Contour {
	centre := orb.Point{40 + 60*rng.Float64(), 40 + 60*rng.Float64()}
	n := 3 + rng.IntN(6)
	corner := make([]orb.Point, n)
	for k := range corner {
		angle := 2 * math.Pi * (float64(k) + 0.6*rng.Float64()) / float64(n)
		corner[k] = along(centre, orb.Point{math.Cos(angle), math.Sin(angle)}, 12+15*rng.Float64())
	}
	c := contour.Contour{Start: corner[0]}
	for k := range corner {
		a, b := corner[k], corner[(k+1)%n]
		m := contour.Move{To: b}
		if rng.IntN(2) == 0 { // the arc's centre lies on one side or the other of the chord
			m.Turn = int8(1 - 2*rng.IntN(2))
			m.Center = along(scale(add(a, b), 0.5), left(unit(sub(b, a))), float64(m.Turn)*(0.4+2*rng.Float64())*gap(a, b))
		}
		c.Moves = append(c.Moves, m)
	}
	if rng.IntN(2) == 0 {
		c = c.Reverse()
	}
	return c
}

// chords is a contour as a polygon of many short chords.
func chords(ps []piece) (out []orb.Point) {
	for i := range ps {
		n := 1
		if ps[i].turn != 0 {
			n = 2000
		}
		for k := range n {
			out = append(out, ps[i].at(ps[i].length*float64(k)/float64(n)))
		}
	}
	return out
}

// The centre of area with arcs taken as they are is that of the polygon of many
// chords (the shoelace formula).
func TestCentroidAgainstChords(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	for round := range 60 {
		l := newLoop(blob(rng))
		polygon := chords(l.ps)
		var area, x, y float64
		for k, p := range polygon {
			q := polygon[(k+1)%len(polygon)]
			a := cross(p, q) / 2
			area, x, y = area+a, x+a*(p[0]+q[0])/3, y+a*(p[1]+q[1])/3
		}
		got, want := centroid(&l), orb.Point{x / area, y / area}
		require.Less(t, gap(got, want), 1e-4, "round %d: %v, want %v", round, got, want)
	}
	flat := newLoop(contour.Contour{Start: orb.Point{3, 4}, Moves: []contour.Move{{To: orb.Point{9, 4}}, {To: orb.Point{3, 4}}}})
	require.Equal(t, orb.Point{3, 4}, centroid(&flat), "nothing is enclosed")
}

// The angle seen from a centre is followed without jumps: as in small steps, by
// less than half a turn each.
func TestWindingAgainstSmallSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(52, 1))
	for round := range 60 {
		l := newLoop(blob(rng))
		centre := centroid(&l)
		w := newWinding(centre, l.line.Start)
		d := sub(l.line.Start, centre)
		require.InDelta(t, math.Atan2(d[1], d[0]), w.angle, 1e-12)
		angle, last := w.angle, l.line.Start
		step := func(q orb.Point) {
			a, b := sub(last, centre), sub(q, centre)
			angle, last = angle+math.Atan2(cross(a, b), dot(a, b)), q
		}
		for i := range l.ps {
			p := &l.ps[i]
			for k := 1; k <= 200; k++ {
				step(p.at(p.length * float64(k) / 200))
				if k == 60 || k == 130 {
					x := p.length * float64(k) / 200
					require.InDelta(t, angle, w.on(p, x), 1e-9, "round %d piece %d", round, i)
					if p.turn == 0 {
						require.InDelta(t, angle, w.at(last), 1e-9, "round %d piece %d", round, i)
					}
				}
			}
			w.along(p)
			require.InDelta(t, angle, w.angle, 1e-9, "round %d piece %d", round, i)
			require.Equal(t, p.b, w.last)
		}
	}
}

// A stretch cut out of a contour begins and ends where it should, is as long as
// asked, and runs on the contour, through its start as well.
func TestStretchesOfAContour(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 1))
	for round := range 80 {
		c := blob(rng)
		r := newRuler(c)
		require.InDelta(t, c.Length(), r.length(), 1e-9)
		s := (3*rng.Float64() - 1) * r.length()
		long := rng.Float64() * 1.2 * r.length()
		part := r.cut(s, s+long)
		require.InDelta(t, long, part.Length(), 1e-6, "round %d", round)
		wrapped := math.Mod(math.Mod(s, r.length())+r.length(), r.length())
		on, _ := c.At(wrapped)
		require.Less(t, gap(on, part.Start), 1e-7, "round %d", round)
		require.Less(t, gap(r.at(s+long), part.End()), 1e-7, "round %d", round)
		for k := range 20 {
			q, _ := part.At(long * float64(k) / 20)
			require.Less(t, gap(q, r.at(s+long*float64(k)/20)), 1e-6, "round %d", round)
		}
	}
}

// What is kept of a contour by a line across it ends on that line, and is all of
// one side of it.
func TestTrimAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(54, 1))
	wholes := 0
	for round := range 120 {
		r := newRuler(blob(rng))
		normal := 2 * math.Pi * rng.Float64()
		u := orb.Point{math.Cos(normal), math.Sin(normal)}
		through := orb.Point{20 + 100*rng.Float64(), 20 + 100*rng.Float64()}
		keep := func(q, _ orb.Point) bool { return dot(sub(q, through), u) > 0 }
		stretches, whole := r.trim(keep)
		const n = 4000
		want := 0
		for k := range n {
			if keep(r.at(r.length()*(float64(k)+0.5)/n), orb.Point{}) {
				want++
			}
		}
		if whole {
			require.Nil(t, stretches)
			require.Equal(t, n, want, "round %d", round)
			wholes++
			continue
		}
		got := 0.0
		for i, k := range stretches {
			require.Less(t, k.s, k.t)
			if i > 0 {
				require.Greater(t, k.s, stretches[i-1].t)
			}
			got += k.t - k.s
			for _, end := range []float64{k.s, k.t} {
				require.InDelta(t, 0, dot(sub(r.at(end), through), u), 1e-6, "round %d: an end off the line", round)
			}
		}
		require.InDelta(t, float64(want)/n*r.length(), got, 0.01*r.length(), "round %d", round)
	}
	require.Positive(t, wholes)
}

// arcOf is an arc about a centre between two angles in degrees.
func arcOf(c orb.Point, r, from, to float64, turn int8) piece {
	at := func(deg float64) orb.Point {
		return along(c, orb.Point{math.Cos(deg * math.Pi / 180), math.Sin(deg * math.Pi / 180)}, r)
	}
	return newPiece(at(from), contour.Move{To: at(to), Center: c, Turn: turn})
}

// Pieces that cross are found to, at the place that school geometry gives.
func TestMeetings(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) piece {
		return newPiece(orb.Point{x0, y0}, contour.Move{To: orb.Point{x1, y1}})
	}
	o, e := orb.Point{0, 0}, orb.Point{8, 0}
	for _, tt := range []struct {
		name string
		p, q piece
		at   orb.Point
		ok   bool
	}{
		{"lines", line(0, 0, 4, 4), line(0, 4, 4, 0), orb.Point{2, 2}, true},
		{"lines at their starts", line(1, 1, 4, 4), line(1, 1, 4, 0), orb.Point{1, 1}, true},
		{"lines at their ends", line(0, 0, 4, 4), line(4, 0, 4, 4), orb.Point{4, 4}, true},
		{"a line short of the other", line(0, 0, 1.9, 1.9), line(0, 4, 4, 0), orb.Point{}, false},
		{"a line past the other", line(2.1, 2.1, 4, 4), line(0, 4, 4, 0), orb.Point{}, false},
		{"a line beyond the other's start", line(0, 0, 4, 4), line(2.1, 1.9, 4, 0), orb.Point{}, false},
		{"a line beyond the other's end", line(0, 0, 4, 4), line(0, 4, 1.9, 2.1), orb.Point{}, false},
		{"parallel lines", line(0, 0, 4, 0), line(0, 1, 4, 1), orb.Point{}, false},
		{"circles above", arcOf(o, 5, 0, 90, 1), arcOf(e, 5, 90, 180, 1), orb.Point{4, 3}, true},
		{"circles below", arcOf(o, 5, 0, 270, -1), arcOf(e, 5, 270, 180, -1), orb.Point{4, -3}, true},
		{"one above, one below", arcOf(o, 5, 0, 90, 1), arcOf(e, 5, 270, 180, -1), orb.Point{}, false},
		{"circles of two sizes", arcOf(o, 5, 90, 0, -1), arcOf(orb.Point{9, 0}, math.Sqrt(34), 180, 90, -1), orb.Point{4, 3}, true},
		{"circles touching outside", arcOf(o, 5, 270, 90, 1), arcOf(e, 3, 90, 270, 1), orb.Point{5, 0}, true},
		{"circles touching inside", arcOf(o, 5, 270, 90, 1), arcOf(orb.Point{2, 0}, 3, 270, 90, 1), orb.Point{5, 0}, true},
		{"circles apart", arcOf(o, 5, 270, 90, 1), arcOf(e, 2.9, 90, 270, 1), orb.Point{}, false},
		{"a circle in a circle", arcOf(o, 5, 270, 90, 1), arcOf(orb.Point{1.9, 0}, 3, 270, 90, 1), orb.Point{}, false},
		{"about one centre", arcOf(o, 5, 270, 90, 1), arcOf(o, 5, 270, 90, 1), orb.Point{}, false},
		{"a line into a circle", line(0, 3, 9, 3), arcOf(o, 5, 270, 90, 1), orb.Point{4, 3}, true},
		{"a line out of the left of a circle", line(-9, 3, 0, 3), arcOf(o, 5, 90, 270, 1), orb.Point{-4, 3}, true},
		{"a line through a circle, left", line(-9, 3, 9, 3), arcOf(o, 5, 90, 270, 1), orb.Point{-4, 3}, true},
		{"a line through a circle, right", line(-9, 3, 9, 3), arcOf(o, 5, 270, 90, 1), orb.Point{4, 3}, true},
		{"a line that touches a circle", line(-9, 5, 9, 5), arcOf(o, 5, 0, 180, 1), orb.Point{0, 5}, true},
		{"a line beside a circle", line(-9, 5.01, 9, 5.01), arcOf(o, 5, 0, 180, 1), orb.Point{}, false},
		{"a line within a circle", line(-3, 3, 3, 3), arcOf(o, 5, 0, 180, 1), orb.Point{}, false},
		{"a line that begins on a circle", line(4, 3, 9, 3), arcOf(o, 5, 0, 180, 1), orb.Point{4, 3}, true},
		{"a line that ends on a circle", line(9, 3, 4, 3), arcOf(o, 5, 0, 180, 1), orb.Point{4, 3}, true},
		{"a point on a circle is no crossing", line(4, 3, 4, 3), arcOf(o, 5, 0, 180, 1), orb.Point{}, false},
	} {
		for range 2 {
			at, ok := tt.p.meets(&tt.q)
			require.Equal(t, tt.ok, ok, tt.name)
			require.Less(t, gap(tt.at, at), 1e-9, tt.name)
			if d, near := tt.p.between(&tt.q); tt.ok {
				require.Less(t, d, 1e-9, tt.name)
				require.Less(t, gap(tt.at, near), 1e-9, tt.name)
			}
			tt.p, tt.q = tt.q, tt.p
		}
	}
}

// Where a control runs the cutter beside a written edge, by hand.
func TestControlRunsBesideTheEdge(t *testing.T) {
	edge := func(c contour.Contour) []piece { return pieces(c) }
	square := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}, {To: orb.Point{10, 10}}}}
	round := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}, {To: orb.Point{13, 3}, Center: orb.Point{10, 3}, Turn: 1}, {To: orb.Point{13, 10}}}}
	for _, tt := range []struct {
		name string
		c    contour.Contour
		rho  float64
		side float64
		want []orb.Point // ends of what it runs
		why  string
	}{
		{"round an outside corner", square, 1, -1, []orb.Point{{0, -1}, {10, -1}, {11, 0}, {11, 10}}, ""},
		{"into an inside corner", square, 1, 1, nil, "an inside corner of 90.0 degrees"},
		{"outside of an arc", round, 1, -1, []orb.Point{{0, -1}, {10, -1}, {14, 3}, {14, 10}}, ""},
		{"inside of an arc", round, 1, 1, []orb.Point{{0, 1}, {10, 1}, {12, 3}, {12, 10}}, ""},
		{"as tight as the cutter", round, 3, 1, []orb.Point{{0, 3}, {10, 3}, {10, 10}}, ""},
		{"tighter than the cutter", round, 3.001, 1, nil, "an inside radius of 3.000 mm, below the cutter's 3.001 mm"},
		{"outside of a tight arc", round, 3.001, -1, []orb.Point{{0, -3.001}, {10, -3.001}, {16.001, 3}, {16.001, 10}}, ""},
		{"the other way", square.Reverse(), 1, 1, []orb.Point{{11, 10}, {11, 0}, {10, -1}, {0, -1}}, ""},
		{"the other way, inside", square.Reverse(), 1, -1, nil, "an inside corner of 90.0 degrees"},
	} {
		out, at, why := control(edge(tt.c), tt.rho, tt.side)
		require.Equal(t, tt.why, why, tt.name)
		if tt.why != "" {
			require.NotEqual(t, orb.Point{}, at, tt.name)
			continue
		}
		require.Len(t, out, len(tt.want)-1, tt.name)
		for k := range out {
			require.Less(t, gap(tt.want[k], out[k].a), 1e-9, "%s: start of %d", tt.name, k)
			require.Less(t, gap(tt.want[k+1], out[k].b), 1e-9, "%s: end of %d", tt.name, k)
		}
	}
	// Directions of short moves are rounded: ends that nearly meet are joined, a line
	// keeps its direction, and what is farther apart is a corner.
	for um, corner := range map[float64]bool{0.0035: false, 0.0045: true} {
		turn := math.Asin(um) // of the second move, to the left: at 1 mm beside, so far apart
		bent := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{5, 0}}, {To: along(orb.Point{5, 0}, orb.Point{math.Cos(turn), math.Sin(turn)}, 5)}}}
		out, _, why := control(edge(bent), 1, -1)
		require.Empty(t, why)
		require.Len(t, out, 2+one(corner), "%v", um)
		_, _, why = control(edge(bent), 1, 1)
		require.Equal(t, corner, why != "", "%v: %s", um, why)
	}
}

// The tally of tabs by side comes to its end exactly when every side has what it
// needs, whatever the order.
func TestTallyAgainstCounting(t *testing.T) {
	rng := rand.New(rand.NewPCG(55, 1))
	for code := range 81 {
		need := [4]int{code % 3, code / 3 % 3, code / 9 % 3, code / 27}
		ta := newTally(need)
		for range 6 {
			var has [4]int
			state, at := ta.none(), []uint{0}
			for range 10 {
				side := int8(rng.IntN(4))
				has[side]++
				before := state
				state = ta.with(state, side)
				number := uint(0)
				for k := range has {
					number += uint(min(has[k], need[k])) * ta.place[k]
				}
				require.Equal(t, only(number), state, "%v %v", need, has)
				require.Equal(t, at[len(at)-1], ta.before(before, number, side), "%v %v", need, has)
				at = append(at, number)
				done := true
				for k := range has {
					done = done && has[k] >= need[k]
				}
				require.Equal(t, done, state.has(ta.all()), "%v %v", need, has)
			}
		}
	}
}

func TestSideOf(t *testing.T) {
	for out, want := range map[orb.Point]string{
		{1, 0}: "right", {0, 1}: "upper", {-1, 0}: "left", {0, -1}: "lower",
		{1, 1}: "right", {1, -1}: "right", {-1, 1}: "upper", {-1, -1}: "left",
		{2, 1}: "right", {1, 2}: "upper", {-1, 2}: "upper", {-2, 1}: "left", {-2, -1}: "left", {-1, -2}: "lower", {1, -2}: "lower", {2, -1}: "right",
	} {
		require.Equal(t, want, sideNames[sideOf(out)], "%v", out)
	}
}

// A lump of waste has the size, the place and the first cell that it was cut with.
func TestLumpsAreMeasured(t *testing.T) {
	s := newStock(tooling.Panel{Width: 10, Height: 8})
	require.Equal(t, finestCell, s.cell)
	require.Equal(t, [2]int{50, 40}, [2]int{s.nx, s.ny})
	require.Equal(t, orb.Point{0.1, 0.1}, s.middle(0))
	for _, q := range []orb.Point{{-0.001, 1}, {1, -0.001}, {10.001, 1}, {1, 8.001}} {
		require.Equal(t, -1, s.index(q), "%v is off the panel", q)
	}
	for _, c := range []int{0, 49, 50, 1234, 1999} {
		require.Equal(t, c, s.index(s.middle(c)))
	}
	require.Equal(t, 0, s.index(orb.Point{0, 0}))
	// A ring of a cutter of 1 mm round a piece of 3 x 1 mm.
	ring := pieces(contour.FromBound(orb.Bound{Min: orb.Point{2.5, 3.5}, Max: orb.Point{6.5, 5.5}}))
	for i := range ring {
		s.sweep(&ring[i], 0.5, 0)
	}
	s.rewind(1, func(after int) {
		lumps := s.lumps(func(c int) bool { return int(s.cutAt[c]) > after }, func(root int32) bool { return root == s.find(s.frame()) })
		if after < 0 {
			require.Empty(t, lumps, "before it is cut all hangs together")
			return
		}
		require.Len(t, lumps, 1)
		l := lumps[0]
		require.InDelta(t, 15*5, l.cells, 1)
		require.InDelta(t, 3, l.size(), 1e-9)
		require.Less(t, gap(orb.Point{4.5, 4.5}, l.mean), 0.02)
		require.InDelta(t, 3, l.box.Min[0], 1e-9)
		require.InDelta(t, 5, l.box.Max[1], 1e-9)
		require.Equal(t, s.index(orb.Point{3.1, 4.1}), l.first)
		require.Equal(t, s.index(orb.Point{3.1, 4.1}), s.index(s.middle(l.first)))
	})
	large := newStock(tooling.Panel{Width: 600, Height: 500})
	require.InDelta(t, math.Sqrt(600*500/float64(mostCells)), large.cell, 1e-12, "cells grow with the panel")
	require.LessOrEqual(t, large.nx*large.ny, mostCells+large.nx+large.ny+1)
	tiny := newStock(tooling.Panel{Width: 0.01, Height: 0.01})
	require.Equal(t, [2]int{1, 1}, [2]int{tiny.nx, tiny.ny})
}

// Angles are brought into (0, 2 pi], and a piece knows its ends, its foot and its box.
func TestPiecesAtTheirEnds(t *testing.T) {
	for in, want := range map[float64]float64{0: 2 * math.Pi, 2 * math.Pi: 2 * math.Pi, -2 * math.Pi: 2 * math.Pi, 1: 1, -1: 2*math.Pi - 1, 7: 7 - 2*math.Pi} {
		require.InDelta(t, want, positive(in), 1e-12, "%v", in)
	}
	quarter := arcOf(orb.Point{1, 1}, 2, 0, 90, 1)
	for _, tt := range []struct {
		deg  float64
		want bool
	}{{0, true}, {90, true}, {45, true}, {-0.001, false}, {90.001, false}, {180, false}, {270, false}} {
		q := along(orb.Point{1, 1}, orb.Point{math.Cos(tt.deg * math.Pi / 180), math.Sin(tt.deg * math.Pi / 180)}, 7)
		require.Equal(t, tt.want, quarter.holds(q), "%v degrees", tt.deg)
	}
	require.Equal(t, quarter.a, quarter.at(0))
	require.Equal(t, quarter.a, quarter.at(-1))
	require.Equal(t, quarter.b, quarter.at(quarter.length))
	require.Equal(t, quarter.b, quarter.at(quarter.length+1))
	require.Less(t, gap(orb.Point{1 + math.Sqrt2, 1 + math.Sqrt2}, quarter.at(quarter.length/2)), 1e-12)
	require.Less(t, gap(orb.Point{-math.Sqrt2 / 2, math.Sqrt2 / 2}, quarter.heading(quarter.length/2)), 1e-12)
	back := arcOf(orb.Point{1, 1}, 2, 90, 0, -1)
	require.Less(t, gap(orb.Point{math.Sqrt2 / 2, -math.Sqrt2 / 2}, back.heading(back.length/2)), 1e-12)
	d, foot := quarter.to(orb.Point{1, 1})
	require.Equal(t, 2.0, d, "from its centre")
	require.Equal(t, quarter.a, foot)
	d, foot = quarter.to(orb.Point{-3, -3})
	require.InDelta(t, math.Hypot(4, 6), d, 1e-12)
	require.Less(t, gap(quarter.b, foot)*gap(quarter.a, foot), 1e-12, "the nearer end, the first of two")
	require.Equal(t, quarter.a, foot)
	l := newPiece(orb.Point{0, 0}, contour.Move{To: orb.Point{4, 0}})
	for x, want := range map[float64]float64{-1: 0, 0: 0, 1: 1, 4: 4, 5: 4} {
		require.Equal(t, orb.Point{want, 0}, l.foot(orb.Point{x, 3}))
	}
	point := newPiece(orb.Point{2, 3}, contour.Move{To: orb.Point{2, 3}})
	require.Equal(t, orb.Point{2, 3}, point.foot(orb.Point{9, 9}))
	for _, tt := range []struct {
		from, to float64
		min, max orb.Point
	}{
		{-45, 45, orb.Point{1 + math.Sqrt2, 1 - math.Sqrt2}, orb.Point{3, 1 + math.Sqrt2}},
		{45, 135, orb.Point{1 - math.Sqrt2, 1 + math.Sqrt2}, orb.Point{1 + math.Sqrt2, 3}},
		{135, 225, orb.Point{-1, 1 - math.Sqrt2}, orb.Point{1 - math.Sqrt2, 1 + math.Sqrt2}},
		{225, 315, orb.Point{1 - math.Sqrt2, -1}, orb.Point{1 + math.Sqrt2, 1 - math.Sqrt2}},
	} {
		arc := arcOf(orb.Point{1, 1}, 2, tt.from, tt.to, 1)
		b := arc.box()
		require.Less(t, gap(tt.min, b.Min)+gap(tt.max, b.Max), 1e-9, fmt.Sprint(tt))
	}
}

// A tab stands where the scrap's edge, a cutter off the board, runs all along it:
// to half the web and half a cutter on either side, straight or round.
func TestTabsStandOnTheRim(t *testing.T) {
	const d, width, r = 2.0, 5.0, 20.0
	l := Layout{}
	l.Cutter.Diameter = d
	half := (width + d) / 2
	for _, tt := range []struct {
		before, after float64 // mm of rim on either side of the tab's middle, as on the board's edge
		ok            bool
	}{
		{half, half, true}, {half + 5, half + 5, true}, {half - 0.01, half + 5, false}, {half + 5, half - 0.01, false}, {-1, half + 5, false}, {half + 5, -1, false},
	} {
		straight := Tab{At: orb.Point{7, 3}, Out: orb.Point{1, 0}, Width: width}
		rim := setOf([]piece{newPiece(orb.Point{7 + d, 3 - tt.before}, contour.Move{To: orb.Point{7 + d, 3 + tt.after}})})
		require.Equal(t, tt.ok, l.onRim(straight, rim), "straight: %v", tt)
		off := setOf([]piece{newPiece(orb.Point{7 + d + 0.01, 3 - tt.before}, contour.Move{To: orb.Point{7 + d + 0.01, 3 + tt.after}})})
		require.False(t, l.onRim(straight, off), "a rim farther off")
		round := Tab{At: orb.Point{r, 0}, Out: orb.Point{1, 0}, Width: width, Radius: r}
		degrees := func(x float64) float64 { return x / r * 180 / math.Pi }
		rim = setOf([]piece{arcOf(orb.Point{}, r+d, -degrees(tt.before), degrees(tt.after), 1)})
		require.Equal(t, tt.ok, l.onArcRim(round, rim), "round: %v", tt)
		require.False(t, l.onArcRim(round, setOf([]piece{arcOf(orb.Point{}, r+d+0.01, -degrees(tt.before), degrees(tt.after), 1)})))
	}
}

// On an arc the edge falls away from its tangent, and rows of perforations run
// along it.
func TestTabsOnArcs(t *testing.T) {
	tab := Tab{At: orb.Point{20, 0}, Out: orb.Point{1, 0}, Width: 5, Radius: 20}
	require.InDelta(t, 20-math.Sqrt(400-9), tab.fall(0, 3), 1e-12)
	require.InDelta(t, 21-math.Sqrt(441-9), tab.fall(1, -3), 1e-12)
	require.Zero(t, tab.fall(0, 20))
	require.Zero(t, tab.fall(0, -20))
	require.Positive(t, tab.fall(0, 19.9))
	flat := Tab{At: orb.Point{20, 0}, Out: orb.Point{1, 0}, Width: 5}
	require.Zero(t, flat.fall(1, 3))
	require.Equal(t, orb.Point{21, -2}, flat.perforation(-2, 1))
	for _, x := range []float64{-2, 0, 3} {
		for _, y := range []float64{-0.5, 0, 1.5} {
			p := tab.perforation(x, y)
			require.InDelta(t, 20+y, math.Hypot(p[0], p[1]), 1e-12, "so far from the edge")
			require.InDelta(t, x/20, math.Atan2(p[1], p[0]), 1e-12, "so far along it")
		}
	}
	require.Equal(t, orb.Point{0, 3}, tab.perforation(3, -20), "in the arc's centre there is no along")
	l := newLoop(contour.Contour{Start: orb.Point{5, 0}, Moves: []contour.Move{
		{To: orb.Point{0, 5}, Center: orb.Point{0, 0}, Turn: 1}, {To: orb.Point{-5, 0}, Center: orb.Point{0, 0}, Turn: 1}, {To: orb.Point{0, -5}, Center: orb.Point{0, 0}, Turn: 1},
		{To: orb.Point{3, -5}}, {To: orb.Point{5, -3}, Center: orb.Point{3, -3}, Turn: 1}, {To: orb.Point{5, 0}},
	}})
	quarter := 2.5 * math.Pi
	for k, want := range map[int][2]float64{0: {0, 2 * quarter}, 1: {quarter, quarter}, 2: {2 * quarter, 0}, 4: {0, 0}} {
		before, after := l.sameCircle(k)
		require.InDelta(t, want[0], before, 1e-9, "before %d", k)
		require.InDelta(t, want[1], after, 1e-9, "after %d", k)
	}
	l.scored[1] = true
	before, after := l.sameCircle(0)
	require.Zero(t, before+after, "a scored edge ends it")
	circle := newLoop(contour.Circle(orb.Point{0, 0}, 5))
	if len(circle.ps) == 1 {
		before, after = circle.sameCircle(0)
		require.InDelta(t, 20*math.Pi, before+after, 1e-9)
	}
}

// Waste is cleared from places where the cutter just touches the edges in the way,
// along ways that come no nearer.
func TestClearingKeepsOffEdges(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) piece {
		return newPiece(orb.Point{x0, y0}, contour.Move{To: orb.Point{x1, y1}})
	}
	p := &planner{solid: setOf([]piece{line(0, 0, 20, 0), line(0, 10, 0, 0)}), tabs: newTabSet(nil, 2, 2)}
	p.l.Cutter.Diameter = 2
	for y, clear := range map[float64]bool{1.5: true, 1: true, 0.9995: true, 0.998: false, 0.5: false, 0: false} {
		way := line(5, y, 9, y)
		require.Equal(t, clear, p.clearOfEdges(&way), "%v mm off", y)
	}
	for _, tt := range []struct{ from, to orb.Point }{
		{orb.Point{5, 3}, orb.Point{5, 3}}, {orb.Point{5, 1}, orb.Point{5, 1}}, {orb.Point{5, 0.3}, orb.Point{5, 1}},
		{orb.Point{0.4, 6}, orb.Point{1, 6}}, {orb.Point{0.4, 0.3}, orb.Point{1, 1}},
	} {
		at, ok := p.clearPlace(tt.from)
		require.True(t, ok)
		require.Less(t, gap(tt.to, at), 1e-9, "from %v", tt.from)
	}
	tab := Tab{At: orb.Point{10, 0}, Out: orb.Point{0, 1}, Width: 4}
	p.l.Tabs, p.tabs = []Tab{tab}, newTabSet([]Tab{tab}, 2, 2)
	for x, ok := range map[float64]bool{6.9: true, 7: true, 7.1: false, 10: false, 12.9: false, 13: true} {
		_, got := p.clearPlace(orb.Point{x, 1.5})
		require.Equal(t, ok, got, "X%v beside a tab", x)
		way := line(x, 1.2, x, 1.8)
		require.Equal(t, ok, p.clearOfEdges(&way), "X%v beside a tab", x)
	}
	for y, in := range map[float64]bool{-0.002: false, 0: true, 2: true, 2.001: true, 2.003: false} {
		require.Equal(t, in, p.inTab(orb.Point{10, y}, 2, 0), "%v mm off the edge", y)
	}
	require.True(t, p.inTab(orb.Point{10, 2.5}, 2, 2.5), "a rough path runs beyond the channel")
	require.False(t, p.inTab(orb.Point{10, 2.503}, 2, 2.5))
	tab.Across = 3
	p.l.Tabs, p.tabs = []Tab{tab}, newTabSet([]Tab{tab}, 2, 2)
	for y, in := range map[float64]bool{3: true, 3.003: false} {
		require.Equal(t, in, p.inTab(orb.Point{10, y}, 2, 0), "%v mm off, as far as the next board", y)
	}
}

// The edge that a centre line runs along, by hand: the material on the left for
// side +1.
func TestEdgeOfACentreLine(t *testing.T) {
	// Along the lower edge of a corner in (10, 0), round it, and up, r mm off it.
	round := func(r float64) contour.Contour {
		return contour.Contour{Start: orb.Point{0, -r}, Moves: []contour.Move{{To: orb.Point{10, -r}}, {To: orb.Point{10 + r, 0}, Center: orb.Point{10, 0}, Turn: 1}, {To: orb.Point{10 + r, 8}}}}
	}
	bent := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}, {To: orb.Point{10, 8}}}}
	hollow := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{10, 0}}, {To: orb.Point{12, -2}, Center: orb.Point{10, -2}, Turn: -1}, {To: orb.Point{12, -8}}}}
	for _, tt := range []struct {
		name string
		c    contour.Contour
		rho  float64
		side float64
		want []orb.Point
		arcs int
		why  string
		at   orb.Point
	}{
		{"a sharp corner", round(1), 1, 1, []orb.Point{{0, 0}, {10, 0}, {10, 8}}, 0, "", orb.Point{}},
		{"a sharp corner, the other way", round(1).Reverse(), 1, -1, []orb.Point{{10, 8}, {10, 0}, {0, 0}}, 0, "", orb.Point{}},
		{"a round corner", round(3), 1, 1, []orb.Point{{0, -2}, {10, -2}, {12, 0}, {12, 8}}, 1, "", orb.Point{}},
		{"a round corner, the other way", round(3).Reverse(), 1, -1, []orb.Point{{12, 8}, {12, 0}, {10, -2}, {0, -2}}, 1, "", orb.Point{}},
		{"a radius of 3 um", round(1.003), 1, 1, []orb.Point{{0, -0.003}, {10, -0.003}, {10.003, 0}, {10.003, 8}}, 1, "", orb.Point{}},
		{"a radius of 1 um", round(1.001), 1, 1, []orb.Point{{0, -0.001}, {10, -0.001}, {10.001, 0}, {10.001, 8}}, 0, "", orb.Point{}},
		{"1 um less than the cutter's", round(0.999), 1, 1, []orb.Point{{0, 0.001}, {10, 0.001}, {9.999, 0}, {9.999, 8}}, 0, "", orb.Point{}},
		{"3 um less than the cutter's", round(0.997), 1, 1, nil, 0, "an arc of 0.997 mm round the material, less than the cutter's 1.000 mm", orb.Point{10, -0.997}},
		{"from within", round(1), 1, -1, []orb.Point{{0, -2}, {10, -2}, {12, 0}, {12, 8}}, 1, "", orb.Point{}},
		{"a hollow corner", hollow, 1, 1, []orb.Point{{0, 1}, {10, 1}, {13, -2}, {13, -8}}, 1, "", orb.Point{}},
		{"a sharp turn of the cutter", bent, 1, 1, nil, 0, "a corner of 90.0 degrees in the cutter's path: an inside radius below the cutter's", orb.Point{10, 0}},
		{"a sharp turn back", bent.Reverse(), 1, -1, nil, 0, "a corner of 90.0 degrees in the cutter's path: an inside radius below the cutter's", orb.Point{10, 0}},
	} {
		edge, at, why := edgeOf(pieces(tt.c), tt.rho, tt.side)
		require.Equal(t, tt.why, why, tt.name)
		if tt.why != "" {
			require.Equal(t, tt.at, at, tt.name)
			continue
		}
		require.Len(t, edge.Moves, len(tt.want)-1, tt.name)
		require.Equal(t, tt.want[0], edge.Start, tt.name)
		arcs := 0
		for k, m := range edge.Moves {
			require.Equal(t, tt.want[k+1], m.To, tt.name)
			arcs += int(m.Turn) * int(m.Turn)
		}
		require.Equal(t, tt.arcs, arcs, tt.name)
	}
	// Ends up to 4 um apart are one, at the end of the longer of the two.
	for um, joined := range map[float64]bool{0.0035: true, 0.0045: false} {
		turn := math.Asin(um)
		short := contour.Contour{Start: orb.Point{0, 0}, Moves: []contour.Move{{To: orb.Point{5, 0}}, {To: along(orb.Point{5, 0}, orb.Point{math.Cos(turn), math.Sin(turn)}, 3)}}}
		edge, _, why := edgeOf(pieces(short), 1, 1)
		require.Equal(t, joined, why == "", "%v", um)
		if joined {
			require.Equal(t, orb.Point{5, 1}, edge.Moves[0].To, "the line of 5 mm keeps its end")
		}
		edge, _, why = edgeOf(pieces(short.Reverse()), 1, -1)
		require.Equal(t, joined, why == "", "%v", um)
		if joined {
			require.Equal(t, orb.Point{5, 1}, edge.Moves[0].To)
		}
	}
}

// The tree calls for every run of pieces whose boxes come within reach, once, and
// for no other; and where the reach shrinks to the nearest found, for few of them.
func TestBoxesAgainstAllRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(56, 1))
	for _, n := range []int{0, 1, 3, 4, 5, 15, 16, 17, 63, 64, 65, 500} {
		ps := make([]piece, n)
		for i := range ps {
			ps[i] = anyPiece(rng)
		}
		tree := newBoxes(ps)
		for range 40 {
			at := orb.Point{40*rng.Float64() - 10, 40*rng.Float64() - 10}
			b := orb.Bound{Min: at, Max: orb.Point{at[0] + 3*rng.Float64(), at[1] + 3*rng.Float64()}}
			reach := 8 * rng.Float64()
			want := map[int]int{}
			for i := 0; i < n; i += fan {
				run := ps[i].box()
				for _, p := range ps[i:min(i+fan, n)] {
					run = run.Union(p.box())
				}
				dx, dy := 0.0, 0.0
				if d := run.Min[0] - b.Max[0]; d > 0 {
					dx = d
				} else if d := b.Min[0] - run.Max[0]; d > 0 {
					dx = d
				}
				if d := run.Min[1] - b.Max[1]; d > 0 {
					dy = d
				} else if d := b.Min[1] - run.Max[1]; d > 0 {
					dy = d
				}
				d := math.Hypot(dx, dy)
				require.InDelta(t, d, apartBounds(run, b), 1e-12)
				if d <= reach {
					want[i] = min(i+fan, n)
				}
			}
			got := map[int]int{}
			tree.visit(b, reach, func(first, end int) float64 {
				require.NotContains(t, got, first, "once")
				got[first] = end
				return reach
			})
			if n > fan { // a tree of one run is looked at whatever its box
				require.Equal(t, want, got, "%d pieces", n)
			}
		}
	}
	// A contour of many chords: pieces that follow each other lie together.
	const n = 4096
	ps := make([]piece, n)
	place := func(k int) orb.Point {
		a := 2 * math.Pi * float64(k) / n
		return orb.Point{100 * math.Cos(a), 60*math.Sin(a) + 5*math.Sin(9*a)}
	}
	for k := range ps {
		ps[k] = newPiece(place(k), contour.Move{To: place(k + 1)})
	}
	tree := newBoxes(ps)
	looked := 0
	const asked = 200
	for k := range asked {
		q := place(k * 17)
		q = orb.Point{q[0] * 1.02, q[1] * 1.02}
		best := math.Inf(1)
		tree.visit(q.Bound(), best, func(first, end int) float64 {
			looked++
			for i := first; i < end; i++ {
				d, _ := ps[i].to(q)
				best = min(best, d)
			}
			return best
		})
		want := math.Inf(1)
		for i := range ps {
			d, _ := ps[i].to(q)
			want = min(want, d)
		}
		require.Equal(t, want, best)
	}
	require.Less(t, looked, 4*asked, "of %d runs each", n/fan)
	t.Logf("%.1f of %d runs looked at", float64(looked)/asked, n/fan)
}

// Rows of spans find what every span tells, and hold few that a level line in
// them does not meet.
func TestRowsAgainstAllSpans(t *testing.T) {
	rng := rand.New(rand.NewPCG(57, 1))
	for _, n := range []int{5, 60, 4000} {
		ps := make([]piece, n)
		place := func(k int) orb.Point {
			a := 2 * math.Pi * float64(k%n) / float64(n)
			return orb.Point{100 * math.Cos(a), 60*math.Sin(a) + 5*math.Sin(9*a)}
		}
		for k := range ps {
			ps[k] = newPiece(place(k), contour.Move{To: place(k + 1)})
		}
		sorted, plain := setOf(ps), setOf(ps)
		sorted.monotone()
		plain.monotone()
		sorted.sortSpans()
		require.Nil(t, plain.rows)
		met, held, rows := 0, 0, 0
		for k := range 400 {
			q := orb.Point{220*rng.Float64() - 110, 140*rng.Float64() - 70}
			if k%4 == 0 {
				q[1] = place(k * 7)[1] // level with an end
			}
			count := func(e *edges) (n int) {
				e.crossings(q, func(int32) { n++ })
				return n
			}
			require.Equal(t, count(plain), count(sorted), "%v", q)
			row := sorted.rows[sorted.rowOf(q[1])]
			held, rows = held+len(row), rows+1
			for _, s := range plain.spans {
				if q[1] >= s.lo && q[1] < s.hi {
					met++
				}
			}
		}
		require.Less(t, float64(held), 4*float64(met)+float64(rows), "%d pieces: rows hold %d of which %d are met", n, held, met)
		require.LessOrEqual(t, len(sorted.rows), 2*len(sorted.spans)+150)
		t.Logf("%d pieces in %d rows: %d looked at, %d met", n, len(sorted.rows), held, met)
	}
	empty := setOf(nil)
	empty.sortSpans()
	require.Nil(t, empty.rows)
}
