package artwork

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// arcFrom is an arc by its angles, on the nanometre grid.
func arcFrom(cx, cy, r, from, sweep float64, turn int8) arc {
	on := func(a float64) point {
		return point{int64(math.Round(cx + r*math.Cos(a))), int64(math.Round(cy + r*math.Sin(a)))}
	}
	return arc{from: on(from), to: on(from + float64(turn)*sweep), center: [2]float64{cx, cy}, turn: turn}
}

// What is asked of arcs, against points walked along them.
func TestArcsAgainstPointsOnThem(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := range 400 {
		cx, cy, r := 2e6*rng.Float64()-1e6, 2e6*rng.Float64()-1e6, 1e5+1e6*rng.Float64()
		from, sweep, turn := 2*math.Pi*rng.Float64()-math.Pi, 0.1+6*rng.Float64(), int8(1)
		if n%2 == 1 {
			turn = -1
		}
		a := arcFrom(cx, cy, r, from, sweep, turn)
		require.InDelta(t, sweep, a.sweep(), 1e-4, n)
		require.InDelta(t, r*sweep, a.length(), 20, n)
		require.InDelta(t, float64(turn)/r, a.bend(), 1e-10, n)
		hx, hy := a.heading()
		require.InDelta(t, -math.Sin(from)*float64(turn), hx, 1e-4, n)
		require.InDelta(t, math.Cos(from)*float64(turn), hy, 1e-4, n)
		mx, my := a.middle()
		require.InDelta(t, cx+r*math.Cos(from+float64(turn)*sweep/2), mx, 20, n)
		require.InDelta(t, cy+r*math.Sin(from+float64(turn)*sweep/2), my, 20, n)

		const steps = 2000
		walked := nowhere()
		q := point{int64(cx + 3*r*rng.Float64() - 1.5*r), int64(cy + 3*r*rng.Float64() - 1.5*r)}
		least := math.Inf(1)
		for k := range steps + 1 {
			angle := from + float64(turn)*sweep*float64(k)/steps
			x, y := cx+r*math.Cos(angle), cy+r*math.Sin(angle)
			walked = walked.add(x, y)
			least = min(least, math.Hypot(x-float64(q[0]), y-float64(q[1])))
			if k > 0 && k < steps {
				require.True(t, a.within(x, y), "%d: step %d", n, k)
			}
		}
		out := from + float64(turn)*(sweep+(2*math.Pi-sweep)/2)
		require.False(t, a.within(cx+r*math.Cos(out), cy+r*math.Sin(out)), n)
		b := a.box()
		require.InDelta(t, 0, math.Abs(b.x0-walked.x0)+math.Abs(b.y0-walked.y0)+math.Abs(b.x1-walked.x1)+math.Abs(b.y1-walked.y1), 10+r*1e-4, n)
		require.InDelta(t, least, a.distance(q), 10+r*0.003, n)

		require.Equal(t, a.identity(), a.reversed().identity(), "%d: a stroke is the same whichever way it runs", n)
		require.NotEqual(t, a.identity(), arcFrom(cx, cy, r, from, sweep, -turn).identity(), n)
	}
}

func TestLines(t *testing.T) {
	a := arc{from: point{10, 20}, to: point{40, 60}} // 3-4-5
	require.Equal(t, 50.0, a.length())
	require.Equal(t, 0.0, a.bend())
	x, y := a.heading()
	require.Equal(t, [2]float64{0.6, 0.8}, [2]float64{x, y})
	x, y = a.middle()
	require.Equal(t, [2]float64{25, 40}, [2]float64{x, y})
	for _, c := range []struct {
		q    point
		want float64
	}{
		{point{10, 20}, 0}, {point{25, 40}, 0}, {point{33, 34}, 10}, {point{17, 46}, 10},
		{point{7, 16}, 5}, {point{43, 64}, 5}, {point{-30, 20}, 40}, {point{40, 65}, 5},
	} {
		require.InDelta(t, c.want, a.distance(c.q), 1e-9, "%v", c.q)
	}
	require.Equal(t, 5.0, arc{from: point{1, 1}, to: point{1, 1}}.distance(point{4, 5}))
	x, y = arc{from: point{1, 1}, to: point{1, 1}}.heading()
	require.Equal(t, [2]float64{0, 0}, [2]float64{x, y})
}

func TestPointsAreOrdered(t *testing.T) {
	order := []point{{-2, 9}, {0, -1}, {0, 0}, {0, 5}, {3, -7}}
	for i, p := range order {
		for j, q := range order {
			require.Equal(t, i < j, p.less(q), "%v %v", p, q)
		}
	}
}

// A stroke cut at points near it is the same stroke in parts, in its own order.
func TestCutAt(t *testing.T) {
	line := edge{arc: arc{from: point{0, 0}, to: point{100_000, 0}}, width: 0.1, stroke: 3}
	parts := cutAt(line, []point{{70_000, 0}, {30_000, 1}, {30_500, 0}, {900, 0}, {99_200, 0}})
	require.Equal(t, []point{{0, 0}, {30_000, 1}, {70_000, 0}}, starts(parts))
	require.Equal(t, point{100_000, 0}, parts[2].to)
	for _, p := range parts {
		require.Equal(t, int32(3), p.stroke)
	}
	require.Equal(t, []edge{line}, cutAt(line, nil))

	half := edge{arc: arcFrom(0, 0, 1e6, 0, math.Pi, 1)}
	parts = cutAt(half, []point{{0, 1_000_000}, {707_107, 707_107}})
	require.Equal(t, []point{{1_000_000, 0}, {707_107, 707_107}, {0, 1_000_000}}, starts(parts))
	require.Equal(t, point{-1_000_000, 0}, parts[2].to)

	circle := edge{arc: arc{from: point{1_000_000, 0}, to: point{1_000_000, 0}, turn: 1}}
	parts = cutAt(circle, []point{{0, 1_000_000}})
	require.Len(t, parts, 1)
	require.Equal(t, [2]point{{0, 1_000_000}, {0, 1_000_000}}, [2]point{parts[0].from, parts[0].to}, "a circle begins elsewhere")
	parts = cutAt(circle, []point{{-1_000_000, 0}, {0, 1_000_000}})
	require.Equal(t, []point{{0, 1_000_000}, {-1_000_000, 0}}, starts(parts))
	require.Equal(t, point{0, 1_000_000}, parts[1].to)
}

func starts(parts []edge) (out []point) {
	for _, p := range parts {
		out = append(out, p.from)
	}
	return out
}

// Strokes count as one within a micrometre, not beyond it, and short ones never.
func TestDrawnTwiceToTheMicrometre(t *testing.T) {
	line := func(x0, y0, x1, y1 int64) edge { return edge{arc: arc{from: point{x0, y0}, to: point{x1, y1}}} }
	a := line(0, 0, 50_000, 0)
	for _, c := range []struct {
		name string
		b    edge
		same bool
	}{
		{"the same", a, true},
		{"the other way", line(50_000, 0, 0, 0), true},
		{"1 um beside", line(0, 1000, 50_000, 1000), true},
		{"1 um beside, the other way", line(50_000, 1000, 0, 1000), true},
		{"more beside", line(0, 1001, 50_000, 1001), false},
		{"one end off", line(0, 0, 50_000, 1500), false},
		{"the other end off", line(0, 1500, 50_000, 0), false},
		{"an arc between the same ends", edge{arc: arc{from: point{0, 0}, to: point{50_000, 0}, center: [2]float64{25_000, 0}, turn: 1}}, false},
	} {
		kept, dropped := dropTwice([]edge{a, c.b})
		require.Equal(t, c.same, len(dropped) == 1, c.name)
		require.Equal(t, c.same, kept[0].twice, c.name)
	}
	short := line(0, 0, 9_999, 0)
	_, dropped := dropTwice([]edge{short, line(0, 1, 9_999, 1)})
	require.Empty(t, dropped, "short strokes may be neighbours in a curve")
	_, dropped = dropTwice([]edge{short, short})
	require.Len(t, dropped, 1, "but not the very same")
	circle := func(x, r float64) edge {
		return edge{arc: arc{from: point{int64(x + r), 0}, to: point{int64(x + r), 0}, center: [2]float64{x, 0}, turn: 1}}
	}
	for _, c := range []struct {
		b    edge
		same bool
	}{{circle(0, 100_000), true}, {circle(0, 101_000), true}, {circle(500, 100_000), true}, {circle(0, 101_600), false}, {circle(1600, 100_000), false}} {
		_, dropped := dropTwice([]edge{circle(0, 100_000), c.b})
		require.Equal(t, c.same, len(dropped) == 1, "%v", c.b)
	}
}

// An end lies alongside another stroke where the two run together for a while.
func TestAlongside(t *testing.T) {
	line := func(x0, y0, x1, y1 int64) arc { return arc{from: point{x0, y0}, to: point{x1, y1}} }
	long := line(0, 0, 100_000, 0)
	for _, c := range []struct {
		name string
		e, s arc
		p    point
		want bool
	}{
		{"within it", line(20_000, 0, 60_000, 0), long, point{20_000, 0}, true},
		{"over its end", line(60_000, 0, 150_000, 0), long, point{60_000, 0}, true},
		{"over its start", line(-60_000, 0, 30_000, 0), long, point{30_000, 0}, true},
		{"1 um beside", line(20_000, 1000, 60_000, 1000), long, point{20_000, 1000}, true},
		{"more beside", line(20_000, 1001, 60_000, 1001), long, point{20_000, 1001}, false},
		{"a branch", line(20_000, 0, 20_000, 50_000), long, point{20_000, 0}, false},
		{"at its end", line(100_000, 0, 150_000, 0), long, point{100_000, 0}, false},
		{"an arc on a line", arcFrom(20_000, 30_000, 30_000, -math.Pi/2, 1, 1), long, point{20_000, 0}, false},
		{"an arc on its circle", arcFrom(0, 0, 1e6, 1, 1, 1), arcFrom(0, 0, 1e6, 0.5, 2, 1), arcFrom(0, 0, 1e6, 1, 1, 1).from, true},
		{"an arc of another circle", arcFrom(2100, 0, 1e6, 1, 1, 1), arcFrom(0, 0, 1e6, 0.5, 2, 1), arcFrom(2100, 0, 1e6, 1, 1, 1).from, false},
		{"on a whole circle", arcFrom(0, 0, 1e6, 1, 1, 1), arc{from: point{1_000_000, 0}, to: point{1_000_000, 0}, turn: 1}, arcFrom(0, 0, 1e6, 1, 1, 1).from, true},
	} {
		require.Equal(t, c.want, alongside(c.e, c.s, c.p), c.name)
	}
}

// Fitted centres are as far from both ends and the nearest such place.
func TestFittedCentres(t *testing.T) {
	a := arc{from: point{0, 0}, to: point{60, 80}, center: [2]float64{100, -50}, turn: 1}
	c := a.fitted()
	a.center = c
	require.InDelta(t, a.radius(a.from), a.radius(a.to), 1e-9)
	// On the bisector through (30, 40), along (-4, 3)/5.
	require.InDelta(t, 0, (c[0]-30)*3+(c[1]-40)*4, 1e-9)
	require.InDelta(t, (100-30)*-0.8+(-50-40)*0.6, (c[0]-30)*-0.8+(c[1]-40)*0.6, 1e-9)
	a.to = a.from
	require.Equal(t, c, a.fitted(), "a circle keeps its centre")
}

func TestBoxesAgainstAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := range 60 {
		boxes := make([]rect, n*n/4)
		for i := range boxes { // on a coarse grid, so that sides meet
			x, y := float64(rng.IntN(40)), float64(rng.IntN(40))
			boxes[i] = rect{x, y, x + float64(rng.IntN(8)), y + float64(rng.IntN(8))}
		}
		tree := newBoxTree(boxes)
		for range 30 {
			x, y := float64(rng.IntN(45)-2), float64(rng.IntN(45)-2)
			b := rect{x, y, x + float64(rng.IntN(6)), y + float64(rng.IntN(6))}
			var want, got []int32
			for i, o := range boxes {
				if o.x0 <= b.x1 && b.x0 <= o.x1 && o.y0 <= b.y1 && b.y0 <= o.y1 {
					want = append(want, int32(i))
				}
			}
			tree.each(b, func(i int32) bool { got = append(got, i); return true })
			slices.Sort(got)
			require.Equal(t, want, got, "%d boxes, %v", len(boxes), b)
		}
	}
	b := rect{0, 0, 10, 4}
	require.True(t, b.holds(b) && b.meets(rect{10, 4, 12, 6}))
	for _, o := range []rect{{-1, 0, 10, 4}, {0, -1, 10, 4}, {0, 0, 11, 4}, {0, 0, 10, 5}} {
		require.False(t, b.holds(o), "%v", o)
		require.True(t, o.holds(b), "%v", o)
	}
	for _, o := range []rect{{11, 0, 12, 4}, {-3, 0, -1, 4}, {0, 5, 10, 6}, {0, -3, 10, -1}} {
		require.False(t, b.meets(o), "%v", o)
	}
	require.Equal(t, rect{-2, -2, 12, 6}, b.grow(2))
	require.Equal(t, 10.0, b.size())
	require.Equal(t, 10.0, rect{0, 0, 3, 10}.size())
}

// Boxes are alike to the side.
func TestSameBox(t *testing.T) {
	a := rect{0, 0, 1e6, 2e6}
	require.True(t, sameBox(a, rect{alike, -alike, 1e6 + alike, 2e6 - alike}))
	for _, o := range []rect{{alike + 1, 0, 1e6, 2e6}, {0, alike + 1, 1e6, 2e6}, {0, 0, 1e6 + alike + 1, 2e6}, {0, 0, 1e6, 2e6 - alike - 1}, {-alike - 1, 0, 1e6, 2e6}} {
		require.False(t, sameBox(a, o), "%v", o)
	}
}

// Lines and columns count from one; CR, LF and both end a line once.
func TestPositions(t *testing.T) {
	s := &scanner{src: []byte("ab\ncd\r\nef\rg\n"), line: 1}
	want := [][2]int{{1, 1}, {1, 2}, {1, 3}, {2, 1}, {2, 2}, {2, 3}, {2, 4}, {3, 1}, {3, 2}, {3, 3}, {4, 1}, {4, 2}, {5, 1}}
	for i, w := range want {
		l, c := s.position(i)
		require.Equal(t, w, [2]int{l, c}, "offset %d", i)
	}
	l, c := s.position(4) // back
	require.Equal(t, [2]int{2, 2}, [2]int{l, c})
}

func TestNeeded(t *testing.T) {
	joins := []float64{5, 20, 100}
	for gap, want := range map[float64]float64{0: 5, 5: 5, 5.1: 20, 20: 20, 20.1: 100, 100: 100, 300: 100} {
		require.Equal(t, want, needed(joins, gap), "%g", gap)
	}
}

// Rounding of the file's units to nanometres goes away from zero at a half.
func TestNanometres(t *testing.T) {
	for _, c := range []struct {
		raw  int64
		inch bool
		want int64
	}{{0, false, 0}, {1499, false, 1}, {1500, false, 2}, {-1499, false, -1}, {-1500, false, -2}, {1_000_000_000, true, 25_400_000}, {-1_000_000_000, true, -25_400_000}, {19, true, 0}, {20, true, 1}, {-20, true, -1}} {
		require.Equal(t, c.want, nanometres(c.raw, c.inch), "%v", c)
	}
}
