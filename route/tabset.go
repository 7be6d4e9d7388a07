package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// tabSet finds the tabs near a point.
type tabSet struct {
	tabs  []Tab
	edges *edges // each tab's stretch of edge, webs and round ends included
	reach float64
}

// newTabSet gathers tabs; width is what the cutter's round ends add to each web
// and depth how far a tab that ends in scrap goes, mm.
func newTabSet(tabs []Tab, width, depth float64) tabSet {
	s := tabSet{tabs: tabs, reach: depth + onLine}
	var ps []piece
	var owner []int32
	for i, t := range tabs {
		half := (t.Width+width)/2 + onLine
		side := left(t.Out)
		ps = append(ps, newPiece(along(t.At, side, -half), contour.Move{To: along(t.At, side, half)}))
		owner = append(owner, int32(i))
		s.reach = max(s.reach, t.Across+onLine, t.fall(0, half)+onLine)
	}
	s.edges = newEdges(ps, owner)
	return s
}

// any tells whether one of the tabs round q meets a condition, given q's place in
// the tab's frame: x along its edge from the middle, y away from the board.
func (s *tabSet) any(q orb.Point, meets func(i int, x, y float64) bool) bool {
	found := false
	s.edges.each(&piece{a: q, b: q}, s.reach, func(i int) {
		t := &s.tabs[s.edges.owner[i]]
		v := sub(q, t.At)
		if !found && meets(int(s.edges.owner[i]), cross(t.Out, v), dot(v, t.Out)) {
			found = true
		}
	})
	return found
}
