package picture_test

import (
	"fmt"
	"io"
	"testing"
)

func BenchmarkWriteSVG(b *testing.B) {
	for _, n := range []int{1000, 20_000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			s := field(n, 3)
			size := len(svg(b, s))
			b.ReportAllocs()
			for b.Loop() {
				if err := s.WriteSVG(io.Discard); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(size), "bytes")
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
		})
	}
}
