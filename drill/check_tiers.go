package drill

import (
	"fmt"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// CheckTiers holds the written programs of all tiers of one pass together
// against the holes: every hole of the stage made once over all of them, no
// pilot after its hole. Passes are the mounted tiers in the order they run,
// written their programs read back. [Check] looks at each of them alone.
//
// The findings are those of Check on hits, under the same rules with "tiers-"
// before their names.
func CheckTiers(in Input, passes []Pass, written []*nc.Program) tooling.Report {
	parts := make([][]*nc.Program, len(written))
	for k, w := range written {
		parts[k] = []*nc.Program{w}
	}
	return CheckTiersAs(in, passes, parts, nc.WriteOptions{})
}

// CheckTiersAs is [CheckTiers] of programs written as asked, each tier in one
// part or several: see [CheckAs].
func CheckTiersAs(in Input, passes []Pass, written [][]*nc.Program, asked nc.WriteOptions) tooling.Report {
	var report tooling.Report
	if len(passes) == 0 || len(passes) != len(written) {
		report.Refuse("tiers-missing", "", "a program for each tier", float64(len(written)), float64(len(passes)))
		return report
	}
	whole := passes[0]
	whole.SetUp.Tiers, whole.Runs = 0, nil
	for k, p := range passes {
		if p.Name != whole.Name || p.SetUp.From != whole.SetUp.From || p.SetUp.Tier != k+1 || p.SetUp.Tiers != len(passes) {
			report.Refuse("tiers-missing", "", fmt.Sprintf("pass %s tier %d of %d in turn %d", p.Name, p.SetUp.Tier, p.SetUp.Tiers, k+1), 0, 0)
			return report
		}
		whole.Runs = append(whole.Runs, p.Runs...)
	}
	c := checker{in: in, pass: whole, asked: asked}
	var err error
	if c.bits, err = in.tools(); err != nil {
		c.report.Refuse("wrong-bit", "", err.Error(), 0, 0)
		return c.report
	}
	for k, parts := range written {
		if len(parts) == 0 {
			c.report.Refuse("tiers-missing", "", "a program for each tier", 0, 1)
			return c.report
		}
		c.pass.Fit, c.pass.Frame = passes[k].Fit, passes[k].Frame
		at := tolerance(parts[0])
		if passes[k].Fit.Kind != "" {
			at += fitTolerance
		}
		c.tolerance = max(c.tolerance, at)
		for _, part := range parts {
			c.ended = false
			if !c.read(part) {
				return c.report
			}
		}
	}
	c.checkHits()
	for _, f := range c.report {
		f.Rule = "tiers-" + f.Rule
		report = append(report, f)
	}
	if report.Err() == nil {
		holes := 0
		for i, h := range in.Holes {
			if c.bits[i].Diameter > 0 && h.Stage() == whole.Stage {
				holes++
			}
		}
		report.Note("tiers-hole-missing", "", fmt.Sprintf("%d holes of this stage are all finished once over %d tiers", holes, len(passes)), 0, 0)
	}
	return report
}

// ours tells whether a bit works in this set-up: in one of several tiers the
// others have their own.
func (c *checker) ours(bit tooling.Tool) bool {
	s := c.pass.SetUp
	if s.Tiers < 2 {
		return true
	}
	for _, t := range s.Tools {
		if t.Pass == c.pass.Name && tooling.Nanometres(t.Tool.Diameter) == tooling.Nanometres(bit.Diameter) {
			return true
		}
	}
	return false
}

// checkOtherTier wants nothing of a hole that another tier finishes but the
// pilots whose bit is in this one.
func (c *checker) checkOtherTier(i int, visits []visit, pilots *pilots) {
	for _, v := range visits {
		if !pilots.round(i, v) {
			c.report.Refuse("wrong-tier", fmt.Sprintf("%.3f mm", c.bits[i].Diameter), "a hole of another tier is hit", v.diameter, c.bits[i].Diameter, v.at)
		}
	}
	pilots.check(i, nil)
}
