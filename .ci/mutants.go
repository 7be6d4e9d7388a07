//go:build ignore

// Mutants prints a table of the reports of a mutation run, one row a package,
// and fails when the tests of a package kill less than 80 % of what they cover.
// A mutant that timed out counts as neither killed nor alive.
package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
)

const wanted = 80 // per cent killed

var columns = []string{"KILLED", "LIVED", "TIMED OUT", "NOT COVERED"}

func main() {
	folder, packages := os.Args[1], os.Args[2:]
	table := tabwriter.NewWriter(os.Stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "package\tkilled\tlived\ttimed-out\tnot-covered\tpercent")
	total, low := map[string]int{}, false
	for _, name := range packages {
		name = strings.TrimPrefix(name, "./")
		n, err := count(filepath.Join(folder, strings.ReplaceAll(name, "/", "_")+".json"))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		for _, status := range columns {
			total[status] += n[status]
		}
		low = row(table, name, n) || low
	}
	row(table, "total", total)
	table.Flush()
	if low {
		os.Exit(1)
	}
}

// row writes one line and says whether too little of what is covered was
// killed.
func row(table *tabwriter.Writer, name string, n map[string]int) bool {
	fmt.Fprint(table, name)
	for _, status := range columns {
		fmt.Fprintf(table, "\t%d", n[status])
	}
	covered := n["KILLED"] + n["LIVED"]
	if covered == 0 {
		fmt.Fprintln(table, "\t-")
		return false
	}
	fmt.Fprintf(table, "\t%.1f\n", 100*float64(n["KILLED"])/float64(covered))
	return 100*n["KILLED"] < wanted*covered
}

// count counts the mutants of one report by what became of them.
func count(name string) (map[string]int, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var report struct {
		Files []struct {
			Mutations []struct {
				Status string `json:"status"`
			} `json:"mutations"`
		} `json:"files"`
	}
	if err := json.Unmarshal(data, &report); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	n := map[string]int{}
	for _, f := range report.Files {
		for _, m := range f.Mutations {
			n[m.Status]++
		}
	}
	return n, nil
}
