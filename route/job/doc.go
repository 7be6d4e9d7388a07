// Package job composes the whole job: a job file and the drill files and
// outlines it names become planned, mounted, checked and written programs. It
// has no planning logic of its own; every step is a call into drill, route or
// tooling/stack.
//
//	j, err := job.Load(os.DirFS("testdata/panels/greenhouse-sensor"), "job.json")
//	plan, err := job.Make(ctx, j, job.Options{})
//	report, err := plan.Write("panel-out", nc.WriteOptions{})
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
