// Command generate writes the sample panels beside it: job files, drill files
// and outlines of boards that were never built. Run it from the module's root:
//
//	go run ./testdata/panels/generate
//
// It writes the same bytes every time. The boards of a maker of greenhouse
// sensors and tide gauges are invented.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
)

// sample is one folder of files.
type sample struct {
	name  string
	files map[string]string
}

func main() {
	dir := flag.String("dir", filepath.Join("testdata", "panels"), "folder of the samples")
	flag.Parse()
	if err := write(*dir); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	for _, s := range []sample{greenhouse(), tideLogger(), backplane()} {
		folder := filepath.Join(dir, s.name)
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
		names := make([]string, 0, len(s.files))
		for name := range s.files {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			if err := os.WriteFile(filepath.Join(folder, name), []byte(s.files[name]), 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}
