package contour_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// outlines are the two benchmark families, each by its number of vertices.
var outlines = []struct {
	name string
	make func(n int) contour.Contour
}{
	// A round board of 150 mm with a hundred waves, ever more finely cut.
	{"wavy-size", func(n int) contour.Contour { return wavy(n, 150, 1.5, 100) }},
	// 0.1 mm between vertices, ever larger.
	{"wavy-pitch", func(n int) contour.Contour { return wavy(n, float64(n)*0.1/(2*math.Pi), 1.5, n/100) }},
	// Teeth whose gaps the cutter does not fit into.
	{"tooth-narrow", func(n int) contour.Contour { return toothed(n, min(float64(n)/(2*math.Pi), 9000), 2) }},
	// Teeth whose gaps it fits into, as far as 10 m go.
	{"tooth-wide", func(n int) contour.Contour { return toothed(n, min(float64(n)*4/(2*math.Pi), 9000), 2) }},
	// A round board of 150 mm with ever finer teeth.
	{"tooth-size", func(n int) contour.Contour { return toothed(n, 150, 0.5) }},
}

func wavy(n int, radius, height float64, waves int) contour.Contour {
	g := make(orb.Ring, n)
	for i := range g {
		a := 2 * math.Pi * float64(i) / float64(n)
		s, c := math.Sincos(a)
		r := radius + height*math.Sin(float64(waves)*a)
		g[i] = orb.Point{math.Round(r*c*1e6) / 1e6, math.Round(r*s*1e6) / 1e6}
	}
	return contour.FromRing(g)
}

func toothed(n int, radius, height float64) contour.Contour {
	g := make(orb.Ring, n)
	for i := range g {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := radius
		if i/2%2 == 1 {
			r += height
		}
		g[i] = orb.Point{math.Round(r*c*1e6) / 1e6, math.Round(r*s*1e6) / 1e6}
	}
	return contour.FromRing(g)
}

func BenchmarkOffset(b *testing.B) {
	for _, o := range outlines {
		for _, n := range []int{10_000, 100_000} {
			region := []contour.Contour{o.make(n)}
			for _, d := range []float64{-1.2, 1.2} {
				b.Run(fmt.Sprintf("%s/n=%d/d=%+.1f", o.name, n, d), func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if _, err := contour.Offset(region, d); err != nil {
							b.Fatal(err)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/vertex")
				})
			}
		}
	}
}
