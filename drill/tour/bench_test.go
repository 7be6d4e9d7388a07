package tour_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
)

// family makes n points of one kind on a panel.
type family struct {
	name string
	make func(r *rand.Rand, n int) []orb.Point
}

func families() []family {
	return []family{
		{"uniform", func(r *rand.Rand, n int) []orb.Point { return uniform(r, n, 400) }},
		{"grid", func(r *rand.Rand, n int) []orb.Point {
			side := int(math.Ceil(math.Sqrt(float64(n))))
			ps := make([]orb.Point, n)
			for i := range ps {
				ps[i] = orb.Point{2.54 * float64(i%side), 2.54 * float64(i/side)}
			}
			return ps
		}},
		{"clusters", func(r *rand.Rand, n int) []orb.Point {
			ps := make([]orb.Point, n)
			var at orb.Point
			for i := range ps {
				if i%40 == 0 {
					at = orb.Point{r.Float64() * 400, r.Float64() * 400}
				}
				ps[i] = orb.Point{at[0] + 0.5*float64(i%8), at[1] + 0.5*float64(i%40/8)}
			}
			return ps
		}},
	}
}

// fileOrder and nearestOrder are what an order is compared with.
func fileOrder(p tour.Problem) float64 {
	order := make([]int32, len(p.Items))
	for i := range order {
		order[i] = int32(i)
	}
	return p.Length(order, nil)
}

func nearestOrder(p tour.Problem) float64 {
	n := len(p.Items)
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	at := p.Items[0].A
	if p.Start != nil {
		at = *p.Start
	}
	for k := range order {
		best := k
		for j := k + 1; j < n; j++ {
			if p.Metric.Cost(at, p.Items[order[j]].A) < p.Metric.Cost(at, p.Items[order[best]].A) {
				best = j
			}
		}
		order[k], order[best] = order[best], order[k]
		at = p.Items[order[k]].A
	}
	return p.Length(order, nil)
}

// BenchmarkSolve reports the gap to the proven bound, which is no loss: see the
// package comment.
func BenchmarkSolve(b *testing.B) {
	for _, f := range families() {
		for _, n := range []int{100, 1000, 5000} {
			b.Run(fmt.Sprintf("%s/n=%d", f.name, n), func(b *testing.B) {
				p := tour.Problem{Items: tour.Points(f.make(rand.New(rand.NewPCG(1, uint64(n))), n)), Closed: true}
				b.ReportAllocs()
				var got tour.Result
				for b.Loop() {
					var err error
					if got, err = tour.Solve(context.Background(), p, tour.Options{Kicks: 4}); err != nil {
						b.Fatal(err)
					}
				}
				proven, err := tour.Solve(context.Background(), p, tour.Options{Kicks: 4, Bound: true})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*(got.Length/proven.Bound-1), "bound-gap-%")
			})
		}
	}
}

// BenchmarkD493 reports the gap to the proven optimum.
func BenchmarkD493(b *testing.B) {
	p := tour.Problem{Items: tour.Points(readD493(b)), Closed: true, Metric: tour.Rounded()}
	for _, kicks := range []float64{1, 5, 20} {
		b.Run(fmt.Sprintf("kicks=%g", kicks), func(b *testing.B) {
			b.ReportAllocs()
			var got tour.Result
			for b.Loop() {
				var err error
				if got, err = tour.Solve(context.Background(), p, tour.Options{Kicks: kicks}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(100*(got.Length/optimumD493-1), "gap-%")
		})
	}
}

// BenchmarkMachineTravel reports travel seconds against those of the file order
// and of always going to the nearest.
func BenchmarkMachineTravel(b *testing.B) {
	axis := machine.Axis{Speed: 50000.0 / 60, Accel: 9806.65}
	change := orb.Point{0, 0}
	for _, f := range families() {
		b.Run(f.name, func(b *testing.B) {
			p := tour.Problem{
				Items: tour.Points(f.make(rand.New(rand.NewPCG(2, 0)), 2000)), Start: &change, End: &change,
				Metric: tour.MoveTime(machine.NewTravel(axis, axis, 15*time.Millisecond, 0)),
			}
			b.ReportAllocs()
			var got tour.Result
			for b.Loop() {
				var err error
				if got, err = tour.Solve(context.Background(), p, tour.Options{Kicks: 4}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(got.Length, "travel-s")
			b.ReportMetric(fileOrder(p), "file-order-s")
			b.ReportMetric(nearestOrder(p), "nearest-s")
		})
	}
}
