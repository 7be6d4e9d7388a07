package drill

import (
	"fmt"

	"github.com/paulmach/orb"
)

// checkPlaces keeps tool and pressure foot on the panel, clear of pins and
// keep-outs, and travel away from what stands above the clearance.
func (c *checker) checkPlaces() {
	panel := c.in.Panel.Bound()
	foot := c.in.Machine.Foot / 2
	pins := c.in.Panel.Pins(setUpOf(c.pass.Stage))
	for _, h := range c.hits {
		r := h.diameter / 2
		if b := (orb.Bound{Min: h.real, Max: h.real}).Pad(r); !panel.Contains(b.Min) || !panel.Contains(b.Max) {
			c.report.Refuse("off-panel", tool(h.tool), "a hit leaves the panel", 0, 0, h.real)
		}
		for _, p := range pins {
			if gap := toSegment(p.At, h.real, h.real) - p.Diameter/2; gap < max(r, foot) {
				c.report.Refuse("keep-out", tool(h.tool), "tool or foot comes down on a pin", gap, max(r, foot), h.real)
			}
		}
		for _, k := range c.in.Panel.KeepOuts {
			reach := r
			if k.Height > 0 {
				reach = max(r, foot)
			}
			if gap := toBox(k.Bound(), h.real, h.real); gap < reach {
				c.report.Refuse("keep-out", tool(h.tool), fmt.Sprintf("tool or foot comes down on keep-out %q", k.Name), gap, reach, h.real)
			}
		}
	}
	c.checkTravel(foot)
}

// checkTravel looks at every rapid, to and from the change position included,
// also where the control takes the next bit by itself, in any load.
// The axes need not move in a straight line, so the whole box between the two
// ends has to be clear.
func (c *checker) checkTravel(foot float64) {
	clearance := c.in.Rules.Stack.Clearance
	at, tool0 := c.in.Machine.ChangeAt, 0
	leg := func(to orb.Point, t int) {
		box := orb.MultiPoint{at, to}.Bound().Pad(foot)
		for _, k := range c.in.Panel.KeepOuts {
			if k.Height > clearance && box.Intersects(k.Bound()) {
				c.report.Refuse("travel-over", tool(t), fmt.Sprintf("travel may cross keep-out %q", k.Name), k.Height, clearance, to)
			}
		}
		at = to
	}
	counted := c.pass.countedChanges()
	for n, h := range c.hits {
		if tool0 != 0 && (h.tool != tool0 || n < len(counted) && counted[n]) {
			leg(c.in.Machine.ChangeAt, tool0)
		}
		tool0 = h.tool
		leg(h.real, h.tool)
	}
	leg(c.in.Machine.ChangeAt, tool0)
}
