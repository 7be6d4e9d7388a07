package job_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// smallPlan is a small invented job, planned.
func smallPlan() job.Plan {
	j, err := job.Load(newSmall().files(), "job.json")
	if err != nil {
		log.Fatal(err)
	}
	plan, err := job.Make(context.Background(), j, job.Options{})
	if err != nil {
		log.Fatal(err)
	}
	return plan
}

// A job file is written as it is read.
func ExampleFile_Encode() {
	src := newSmall().files()["job.json"].Data
	var file job.File
	err := tooling.Decode(src, "job.json", &file)
	if err != nil {
		log.Fatal(err)
	}
	file.Panels = 12
	text, err := file.Encode()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(strings.Contains(string(text), `"panels": 12`))
	// Output:
	// true
}

// The panel has moved in process since the first set-up: the programs of the
// second follow its targets, and say so.
func ExamplePlan_Adjust() {
	nominal := []orb.Point{{5, 5}, {115, 5}, {115, 95}}
	fit, err := tooling.FitSimilarity(nominal, []orb.Point{{5.03, 5.02}, {115.03, 5.02}, {115.03, 95.02}})
	if err != nil {
		log.Fatal(err)
	}
	moved, err := smallPlan().Adjust(2, fit, 0.05)
	if err != nil {
		log.Fatal(err)
	}
	told := moved.Report[len(moved.Report)-1]
	fmt.Println(told.Rule, told.OK)
	// Output:
	// panel-moved true
}

// A machine whose programs count from a datum of their own.
func ExamplePlan_Framed() {
	framed, err := smallPlan().Framed(2, tooling.Frame{Datum: orb.Point{60, 50}})
	if err != nil {
		log.Fatal(err)
	}
	programs, report, err := framed.Programs(context.Background(), job.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range programs {
		for line := range strings.Lines(string(p.Text)) {
			if strings.Contains(line, "origin at") {
				fmt.Println(p.File, strings.TrimSpace(line))
			}
		}
	}
	fmt.Println(report.OK())
	// Output:
	// small-A-2-unplated.nc ; origin at panel X60.000 Y50.000, turned 0 degrees, face up
	// small-A-2-rout.nc ; origin at panel X60.000 Y50.000, turned 0 degrees, face up
	// true
}

// A bit broke in the first hole of the first run: what later passes meet there is told.
func ExamplePlan_DrillFragments() {
	plan := smallPlan()
	stop := drill.Stop{Run: 1, Last: 1, Fragments: []int{1}}
	rest, err := drill.Resume(context.Background(), plan.Job.Drill, plan.Drill[0], stop, drill.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(rest.Rest.LeftOut), "hole left out,", len(plan.DrillFragments(rest)), "hits, paths or pins come to it")
	// Output:
	// 1 hole left out, 0 hits, paths or pins come to it
}

// A cutter broke in the first path: no later pass comes to its channel.
func ExamplePlan_RoutFragments() {
	plan := smallPlan()
	rest, err := route.Resume(context.Background(), plan.Layout, plan.Rout[0], route.Stop{Run: 1, Last: 1, Fragments: []int{1}}, route.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(plan.RoutFragments(rest)), "later paths come to the channel")
	// Output:
	// 0 later paths come to the channel
}
