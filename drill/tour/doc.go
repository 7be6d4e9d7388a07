// Package tour orders points and two-ended items so that the way between them
// is short in the metric that is really paid for, the machine's own move time
// among them, and proves how short it could be at best.
//
// # The model
//
// A [Problem] has items, a metric, and ends: a closed tour, or a way with its
// start, its end, both or neither fixed. An item is a point or, as a slot or an
// open cut, has two ends of which either may come first. Costs are whole numbers
// (nanometres, nanoseconds, or the file's units); only whole numbers are
// compared and summed. Inside, everything is one ring of nodes in which some
// edges are fixed: a two-ended item is two nodes and a fixed edge, fixed ends
// are joined by a fixed edge, an open end is a node that costs nothing to reach.
// Items at one place are one node.
//
// # The search
//
//   - Up to 12 places are solved exactly by dynamic programming (M. Held, R. M.
//     Karp 1962).
//   - Nodes are numbered along a Hilbert curve; candidates are the nearest in
//     the metric and the nearest of each quadrant; the start tour takes the
//     shortest edges first (D. S. Johnson, L. A. McGeoch 1997).
//   - A tour is improved by alternating paths of variable depth (S. Lin, B. W.
//     Kernighan 1973) whose validity is decided from positions before anything
//     moves (K. Helsgaun 2000), and then by local double bridges that are taken
//     back unless they pay (D. Applegate, W. Cook, A. Rohe 2003).
//   - Up to 12,000 nodes a pool of such tours is crossed by edge assembly (Y.
//     Nagata, S. Kobayashi 2013), again and again as the pool grows. Larger
//     rings are swept along the curve, beyond 200,000 nodes in segments.
//   - [Options.Bound] asks for a lower bound from 1-trees with node penalties
//     (M. Held, R. M. Karp 1970, 1971): the value comes from the complete graph,
//     in whole numbers. It is a bound, so a gap to it is not a loss: the optimum
//     lies about 0.7 % above it on uniform points, up to several percent in
//     clusters and where moves cost almost the same everywhere.
//
// The titles stand beside the code that follows them.
//
// # Guarantees
//
// The order is a permutation of the items. Same problem, kicks and seed give the
// same order on any number of cores and on every architecture. The order is never longer
// than the start tour. A reached time budget is no error; its result reports the
// kicks spent, and those kicks without a clock give the same order again. A
// cancelled context gives the best order so far and its error. Inputs are
// neither changed nor kept; nothing is shared between calls, which may run
// concurrently.
//
// # Limits
//
// Coordinates within 1e9; a million items take about 330 bytes each. Cost is
// near O(n log n) for the start tour and proportional to the kicks after it. The
// 1-tree bound is O(n^2), hence [Options.BoundNodes].
//
// # Tutorial
//
// Four holes and a slot, ordered from the change position of a machine and
// back in the least time:
//
//	mill, _ := machine.Preset("ball screw")
//	items := tour.Points([]orb.Point{{10, 10}, {40, 10}, {10, 30}, {40, 30}})
//	items = append(items, tour.Item{A: orb.Point{30, 20}, B: orb.Point{20, 20}})
//	problem := tour.Problem{Items: items, Start: &mill.ChangeAt, End: &mill.ChangeAt, Metric: tour.MoveTime(mill.Travel())}
//	result, err := tour.Solve(context.Background(), problem, tour.Options{Bound: true})
//	fmt.Printf("%v, slot turned: %v\n", result.Order, result.Flipped[4])
//	fmt.Printf("%.0f ms, %v, gap %.0f %%\n", 1000*result.Length, result.Status, 100*result.Gap())
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
package tour
