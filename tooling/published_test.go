package tooling_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"example.org/pinstack/tooling"
)

// published reads a file of outside check values: rows of numbers by column.
// The sources are in testdata/published/README.md and beside each test.
func published(t *testing.T, name string) []map[string]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil || len(table) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(table), err)
	}
	var rows []map[string]float64
	for _, cells := range table[1:] {
		row := make(map[string]float64)
		for i, cell := range cells {
			if row[table[0][i]], err = strconv.ParseFloat(cell, 64); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// Source: the cutting-speed formula of any machining handbook,
// n = 1000 V / (pi D), at 150 m/min (common practice for FR-4), rounded to
// 100 rev/min.
func TestPublishedSpindleSpeeds(t *testing.T) {
	for _, row := range published(t, "spindle-speeds.csv") {
		d, v := row["diameter_mm"], row["surface_m_per_min"]
		rules := tooling.DefaultRules()
		rules.Feeds = tooling.FeedTable{Rows: []tooling.FeedRow{
			{Material: "m", Kind: tooling.Cutter, Diameter: d, Surface: v, ChipLoad: 0.02, Retract: 1000, Plunge: 100},
		}}
		f, err := rules.Feed(tooling.Tool{Kind: tooling.Cutter, Diameter: d}, "m", tooling.SpeedLimits{})
		if err != nil {
			t.Fatal(err)
		}
		if got := math.Round(f.Speed/100) * 100; got != row["rev_per_min"] {
			t.Errorf("%v mm: got %v rev/min, want %v", d, got, row["rev_per_min"])
		}
		if got := tooling.SurfaceSpeed(d, tooling.SpindleSpeed(v, d)); math.Abs(got-v) > 1e-9 {
			t.Errorf("%v mm: there and back gives %v m/min, want %v", d, got, v)
		}
	}
}

// Source: IPC-6012 hole copper, class 2 average 20 um (thin 18), class 3
// average 25 um (thin 20), quoted second-hand. The default allowance must
// leave at least that copper and the least finish (2 um) on both walls.
func TestPublishedHoleCopper(t *testing.T) {
	a := tooling.DefaultAllowance()
	for _, row := range published(t, "hole-copper.csv") {
		if row["thin_um"] > row["average_um"] {
			t.Fatalf("class %v: thin above average", row["class"])
		}
		need := 2 * (row["average_um"] + 2) / 1000
		for _, class := range []tooling.Class{tooling.Via, tooling.Component, tooling.PressFit} {
			s := tooling.Size{Diameter: 1, Class: class, Plated: true}
			if got := a.Target(s) - s.Diameter; got < need {
				t.Errorf("class %v, %s: allowance %.3f mm, want at least %.3f", row["class"], class, got, need)
			}
			// The same the other way round: what a bit of the target size leaves is the finished size.
			if got := a.Result(s, a.Target(s)); got != s.Diameter {
				t.Errorf("%s: got %.3f mm finished, want %.3f", class, got, s.Diameter)
			}
		}
	}
}

// Source: arithmetic, (D/2) / tan(angle/2) for 130 deg (165 deg from 3.2 mm
// up; common practice), plus the default margin of 0.20 mm.
func TestPublishedPoints(t *testing.T) {
	rules := tooling.DefaultRules().Stack
	for _, row := range published(t, "points.csv") {
		tool := tooling.Tool{Kind: tooling.Bit, Diameter: row["diameter_mm"], Flute: 10.5}
		if got := tool.Point(); got != row["angle_deg"] {
			t.Errorf("%v mm: got %v deg, want %v", tool.Diameter, got, row["angle_deg"])
		}
		if got := math.Round(tool.PointLength()/tool.Diameter*1000) / 1000; got != row["point_per_diameter"] {
			t.Errorf("%v mm: got point %v D, want %v D", tool.Diameter, got, row["point_per_diameter"])
		}
		d, err := rules.Drill(tool, 1, 1.6)
		if err != nil {
			t.Fatal(err)
		}
		if got := math.Round(d.IntoBackup*100) / 100; got != row["penetration_mm"] {
			t.Errorf("%v mm: got %v mm into the backup, want %v", tool.Diameter, got, row["penetration_mm"])
		}
	}
	wide := tooling.Tool{Kind: tooling.Bit, Diameter: 1, PointAngle: 118}
	if got := math.Round(wide.PointLength()*1000) / 1000; got != 0.300 {
		t.Errorf("118 deg: got %v D, want 0.300 D", got)
	}
}

// Sources: ASME B94.11M number drills (from memory) and exact fractions of an
// inch. A hole drilled to such a size must find a stock bit within half of the
// default crib's step: 0.05 mm up to 3.2 mm, 0.10 mm above.
func TestPublishedDrillSeries(t *testing.T) {
	var diameters []float64
	for _, row := range published(t, "number-drills.csv") {
		diameters = append(diameters, row["inch"]*25.4)
	}
	for _, row := range published(t, "fraction-drills.csv") {
		diameters = append(diameters, row["numerator"]/row["denominator"]*25.4)
	}
	crib, rules := tooling.DefaultCrib(), tooling.DefaultRules()
	for _, d := range diameters {
		tools, err := crib.Choose([]tooling.Size{{Diameter: d, Basis: tooling.Drilled}}, rules, 0)
		if err != nil {
			t.Errorf("%.4f mm: %v", d, err)
			continue
		}
		half := 0.05 / 2
		if d > 3.2 {
			half = 0.10 / 2
		}
		if got := math.Abs(tools[0].Diameter - d); got > half+1e-9 {
			t.Errorf("%.4f mm: %s is %.4f mm off, want at most %.3f", d, tools[0].ID, got, half)
		}
	}
}

// Source: usual stacks of 1.6 mm FR-4 panels by bit (from memory). The default
// rules and the default crib's flutes must allow the lower of them, in one
// stroke, at the default table's full life.
func TestPublishedStackHeights(t *testing.T) {
	rules, crib := tooling.DefaultRules(), tooling.DefaultCrib()
	for _, row := range published(t, "stack-heights.csv") {
		tools, err := crib.Choose([]tooling.Size{{Diameter: row["diameter_mm"], Basis: tooling.Drilled}}, rules, 0)
		if err != nil {
			t.Fatal(err)
		}
		d, err := rules.Stack.Drill(tools[0], int(row["least_panels"]), 1.6)
		if err != nil || d.Pecks != 1 {
			t.Errorf("%v mm, %v high: %d pecks, %v", row["diameter_mm"], row["least_panels"], d.Pecks, err)
		}
		at, err := rules.Life.At(tooling.FR4, tooling.Bit, row["diameter_mm"], d.Stack)
		if err != nil {
			t.Fatal(err)
		}
		single, err := rules.Life.At(tooling.FR4, tooling.Bit, row["diameter_mm"], 0.1)
		if err != nil || at != single {
			t.Errorf("%v mm, %v high: a life of %v, full %v, %v", row["diameter_mm"], row["least_panels"], at, single, err)
		}
	}
}

// Source: residual laminate between holes of 0.50 mm, IPC-2221 clause 9.2.7,
// quoted second-hand.
func TestPublishedResidualLaminate(t *testing.T) {
	if got := tooling.DefaultRules().Web; got != 0.50 {
		t.Errorf("got %v mm, want 0.50", got)
	}
}

// Source: a worked example of a manufacturing text (from memory): M. P.
// Groover, Fundamentals of Modern Manufacturing, Taylor's equation.
func TestPublishedTaylor(t *testing.T) {
	for _, row := range published(t, "taylor.csv") {
		law, err := tooling.FitTaylor(row["v1_m_per_min"], minutes(row["t1_min"]), row["v2_m_per_min"], minutes(row["t2_min"]))
		if err != nil {
			t.Fatal(err)
		}
		if got := math.Round(law.N*1000) / 1000; got != row["n"] {
			t.Errorf("got n %v, want %v", got, row["n"])
		}
		if got := math.Round(law.C); got != row["c_m_per_min"] {
			t.Errorf("got C %v, want %v", got, row["c_m_per_min"])
		}
		for _, end := range []string{"1", "2"} {
			v, life := row["v"+end+"_m_per_min"], minutes(row["t"+end+"_min"])
			if got := law.Life(v); (got - life).Abs() > time.Millisecond {
				t.Errorf("at %v m/min: got %v, want %v", v, got, life)
			}
			if got := law.Speed(life); math.Abs(got-v) > 1e-6 {
				t.Errorf("for %v: got %v m/min, want %v", life, got, v)
			}
		}
	}
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }
