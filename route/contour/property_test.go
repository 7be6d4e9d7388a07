package contour_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

const micrometre = 1e-3

// offsetFault checks one offset and describes what is wrong with it, "" for
// nothing. It needs no more than the distance from a point to the contours.
func offsetFault(region []contour.Contour, distance float64, got contour.Offsets) string {
	r := math.Abs(distance)
	source := contour.NewIndex(region)
	loops := contour.NewIndex(got.Loops)
	if len(got.Loops) > 0 {
		if err := contour.ValidateRegion(got.Loops); err != nil {
			return fmt.Sprintf("the loops are no valid region: %v", err)
		}
	}
	// Gouge and wander: every point of the path lies at distance r, and the
	// offset region lies to its left.
	for l, c := range got.Loops {
		from := c.Start
		every := 1 + len(c.Moves)/100
		for m, mv := range c.Moves {
			if m%every != 0 {
				from = mv.To
				continue
			}
			part := contour.Contour{Start: from, Moves: []contour.Move{mv}}
			length := part.Length()
			n := 4
			if length > 1 {
				n = 12
			}
			for k := 0; k <= n; k++ {
				p, dir := part.At(length * float64(k) / float64(n))
				if k == n {
					p = mv.To
				}
				if d := source.Distance(p); math.Abs(d-r) > micrometre {
					return fmt.Sprintf("loop %d move %d: %v lies %.7f from the contour, want %.7f", l, m, p, d, r)
				}
				if k == n/2 && length > 4*micrometre && !regionLeft(source, p, dir, distance) {
					return fmt.Sprintf("loop %d move %d: the region is not to the left of %v", l, m, p)
				}
			}
			from = mv.To
		}
	}
	// Lost loops: a point of the contour pushed out by r that no other point
	// of it is nearer to belongs to the path.
	push := func(p, n orb.Point) string {
		q := orb.Point{p[0] + n[0]*r, p[1] + n[1]*r}
		if source.Distance(q) < r-1e-9 {
			return ""
		}
		// Where the contour on the other side is as near, the channel is as wide
		// as the cutter and may be closed.
		if beyond := (orb.Point{p[0] + n[0]*(r+1e-6), p[1] + n[1]*(r+1e-6)}); source.Distance(beyond) <= r+1e-9 {
			return ""
		}
		if in := source.Contains(q); in != (distance < 0) {
			return ""
		}
		if d := loops.Distance(q); d > micrometre {
			return fmt.Sprintf("%v, pushed from %v, lies %.7f from the path", q, p, d)
		}
		return ""
	}
	for _, c := range region {
		from := c.Start
		every := 1 + len(c.Moves)/100
		for m, mv := range c.Moves {
			if m%every != 0 {
				from = mv.To
				continue
			}
			part := contour.Contour{Start: from, Moves: []contour.Move{mv}}
			length := part.Length()
			for k := 0; k <= 8; k++ {
				p, dir := part.At(length * (float64(k) + 1e-3) / 8.002)
				for _, side := range [2]float64{1, -1} {
					if s := push(p, orb.Point{-dir[1] * side, dir[0] * side}); s != "" {
						return s
					}
				}
			}
			for k := range 16 {
				s, cs := math.Sincos(math.Pi * float64(k) / 8)
				if s := push(mv.To, orb.Point{cs, s}); s != "" {
					return s
				}
			}
			from = mv.To
		}
	}
	return ""
}

// regionLeft reports whether the region moved by a distance lies left of p. A
// sliver may be thinner than a look far off, and the path not exact enough for
// a close one.
func regionLeft(source *contour.Index, p, dir orb.Point, distance float64) bool {
	for _, step := range [2]float64{2e-4, 1e-6} {
		q := orb.Point{p[0] - dir[1]*step, p[1] + dir[0]*step}
		in := source.Contains(q)
		near := source.Distance(q) < math.Abs(distance)
		if (distance > 0 && (in || near)) || (distance < 0 && in && !near) {
			return true
		}
	}
	return false
}

func distanceFor(rng *rand.Rand) float64 {
	d := micron(uniform(rng, 0.05, 3))
	if rng.IntN(2) == 0 {
		return -d
	}
	return d
}

func TestOffsetProperty(t *testing.T) {
	count, first := 10_000, uint64(1)
	if testing.Short() {
		count = 500
	}
	if s := os.Getenv("CONTOUR_CASES"); s != "" {
		count, _ = strconv.Atoi(s)
	}
	if s := os.Getenv("CONTOUR_SEED"); s != "" {
		first, _ = strconv.ParseUint(s, 10, 64)
	}
	const shards = 4
	for shard := range uint64(shards) {
		t.Run(fmt.Sprintf("shard %d", shard), func(t *testing.T) {
			t.Parallel()
			valid, failed := 0, 0
			for seed := first + shard; valid < count/shards && failed <= 20; seed += shards {
				rng := rand.New(rand.NewPCG(seed, 7))
				s := shapes[int(seed/shards)%len(shapes)]
				region := s.make(rng)
				if contour.ValidateRegion(region) != nil {
					continue
				}
				valid++
				d := distanceFor(rng)
				got, err := contour.Offset(region, d)
				fault := ""
				if err != nil {
					fault = err.Error()
				} else {
					fault = offsetFault(region, d, got)
				}
				if fault != "" {
					t.Errorf("seed %d, %s by %g: %s", seed, s.name, d, fault)
					failed++
				}
			}
		})
	}
}
