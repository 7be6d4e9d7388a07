package drill

import (
	"fmt"
	"math"
	"sort"

	"example.org/pinstack/tooling"
)

// Inspect reports what an operator or the customer should know about holes
// that can be drilled all the same: walls that overlap, webs of laminate
// thinner than Rules.Web (residual laminate, IPC-2221 clause 9.2.7 by
// default), slots shorter than twice their width, pins that let a
// turned stack fit. Only pins of the second set-up without a fitting tooling
// hole are refused; all other findings are OK.
//
// The error is that of choosing bits. Cost O(n log n) for holes that do not
// crowd.
func Inspect(in Input) (tooling.Report, error) {
	bits, err := in.tools()
	if err != nil {
		return nil, err
	}
	var report tooling.Report
	in.inspectWebs(bits, &report)
	in.inspectSlots(bits, &report)
	in.inspectPins(&report)
	return report, nil
}

// inspectWebs looks at every pair of neighbours, by a sweep along X.
func (in Input) inspectWebs(bits []tooling.Tool, report *tooling.Report) {
	order := make([]int, 0, len(in.Holes))
	radius := make([]float64, len(in.Holes))
	left := make([]float64, len(in.Holes))
	reach, widest := 0.0, 0.0 // mm from an end to the far wall, and the largest radius
	for i, h := range in.Holes {
		order = append(order, i)
		radius[i] = bits[i].Diameter / 2
		if radius[i] == 0 {
			radius[i] = in.Rules.Allowance.Target(h.Size) / 2
		}
		left[i] = min(h.At[0], h.To[0])
		reach = max(reach, radius[i]+math.Abs(h.At[0]-h.To[0]))
		widest = max(widest, radius[i])
	}
	sort.SliceStable(order, func(a, b int) bool { return left[order[a]] < left[order[b]] })
	for n, i := range order {
		for _, j := range order[n+1:] {
			if left[j]-left[i] > reach+widest+in.Rules.Web {
				break
			}
			a, b := in.Holes[i], in.Holes[j]
			if far := radius[i] + radius[j] + in.Rules.Web; min(b.At[1], b.To[1])-max(a.At[1], a.To[1]) > far || min(a.At[1], a.To[1])-max(b.At[1], b.To[1]) > far {
				continue // most pairs of a dense field
			}
			if a.Half && b.Half {
				continue // cut through on purpose: half holes, the perforations of a tab
			}
			web := tooling.Snap(between(a, b) - radius[i] - radius[j])
			if web >= in.Rules.Web {
				continue
			}
			pair := fmt.Sprintf("%.3f/%.3f mm", min(2*radius[i], 2*radius[j]), max(2*radius[i], 2*radius[j]))
			if web < 0 {
				report.Note("walls-overlap", pair, "holes run into one another", web, 0, a.At)
			} else {
				report.Note("thin-web", pair, "less laminate between holes than the rule asks for", web, in.Rules.Web, a.At)
			}
		}
	}
}

// between is the distance in mm between the centre lines of two holes.
func between(a, b Hole) float64 {
	if a.IsSlot() && b.IsSlot() && crosses(a.At, a.To, b.At, b.To) {
		return 0
	}
	return min(
		toSegment(a.At, b.At, b.To), toSegment(a.To, b.At, b.To),
		toSegment(b.At, a.At, a.To), toSegment(b.To, a.At, a.To),
	)
}

func (in Input) inspectSlots(bits []tooling.Tool, report *tooling.Report) {
	for i, h := range in.Holes {
		if d := bits[i].Diameter; d > 0 && h.IsSlot() && h.Length() < d {
			report.Note("short-slot", fmt.Sprintf("%.3f mm", d), "a slot shorter than twice its width gets pilots and half the infeed", h.Length(), d, h.At)
		}
	}
}
