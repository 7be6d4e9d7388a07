//go:build ignore

// Mutants sums the report of a mutation run: killed of covered.
package main

import (
	"encoding/json"
	"fmt"
	"os"
)

func main() {
	data, err := os.ReadFile(os.Args[2])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	var report struct {
		Files []struct {
			Mutations []struct {
				Status string `json:"status"`
			} `json:"mutations"`
		} `json:"files"`
	}
	if err := json.Unmarshal(data, &report); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	n := map[string]int{}
	for _, f := range report.Files {
		for _, m := range f.Mutations {
			n[m.Status]++
		}
	}
	killed, lived := n["KILLED"], n["LIVED"]
	share := 100 * float64(killed) / float64(max(1, killed+lived))
	fmt.Printf("%s: %d killed of %d covered mutants, %.1f %%; %d timed out, %d not covered\n",
		os.Args[1], killed, killed+lived, share, n["TIMED OUT"], n["NOT COVERED"])
	if killed+lived > 0 && share < 80 {
		os.Exit(1)
	}
}
