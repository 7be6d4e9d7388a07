// Package job composes the whole job: a job file and the drill files and
// outlines it names become planned, mounted, checked and written programs. It
// has no planning logic of its own; every step is a call into drill, route or
// tooling/stack.
//
// # Tutorial
//
// A folder with a job file is loaded and planned:
//
//	ctx := context.Background()
//	own, err := job.Load(os.DirFS("../../testdata/panels/greenhouse-sensor"), "job.json")
//	plan, err := job.Make(ctx, own, job.Options{})
//	for _, setUp := range plan.Stack.SetUps {
//		fmt.Printf("set-up %d: %d high, %d loads\n", setUp.Number, setUp.Height, setUp.Loads)
//	}
//
// Programs are written, read back and checked; only when all is well are there
// files:
//
//	dir, err := os.MkdirTemp("", "panel-out")
//	defer os.RemoveAll(dir)
//	programs, report, err := plan.Write(ctx, dir, job.WriteOptions{})
//	for _, program := range programs {
//		fmt.Println(program.File)
//	}
//	fmt.Println(len(report), "findings, all of them good:", report.OK())
//
// The same plan for another quantity keeps its orders:
//
//	fewer, err := plan.For(ctx, 10)
//	fmt.Printf("a panel costs %.2f, of ten %.2f\n", plan.Stack.Cost.PerPanel, fewer.Stack.Cost.PerPanel)
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # The job file
//
// JSON, schema 1; lengths in mm, money in the lot's own unit. Unknown keys are
// errors. testdata/panels/README.md explains every key. Paths are relative to
// the job file.
//
// # Set-ups
//
// A job has two: before plating (the plated drill pass and, where there is
// routing to be plated, the plated rout pass) and after plating (the unplated
// drill pass and the rout pass together). Passes of one set-up share height,
// loads and magazine. Where the job file asks for tiers a drill pass may be cut
// by diameter into stacks of their own height: each is one more set-up with a
// program of its own, checked for its own holes and with the others together;
// the routing joins the last.
//
// # Writing
//
// [Plan.Write] is the only function of the module that creates program files,
// and it creates none unless every check of every program, read back from its
// own text, has passed.
package job
