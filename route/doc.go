// Package route turns boards on a panel into cutter paths: where the boards
// lie, what holds them, how a cutter goes round them, in which order, and
// whether the program as written may be started.
//
// # Units and axes
//
// Lengths mm, feeds mm/min, spindle speeds rev/min, accelerations mm/s2, times
// [time.Duration]. The origin is the panel's lower left corner seen from the
// entry side, X to the right, Y up. The spindle turns clockwise seen from above.
//
// # The way of the data
//
//	Read              outlines out of a rout program (centre line = outline)
//	ReadOpen          open paths out of one, on centre, left or right
//	Lay               boards placed and examined, tabs fixed  -> Layout
//	Layout.Perforations, Layout.Entries                       -> join the drill pass
//	Plan              cutters, centre lines, order            -> Pass, not mounted
//	Pass.Work         what one load asks of each cutter       -> stack.Solve
//	Pass.Mount        depth, feeds, runs divided at tool life
//	Pass.Steps        what the machine does, for its clock: Pass.Estimate
//	Pass.Draw         layers of a picture
//	Pass.Program      the written program
//	Check             judges the written text, read back
//	Resume            the rest of a pass after a stop, to be checked like any other
//	DecodePass        reads a pass that was saved as JSON
//
// Package drill has the same verbs for bits and hits. The words of both, tools,
// rules, panel and findings, are those of package tooling.
//
// # Tutorial
//
// Boards are laid on the panel, which fixes tabs and their perforations; paths
// are planned around them:
//
//	ctx := context.Background()
//	mill, _ := machine.Preset("ball screw")
//	panel := tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4}
//	panel.Boards = []tooling.Placement{{Offset: orb.Point{25, 25}}}
//	in := route.Input{Panel: panel, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill}
//	in.Boards = []route.Board{{Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}}
//	layout, err := route.Lay(in)
//	fmt.Println(len(layout.Tabs), "tabs,", len(layout.Perforations()), "perforations for the drill pass")
//	passes, err := route.Plan(ctx, layout, route.Options{})
//
// What one load asks of each cutter decides how high to stack; mounted, a pass
// has depth, feeds and places in the magazine:
//
//	problem := stack.Problem{Lot: 20, Panel: panel, Rules: in.Rules, Machine: mill}
//	problem.SetUps = [][]stack.Work{passes[0].Work()}
//	lot, err := stack.Solve(ctx, problem, stack.Options{Height: 2})
//	pass, err := passes[0].Mount(lot.SetUps[0], mill)
//
// The program is written, and what was written is read back and checked.
// Without a refusal it may be saved:
//
//	program, err := pass.Program(nc.WriteOptions{})
//	var text bytes.Buffer
//	_, err = program.WriteTo(&text)
//	back, err := nc.Parse(text.Bytes(), nc.ReadOptions{File: "rout.nc"})
//	fmt.Println("safe to write:", route.Check(layout, pass, back).OK())
//
// A control or a player goes through the steps with the time at the end of
// each:
//
//	for at, step := range mill.Timed(pass.Steps(mill)) {
//		if step.Kind == machine.Retract {
//			fmt.Printf("a path is cut after %.2f s\n", at.Seconds())
//		}
//	}
//
// After a broken cutter the rest is a pass like any other, and every pass can
// be saved:
//
//	rest, err := route.Resume(ctx, layout, pass, route.Stop{Run: 1, Path: 1}, route.Options{})
//	saved, err := json.Marshal(rest)
//	again, err := route.DecodePass(saved, "rest.json")
//	fmt.Println("left after a stop:", len(again.Runs[0].Paths), "paths")
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # The model
//
// The cutter's centre runs on the board's contour moved by the effective
// radius d/2 - deflection: outside the outline, inside cut-outs and routed
// holes. Arcs stay arcs. With the material on the left of the cutter the cut
// is conventional, on the right it is climb; that holds outside and inside.
//
// A tab of width w is a gap of w + d in the centre line, so that w is left
// between the swept ends. Edges on a score line are not cut: the centre line
// ends where its foot reaches the scored edge. Boards exactly one cutter apart
// share a channel that is cut once, so what is conventional for one is climb for
// the other; with a deflection allowance each side gets its own cut. Where shared
// channels would cut a star of waste loose it is cut away first.
//
// An open path of a board, such as a slit, is followed on its line or beside it,
// on the left or right as drawn, by the cutter that makes its width. It must keep
// off other boards, tabs and plated holes.
//
// Declared half holes too large to drill are routed whole, plated ones before
// plating; the outline is then cut across their mouths.
//
// Inside corners keep the cutter's radius; what no cutter reached is listed in
// the passes' reports, never dropped in silence. A smaller cutter may clean up.
//
// # Guarantees
//
// The same input and options give the same passes on any number of cores and
// any processor: costs are whole nanoseconds, lengths that decide are whole
// nanometres, ties go to the lower index. No function keeps or changes its
// input. Values may be shared between goroutines that do not write to them.
//
// [Check] measures distances only; it shares no offset code with [Plan].
//
// # Limits
//
// [Check] knows the program, not the machine. Scored edges are made by another
// machine. Boards are not nested: they lie where the panel says. What hangs
// together is told on cells of 0.2 mm or more: thinner webs are not seen.
package route
