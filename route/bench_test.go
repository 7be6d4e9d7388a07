package route_test

import (
	"context"
	"fmt"
	"testing"

	"example.org/pinstack/route"
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
