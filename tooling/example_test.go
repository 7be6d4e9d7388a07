package tooling_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// What a shop's books say of one hole: the bit, its speeds, how deep it goes and
// how long it lasts.
func Example_tutorial() {
	rules, err := tooling.LoadRules([]byte(`{"stack": {"backup_mm": 2.0}}`), "rules.json")
	if err != nil {
		log.Fatal(err)
	}
	hole := tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}
	bits, err := tooling.DefaultCrib().Choose([]tooling.Size{hole}, rules, 10)
	if err != nil {
		log.Fatal(err)
	}
	bit := bits[0]
	feed, err := rules.Feed(bit, tooling.FR4, tooling.SpeedLimits{Min: 15000, Max: 100000})
	if err != nil {
		log.Fatal(err)
	}
	depth, err := rules.Stack.Drill(bit, 3, 1.6)
	if err != nil {
		log.Fatal(err)
	}
	hits, err := rules.Life.At(tooling.FR4, bit.Kind, bit.Diameter, 3*1.6)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s at %.0f rev/min, %.0f mm/min\n", bit.ID, feed.Speed, feed.Infeed)
	fmt.Printf("%.2f mm into the backup, %.0f hits\n", depth.IntoBackup, hits)

	var report tooling.Report
	report.Note("drill-table", bit.ID, "drilled as the table says", feed.Speed, 100000)
	fmt.Println(report.OK(), report.Err())
	// Output:
	// B1.05 at 46000 rev/min, 2254 mm/min
	// 0.45 mm into the backup, 3000 hits
	// true <nil>
}

// A panel that grew in one direction more than in the other.
func ExampleFitAffine() {
	nominal := []orb.Point{{0, 0}, {400, 0}, {400, 300}, {0, 300}}
	measured := []orb.Point{{0.02, 0}, {400.22, 0}, {400.22, 300.06}, {0.02, 300.06}}
	fit, err := tooling.FitAffine(nominal, measured)
	if err != nil {
		log.Fatal(err)
	}
	at := fit.Apply(orb.Point{200, 150})
	fmt.Printf("X%.3f Y%.3f\n", at[0], at[1])
	// Output:
	// X200.120 Y150.030
}

// Stages that ended are kept for the caller, and told to no log but the caller's.
func ExampleStatistics() {
	var took tooling.Statistics
	tooling.Spent{Stage: "drill/plated/1", Time: 20 * time.Millisecond, Items: 48, Kicks: 144, Moves: 9000, Cores: 2}.Tell(context.Background(), nil, &took)
	tooling.Spent{Stage: "drill", Time: 25 * time.Millisecond, Items: 48, Kicks: 144, Moves: 9000, Cores: 2}.Tell(context.Background(), nil, &took)
	_, err := took.WriteTo(os.Stdout)
	if err != nil {
		log.Fatal(err)
	}
	// Output:
	// stage                                ms     items     kicks        moves cores
	// drill/plated/1                     20.0        48       144         9000     2
	// drill                              25.0        48       144         9000     2
	// total                              25.0        48       144         9000     2
}
