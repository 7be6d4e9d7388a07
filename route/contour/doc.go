// Package contour holds closed and open contours of lines and true arcs, measures
// them, finds arcs in chords, and offsets regions and paths by a signed distance.
// It knows no cutters, boards or machines.
//
// Lengths are in mm, angles in radians, X to the right and Y up; counter-clockwise
// is positive. Coordinates reach to 10 m either way.
//
// # Tutorial
//
// A board with a round-ended slot and a window, moved outwards by half a
// cutter's diameter:
//
//	board := contour.FromBound(orb.Bound{Max: orb.Point{60, 40}})
//	window := contour.FromBound(orb.Bound{Min: orb.Point{5, 5}, Max: orb.Point{15, 15}})
//	slot := contour.Contour{Start: orb.Point{20, 18}, Moves: []contour.Move{
//		{To: orb.Point{40, 18}},
//		{To: orb.Point{40, 22}, Center: orb.Point{40, 20}, Turn: 1},
//		{To: orb.Point{20, 22}},
//		{To: orb.Point{20, 18}, Center: orb.Point{20, 20}, Turn: 1},
//	}}
//	paths, err := contour.Offset([]contour.Contour{board, slot, window}, 1.2)
//	for _, c := range paths.Loops {
//		fmt.Printf("%d moves, %.3f mm, area %+.3f\n", len(c.Moves), c.Length(), c.Area())
//	}
//	for _, p := range paths.Unreachable {
//		fmt.Printf("%.1f mm not reached around (%g, %g)\n", p.Size, p.At[0], p.At[1])
//	}
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Regions
//
// A region is a list of closed contours and holds what lies inside an odd number of
// them: outlines, cut-outs in these, islands in those, in any order and sense.
// [ValidateRegion] says what is accepted. [Offset] moves its boundary:
//
//	o, err := contour.Offset([]contour.Contour{outline, cutOut}, 1.2)
//
// grows it by 1.2 mm, where the centre of a 2.4 mm cutter runs around the board and
// in its cut-outs. Loops run with the region on their left, and what the cutter
// cannot reach is listed. [OffsetPath] does so on one side of an open contour.
//
// # How the offset is made
//
// Every line and arc has a raw piece at the distance r on the side asked for, and so
// has every corner that points to that side: an arc about it. The offset is
// exactly what of these pieces no line or arc comes nearer to than r. So each
// piece loses the stretches that lie in the stadium about a line or in the ring
// sector about an arc near it, and the ends that are left join to loops. There
// are no winding numbers to go wrong: a piece's own distance decides. A tree of
// boxes finds near elements, and runs of elements that turn by less than a
// quarter and bend no more sharply than r, which cannot cut each other, are
// passed over unseen.
//
// # Accuracy and determinism
//
// Results lie on a grid of 2^-33 mm and within 1e-9 mm of the true offset in
// general, within 1e-6 mm where tiny moves are left out. Sums of products that
// decide anything are rounded product by product, ties go to the lower index,
// and there is no global state: the same input gives the same result. All
// functions may run concurrently.
//
// # Limits
//
// Contours that touch or cross themselves are refused, never repaired; those nearer
// than 1e-9 mm to themselves count as touching. Channels exactly as wide
// as the cutter are closed. Chords are taken as lines unless [FitArcs] is asked. An
// offset takes some 300 bytes a move, and as much again for what it lists where
// teeth are finer than the cutter.
//
// # References
//
// J. Steiner, Ueber parallele Flaechen (1840), for the area and length of parallel
// bodies that the tests measure against. N. M. Patrikalakis and T. Maekawa, Shape
// Interrogation for Computer Aided Design and Manufacturing (2002), chapter 11, for
// offsets by trimming raw pieces.
package contour
