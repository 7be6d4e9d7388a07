package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/pinstack/tooling"
)

// The rules of Result.Report.
const (
	RuleShape       = "shape"       // residuals that go with the size of the move
	RuleImplausible = "implausible" // a figure that no drill and rout machine has
	RuleOutliers    = "outliers"    // more rows left out than a log should have
	RuleNoise       = "noise"       // rows that scatter too much to be one machine
	RuleUnsettled   = "unsettled"   // the search did not come to rest
)

const (
	mostOutliers = 0.10
	mostNoise    = 0.10
	perBin       = 10   // rows a bin at least
	bins         = 8    // at most
	leastShape   = 0.25 // of the noise: a mean residual below it is of no account
	sigmas       = 6.0  // how far the sum of squares may exceed its mean
)

// judge adds what cannot be right to the report.
func (p *problem) judge(r *Result, s state) {
	p.shapes(&r.Report, s)
	for _, q := range r.Parameters {
		k := slices.IndexFunc(traits[:], func(t trait) bool { return t.name == q.Name })
		t := traits[k]
		// What is not told, or may be right within its error, is not judged.
		if q.Status == Unknown || (q.Value+2*q.StdErr >= t.lo && q.Value-2*q.StdErr <= t.hi) {
			continue
		}
		limit := t.lo
		if q.Value > t.hi {
			limit = t.hi
		}
		r.Report.Add(tooling.Finding{
			Rule: RuleImplausible, Value: q.Value, Limit: limit,
			Detail: fmt.Sprintf("%s comes out at %g %s, outside %g to %g: is the log in mm, mm/min and seconds?", q.Name, q.Value, q.Unit, t.lo, t.hi),
		})
	}
	if share := float64(r.Outliers) / float64(len(s.resid)); share > mostOutliers {
		r.Report.Add(tooling.Finding{
			Rule: RuleOutliers, Value: round(share), Limit: mostOutliers, Count: r.Outliers,
			Detail: fmt.Sprintf("%d of %d rows do not belong to the others", r.Outliers, len(s.resid)),
		})
	}
	if !s.settled {
		r.Report.Add(tooling.Finding{Rule: RuleUnsettled, Value: rounds, Limit: rounds, Detail: "the fit still moved when the search ended"})
	}
	if s.scale > mostNoise {
		r.Report.Add(tooling.Finding{
			Rule: RuleNoise, Value: round(s.scale), Limit: mostNoise,
			Detail: fmt.Sprintf("rows scatter by %.0f %% about the best fit", 100*s.scale),
		})
	}
}

// shapes compares the mean residual of rows alike in kind and size with the
// scatter: of a fit that is right the squares of their ratios sum to about
// one a bin.
func (p *problem) shapes(report *tooling.Report, s state) {
	groups := make(map[string][]int)
	var names []string
	for i, x := range p.samples {
		if s.weight[i] == 0 {
			continue
		}
		name := x.group()
		if groups[name] == nil {
			names = append(names, name)
		}
		groups[name] = append(groups[name], i)
	}
	slices.Sort(names)
	for _, name := range names {
		rows := groups[name]
		slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(p.samples[a].size(), p.samples[b].size()) })
		n := min(bins, len(rows)/perBin)
		if n < 2 {
			continue
		}
		sum, worst, from, to := 0.0, 0.0, 0.0, 0.0
		for b := range n {
			bin := rows[b*len(rows)/n : (b+1)*len(rows)/n]
			mean := 0.0
			for _, i := range bin {
				mean += s.resid[i] / float64(len(bin))
			}
			z := mean / s.scale * math.Sqrt(float64(len(bin)))
			sum += z * z
			if abs(mean) > abs(worst) {
				worst, from, to = mean, p.samples[bin[0]].size(), p.samples[bin[len(bin)-1]].size()
			}
		}
		limit := float64(n) + sigmas*math.Sqrt(2*float64(n))
		if sum > limit && abs(worst) > leastShape*s.scale {
			report.Add(tooling.Finding{
				Rule: RuleShape, Tool: name, Value: round(sum), Limit: round(limit),
				Detail: fmt.Sprintf("%s of %.4g to %.4g mm take %+.1f %% against the fit: the machine moves by another law, or the log is in another unit", name, from, to, 100*worst),
			})
		}
	}
}

// size is the length in mm by which samples of a group are ordered.
func (s sample) size() float64 {
	sum := 0.0
	for _, h := range s.hops {
		sum += float64(h.Count) * (max(abs(h.DX), abs(h.DY)) + abs(h.Depth))
	}
	return sum
}
