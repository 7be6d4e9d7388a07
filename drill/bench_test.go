package drill_test

import (
	"context"
	"fmt"
	"testing"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/nc"
)

// BenchmarkPlan plans each sample's holes, with the start tours only
// (kicks=-1) and with one kick a hole. job-s is the travel of all runs in one load, in
// machine seconds.
func BenchmarkPlan(b *testing.B) {
	for _, name := range sampleNames {
		in, _, _ := sample(b, name)
		for _, kicks := range []float64{-1, 1} {
			o := tour.Options{Kicks: kicks}
			b.Run(fmt.Sprintf("%s/kicks=%g", name, kicks), func(b *testing.B) {
				b.ReportAllocs()
				hits, seconds := 0, 0.0
				for b.Loop() {
					passes, err := drill.Plan(context.Background(), in, drill.Options{Tour: o})
					if err != nil {
						b.Fatal(err)
					}
					hits, seconds = 0, 0
					for _, p := range passes {
						hits += p.Hits()
						for _, r := range p.Runs {
							seconds += r.Travel
						}
					}
				}
				b.ReportMetric(float64(hits)*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
				b.ReportMetric(seconds, "job-s")
			})
		}
	}
}

// BenchmarkRead reads each sample's drill files, places the boards and takes out
// duplicates.
func BenchmarkRead(b *testing.B) {
	for _, name := range sampleNames {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			holes := 0
			for b.Loop() {
				in, _, _ := sample(b, name)
				holes = len(in.Holes)
			}
			b.ReportMetric(float64(holes)*float64(b.N)/b.Elapsed().Seconds(), "holes/s")
		})
	}
}

// BenchmarkInspect looks for thin webs among each sample's holes.
func BenchmarkInspect(b *testing.B) {
	for _, name := range sampleNames {
		in, _, _ := sample(b, name)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := drill.Inspect(in); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(in.Holes))*float64(b.N)/b.Elapsed().Seconds(), "holes/s")
		})
	}
}

// BenchmarkCheck checks each sample's written plated program.
func BenchmarkCheck(b *testing.B) {
	for _, name := range sampleNames {
		in, job, _ := sample(b, name)
		p := mountAll(b, in, job.Panels)[0]
		prog := parse(b, textOf(b, p, nc.WriteOptions{}))
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := drill.Check(in, p, prog).Err(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(p.Hits())*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
		})
	}
}
