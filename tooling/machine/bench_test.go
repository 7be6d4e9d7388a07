package machine_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// BenchmarkTime is the one clock over a drill pass: 200,000 hits are the
// largest panels.
func BenchmarkTime(b *testing.B) {
	for _, n := range []int{2_000, 200_000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			m := preset(b, "ball screw")
			var steps []machine.Step
			for i := range n {
				if i%3000 == 0 {
					steps = append(steps, machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: 1 + i/3000})
				}
				at := orb.Point{tooling.Snap(float64(i%400) * 1.27), tooling.Snap(float64(i/400) * 0.635)}
				steps = append(steps, machine.Step{Kind: machine.Move, To: at},
					machine.Step{Kind: machine.Stroke, Tool: 1 + i/3000, Depth: 5.35, Feed: 2500, Retract: 20_000})
			}
			b.ReportAllocs()
			var e machine.Estimate
			for b.Loop() {
				e = m.Time(values(steps))
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "hits/s")
			b.ReportMetric(e.Total().Seconds(), "job-s")
		})
	}
}
