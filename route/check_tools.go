package route

import (
	"fmt"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// checkTools holds the tool table against the plan, the machine, the table
// and the backup.
func (c *checker) checkTools(written *nc.Program) {
	planned := map[int]*Run{}
	for i := range c.pass.Runs {
		for _, k := range c.pass.Runs[i].Cutters {
			planned[k.Place] = &c.pass.Runs[i]
		}
	}
	used := map[int]float64{} // mm cut
	for i := range c.chains {
		for k := range c.chains[i].ps {
			used[c.chains[i].tool] += c.chains[i].ps[k].length
		}
	}
	seen := map[int]bool{}
	for _, t := range written.Tools {
		name := toolName(t.Number)
		run := planned[t.Number]
		if run == nil || tooling.Nanometres(run.Tool.Diameter) != tooling.Nanometres(t.Diameter) {
			c.report.Refuse("tool-unknown", name, "a cutter that is not the plan's", t.Diameter, 0)
			continue
		}
		seen[t.Number] = true
		c.checkRun(t, run)
		if got := used[t.Number] + run.wornBefore(t.Number); run.Life > 0 && got > run.Life+onLine {
			c.report.Refuse("life", name, "a cutter cuts more than it lives, mm", got, run.Life)
		}
	}
	for i := range c.chains {
		if n := c.chains[i].tool; !seen[n] {
			c.report.Refuse("tool-unknown", toolName(n), "a path by a cutter that is not the plan's", 0, 0, c.chains[i].start())
		}
	}
}

// checkRun holds one entry of the tool table against its run.
func (c *checker) checkRun(t nc.ToolDef, run *Run) {
	name := toolName(t.Number)
	m, stack := c.l.Input.Machine, c.l.Input.Rules.Stack
	if c.asked.NoFeeds {
		if t.Feed != 0 || t.Speed != 0 || t.Retract != 0 {
			c.report.Refuse("feed-mixed", name, "a feed or speed in a program that is to have none", max(t.Feed, t.Speed, t.Retract), 0)
		}
	} else if t.Speed == 0 {
		c.report.Refuse("speed-missing", name, "a cutter without a speed", 0, run.Feed.Speed)
	} else {
		lo, hi := max(m.MinSpeed, run.Tool.MinSpeed), m.MaxSpeed
		if run.Tool.MaxSpeed > 0 {
			hi = min(hi, run.Tool.MaxSpeed)
		}
		if t.Speed > hi || t.Speed < lo {
			c.report.Refuse("speed-limit", name, fmt.Sprintf("%.0f rev/min outside %.0f to %.0f", t.Speed, lo, hi), t.Speed, hi)
		}
		if diff := t.Speed - run.Feed.Speed; diff > 1 || diff < -1 {
			c.report.Refuse("speed-differs", name, "a speed that is not the set-up's, rev/min", t.Speed, run.Feed.Speed)
		}
	}
	if c.asked.NoFeeds {
		// looked at above
	} else if t.Feed == 0 {
		c.report.Refuse("feed-missing", name, "a cutter without a feed", 0, run.Feed.Infeed)
	} else {
		feed, err := c.l.Input.Rules.Feed(run.Tool, c.l.Input.Panel.Material, m.Speeds())
		if err != nil {
			c.report.Refuse("feed-limit", name, err.Error(), t.Feed, 0)
		} else if t.Feed > feed.Infeed+1 {
			c.report.Refuse("feed-limit", name, "a feed above the table's, mm/min", t.Feed, feed.Infeed)
		}
		if diff := t.Feed - run.Feed.Infeed; diff > 1 || diff < -1 {
			c.report.Refuse("speed-differs", name, "a feed that is not the set-up's, mm/min", t.Feed, run.Feed.Infeed)
		}
	}
	if !t.HasZ {
		c.report.Refuse("depth-missing", name, "a cutter without a depth", 0, run.Depth.IntoBackup)
		return
	}
	if left := stack.Backup + t.Z; left < stack.BackupFloor-onLine/2 {
		c.report.Refuse("depth-limit", name, "too little of the backup is left under the tip, mm", left, stack.BackupFloor)
	}
	if _, err := stack.Rout(run.Tool, c.l.Input.Rules.Rout, c.pass.SetUp.Height, c.l.Input.Panel.Thickness); err != nil {
		c.report.Refuse("depth-limit", name, err.Error(), -t.Z, 0)
	}
	if d := -t.Z - run.Depth.IntoBackup; d > onLine/2 || d < -onLine/2 {
		c.report.Refuse("depth-differs", name, "a depth that is not the set-up's, mm into the backup", -t.Z, run.Depth.IntoBackup)
	}
}
