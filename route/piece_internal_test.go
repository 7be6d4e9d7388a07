package route

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// anyPiece makes a random line or arc; every tenth arc is a full circle.
func anyPiece(rng *rand.Rand) piece {
	at := func() orb.Point { return orb.Point{float64(rng.IntN(2000)) / 100, float64(rng.IntN(2000)) / 100} }
	a := at()
	if rng.IntN(2) == 0 {
		return newPiece(a, contour.Move{To: at()})
	}
	c, turn := at(), int8(1-2*rng.IntN(2))
	if a == c {
		a[0]++
	}
	to := a
	if rng.IntN(10) > 0 {
		angle := rng.Float64() * 2 * math.Pi
		to = along(c, orb.Point{math.Cos(angle), math.Sin(angle)}, gap(c, a))
	}
	return newPiece(a, contour.Move{To: to, Center: c, Turn: turn})
}

// dense samples a piece, ends included.
func dense(p *piece, n int) []orb.Point {
	out := make([]orb.Point, n+1)
	for k := range out {
		out[k] = p.at(p.length * float64(k) / float64(n))
	}
	return out
}

func TestDistancesAgainstSampling(t *testing.T) {
	const seed = 3
	rng := rand.New(rand.NewPCG(seed, 1))
	for round := range 400 {
		p, q := anyPiece(rng), anyPiece(rng)
		x := orb.Point{float64(rng.IntN(2000)) / 100, float64(rng.IntN(2000)) / 100}
		const n = 300
		ps, qs := dense(&p, n), dense(&q, n)
		slack := (p.length + q.length) / n // no sample is farther from the true foot
		best := math.Inf(1)
		for _, a := range ps {
			best = min(best, gap(a, x))
		}
		d, foot := p.to(x)
		if d > best+1e-9 || d < best-slack || math.Abs(gap(foot, x)-d) > 1e-9 {
			t.Fatalf("seed %d round %d: %v to %v is %v, foot %v, samples say %v", seed, round, p, x, d, foot, best)
		}
		if on, _ := p.to(foot); on > 1e-9 {
			t.Fatalf("seed %d round %d: foot %v is %v off the piece", seed, round, foot, on)
		}
		best = math.Inf(1)
		for _, a := range ps {
			for _, b := range qs {
				best = min(best, gap(a, b))
			}
		}
		d, at := p.between(&q)
		if d > best+1e-9 || d < best-slack {
			t.Fatalf("seed %d round %d: %v and %v are %v apart, samples say %v", seed, round, p, q, d, best)
		}
		if on, _ := p.to(at); on > 1e-6 {
			t.Fatalf("seed %d round %d: place %v is %v off the piece", seed, round, at, on)
		}
		if back, _ := q.between(&p); math.Abs(back-d) > 1e-9 {
			t.Fatalf("seed %d round %d: %v one way, %v the other", seed, round, d, back)
		}
		for _, a := range ps {
			if b := p.box().Pad(1e-9); !b.Contains(a) {
				t.Fatalf("seed %d round %d: %v lies outside of the box %v", seed, round, a, b)
			}
		}
	}
}

func TestConcentricArcs(t *testing.T) {
	c := orb.Point{10, 10}
	arc := func(r float64) piece {
		return newPiece(orb.Point{10 + r, 10}, contour.Move{To: orb.Point{10, 10 + r}, Center: c, Turn: 1})
	}
	a, b := arc(1), arc(2.2)
	if d, _ := a.between(&b); math.Abs(d-1.2) > 1e-12 {
		t.Errorf("concentric quarter arcs of 1 and 2.2 mm are %v apart, want 1.2", d)
	}
	if d, _ := a.to(c); d != 1 {
		t.Errorf("an arc of 1 mm is %v from its centre", d)
	}
}

func TestEdgesAgainstAllPieces(t *testing.T) {
	const seed = 4
	rng := rand.New(rand.NewPCG(seed, 1))
	var ps []piece
	var owner []int32
	for i := range 60 {
		ps, owner = append(ps, anyPiece(rng)), append(owner, int32(i%7))
	}
	e := newEdges(ps, owner)
	for round := range 500 {
		x := orb.Point{rng.Float64()*40 - 10, rng.Float64()*40 - 10}
		limit := rng.Float64() * 6
		want, index := math.Inf(1), -1
		for i := range ps {
			if d, _ := ps[i].to(x); d <= limit && d < want {
				want, index = d, i
			}
		}
		if d, k, _ := e.near(x, limit); k != index || d != want {
			t.Fatalf("seed %d round %d: near gives %v of piece %d, want %v of %d", seed, round, d, k, want, index)
		}
		p := anyPiece(rng)
		want, index = math.Inf(1), -1
		for i := range ps {
			if d, _ := p.between(&ps[i]); d <= limit && d < want {
				want, index = d, i
			}
		}
		if d, k, _ := e.clearance(&p, limit); k != index || d != want {
			t.Fatalf("seed %d round %d: clearance gives %v of piece %d, want %v of %d", seed, round, d, k, want, index)
		}
	}
}

func TestInsideAgainstContour(t *testing.T) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, 1))
	shapes := []contour.Contour{
		contour.Circle(orb.Point{10, 10}, 7),
		contour.FromRing(orb.Ring{{0, 0}, {20, 0}, {20, 20}, {10, 5}, {0, 20}, {0, 0}}),
		{Start: orb.Point{5, 5}, Moves: []contour.Move{
			{To: orb.Point{15, 5}}, {To: orb.Point{15, 15}, Center: orb.Point{15, 10}, Turn: 1}, {To: orb.Point{5, 15}},
			{To: orb.Point{5, 5}, Center: orb.Point{5, 10}, Turn: -1},
		}},
	}
	for k, c := range shapes {
		l := newLoop(c)
		for range 3000 {
			// A coarse grid meets corners and tangents often.
			x := orb.Point{float64(rng.IntN(45)) / 2, float64(rng.IntN(45)) / 2}
			if c.Distance(x) < 1e-9 {
				continue
			}
			if got, want := l.inside(x), c.Contains(x); got != want {
				t.Fatalf("shape %d: %v inside is %v, want %v", k, x, got, want)
			}
		}
	}
}

func TestEmptyEdges(t *testing.T) {
	e := newEdges(nil, nil)
	e.monotone()
	if _, k, _ := e.near(orb.Point{1, 1}, 5); k >= 0 {
		t.Error("found a piece in an empty set")
	}
	if e.within(orb.Point{1, 1}, func(int32) bool { return true }) {
		t.Error("a point lies inside nothing")
	}
}

func TestCentroid(t *testing.T) {
	tests := []struct {
		name string
		c    contour.Contour
		want orb.Point
	}{
		{"rectangle", contour.FromBound(orb.Bound{Min: orb.Point{2, 3}, Max: orb.Point{12, 7}}), orb.Point{7, 5}},
		{"circle", contour.Circle(orb.Point{-4, 9}, 3), orb.Point{-4, 9}},
		{"half disc", contour.Contour{Start: orb.Point{-3, 0}, Moves: []contour.Move{
			{To: orb.Point{3, 0}}, {To: orb.Point{-3, 0}, Center: orb.Point{0, 0}, Turn: 1},
		}}, orb.Point{0, 4 * 3 / (3 * math.Pi)}}, // 4 r / (3 pi), any handbook
		{"clockwise rectangle", contour.FromBound(orb.Bound{Max: orb.Point{10, 4}}).Reverse(), orb.Point{5, 2}},
	}
	for _, tt := range tests {
		l := newLoop(tt.c)
		if got := centroid(&l); gap(got, tt.want) > 1e-9 {
			t.Errorf("%s: got %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestOnGrid(t *testing.T) {
	c := contour.Circle(orb.Point{10.00037, 5.00012}, 1.58749)
	g := onGrid(c)
	if len(g.Moves) != 4 {
		t.Fatalf("a circle is written in %d parts, want 4 quarters", len(g.Moves))
	}
	if !g.Closed() {
		t.Error("the circle does not close")
	}
	at := g.Start
	for _, m := range g.Moves {
		if gridPoint(m.To) != m.To {
			t.Errorf("%v is off the grid", m.To)
		}
		if d := math.Abs(gap(m.Center, at) - gap(m.Center, m.To)); d > 1e-9 {
			t.Errorf("the ends of an arc differ by %v in radius", d)
		}
		if r := gap(m.Center, at); math.Abs(r-math.Round(r*1000)/1000) > 1e-9 {
			t.Errorf("the radius %v is off the grid", r)
		}
		p := newPiece(at, m)
		for k := range 20 {
			if d := math.Abs(gap(p.at(p.length*float64(k)/20), orb.Point{10.00037, 5.00012}) - 1.58749); d > 0.0015 {
				t.Errorf("a point of the written circle is %v off", d)
			}
		}
		at = m.To
	}
	tiny := contour.Contour{Start: orb.Point{1, 1}, Moves: []contour.Move{
		{To: orb.Point{1.0002, 1.0002}, Center: orb.Point{1.0002, 1}, Turn: -1}, {To: orb.Point{2, 1}},
	}}
	if g := onGrid(tiny); len(g.Moves) != 1 || g.Moves[0].Turn != 0 {
		t.Errorf("an arc that rounds to nothing became %v", g.Moves)
	}
}
