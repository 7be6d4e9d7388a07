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
	// Teeth whose gaps the cutter does not fit into, ever more of the same: a
	// hundred thousand reach as far as 10 m go.
	{"tooth-narrow", func(n int) contour.Contour { return toothed(n, 9000*float64(n)/100_000, 2) }},
	// Teeth whose gaps it fits into, their corners rounded by chords as CAD writes
	// them, ever more of the same.
	{"tooth-wide", filleted},
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

// filleted is a gear of n vertices, forty to a tooth: 4 mm wide, 2 mm high, 4 mm
// apart, with corners of 0.5 mm.
func filleted(n int) contour.Contour {
	const pitch, top, high, corner, each = 8.0, 4.0, 2.0, 0.5, 10
	radius := pitch * float64(n/(4*each)) / (2 * math.Pi)
	g := make(orb.Ring, 0, n)
	for tooth := range n / (4 * each) {
		for k, c := range [4]orb.Point{{-corner, corner}, {corner, high - corner}, {top - corner, high - corner}, {top + corner, corner}} {
			for i := range each {
				// A quarter turn, to the left at the foot and to the right at the top.
				a := float64(i) / (each - 1) * math.Pi / 2
				if k == 1 || k == 2 {
					a = math.Pi - a
				} else {
					a -= math.Pi / 2
				}
				if k >= 2 {
					a -= math.Pi / 2
				}
				s, co := math.Sincos(a)
				x, y := float64(tooth)*pitch+c[0]+corner*co, c[1]+corner*s
				s, co = math.Sincos(-x / radius)
				g = append(g, orb.Point{math.Round((radius+y)*co*1e6) / 1e6, math.Round((radius+y)*s*1e6) / 1e6})
			}
		}
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
