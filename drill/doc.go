// Package drill plans the drilling of a panel: which bit makes which hole, in
// which pass and order, how runs are cut when bits wear out, and whether the
// written program does what was planned.
//
// # The way of the data
//
//	Read              holes out of a drill program
//	Place, Distinct   holes of all boards on the panel, each once
//	Plan              bits, pilots, nibbles, order            -> Pass, not mounted
//	Pass.Work         what one load asks of each bit          -> stack.Solve
//	Pass.Mount        depth, feeds, runs divided at tool life
//	Pass.Steps        what the machine does, for its clock: Pass.Estimate
//	Pass.Draw         layers of a picture
//	Pass.Program      the written program
//	Check             judges the written text, read back
//	Resume            the rest of a pass after a stop, to be checked like any other
//	DecodePass        reads a pass that was saved as JSON
//
// Package route has the same verbs for cutters and paths. The words of both,
// tools, rules, panel and findings, are those of package tooling.
//
// # Tutorial
//
// A drill file of one board is read. What the file does not say, the caller
// must:
//
//	ctx := context.Background()
//	file, err := nc.Parse([]byte(gaugeDrill), nc.ReadOptions{File: "gauge.drl"})
//	board, _, err := drill.Read(file, "gauge.drl", drill.Marking{Sizes: tooling.Finished})
//
// The holes of all boards on the panel are planned into passes, each hole
// once:
//
//	mill, _ := machine.Preset("ball screw")
//	panel := tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4}
//	panel.Boards = []tooling.Placement{{Offset: orb.Point{10, 10}}}
//	in := drill.Input{Panel: panel, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill}
//	in.Holes, _, err = drill.Distinct(drill.Place([][]drill.Hole{board}, panel), false)
//	passes, err := drill.Plan(ctx, in, drill.Options{})
//
// What one load asks of each bit decides how high to stack; mounted, a pass
// has depths, feeds and places in the magazine:
//
//	problem := stack.Problem{Lot: 18, Panel: panel, Rules: in.Rules, Machine: mill}
//	problem.SetUps = [][]stack.Work{passes[0].Work()}
//	lot, err := stack.Solve(ctx, problem, stack.Options{})
//	pass, err := passes[0].Mount(lot.SetUps[0], mill)
//	fmt.Printf("%d hits in a stack of %d\n", pass.Hits(), pass.SetUp.Height)
//
// The program is written, and what was written is read back and checked.
// Without a refusal it may be saved:
//
//	program, err := pass.Program(nc.WriteOptions{})
//	var text bytes.Buffer
//	_, err = program.WriteTo(&text)
//	back, err := nc.Parse(text.Bytes(), nc.ReadOptions{File: "plated.nc"})
//	fmt.Println("safe to write:", drill.Check(in, pass, back).OK())
//
// A control or a player goes through the steps with the time at the end of
// each:
//
//	for at, step := range mill.Timed(pass.Steps(mill)) {
//		fmt.Printf("%5.2f s %s\n", at.Seconds(), step.Kind)
//	}
//
// After a broken bit the rest is a pass like any other, and every pass can be
// saved:
//
//	rest, err := drill.Resume(ctx, in, pass, drill.Stop{Run: 1, Hit: 3}, drill.Options{})
//	saved, err := json.Marshal(rest)
//	again, err := drill.DecodePass(saved, "rest.json")
//	fmt.Println("left after a stop:", again.Hits(), "hit")
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Stages
//
// Holes whose walls get copper are drilled before plating; the others after
// it, or they would be plated too, unless they are tented. Each stage with
// holes is one [Pass]: plated, in the first set-up, and unplated, in the
// second.
//
// # Sizes and bits
//
// A [tooling.Size] says whether its diameter is finished or drilled. The bit
// is the nearest of the crib to the drilled diameter. Holes above
// Rules.MaxDrill and slots no bit fits are routed: [Input.Routed].
//
// # Hits
//
// Every distinct hole gets one finishing stroke. Large holes and short slots
// get pilots first; slots are nibbled ([Nibble]). Pilots and nibbles are
// strokes too, but not holes, and are counted apart.
//
// # Tiers and spares
//
// A pass mounted in a tier of a set-up takes the runs that have a share there;
// mounted in all tiers every run is made once ([CheckTiers]). In bit mode spares
// a run is one tool number with a hit limit: the control counts and takes the
// next bit, and one that is carried on is changed at another hit in every load
// ([Pass.Load], [Pass.Lot]).
//
// # Order
//
// Every run starts at and returns to the machine's change position, and is
// ordered by package tour to take the least machine time (moves of the slower
// axis, settle included). The order does not depend on the stack height, nor
// on the order of the holes in the input.
//
// # Guarantees
//
// Places are on the 1 um grid programs are written on. The same input and
// options give the same pass on any number of cores. Nothing here modifies
// its input or keeps it. All functions may be called from several goroutines
// at once.
package drill
