package tooling_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

func TestCSVRoundTrip(t *testing.T) {
	feeds, err := tooling.LoadFeedsCSV(tooling.DefaultFeeds().CSV(), "feeds.csv")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(tooling.DefaultFeeds(), feeds); diff != "" {
		t.Errorf("feeds (-want +got):\n%s", diff)
	}
	odd := tooling.LifeTable{Rows: []tooling.LifeRow{
		{Material: "#1, \"filled\"\nlaminate ", Kind: tooling.Bit, Diameter: 1.0000001, Depth: 1, Life: 1},
		{Material: " spaced", Kind: tooling.Cutter, Diameter: 1, Depth: 1, Life: 1e8},
	}}
	for _, table := range []tooling.LifeTable{{Rows: tooling.DefaultLife().Rows}, odd} {
		life, err := tooling.LoadLifeCSV(table.CSV(), "life.csv")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(table, life); diff != "" {
			t.Errorf("life (-want +got):\n%s", diff)
		}
	}
}

func TestLoadLifeCSVRefuses(t *testing.T) {
	const head = "material,kind,diameter_mm,depth_mm,life\n"
	for _, row := range []struct {
		name, reason, src string // § stands before the place the error points at
		path              string
		want              error
		line              bool // the error knows the line only
	}{
		{"empty", "no header", "§", "", tooling.ErrSyntax, true},
		{"no rows", "a table without rows", head, "rows", tooling.ErrValue, true},
		{"unknown column", "misspelt", "material,kind,§diametre_mm,depth_mm,life\n", "", tooling.ErrSyntax, false},
		{"column twice", "which one holds?", "material,kind,life,§life\n", "", tooling.ErrDuplicate, false},
		{"short row", "a cell is missing", head + "FR-4,bit,1,3.2,100\n§FR-4,bit,1,3.2\n", "", tooling.ErrSyntax, true},
		{"open quote", "broken text", head + "§\"FR-4,bit,1,3.2,100\n", "", tooling.ErrSyntax, true},
		{"not a number", "a unit in the cell", head + "FR-4,bit,§1mm,3.2,100\n", "rows[0].diameter_mm", tooling.ErrSyntax, false},
		{"NaN", "no number", head + "FR-4,bit,§NaN,3.2,100\n", "rows[0].diameter_mm", tooling.ErrSyntax, false},
		{"hexadecimal", "no plain number", head + "FR-4,bit,§0x1p4,3.2,100\n", "rows[0].diameter_mm", tooling.ErrSyntax, false},
		{"infinite", "1e999", head + "FR-4,bit,§1e999,3.2,100\n", "rows[0].diameter_mm", tooling.ErrSyntax, false},
		{"1e300", "out of range, with its line", head + "FR-4,bit,1,3.2,100\n§FR-4,bit,1e300,3.2,100\n", "rows[1].diameter_mm", tooling.ErrValue, true},
		{"empty cell", "no life", head + "§FR-4,bit,1,3.2,\n", "rows[0].life", tooling.ErrValue, true},
		{"row twice", "with its line", head + "FR-4,bit,1,3.2,100\n\n§FR-4,bit,1,3.2,90\n", "rows[1]", tooling.ErrDuplicate, true},
		{"more life deeper", "a contradiction", head + "FR-4,bit,1,3.2,100\n§FR-4,bit,1,4.8,110\n", "rows[1].life", tooling.ErrConflict, true},
		{"not UTF-8", "would be replaced in silence", head + "FR-4§\xff,bit,1,3.2,100\n", "", tooling.ErrSyntax, false},
		{"too many", "bounded", head + strings.Repeat("FR-4,bit,1,3.2,1\n", 10_000) + "§FR-4,bit,1,3.2,1\n", "", tooling.ErrValue, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			src, line, column := places(row.src)
			_, err := tooling.LoadLifeCSV([]byte(src), "life.csv")
			var e *tooling.InputError
			if !errors.As(err, &e) || !errors.Is(err, row.want) {
				t.Fatalf("%s: got %v, want %v", row.reason, err, row.want)
			}
			if row.line {
				column = e.Source.Column
			}
			if row.name == "no rows" {
				line = 0
			}
			want := tooling.Source{File: "life.csv", Line: line, Column: column, Path: row.path}
			if diff := cmp.Diff(want, e.Source); diff != "" {
				t.Errorf("%s (-want +got):\n%s%v", row.reason, diff, err)
			}
		})
	}
}

func TestLoadFeedsCSVRefuses(t *testing.T) {
	src := "material,kind,diameter_mm,rev_per_min,chip_load_mm,retract_mm_per_min\nFR-4,bit,1,48000,0.048,25000\nFR-4,bit,2,24000,,25000\n"
	_, err := tooling.LoadFeedsCSV([]byte(src), "feeds.csv")
	var e *tooling.InputError
	if !errors.As(err, &e) || e.Source != (tooling.Source{File: "feeds.csv", Line: 3, Path: "rows[1].chip_load_mm"}) {
		t.Errorf("got %v", err)
	}
	if _, err := tooling.LoadFeedsCSV(nil, "feeds.csv"); !errors.Is(err, tooling.ErrSyntax) {
		t.Errorf("empty: got %v", err)
	}
	if _, err := tooling.LoadFeedsCSV(make([]byte, 64<<20+1), "feeds.csv"); !errors.Is(err, tooling.ErrSyntax) {
		t.Errorf("too long: got %v", err)
	}
}

// Several faults come in the order of their lines.
func TestCSVErrorsAreSorted(t *testing.T) {
	_, err := tooling.LoadLifeCSV([]byte("material,kind,diameter_mm,depth_mm,life\nFR-4,bit,1,4.8,100\nFR-4,bit,1,3.2,50\nFR-4,bit,0,3.2,50\nFR-4,bit,1,4.8,90\n"), "life.csv")
	var list tooling.InputErrors
	if !errors.As(err, &list) {
		t.Fatal(err)
	}
	var lines []int
	for _, e := range list {
		lines = append(lines, e.Source.Line)
	}
	if diff := cmp.Diff([]int{3, 4, 5}, lines); diff != "" {
		t.Errorf("(-want +got):\n%s%v", diff, list)
	}
}

func ExampleLoadLifeCSV() {
	life, err := tooling.LoadLifeCSV([]byte(`material, kind, diameter_mm, depth_mm, life
FR-4, bit, 0.3, 3.2, 1800
FR-4, bit, 0.3, 4.8, 900
`), "life.csv")
	hits, _ := life.At(tooling.FR4, tooling.Bit, 0.3, 4.0)
	fmt.Println(hits, err)
	_, err = tooling.LoadLifeCSV([]byte(`material,kind,diameter_mm,depth_mm,life
FR-4,bit,0.3,3.2,1800
FR-4,bit,0.3,4.8,2900
`), "life.csv")
	fmt.Println(err)
	// Output:
	// 1350 <nil>
	// life.csv:3 rows[1].life: tooling: values contradict each other: found 2900 at 4.8 mm, expected no more life in a taller stack: rows[0] has 1800 at 3.2 mm
}

func ExampleLoadFeedsCSV() {
	feeds, err := tooling.LoadFeedsCSV([]byte(`material,kind,diameter_mm,surface_m_per_min,chip_load_mm,retract_mm_per_min
FR-4,bit,1.0,150,0.048,25000
`), "feeds.csv")
	row, _ := feeds.At(tooling.FR4, tooling.Bit, 1.0)
	fmt.Printf("%.0f rev/min, %v\n", row.Speed, err)
	// Output: 47746 rev/min, <nil>
}

// count is a row with a whole number and a field that is no column.
type countRow struct {
	Name  string  `json:"name"`
	Count int     `json:"count"`
	Size  float64 `json:"size_mm,omitempty"`
	Note  string  `json:"-"`
}

func TestDecodeRows(t *testing.T) {
	rows, lines, err := tooling.DecodeRows[countRow]([]byte("count, name\n 3 ,a\n,b\n\n-4,\"c, d\"\n"), "n.csv", 3)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]countRow{{"a", 3, 0, ""}, {"b", 0, 0, ""}, {"c, d", -4, 0, ""}}, rows); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]int{2, 3, 5}, lines); diff != "" {
		t.Errorf("lines (-want +got):\n%s", diff)
	}
	for src, want := range map[string]string{
		"count\n1.5\n":                  "n.csv:2:1 rows[0].count: tooling: not valid JSON or table for this file: found \"1.5\", expected a whole number",
		"count\n99999999999999999999\n": "n.csv:2:1 rows[0].count: tooling: not valid JSON or table for this file: found \"99999999999999999999\", expected a whole number",
		"note\n1\n":                     "n.csv:1:1: tooling: not valid JSON or table for this file: found column \"note\", expected one of name, count, size_mm",
		"count\n1\n2\n3\n4\n":           "n.csv:5: tooling: value out of range: found one more row, expected at most 3 rows",
		"count,size_mm\n1,2\n1,2,3\n":   "n.csv:3:1: tooling: not valid JSON or table for this file: found wrong number of fields, expected 2 cells",
		"name,size_mm\nlong,1_000\n":    "n.csv:2:6 rows[0].size_mm: tooling: not valid JSON or table for this file: found \"1_000\", expected a number",
	} {
		if _, _, err := tooling.DecodeRows[countRow]([]byte(src), "n.csv", 3); err == nil || err.Error() != want {
			t.Errorf("%q: got %v, want %s", src, err, want)
		}
	}
}

func ExampleDecodeRows() {
	type sheet struct {
		Name  string  `json:"name"`
		Price float64 `json:"price"`
	}
	rows, lines, err := tooling.DecodeRows[sheet]([]byte("name,price\nentry,0.80\nbackup,1.60\n"), "sheets.csv", 100)
	fmt.Println(rows, lines, err)
	// Output: [{entry 0.8} {backup 1.6}] [2 3] <nil>
}
