package contour

import "github.com/paulmach/orb"

// Meetings lists the points, in mm, where two contours, open or closed, come within
// 1e-9 mm of each other: where they cross or touch, and the ends of stretches that
// they share. They come in the order of a's moves; one that lies at the end of a
// move may come once for each move that ends there. The errors are those of
// [Contour.Validate]. O(n log n) for n moves that meet rarely.
func Meetings(a, b Contour) ([]orb.Point, error) {
	for _, c := range [2]Contour{a, b} {
		if err := c.Validate(); err != nil {
			return nil, err
		}
	}
	origin := middleOf([]Contour{a, b})
	elems, _ := newRegion([]Contour{a}, origin)
	t := newTree(newRegion([]Contour{b}, origin))
	var found []vec
	for i := range elems {
		t.within(elems[i].box(), meetDistance, func(n *node) bool {
			for j := n.first; j <= n.last && n.child < 0; j++ {
				found = meetings(found, &elems[i], &t.elems[j])
			}
			return true
		})
	}
	out := make([]orb.Point, 0, len(found))
	for _, v := range found {
		out = append(out, v.add(origin).point())
	}
	return out, nil
}
