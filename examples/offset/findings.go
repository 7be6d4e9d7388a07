package main

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// findings tells what the tabs give up of the demands on their places.
func (t *tabbed) findings(width float64) tooling.Report {
	report := tooling.Report{}
	on := func(p orb.Point) orb.Point { return orb.Point{grid(p[0]), grid(p[1])} }
	for _, b := range t.tabs {
		if b.bent {
			report.Note("tab-bent", "", "a tab stands where the path is bent: the straight stretches have no places for all tabs of the loop; the longer gap, mm",
				grid(b.gap.Length()), grid(width), on(b.at))
		}
		if b.thin {
			report.Note("tab-thin", "", "the material behind a tab, or across the channel, is thin and holds little, mm", grid(b.thick), thickEnough, on(b.at))
		}
	}
	for _, l := range t.loose {
		report.Note("tab-centroid", "", "a part may tip: its centroid lies outside the polygon of its tabs, mm", grid(l.outside), 0, on(l.centroid))
	}
	return report
}
