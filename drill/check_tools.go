package drill

import (
	"fmt"
	"maps"
	"slices"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// checkTools holds the written tool table against plan, rules and machine.
func (c *checker) checkTools(written *nc.Program) {
	used := map[int]int{}
	for _, h := range c.hits {
		used[h.tool]++
	}
	for _, t := range written.Tools {
		if c.asked.NoFeeds {
			c.checkNoFeeds(t)
		}
		if used[t.Number] == 0 {
			continue
		}
		r, ok := c.planned(t.Number)
		if !ok {
			c.report.Refuse("tool-unknown", tool(t.Number), "a tool that the plan does not have", 0, 0)
			continue
		}
		if tooling.Nanometres(t.Diameter) != tooling.Nanometres(r.Tool.Diameter) {
			c.report.Refuse("wrong-bit", tool(t.Number), fmt.Sprintf("the table says %.3f mm", t.Diameter), t.Diameter, r.Tool.Diameter)
		}
		c.checkFeed(t, r)
		c.checkDepth(t, r)
		c.checkLife(t, r, used[t.Number])
	}
	for _, number := range slices.Sorted(maps.Keys(used)) {
		if _, ok := definition(written, number); !ok {
			c.report.Refuse("tool-unknown", tool(number), "a tool without a line in the table", 0, 0)
		}
	}
	for _, r := range c.pass.Runs {
		for _, b := range r.selected() {
			if n := used[b.Place]; n != b.Hits {
				c.report.Refuse("hit-count", tool(b.Place), "a bit makes other hits than planned", float64(n), float64(b.Hits))
			}
		}
	}
}

// checkLife wants no bit to outlive its hits. Where the control takes the next
// bit by itself the hit limit has to be there, and spares enough for the load;
// elsewhere a limit would change bits where the plan does not.
func (c *checker) checkLife(t nc.ToolDef, r Run, hits int) {
	name := tool(t.Number)
	if t.HitLimit != r.Limit {
		c.report.Refuse("hit-limit", name, "the hit limit is not the planned one", float64(t.HitLimit), float64(r.Limit))
	}
	if r.Limit == 0 {
		if n := hits + r.wornBefore(t.Number); float64(n) > r.Life {
			c.report.Refuse("life", name, "a bit makes more hits than it lasts", float64(n), r.Life)
		}
		return
	}
	if t.HitLimit < 1 || float64(t.HitLimit) > r.Life {
		c.report.Refuse("life", name, "the hit limit lets a bit make more hits than it lasts", float64(t.HitLimit), r.Life)
		return
	}
	worn := 0
	if len(r.Bits) > 0 {
		worn = r.Bits[0].Worn
	}
	need := (worn + hits + t.HitLimit - 1) / t.HitLimit
	if most := len(c.pass.places(r)); need > most {
		c.report.Refuse("spares", name, "the load takes more bits than stand in the magazine", float64(need), float64(most))
	}
	if last := t.Number + need - 1; need > 1 && last > c.in.Machine.Places {
		c.report.Refuse("spares", name, "the spares stand beyond the magazine", float64(last), float64(c.in.Machine.Places))
	}
}

func definition(p *nc.Program, number int) (nc.ToolDef, bool) {
	for _, t := range p.Tools {
		if t.Number == number {
			return t, true
		}
	}
	return nc.ToolDef{}, false
}

// planned is the run that has a bit in a place.
func (c *checker) planned(place int) (Run, bool) {
	for _, r := range c.pass.Runs {
		for _, b := range r.Bits {
			if b.Place == place {
				return r, true
			}
		}
	}
	return Run{}, false
}

// checkFeed wants speed and infeed within the machine, the tool and the table.
func (c *checker) checkFeed(t nc.ToolDef, r Run) {
	if c.asked.NoFeeds {
		return
	}
	name := tool(t.Number)
	table, err := c.in.Rules.Feed(r.Tool, c.in.Panel.Material, c.in.Machine.Speeds())
	if err != nil {
		c.report.Refuse("speed-limit", name, err.Error(), 0, 0)
		return
	}
	switch {
	case t.Speed == 0:
		c.report.Refuse("speed-missing", name, "no spindle speed", 0, table.Speed)
	case t.Speed > c.in.Machine.MaxSpeed || t.Speed < c.in.Machine.MinSpeed || (r.Tool.MaxSpeed > 0 && t.Speed > r.Tool.MaxSpeed) || t.Speed < r.Tool.MinSpeed:
		c.report.Refuse("speed-limit", name, "the speed is outside what machine and tool allow", t.Speed, c.in.Machine.MaxSpeed)
	case t.Speed != r.Feed.Speed:
		c.report.Refuse("speed-limit", name, "the speed is not the planned one", t.Speed, r.Feed.Speed)
	}
	switch {
	case t.Feed == 0:
		c.report.Refuse("feed-missing", name, "no infeed", 0, table.Infeed)
	case t.Feed > table.Infeed+writtenFeed:
		c.report.Refuse("feed-limit", name, "the infeed is above the table's", t.Feed, table.Infeed)
	case t.Feed > r.Feed.Infeed+writtenFeed || t.Feed < r.Feed.Infeed-writtenFeed:
		c.report.Refuse("feed-limit", name, "the infeed is not the planned one", t.Feed, r.Feed.Infeed)
	}
	if t.Retract == 0 || t.Retract > r.Feed.Retract+writtenFeed {
		c.report.Refuse("feed-limit", name, "the retract is missing or above the planned one", t.Retract, r.Feed.Retract)
	}
}

// writtenFeed is the rounding in mm/min that a written feed may have.
const writtenFeed = 1.0

// checkDepth wants the planned depth, within backup, floor and flute.
func (c *checker) checkDepth(t nc.ToolDef, r Run) {
	name := tool(t.Number)
	stack := c.in.Rules.Stack
	if !t.HasZ {
		c.report.Refuse("depth-missing", name, "no depth", 0, -r.Depth.IntoBackup)
		return
	}
	if deepest := tooling.Snap(stack.Backup - stack.BackupFloor); -t.Z > deepest+c.tolerance {
		c.report.Refuse("depth-limit", name, "the tip leaves too little of the backup", -t.Z, deepest)
	}
	want, err := stack.Drill(r.Tool, c.pass.SetUp.Height, c.in.Panel.Thickness)
	switch {
	case err != nil:
		c.report.Refuse("depth-limit", name, err.Error(), 0, 0)
	case -t.Z > want.IntoBackup+c.tolerance || -t.Z < want.IntoBackup-c.tolerance:
		c.report.Refuse("depth-differs", name, "the depth into the backup is not the set-up's", -t.Z, want.IntoBackup)
	}
}
