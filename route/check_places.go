package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// checkPlaces holds cuts and rapids against pins, keep-outs and the panel.
func (c *checker) checkPlaces() {
	panel := c.l.Input.Panel
	foot := c.l.Input.Machine.Foot
	pins := panel.Pins(setUpOf(c.pass.Stage))
	for i := range c.chains {
		ch := &c.chains[i]
		name := toolName(ch.tool)
		for k := range ch.ps {
			q := &ch.ps[k]
			for _, f := range pins {
				if d, at := q.to(f.At); d < f.Diameter/2+ch.radius {
					c.report.Refuse("pin", name, "the cutter meets a pin: distance of its centre, mm", d, f.Diameter/2+ch.radius, at)
				}
			}
			for _, o := range panel.KeepOuts {
				want := keepClear(o, 2*ch.radius, foot, 0)
				if d, at := q.toBox(o); d < want {
					c.report.Refuse("keep-out", name, fmt.Sprintf("cutter or foot meets keep-out %q: distance of the path, mm", o.Name), d, want, at)
				}
			}
			if b := q.box(); !panel.Bound().Contains(b.Min) || !panel.Bound().Contains(b.Max) {
				c.report.Refuse("off-panel", name, "a path leaves the panel", 0, 0, q.b)
			}
		}
	}
	c.checkTravel(foot)
}

// checkTravel looks at every rapid, to and from the change position included.
// The axes need not move in a straight line, so the whole box between the two
// ends has to be clear of what stands above the clearance.
func (c *checker) checkTravel(foot float64) {
	clearance := c.l.Input.Rules.Stack.Clearance
	leg := func(a, b orb.Point, tool int) {
		for _, k := range tall(c.l.Input.Panel, clearance) {
			if crosses(a, b, []tooling.KeepOut{k}, foot) {
				c.report.Refuse("travel-over", toolName(tool), fmt.Sprintf("travel may cross keep-out %q", k.Name), k.Height, clearance, b)
			}
		}
	}
	for i := range c.chains {
		for _, q := range c.chains[i].rapids {
			leg(q.a, q.b, c.chains[i].tool)
		}
	}
	for _, q := range c.home {
		leg(q.a, q.b, 0)
	}
}
