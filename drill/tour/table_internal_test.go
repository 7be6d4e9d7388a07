//go:build shared

package tour

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

var (
	tableCells = flag.String("cells", "", "cells to measure, name:time[,...]; empty: the whole table")
	tableSeeds = flag.Int("seeds", 0, "seeds a cell (0: 5, and 3 from 5,000 points)")
)

// tableRow is one instance and the times it is measured at, with the gaps to
// the optimum (%) that are required and aimed at.
type tableRow struct {
	name     string
	times    []time.Duration
	required []float64
	aim      []float64
}

var table = []tableRow{
	{"d493", []time.Duration{time.Second / 10, time.Second}, []float64{0.5, 0.05}, []float64{0.1, 0}},
	{"E1k.0", []time.Duration{time.Second}, []float64{0.25}, []float64{0.05}},
	{"pcb1173", []time.Duration{time.Second}, []float64{0.25}, []float64{0.05}},
	{"d1655", []time.Duration{time.Second, 10 * time.Second}, []float64{0.6, 0.25}, []float64{0.1, 0.02}},
	{"pcb3038", []time.Duration{time.Second / 10, time.Second, 10 * time.Second}, []float64{1.0, 0.30, 0.18}, []float64{0.7, 0.15, 0.05}},
	{"fl3795", []time.Duration{time.Second, 10 * time.Second}, []float64{1.5, 0.6}, []float64{0.8, 0.1}},
	{"rl5934", []time.Duration{time.Second, 10 * time.Second}, []float64{0.75, 0.52}, []float64{0.5, 0.15}},
	{"E10k.0", []time.Duration{time.Second, 10 * time.Second}, []float64{0.65, 0.30}, []float64{0.5, 0.15}},
	{"E100k.0", []time.Duration{3 * time.Second, 10 * time.Second, 30 * time.Second}, []float64{1.7, 0.82, 0.55}, []float64{1.4, 0.65, 0.35}},
	{"d493 MAX_2D", []time.Duration{time.Second}, []float64{0.35}, []float64{0}},
	{"pcb1173 MAX_2D", []time.Duration{time.Second}, []float64{0.55}, []float64{0.05}},
	{"d1655 MAX_2D", []time.Duration{time.Second}, []float64{0.9}, []float64{0.1}},
	{"pcb3038 MAX_2D", []time.Duration{time.Second}, []float64{0.6}, []float64{0.15}},
	{"fl3795 MAX_2D", []time.Duration{time.Second}, []float64{1.8}, []float64{0.8}},
	{"rl5934 MAX_2D", []time.Duration{time.Second}, []float64{1.05}, []float64{0.5}},
}

// cpuClock tells the CPU time of the process, so that the table does not depend
// on what else the machine does. It only fits one goroutine.
func cpuClock() time.Time {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Unix(0, u.Utime.Nano()+u.Stime.Nano())
}

// BenchmarkTable prints the gaps to the known optima at fixed CPU times on one
// core. It needs PINSTACK_SHARED to name the folder with tsplib/.
func BenchmarkTable(b *testing.B) {
	dir := sharedDir(b)
	optima := readOptima(b, dir)
	fmt.Printf("%-15s %6s %8s %8s %8s %9s %7s\n", "instance", "CPU s", "gap %", "worst", "required", "aim", "kicks")
	for _, row := range table {
		name, square := strings.CutSuffix(row.name, " MAX_2D")
		ps := readPoints(b, dir, name)
		p := Problem{Items: Points(ps), Closed: true, Metric: Rounded()}
		if square {
			p.Metric = Chebyshev()
		}
		seeds := *tableSeeds
		if seeds == 0 {
			seeds = 5
			if len(ps) >= 5000 {
				seeds = 3
			}
		}
		for _, d := range wanted(row) {
			var mean, worst, kicks float64
			for seed := range seeds {
				r, err := solve(context.Background(), p, Options{Time: d, Seed: uint64(seed + 1), Procs: 1}, cpuClock)
				if err != nil {
					b.Fatal(err)
				}
				gap := 100 * (r.Length/optima[row.name] - 1)
				mean += gap / float64(seeds)
				worst = max(worst, gap)
				kicks += r.Kicks / float64(seeds)
			}
			fmt.Printf("%-15s %6.1f %8.3f %8.3f %8s %9s %7.2f\n", row.name, d.Seconds(), mean, worst, row.figure(row.required, d), row.figure(row.aim, d), kicks)
		}
	}
}

// wanted are the times to measure a row at: those of the table, or of -cells.
func wanted(row tableRow) []time.Duration {
	if *tableCells == "" {
		return row.times
	}
	var times []time.Duration
	for _, c := range strings.Split(*tableCells, ",") {
		name, at, _ := strings.Cut(c, ":")
		if d, err := time.ParseDuration(at); name == row.name && err == nil {
			times = append(times, d)
		}
	}
	return times
}

// figure is the k-th number of a column at time d, or a dash.
func (r tableRow) figure(column []float64, d time.Duration) string {
	if k := slices.Index(r.times, d); k >= 0 {
		return strconv.FormatFloat(column[k], 'f', 2, 64)
	}
	return "-"
}

func sharedDir(tb testing.TB) string {
	dir := os.Getenv("PINSTACK_SHARED")
	if dir == "" {
		tb.Fatal("PINSTACK_SHARED is not set: it names the folder with the test inputs")
	}
	return filepath.Join(dir, "tsplib")
}

func readOptima(tb testing.TB, dir string) map[string]float64 {
	data, err := os.ReadFile(filepath.Join(dir, "optima.tsv"))
	if err != nil {
		tb.Fatal(err)
	}
	optima := map[string]float64{}
	for _, l := range strings.Split(string(data), "\n") {
		if f := strings.Split(l, "\t"); len(f) > 2 {
			if v, err := strconv.ParseFloat(f[2], 64); err == nil {
				optima[f[0]] = v
			}
		}
	}
	return optima
}

// readPoints reads an instance, or makes it: E10k.0 and its like are the DIMACS
// challenge's random uniform ones.
func readPoints(tb testing.TB, dir, name string) []orb.Point {
	if n := map[string]int{"E1k.0": 1000, "E3k.0": 3162, "E10k.0": 10000, "E31k.0": 31623, "E100k.0": 100000, "E1M.0": 1000000}[name]; n > 0 {
		return dimacs(n)
	}
	file, err := os.Open(filepath.Join(dir, name+".tsp"))
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	var ps []orb.Point
	for scan := bufio.NewScanner(file); scan.Scan(); {
		f := strings.Fields(scan.Text())
		if len(f) != 3 {
			continue
		}
		x, errx := strconv.ParseFloat(f[1], 64)
		y, erry := strconv.ParseFloat(f[2], 64)
		if errx == nil && erry == nil {
			ps = append(ps, orb.Point{x, y})
		}
	}
	return ps
}

// dimacs makes the uniform instance of n points whose seed is n: the
// subtractive generator of the challenge (D. Knuth, The Art of Computer
// Programming 2, 3.2.2), coordinates 0..999999.
func dimacs(n int) []orb.Point {
	const most = 1_000_000_000
	var arr [55]int
	last, next := n%most, 1
	arr[0] = last
	for i := 1; i < 55; i++ {
		at := 21 * i % 55
		arr[at] = next
		if next = last - next; next < 0 {
			next += most
		}
		last = arr[at]
	}
	a, b := 0, 24
	draw := func() int {
		if a--; a < 0 {
			a = 54
		}
		if b--; b < 0 {
			b = 54
		}
		t := arr[a] - arr[b]
		if t < 0 {
			t += most
		}
		arr[a] = t
		return t
	}
	for range 165 {
		draw()
	}
	ps := make([]orb.Point, n)
	for i := range ps {
		x := draw() / 1000
		ps[i] = orb.Point{float64(x), float64(draw() / 1000)}
	}
	return ps
}
