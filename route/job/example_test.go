package job_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"
	"math"
	"os"
	"strings"
	"testing/fstest"
	"time"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/machine/calibrate"
)

// A job folder is planned, looked at and written: programs appear only when every
// check has passed.
func Example_tutorial() {
	ctx := context.Background()
	own, err := job.Load(os.DirFS("../../testdata/panels/greenhouse-sensor"), "job.json")
	if err != nil {
		log.Fatal(err)
	}
	plan, err := job.Make(ctx, own, job.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, setUp := range plan.Stack.SetUps {
		fmt.Printf("set-up %d: %d high, %d loads\n", setUp.Number, setUp.Height, setUp.Loads)
	}

	dir, err := os.MkdirTemp("", "panel-out")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	programs, report, err := plan.Write(ctx, dir, job.WriteOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, program := range programs {
		fmt.Println(program.File)
	}
	fmt.Println(len(report), "findings, all of them good:", report.OK())

	fewer, err := plan.For(ctx, 10)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("a panel costs %.2f, of ten %.2f\n", plan.Stack.Cost.PerPanel, fewer.Stack.Cost.PerPanel)
	// Output:
	// set-up 1: 3 high, 14 loads
	// set-up 2: 3 high, 14 loads
	// greenhouse-sensor-C-1-plated.nc
	// greenhouse-sensor-C-2-unplated.nc
	// greenhouse-sensor-C-2-rout.nc
	// 87 findings, all of them good: true
	// a panel costs 5.49, of ten 13.73
}

// From a shop's log to a job planned with the shop's own times: the fitted
// machine is written beside the job file, which names it. The log is invented:
// a machine of 600 mm/s and 5000 mm/s2 that settles for 20 ms and changes a
// tool in 11 s.
func Example_calibrated() {
	var csv strings.Builder
	csv.WriteString("kind,dx_mm,dy_mm,depth_mm,infeed_mm_per_min,retract_mm_per_min,count,changes,seconds\n")
	for _, d := range []float64{0.5, 1, 2.5, 5, 10, 25, 50, 100, 150, 200, 300, 400} {
		seconds := 2*math.Sqrt(d/5000) + 0.020
		if d >= 72 {
			seconds = d/600 + 0.120 + 0.020
		}
		fmt.Fprintf(&csv, "move,%g,0,,,,1,,%.6f\nmove,0,%g,,,,1,,%.6f\n", d, seconds, d, seconds)
	}
	csv.WriteString("change,,,,,,1,,11.0\nchange,,,,,,1,,11.0\nchange,,,,,,1,,11.0\n")

	rows, err := calibrate.LoadLog([]byte(csv.String()), "log.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	base, _ := machine.Preset("ball screw")
	fit, err := calibrate.Fit(context.Background(), rows, calibrate.Options{Base: base})
	if err != nil || fit.Report.Err() != nil {
		fmt.Println(err, fit.Report.Err())
		return
	}
	text, err := json.MarshalIndent(fit.Machine, "", "  ")
	if err != nil {
		fmt.Println(err)
		return
	}

	files := newSmall().files()
	files["hall2.json"] = &fstest.MapFile{Data: text}
	files["job.json"].Data = []byte(strings.Replace(newSmall().job, `"machine": "ball screw",`, `"machine": "ball screw", "machine_file": "hall2.json",`, 1))
	j, err := job.Load(files, "job.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	m := j.Drill.Machine
	fmt.Printf("%.0f mm/s, %.0f mm/s2, settle %v, change %v, calibrated %v\n", m.X.Speed, m.X.Accel,
		m.Settle.Round(time.Millisecond), (m.Change + m.SpinUp).Round(10*time.Millisecond), m.Calibrated)
	fmt.Println("changed at", m.ChangeAt)
	// Output:
	// 600 mm/s, 5000 mm/s2, settle 20ms, change 11s, calibrated true
	// changed at [-20 -20]
}
