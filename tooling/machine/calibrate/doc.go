// Package calibrate fits a machine's clock to the shop's own log: axis speeds,
// accelerations, settle, Z and change times, by robust least squares.
//
// # The log
//
// A [Row] is something the machine did and the seconds it took: moves,
// strokes, changes, loads, or a whole pass of them. Rows come from CSV
// ([LoadLog]), one a line,
//
//	kind,dx_mm,dy_mm,depth_mm,infeed_mm_per_min,retract_mm_per_min,count,changes,seconds
//	move,2.5,0,,,,1,,0.047
//	stroke,,,5.35,2500,20000,1,,0.171
//	change,,,,,,1,,11.2
//
// or from the steps of a planned pass ([FromSteps]).
//
// # The model
//
// The model is the library's own clock, [machine.Travel] and
// [machine.Machine.StrokeTime], so that a fitted machine and an estimate
// cannot disagree. Errors of a stopwatch or a log are taken to grow with the
// time measured: the residual of a row is ln(seconds / predicted). Its sum of
// squares, weighted down for outliers (first Huber's weights, then Tukey's
// biweight, scale from the median absolute residual: P. J. Huber and E. M.
// Ronchetti, Robust Statistics, 2009), is made small by Levenberg-Marquardt
// steps (D. W. Marquardt, J. SIAM 11(2), 1963, doi 10.1137/0111030) from two
// starts, the base machine and figures read off the log.
//
// # What it says
//
// Each [Parameter] carries a standard error and says whether the log tells it:
// [Known] to 1 %, [Rough], or [Unknown] with the reason, alone or because only
// a combination of parameters shows in the log ([Result.Confounded]). What
// cannot be right is a finding of [Result.Report]: residuals with a shape (a
// trapezoid fitted to a machine with jerk-limited ramps), figures no drill and
// rout machine has (a log in another unit), too many outliers, too much noise.
// Only a fit without such findings is marked calibrated.
//
// # Tutorial
//
// From the shop's log to a machine file that a job names as its machine_file:
//
//	rows, err := calibrate.LoadLog([]byte(moves), "log.csv")
//	preset, _ := machine.Preset("ball screw")
//	result, err := calibrate.Fit(context.Background(), rows, calibrate.Options{Base: preset})
//	err = result.Report.Err()
//	for _, p := range result.Parameters {
//		fmt.Printf("%s %.4g %s %s\n", p.Name, p.Value, p.Unit, p.Status)
//	}
//	text, err := json.Marshal(result.Machine)
//	own, err := machine.Decode(text, "hall2.json", preset)
//	fmt.Println("calibrated:", own.Calibrated)
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Limits
//
// Spin-up is part of a change and overlap part of a settle: the log shows
// their sums only, so both keep the values of the base machine. Results are
// rounded to six significant digits, well above what processors may differ in.
package calibrate
