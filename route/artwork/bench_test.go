package artwork_test

import (
	"bytes"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
)

// arcsOf is a file of about n bytes of arcs.
func arcsOf(n int) []byte {
	var b bytes.Buffer
	b.WriteString("%FSLAX46Y46*%\n%MOMM*%\nG75*\n%ADD10C,0.1*%\nD10*\nX0Y0D02*\nG03*\n")
	for k := 0; b.Len() < n; k++ {
		x, y := (k%1000)*5000, (k/1000)*7000
		fmt.Fprintf(&b, "X%dY%dI2500J0D01*\n", x+5000, y)
		if k%1000 == 999 {
			fmt.Fprintf(&b, "X0Y%dD02*\n", y+7000)
		}
	}
	b.WriteString("M02*\n")
	return b.Bytes()
}

// Reading takes time in proportion to the file: the ratio metric is the time per byte of
// four megabytes to that of one, the best of five, 1 where it is linear.
func BenchmarkReadArcs(b *testing.B) {
	perByte := map[int]float64{}
	for _, megabytes := range []int{1, 4} {
		src := arcsOf(megabytes << 20)
		b.Run(fmt.Sprintf("MB=%d", megabytes), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(src)))
			best := math.Inf(1)
			for b.Loop() {
				start := time.Now()
				if _, err := artwork.Read(src, "arcs.gbr", artwork.Options{}); err != nil {
					b.Fatal(err)
				}
				best = min(best, time.Since(start).Seconds())
			}
			perByte[megabytes] = best / float64(len(src))
			if one := perByte[1]; one > 0 {
				b.ReportMetric(perByte[megabytes]/one, "ratio")
			}
		})
	}
}

// boardOf is an outline of n chords with n/100 round cut-outs.
func boardOf(n int) []byte {
	var d drawing
	var ring orb.Ring
	for k := range n {
		a := 2 * math.Pi * float64(k) / float64(n)
		r := 100 + math.Sin(20*a)
		ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	d.contour(contour.FromRing(ring))
	for k := range n / 100 {
		x, y := float64(k%40)*3-60, float64(k/40)*3-60
		d.contour(contour.Circle(orb.Point{x, y}, 1))
	}
	return d.bytes(0.1)
}

// Boards are made in nearly linear time; the ratio metric is the time per stroke of the
// larger drawing to that of the smaller.
func BenchmarkProfile(b *testing.B) {
	perStroke := map[int]float64{}
	for _, n := range []int{10_000, 40_000} {
		l, err := artwork.Read(boardOf(n), "board.gbr", artwork.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			best := math.Inf(1)
			for b.Loop() {
				start := time.Now()
				p, err := l.Profile(artwork.ProfileOptions{})
				if err != nil || len(p.Boards) != 1 || len(p.Boards[0].CutOuts) != n/100 {
					b.Fatal(err)
				}
				best = min(best, time.Since(start).Seconds())
			}
			perStroke[n] = best / float64(n)
			if small := perStroke[10_000]; small > 0 {
				b.ReportMetric(perStroke[n]/small, "ratio")
			}
		})
	}
}
