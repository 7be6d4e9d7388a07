// Package tooling holds what a drill room has on its shelves and in its
// books: bits and cutters, the crib that stocks them, feed and life tables,
// the rules a shop works by, the panel blank, and the findings every check in
// this module speaks in. Packages drill and route take crib, rules and panel as
// their input, and answer in tools, feeds, depths and reports.
//
// # Units and axes
//
// Lengths are millimetres, feeds millimetres a minute, spindle speeds
// revolutions a minute, surface speeds metres a minute, chip loads
// millimetres a revolution; money is in the lot's own unit. The origin is the
// panel's lower left corner seen from the entry side, X to the right, Y up.
// A coordinate beyond [MaxLength] from the origin is refused.
//
// # Tutorial
//
// What a shop's books say of one hole, from the crib to the bit's life:
//
//	rules, err := tooling.LoadRules([]byte(`{"stack": {"backup_mm": 2.0}}`), "rules.json")
//	hole := tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}
//	bits, err := tooling.DefaultCrib().Choose([]tooling.Size{hole}, rules, 10)
//	bit := bits[0]
//	feed, err := rules.Feed(bit, tooling.FR4, tooling.SpeedLimits{Min: 15000, Max: 100000})
//	depth, err := rules.Stack.Drill(bit, 3, 1.6)
//	hits, err := rules.Life.At(tooling.FR4, bit.Kind, bit.Diameter, 3*1.6)
//	fmt.Printf("%s at %.0f rev/min, %.0f mm/min\n", bit.ID, feed.Speed, feed.Infeed)
//	fmt.Printf("%.2f mm into the backup, %.0f hits\n", depth.IntoBackup, hits)
//
// Whatever looks at good input speaks in findings:
//
//	var report tooling.Report
//	report.Note("drill-table", bit.ID, "drilled as the table says", feed.Speed, 100000)
//	fmt.Println(report.OK(), report.Err())
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Speeds
//
// [Rules.Feed] takes the table's speed and chip load for a diameter, or, for
// a row without a speed, n = 1000 Vc / (pi D) (the cutting-speed formula of
// any machining handbook). The speed is clamped to machine and tool at both
// ends; infeed = n x chip load, and never above what the table itself gives.
//
// # Life
//
// [LifeTable.At] answers how many hits (bits) or millimetres of path
// (cutters) a tool survives at a drilled depth. Between rows the answer is
// piecewise linear; past the deepest row it falls by the table's stated
// [Fall], and without one it is an error: nothing is extrapolated silently.
// [LifeTable.Lives] shortens it for copper, layers and repoints by
// [LifeFactors]. [Taylor] is the law V T^n = C for shops that trade speed
// against life.
//
// # Sizes
//
// A drill file gives finished or drilled diameters ([Basis]). Finished sizes
// get the [Allowance] for copper and finish, and the nearest stock bit within
// the size's tolerance ([Crib.Choose]).
//
// # Files
//
// Crib, rules and panel come from JSON ([LoadCrib], [LoadRules],
// [LoadPanel]), feed and life tables also from CSV ([LoadFeedsCSV],
// [LoadLifeCSV]). [Decode] is stricter than encoding/json: repeated keys, keys
// in another letter case, points without exactly two numbers and bytes that
// are not UTF-8 are refused.
//
//	rules, err := tooling.LoadRules(src, "rules.json") // over DefaultRules
//
// # Errors and findings
//
// Bad input is an [*InputError] with file, line or JSON path, what was found
// and what was expected. What a check finds in good input is a [Finding];
// a [Report] groups them and turns into a [*CheckError] when one is not OK.
//
// Values of this package are plain data: safe to copy and to share between
// goroutines that do not write to them.
package tooling
