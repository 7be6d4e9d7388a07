// Command array lays a customer's board out on a production panel, from its
// files as they come: profile layer and drill files become a job that
// examples/panel runs unchanged.
//
//	go run ./examples/array [-json] -outline FILE [-plated FILE] [-unplated FILE] [-mixed FILE] [-score FILE]
//	  [-sizes finished|drilled] [-panels 400x300,457x610] [-gap MM|score] [-quantity N] -out DIR
//	go run ./examples/panel DIR/job.json
//
// DIR gets job.json, which says all there is to the job and may be edited,
// crib.json, outline.rte, array.svg, cut-outs.drl where cut-outs too narrow for a
// cutter are drilled, and copies of the inputs. What the files do not
// say is assumed and listed as a finding: finished sizes, tools of a mixed file
// without a marking plated, holes in the board's edge half holes. -thickness and
// -scrap are there too. The exit status is 1 when the board is refused.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"

	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
)

func main() {
	var o options
	flag.BoolVar(&o.json, "json", false, "print one JSON object")
	flag.StringVar(&o.outline, "outline", "", "profile layer (RS-274X)")
	flag.StringVar(&o.plated, "plated", "", "drill file of plated holes")
	flag.StringVar(&o.unplated, "unplated", "", "drill file of unplated holes")
	flag.StringVar(&o.mixed, "mixed", "", "drill file of both")
	flag.StringVar(&o.score, "score", "", "score layer (RS-274X): the sides it draws are scored")
	flag.StringVar(&o.sizes, "sizes", "", "what drill sizes are: finished or drilled; without a word: finished")
	flag.StringVar(&o.panels, "panels", "400x300,457x610", "panel sizes in stock, mm")
	flag.StringVar(&o.gap, "gap", "", "mm between boards, routed, or score; without a word: whichever is cheaper")
	flag.IntVar(&o.quantity, "quantity", 100, "good boards wanted")
	flag.Float64Var(&o.scrap, "scrap", 0, "share of the boards made that is lost, such as 0.02")
	flag.Float64Var(&o.thickness, "thickness", 1.6, "of the panel, mm")
	flag.StringVar(&o.out, "out", "", "directory for the job")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout, o); err != nil {
		if o.json {
			printError(os.Stdout, err)
		} else {
			fmt.Fprintln(os.Stderr, "array:", err)
		}
		os.Exit(1)
	}
}

// options are the flags.
type options struct {
	json bool
	// files of the board, and the directory for the job
	outline, plated, unplated, mixed, score, out string
	// words that the rest of the program reads
	sizes, gap, panels string
	quantity           int
	scrap              float64 // share lost
	thickness          float64 // mm
	// fit is no flag: chords of the outline become arcs within it, mm; 0: they stay
	fit float64
}

// run lays the board out as it is drawn. Where no edge takes a tab it tries again with
// arcs found in the outline's chords: round shapes are often drawn in these, and tabs may
// stand on arcs.
func run(ctx context.Context, w io.Writer, o options) error {
	if o.outline == "" || o.out == "" {
		return misuse("-outline, -out", "nothing", "a profile layer and a directory")
	}
	b, l, err := best(ctx, o)
	if errors.Is(err, route.ErrTabLong) || errors.Is(err, route.ErrTabPlace) {
		for _, o.fit = range chords {
			if c, m, again := best(ctx, o); again == nil {
				b, l, err = c, m, nil
				break
			}
		}
	}
	if err != nil {
		return err
	}
	if err := write(o, b, l); err != nil {
		return err
	}
	s := summary(b, l)
	if o.json {
		return s.json(w)
	}
	return s.text(w, o.out, l)
}

// chords are how far in mm an arc may lie from the chords that it stands for, tried
// in this order; outlines are usually held to some 0.1 mm (common practice).
var chords = []float64{0.02, 0.05, 0.1}

// best reads the files and lays their board out.
func best(ctx context.Context, o options) (*board, array.Layout, error) {
	b, err := read(o)
	if err != nil {
		return nil, array.Layout{}, err
	}
	in, err := b.input(o)
	if err != nil {
		return nil, array.Layout{}, err
	}
	l, err := array.Best(ctx, in)
	return b, l, err
}
