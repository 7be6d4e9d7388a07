package tour

import (
	"context"
	"flag"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// CompareGolden compares text with a file, or writes it with -update.
func CompareGolden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

// begun encodes a problem and gives it a start tour: what the searches begin
// with. The limit is in kicks an item.
func begun(p *Problem, procs int, limit float64) *solver {
	s := &solver{ctx: context.Background(), now: time.Now, seed: 5, procs: procs, limit: int64(limit * float64(len(p.Items)))}
	b := s.budget()
	s.encoding = encode(p, b)
	s.how = deep()
	s.near = findNeighbours(&s.field, candidates{10, 5, 2}, b)
	s.ring = greedy(&s.field, s.near, b)
	s.length = s.field.one(s.ring).length
	return s
}

// panel is a board of n holes of which every slots-th is a slot; 0: none.
func panel(n, slots int, way func(p *Problem)) *Problem {
	r := rand.New(rand.NewPCG(47, uint64(n)))
	p := &Problem{}
	for i := range n {
		at := orb.Point{r.Float64() * 300, r.Float64() * 200}
		if i%5 == 0 { // a row of pads
			at = orb.Point{float64(i % 100), float64(i / 100)}
		}
		it := Point(at)
		if slots > 0 && i%slots == 0 {
			it.B = orb.Point{at[0] + 1, at[1] + r.Float64()}
		}
		p.Items = append(p.Items, it)
	}
	way(p)
	return p
}

// What large rings get, at a size that a test can afford: the same order for
// the same work.
func TestGoldenLargeRings(t *testing.T) {
	var got strings.Builder
	for _, c := range []struct {
		name  string
		p     *Problem
		limit float64
		make  func(s *solver, start []int32)
	}{
		{"whole, closed", panel(1100, 0, func(p *Problem) { p.Closed = true }), 1.1, (*solver).whole},
		{"whole, slots and fixed ends", panel(900, 7, func(p *Problem) { p.Start, p.End = &orb.Point{-1, -1}, &orb.Point{310, 3} }), 0.9, (*solver).whole},
		{"segments, closed", panel(2600, 0, func(p *Problem) { p.Closed = true }), 0.9, (*solver).segments},
		{"segments, open", panel(2500, 0, func(*Problem) {}), 0.8, (*solver).segments},
		{"segments, slots from a start", panel(2400, 9, func(p *Problem) { p.Start = &orb.Point{-1, -1} }), 1, (*solver).segments},
		{"segments, nothing but slots", panel(700, 1, func(p *Problem) { p.Closed = true }), 1.3, (*solver).segments},
	} {
		s := begun(c.p, 1, c.limit)
		looks := &counted{Context: context.Background(), left: 1 << 40}
		s.ctx = looks
		fmt.Fprintf(&got, "%s: start %d", c.name, s.length)
		s.progress = func(length, spent int64) { fmt.Fprintf(&got, ", %d at %d", length, spent) }
		c.make(s, s.ring)
		order := s.check(t, c.p)
		sum := fnv.New32a()
		fmt.Fprint(sum, order)
		fmt.Fprintf(&got, ", %d moves, %d looks at the clock, order %08x\n", s.tried.Load(), 1<<40-looks.left, sum.Sum32())
	}
	CompareGolden(t, "testdata/golden/large.txt", got.String())
}
