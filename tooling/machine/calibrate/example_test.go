package calibrate_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"

	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/machine/calibrate"
)

// moves is an invented log of a machine of 600 mm/s and 5000 mm/s2 that settles
// for 20 ms.
const moves = `kind,dx_mm,dy_mm,seconds
move,0.5,0,0.040000
move,1,0,0.048284
move,2.5,0,0.064721
move,5,0,0.083246
move,10,0,0.109443
move,25,0,0.161421
move,50,0,0.220000
move,100,0,0.306667
move,150,0,0.390000
move,200,0,0.473333
move,300,0,0.640000
move,400,0,0.806667
move,0,0.5,0.040000
move,0,1,0.048284
move,0,2.5,0.064721
move,0,5,0.083246
move,0,10,0.109443
move,0,25,0.161421
move,0,50,0.220000
move,0,100,0.306667
move,0,150,0.390000
move,0,200,0.473333
move,0,300,0.640000
move,0,400,0.806667
`

// From the shop's log to a machine file that a job names.
func Example_tutorial() {
	rows, err := calibrate.LoadLog([]byte(moves), "log.csv")
	if err != nil {
		log.Fatal(err)
	}
	preset, _ := machine.Preset("ball screw")
	result, err := calibrate.Fit(context.Background(), rows, calibrate.Options{Base: preset})
	if err != nil {
		log.Fatal(err)
	}
	err = result.Report.Err()
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range result.Parameters {
		fmt.Printf("%s %.4g %s %s\n", p.Name, p.Value, p.Unit, p.Status)
	}
	text, err := json.Marshal(result.Machine)
	if err != nil {
		log.Fatal(err)
	}
	own, err := machine.Decode(text, "hall2.json", preset)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("calibrated:", own.Calibrated)
	// Output:
	// x.speed 600 mm/s known
	// x.accel 5000 mm/s2 known
	// y.speed 600 mm/s known
	// y.accel 5000 mm/s2 known
	// settle_s 0.02 s known
	// calibrated: true
}
