package sheet_test

import (
	"fmt"
	"io"
	"testing"
)

func BenchmarkWriteHTML(b *testing.B) {
	for _, n := range []int{800, 20_000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			s, scene := backplane(n)
			size := len(page(b, s, scene))
			b.ReportAllocs()
			for b.Loop() {
				if err := s.WriteHTML(io.Discard, scene); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(size), "bytes")
		})
	}
}
