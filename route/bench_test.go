package route_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
)

// BenchmarkLay places n boards with tabs in shared channels.
func BenchmarkLay(b *testing.B) {
	for _, n := range []int{1, 4, 12} {
		b.Run(fmt.Sprintf("boards=%d", n), func(b *testing.B) {
			in := grid(n, 1, 3, 2.4)
			b.ReportAllocs()
			for b.Loop() {
				lay(b, in)
			}
		})
	}
}

// BenchmarkPlan plans n boards; job-s is the machine time of one load.
func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{1, 4, 12} {
		b.Run(fmt.Sprintf("boards=%d", n), func(b *testing.B) {
			l := lay(b, grid(n, 1, 3, 12))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := route.Plan(context.Background(), l, route.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			p := mounted(b, l, route.Options{})
			e, err := p.Estimate(l.Input.Machine)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(e.Total().Seconds(), "job-s")
		})
	}
}

// BenchmarkCheck checks the written programs of n boards.
func BenchmarkCheck(b *testing.B) {
	for _, n := range []int{1, 4, 12} {
		b.Run(fmt.Sprintf("boards=%d", n), func(b *testing.B) {
			l := lay(b, grid(n, 1, 3, 12))
			p := mounted(b, l, route.Options{})
			written := parse(b, text(b, p))
			b.ReportAllocs()
			for b.Loop() {
				if err := route.Check(l, p, written).Err(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(p.Runs[0].Cut, "cut-mm")
		})
	}
}

// BenchmarkDense lays, plans and checks one board drawn in ever more chords: the time
// of a chord should hardly grow.
func BenchmarkDense(b *testing.B) {
	for _, n := range []int{1000, 4000, 16000} {
		b.Run(fmt.Sprintf("chords=%d", n), func(b *testing.B) {
			ring := orb.Ring{{0, 0}, {60, 0}, {60, 20}}
			for k := range n {
				x := float64(k+1) / float64(n)
				ring = append(ring, orb.Point{60 - 60*x, 20 + 3*math.Sin(6*math.Pi*x)})
			}
			in := grid(1, 1, 1, 2.4)
			in.Boards[0] = route.Board{Name: "dense", Outline: contour.FromRing(append(ring, ring[0]))}
			for b.Loop() {
				l := lay(b, in)
				p := mounted(b, l, route.Options{})
				if err := route.Check(l, p, parse(b, text(b, p))).Err(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/chord")
		})
	}
}
