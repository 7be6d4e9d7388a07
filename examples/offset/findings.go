package main

import (
	"example.org/pinstack/tooling"
)

// findings tells what the tabs give up of the demands on their places, each rule
// once with the number of tabs, so that a panel of thousands stays readable. The width is
// that of a straight gap, mm.
func (t *tabbed) findings(width float64) tooling.Report {
	report := tooling.Report{}
	for _, b := range t.tabs {
		if b.bent {
			report.Note("tab-bent", "", "a tab stands where the path is bent: the straight stretches have no places for all tabs of the loop; the longer gap, mm",
				tooling.Snap(b.gap.Length()), tooling.Snap(width), tooling.SnapPoint(b.at))
		}
		if b.thin {
			report.Note("tab-thin", "", "the material behind a tab, or across the channel, is thin and holds little, mm", tooling.Snap(b.thick), thickEnough, tooling.SnapPoint(b.at))
		}
	}
	for _, l := range t.loose {
		report.Note("tab-centroid", "", "a part may tip: its centroid lies outside the polygon of its tabs, mm", tooling.Snap(l.outside), 0, tooling.SnapPoint(l.centroid))
	}
	return report
}
