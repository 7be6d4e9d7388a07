// Command order finds a visiting order for the points of a file and says how
// long it is and, on request, how long it has to be at least.
//
//	go run ./examples/order [-json] [-metric euclid|tsplib|machine] [-kicks N] [-timeout D] [-bound] [-tour FILE] [-procs N] [-seed N] FILE...
//
// FILE is a TSPLIB .tsp file of EUC_2D, CEIL_2D or MAX_2D points, or a drill
// program, each tool of which is a tour of its own. -metric tsplib is the
// file's own EDGE_WEIGHT_TYPE with its rounding, closed: the length that the
// literature quotes. -metric euclid is the straight way, closed, in the file's
// unit; -metric machine is the move time in seconds of a current ball screw
// machine, for a drill program from and to its change position.
//
// -kicks is the effort per point; -timeout without -kicks searches until the
// time is up, counted from the points in memory to the order. -tour writes the
// order, one 1-based index a line, tour after tour. -json prints one object a tour,
// whose first key "schema" is the number of its form.
package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"example.org/pinstack/drill/tour"
	"example.org/pinstack/tooling/machine"
)

func main() {
	if err := run(context.Background(), os.Args[1:], os.Stdout); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(os.Stderr, "order:", err)
		}
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	json    bool
	metric  string
	tour    string
	machine machine.Machine
	solve   tour.Options
}

// run orders the tours of all files, one after the other. What the order file loses is an
// error, too: only Close tells that it is whole.
func run(ctx context.Context, args []string, out io.Writer) (err error) {
	var o options
	f := flag.NewFlagSet("order", flag.ContinueOnError)
	f.BoolVar(&o.json, "json", false, "print JSON lines")
	f.StringVar(&o.metric, "metric", "", "euclid, tsplib or machine (default: tsplib for .tsp, machine for drill programs)")
	f.Float64Var(&o.solve.Kicks, "kicks", 0, "effort per point (0: until the timeout, or the default effort)")
	f.DurationVar(&o.solve.Time, "timeout", 0, "time for each tour")
	f.BoolVar(&o.solve.Bound, "bound", false, "prove a lower bound")
	f.StringVar(&o.tour, "tour", "", "write the order to this `file`")
	f.IntVar(&o.solve.Procs, "procs", 0, "cores to use (0: all)")
	f.Uint64Var(&o.solve.Seed, "seed", 0, "seed of the search")
	if err := f.Parse(args); err != nil {
		return err
	}
	switch o.metric {
	case "", "euclid", "tsplib", "machine":
	default:
		return fmt.Errorf("-metric is %q, expected euclid, tsplib or machine", o.metric)
	}
	if f.NArg() == 0 {
		f.Usage()
		return errors.New("no file")
	}
	if o.solve.Procs > 0 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(o.solve.Procs))
	}
	var ok bool
	if o.machine, ok = machine.Preset("ball screw"); !ok {
		return errors.New("no ball screw machine")
	}
	var orders io.Writer
	if o.tour != "" {
		file, err := os.Create(o.tour)
		if err != nil {
			return err
		}
		w := bufio.NewWriter(file)
		defer func() { err = errors.Join(err, w.Flush(), file.Close()) }()
		orders = w
	}
	for _, name := range f.Args() {
		tours, err := load(name)
		if err != nil {
			return err
		}
		for k := range tours {
			if err := order(ctx, &tours[k], o, out, orders); err != nil {
				return fmt.Errorf("%s: %w", tours[k].name, err)
			}
		}
	}
	return nil
}

// load reads the tours of a file: one of a .tsp file, one for each tool of a drill
// program.
func load(name string) ([]instance, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if strings.EqualFold(filepath.Ext(name), ".tsp") {
		in, err := readTSP(file, name)
		return []instance{in}, err
	}
	return readDrill(file, filepath.Base(name))
}
