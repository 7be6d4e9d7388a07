package route

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// scatter puts n spots on a random convex outline.
func scatter(rng *rand.Rand, n int) (spots []spot, perimeter float64, centre orb.Point) {
	w, h := 20+float64(rng.IntN(60)), 20+float64(rng.IntN(60))
	c := contour.FromRing(orb.Ring{{0, 0}, {w, 0}, {w, h}, {float64(rng.IntN(int(w) - 1)), h}, {0, h / 2}, {0, 0}})
	o := newLoop(c)
	centre = centroid(&o)
	turned := newWinding(centre, c.Start)
	for i := range o.ps {
		p := &o.ps[i]
		at := math.Floor(p.length / float64(1+n/len(o.ps)))
		for x := at / 2; x < p.length && at >= 1; x += at {
			if rng.IntN(4) == 0 {
				continue
			}
			q := p.at(x)
			spots = append(spots, spot{s: perimeter + x, at: q, angle: turned.at(q), side: sideOf(o.outward(i)), fixed: rng.IntN(8) == 0})
		}
		turned.along(p)
		perimeter += p.length
	}
	return spots, perimeter, centre
}

// holdsCentre is the plain question: is the point strictly inside the polygon?
func holdsCentre(polygon []orb.Point, q orb.Point) bool {
	c := contour.FromRing(append(append(orb.Ring{}, polygon...), polygon[0]))
	return c.Area() > 1e-9 && c.Contains(q) && c.Distance(q) > 1e-9
}

// exhaust tries every choice of k spots that holds every fixed one and as many of
// each side as needed, and returns
// the least largest gap, +Inf when no choice is allowed.
func exhaust(spots []spot, perimeter, apart float64, need [4]int, k int, centre orb.Point) float64 {
	best := math.Inf(1)
	n := len(spots)
	for set := range 1 << n {
		var chosen []int
		ok := true
		for i := range n {
			if set&(1<<i) != 0 {
				chosen = append(chosen, i)
			} else if spots[i].fixed {
				ok = false
			}
		}
		if !ok || len(chosen) != k {
			continue
		}
		var has [4]int
		for _, c := range chosen {
			has[spots[c].side]++
		}
		for side := range has {
			ok = ok && has[side] >= need[side]
		}
		worst, polygon := 0.0, []orb.Point{}
		for i, c := range chosen {
			next := chosen[(i+1)%k]
			d := spots[next].s - spots[c].s
			if i == k-1 {
				d += perimeter
			}
			if d < apart && !(spots[c].fixed && spots[next].fixed) {
				ok = false
			}
			worst = max(worst, d)
			polygon = append(polygon, spots[c].at)
		}
		if ok && holdsCentre(polygon, centre) {
			best = min(best, worst)
		}
	}
	return best
}

func TestSpreadIsExhaustive(t *testing.T) {
	const seed = 20
	rng := rand.New(rand.NewPCG(seed, 1))
	solved, refused := 0, 0
	rounds := 400
	if testing.Short() {
		rounds = 150
	}
	for round := range rounds {
		spots, perimeter, centre := scatter(rng, 8)
		fixed := 0
		for _, s := range spots {
			if s.fixed {
				fixed++
			}
		}
		if len(spots) < 3 || len(spots) > 12 {
			continue
		}
		apart := float64(rng.IntN(15))
		for k := max(3, fixed); k <= min(6, len(spots)); k++ {
			var need [4]int
			if rng.IntN(2) == 0 {
				need = sideNeed(spots, 1+rng.IntN(2), apart)
			}
			want := exhaust(spots, perimeter, apart, need, k, centre)
			// A spacing that no number reaches, and only k to choose from: the best of k.
			chosen, got, ok := spreadOf(spots, perimeter, apart, need, k)
			switch {
			case math.IsInf(want, 1) && ok:
				t.Fatalf("seed %d round %d k %d: got gap %v where no choice is allowed", seed, round, k, got)
			case math.IsInf(want, 1):
				refused++
			case !ok || math.Abs(got-want) > 1e-9:
				t.Fatalf("seed %d round %d k %d: got gap %v %v, want %v of all choices", seed, round, k, got, ok, want)
			default:
				solved++
				var polygon []orb.Point
				for _, c := range chosen {
					polygon = append(polygon, spots[c].at)
				}
				if len(chosen) != k || !holdsCentre(polygon, centre) {
					t.Fatalf("seed %d round %d k %d: the tabs %v do not hold the centroid", seed, round, k, polygon)
				}
			}
		}
	}
	if solved < rounds/2 || refused < rounds/20 {
		t.Errorf("only %d solved and %d refused cases: the test says little", solved, refused)
	}
}

// spreadOf asks spread for exactly k spots.
func spreadOf(spots []spot, perimeter, apart float64, need [4]int, k int) ([]int, float64, bool) {
	r, shift := newRing(spots, perimeter, apart, true)
	r.need = newTally(need)
	chosen, worst, ok := r.best(k)
	return unshift(chosen, shift, len(spots)), worst, ok
}

func TestSpreadTakesTheLeastNumber(t *testing.T) {
	// 400 mm round, spots every 10 mm: four tabs come under 100 mm, five under 90.
	var spots []spot
	for s := 0.0; s < 400; s += 10 {
		spots = append(spots, spot{s: s, angle: s / 400 * 2 * math.Pi})
	}
	tests := []struct {
		name           string
		atLeast        int
		spacing        float64
		count          int
		worst          float64
		reason         string
		fixed, unround bool
	}{
		{name: "spacing asks for four", atLeast: 3, spacing: 100, count: 4, worst: 100, reason: "400 / 100"},
		{name: "spacing asks for five", atLeast: 3, spacing: 90, count: 5, worst: 80, reason: "400 / 90 is more than four"},
		{name: "per board asks for six", atLeast: 6, spacing: 100, count: 6, worst: 70, reason: "at least six, 10 mm steps"},
		{name: "no number comes under", atLeast: 3, spacing: 5, count: 40, worst: 10, reason: "spots are 10 mm apart: the best of all"},
		{name: "two opposite, no centre to hold", atLeast: 2, spacing: 200, count: 2, worst: 200, unround: true, reason: "half a turn is allowed where the contour does not go round"},
		{name: "two are no polygon", atLeast: 2, spacing: 200, count: 3, worst: 140, reason: "half a turn leaves the centre on the line between them"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			chosen, worst, ok := spread(spots, 400, tt.atLeast, [4]int{}, tt.spacing, 1, !tt.unround)
			if !ok || len(chosen) != tt.count || worst != tt.worst {
				t.Errorf("got %d spots, gap %v, %v; want %d, %v: %s", len(chosen), worst, ok, tt.count, tt.worst, tt.reason)
			}
		})
	}
}
