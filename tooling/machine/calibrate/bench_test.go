package calibrate_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.org/pinstack/tooling/machine/calibrate"
)

func BenchmarkFit(b *testing.B) {
	for _, n := range []int{500, 5000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 1))
			rows := shopLog(rng, truth(rng), n, 0.02, 0.05)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := calibrate.Fit(context.Background(), rows, calibrate.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}
