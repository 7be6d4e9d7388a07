package tour

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// unhurried is a budget that does not run out.
func unhurried() *budget { return &budget{ctx: context.Background(), now: time.Now} }

// A point on the border of two quadrants lies in exactly one of them, and the
// opposite point in the opposite quadrant.
func TestQuadrant(t *testing.T) {
	for _, c := range []struct {
		dx, dy float64
		want   int
	}{
		{1, 1, 0}, {1, 0, 0}, {0, 1, 1}, {-1, 1, 1}, {-1, 0, 2}, {-1, -1, 2}, {0, -1, 3}, {1, -1, 3}, {0, 0, -1},
	} {
		if got := quadrant(c.dx, c.dy); got != c.want {
			t.Errorf("(%v, %v) is in quadrant %d, want %d", c.dx, c.dy, got, c.want)
		}
	}
}

// The rank follows the cost and prefers the straighter of equal costs.
func TestNormRanksTies(t *testing.T) {
	fast, slow := machine.Axis{Speed: 600, Accel: 9000}, machine.Axis{Speed: 400, Accel: 6000}
	alike := MoveTime(machine.NewTravel(slow, slow, 0, 0))
	unlike := MoveTime(machine.NewTravel(fast, slow, 0, 0))
	euclidean, square := Euclid(), Chebyshev()
	for _, c := range []struct {
		name   string
		metric *Metric
		dx, dy float64
		want   float64
	}{
		{"the square of the distance", &euclidean, 3, 4, 25},
		{"the longer leg and a trace of the shorter", &square, 3, 4, 4 + 3.0/1024},
		{"either way", &square, 4, 3, 4 + 3.0/1024},
		{"both axes alike: as the larger leg", &alike, 5, 2048, 2048 + 5.0/1024},
		{"unlike axes: the time and a trace of both legs", &unlike, 30, 20, float64(unlike.cost(orb.Point{}, orb.Point{30, 20})) + 50.0/1024},
	} {
		n := newNorm(c.metric)
		if got := n.of(c.dx, c.dy); got != c.want {
			t.Errorf("%s: (%v, %v) ranks %v, want %v", c.name, c.dx, c.dy, got, c.want)
		}
	}
	exact := newNorm(&euclidean)
	exact.exact = true
	if got := exact.of(3, 4); got != 5e6 {
		t.Errorf("the cost itself of (3, 4) is %v nm", got)
	}
}

// ranked are the nodes beside i in the order of their rank, ties to the lower:
// all, or those of one quadrant.
func ranked(f *field, i int32, quad int) []int32 {
	norm := newNorm(f.metric)
	rank := func(j int32) float64 {
		return norm.of(math.Abs(f.at[j][0]-f.at[i][0]), math.Abs(f.at[j][1]-f.at[i][1]))
	}
	var out []int32
	for j := range f.at {
		v := int32(j)
		if v == i || v == f.free || f.mate != nil && f.mate[i] == v ||
			quad >= 0 && quadrant(f.at[v][0]-f.at[i][0], f.at[v][1]-f.at[i][1]) != quad {
			continue
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, func(a, b int32) int {
		switch x, y := rank(a), rank(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return int(a - b)
	})
	return out
}

// wantRow is what candidates promises, by sorting all nodes: the nearest, each
// quadrant's share, and the nearest again up to the width, the cheapest first.
func wantRow(f *field, i int32, want candidates) []near {
	var row []near
	if f.free >= 0 && (f.mate == nil || f.mate[i] != f.free) {
		row = append(row, near{f.free, 0})
	}
	all := ranked(f, i, -1)
	have := [5]int{}
	take := func(j int32) {
		if len(row) < want.width && !slices.ContainsFunc(row, func(e near) bool { return e.id == j }) {
			row = append(row, near{j, uint32(min(f.cost(i, j), math.MaxUint32))})
			have[1+quadrant(f.at[j][0]-f.at[i][0], f.at[j][1]-f.at[i][1])]++
		}
	}
	for _, j := range all[:min(want.nearest, len(all))] {
		take(j)
	}
	if want.quadrant > 0 {
		for q := range 4 {
			for _, j := range ranked(f, i, q) {
				if have[1+q] < want.quadrant {
					take(j)
				}
			}
		}
		for _, j := range all {
			take(j)
		}
	}
	slices.SortStableFunc(row, func(a, b near) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	return row
}

func TestNeighboursAgainstSorting(t *testing.T) {
	const seed = 61
	r := rand.New(rand.NewPCG(seed, 0))
	fast, slow := machine.Axis{Speed: 600, Accel: 9000}, machine.Axis{Speed: 400, Accel: 6000}
	metrics := []Metric{Euclid(), Chebyshev(), MoveTime(machine.NewTravel(fast, slow, 0, 0)), Rounded()}
	for c := range 48 {
		p := Problem{Metric: metrics[c%len(metrics)]}
		scale := []float64{1, 300, 9}[c%3] // ties; beyond 32 bits of nanometres; near
		for range 3 + r.IntN(90) {
			at := func() orb.Point {
				if c%3 == 0 {
					return orb.Point{float64(r.IntN(9)), float64(r.IntN(9))}
				}
				q := orb.Point{scale * r.Float64() * 50, scale * r.Float64() * 20}
				if r.IntN(3) == 0 { // a cluster
					q = orb.Point{scale*100 + r.Float64(), scale*80 + r.Float64()}
				}
				return q
			}
			it := Point(at())
			if c%5 == 2 && r.IntN(4) == 0 {
				it.B = at()
			}
			p.Items = append(p.Items, it)
		}
		switch c / 4 % 4 {
		case 0:
			p.Closed = true
		case 1:
			p.Start, p.End = &orb.Point{-1, -1}, &orb.Point{3, 3}
		case 2:
			p.Start = &orb.Point{-1, 2}
		}
		e := encode(&p, unhurried())
		for _, want := range []candidates{{10, 5, 2}, {8, 8, 0}, {6, 2, 1}} {
			got := findNeighbours(&e.field, want, unhurried())
			for i := range int32(len(e.at)) {
				if i == e.free {
					continue
				}
				row := slices.Clone(got.of(i))
				for len(row) > 0 && row[len(row)-1].id == -1 {
					row = row[:len(row)-1]
				}
				if diff := cmp.Diff(wantRow(&e.field, i, want), row, cmp.AllowUnexported(near{}), cmpEmpty); diff != "" {
					t.Fatalf("seed %d case %d, node %d of %d, %v (-want +got):\n%s", seed, c, i, len(e.at), want, diff)
				}
			}
		}
	}
}

// cmpEmpty holds nil and empty to be the same.
var cmpEmpty = cmp.FilterValues(func(a, b []near) bool { return len(a) == 0 && len(b) == 0 }, cmp.Ignore())

// The open node costs nothing from anywhere: its candidates are spread over the
// whole field, as many as there are.
func TestOpenNodeReachesTheWholeField(t *testing.T) {
	f := field{at: make([]orb.Point, 41), free: 40}
	row := make([]near, 10)
	f.openRow(row)
	want := []near{{0, 0}, {4, 0}, {8, 0}, {12, 0}, {16, 0}, {20, 0}, {24, 0}, {28, 0}, {32, 0}, {36, 0}}
	if diff := cmp.Diff(want, row, cmp.AllowUnexported(near{})); diff != "" {
		t.Errorf("wide (-want +got):\n%s", diff)
	}
	small := field{at: make([]orb.Point, 4), free: 3}
	row = row[:5]
	small.openRow(row)
	want = []near{{0, 0}, {1, 0}, {2, 0}, {-1, 0}, {-1, 0}}
	if diff := cmp.Diff(want, row, cmp.Comparer(func(a, b near) bool { return a.id == b.id })); diff != "" {
		t.Errorf("fewer nodes than room (-want +got):\n%s", diff)
	}
}

// A search for neighbours that ran out of time has no candidates at all: half a
// list would be another answer on a slower machine.
func TestNeighboursOutOfTimeAreNone(t *testing.T) {
	p := panel(200, 0, func(p *Problem) { p.Closed = true })
	e := encode(p, unhurried())
	for _, after := range []int{0, 2} {
		c := findNeighbours(&e.field, candidates{10, 5, 2}, patient(after))
		for k, got := range c.list {
			if got.id != -1 {
				t.Fatalf("out of time at look %d: entry %d is node %d", after+1, k, got.id)
			}
		}
	}
	if c := findNeighbours(&e.field, candidates{10, 5, 2}, patient(4)); c.list[0].id < 0 {
		t.Error("200 nodes take four looks at the clock, and no more")
	}
}

// patient is a budget that is over after some looks.
func patient(looks int) *budget {
	return &budget{ctx: &counted{Context: context.Background(), left: looks}, now: time.Now}
}

type counted struct {
	context.Context
	left int
}

func (c *counted) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestCutAndSortRow(t *testing.T) {
	for _, c := range []struct {
		cost int64
		want uint32
	}{{0, 0}, {far - 1, far - 1}, {far, far}, {far + 1, far}, {math.MaxInt64, far}} {
		if got := cut(c.cost); got != c.want {
			t.Errorf("cut(%d) = %d, want %d", c.cost, got, c.want)
		}
	}
	row := []near{{1, 5}, {2, 3}, {3, 5}, {4, 3}, {5, 0}}
	sortRow(row)
	if diff := cmp.Diff([]near{{5, 0}, {2, 3}, {4, 3}, {1, 5}, {3, 5}}, row, cmp.AllowUnexported(near{})); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}
