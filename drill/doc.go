// Package drill plans the drilling of a panel: which bit makes which hole, in
// which pass and order, how runs are cut when bits wear out, and whether the
// written program does what was planned.
//
// # The way through
//
//	holes, report, err := drill.Read(program, "plated.drl", marking) // one board
//	panelHoles := drill.Place([][]drill.Hole{holes}, panel)
//	distinct, report, err := drill.Distinct(panelHoles, false)
//	passes, err := drill.Plan(ctx, drill.Input{Holes: distinct, ...}, drill.Options{})
//	work := passes[0].Work()                  // to stack.Solve, which gives set-ups
//	mounted, err := passes[0].Mount(setUp, machine)
//	program, err := mounted.Program(nc.WriteOptions{})
//	report := drill.Check(input, mounted, readBack)
//	rest, err := drill.Resume(ctx, input, mounted, stop, drill.Options{}) // after a broken bit
//	saved, err := drill.DecodePass(src, "pass.json")                       // after a power cut
//
// Package route has the same verbs for its passes.
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
