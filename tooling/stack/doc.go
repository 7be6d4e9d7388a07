// Package stack plans a lot: how high a stack to pin in each set-up, at how
// many spindles, in how many loads, with how many tools, and what it costs.
//
// # The model
//
// A set-up is one pinning of the lot. Its passes say what one load asks of
// each tool at any height ([Work]); the order of the hits does not depend on
// the height. With n panels in a stack
//
//	stacks = ceil(lot / n), at most one of them short and made up with fillers
//	loads  = ceil(stacks / spindles in use), all full but the last; the others
//	         are parked and wear no tools
//	load   = travel + changes + hits x stroke(n) + plunges x (down + up)(n) + rout
//	time   = loads x (load + loading) + changes in mid load of tools carried on
//
// where every motion is timed by the clock of package machine. Tools follow
// from the life at the depth n t, in whole ones, by [Policy] and [Mode]. Then
//
//	cost = time x rate
//	     + tools x (price + k repoints) x life / (sum of the k + 1 lives)
//	     + stacks x (entry + backup + pinning labour) + set-up labour
//
// A stack is refused with its rule in words where a flute, depth ratio,
// backup, life table, the machine's opening, magazine, stock or position tolerance does not allow it.
//
// # Exactness
//
// [Solve] is exact for the ordered work given. It looks at every height of
// every set-up, every count of spindles in use (a small lot may be cheaper on
// fewer, which wear fewer tools in more loads), every policy of the mode and, where [Options.Tiers] asks for them, every cut
// of the sorted diameters of a set-up's drilling into tiers: stacks of their
// own height, pinned on their own; routing joins the last. Set-ups and tiers
// add, so that is a shortest path over the cuts. A due time or a limited stock
// couples them; then a front of plans is kept at every cut that neither cost,
// time nor stock rules out. The tests hold it against trying everything, with
// costs worked out anew.
//
// Money is counted in billionths and time in nanoseconds, both as integers, so
// that equal plans are found equal on every processor. Of equal plans the
// faster wins (the cheaper where time is the objective), then fewer set-ups,
// then the lower height.
//
// # Limits
//
// Short stacks run with the program of full ones. A bit left over in one place
// is not used up in another. In split mode cost(k lots) <= k cost(lot) where
// the lot fills its loads; a tool carried on may cost one change more at each
// end of a lot. Wander and the life of pecked holes are assumptions: see
// [tooling.StackRules].
//
// Speeds on a tool-life curve are chosen tool by tool where no limit binds them
// together. Where the magazine, a stock, a due time or a front does, the mixes
// that no other beats in tool cost, time, places and stock are all kept, up to
// 500 for a tier in one layout: then the plan is still the best. Past that only
// those best at some price of time are, and [Result.Thinned] says so: the plan
// keeps its limits, and a better one may exist.
//
// # Tutorial
//
// What one load asks of each tool comes from the passes of drill and route
// (Work); here it is given by hand:
//
//	mill, _ := machine.Preset("ball screw")
//	problem := stack.Problem{Lot: 240, Panel: tooling.Panel{Thickness: 1.6, Material: tooling.FR4}, Rules: tooling.DefaultRules(), Machine: mill}
//	plated := []stack.Work{work(1, 0.35, 5.5, 1800, 110*time.Second), work(2, 1.0, 10.5, 900, 70*time.Second)}
//	problem.SetUps = [][]stack.Work{plated}
//	result, err := stack.Solve(context.Background(), problem, stack.Options{})
//	setUp := result.SetUps[0]
//	fmt.Printf("%d high, %d loads of %d stacks, %.0f min a load\n", setUp.Height, setUp.Loads, setUp.Spindles, setUp.LoadTime.Minutes())
//	for _, share := range setUp.Tools {
//		fmt.Printf("T%d %s: %.0f hits, %d for the lot\n", share.Place, share.Tool.ID, share.Life, share.Bought)
//	}
//	for _, point := range result.Curve {
//		fmt.Printf("%d high costs %.2f a panel\n", point.Height, point.Cost/240)
//	}
//	fmt.Println(result.Limits[0].Detail)
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// Values are plain data; Solve may be called from several goroutines.
package stack
