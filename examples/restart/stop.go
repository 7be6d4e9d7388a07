package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// stop is where the pass came to a halt, in the words of the flags.
type stop struct {
	pass      string
	tier, run int
	good      int  // last hit or path known good
	last      int  // last hit or path that the machine made
	isPath    bool // of a rout pass
	spindles  []int
	fragments []int // hits or paths
	together  bool
	fresh     bool
	scrapped  []orb.Bound
}

// parse reads the command line. Its errors say what was found and expected.
func parse(arguments []string) (o options, err error) {
	f := flag.NewFlagSet("restart", flag.ContinueOnError)
	f.SetOutput(io.Discard) // main prints the error
	f.BoolVar(&o.json, "json", false, "print one JSON object instead of the sheet")
	f.StringVar(&o.out, "out", "panel-out", "directory for program, sheet and saved pass; empty: none is written")
	f.StringVar(&o.machine, "machine", "", "machine of the rest: a preset, or a JSON file of what differs from the job's")
	f.StringVar(&o.from, "from", "", "saved pass (JSON) to go on from, instead of the planned one")
	f.StringVar(&o.stop.pass, "pass", "", "pass: plated, unplated, rout or plated-rout")
	f.IntVar(&o.stop.tier, "tier", 0, "tier of the pass, where it is made in several; 0: the one that makes the run")
	f.IntVar(&o.stop.run, "run", 0, "run of the pass, from 1")
	hit := f.Int("hit", -1, "last hit of the run known good; 0: none")
	path := f.Int("path", -1, "last path of the run known good, in a rout pass; 0: none")
	f.IntVar(&o.stop.last, "last", 0, "last hit or path that the machine made; 0: the one known good")
	spindles := f.String("spindles", "", "where the tool broke, such as 1,3; empty: all in use")
	fragments := f.String("fragments", "", "hits or paths in doubt, after -hit up to -last, that hold a piece of the tool, such as 21,22")
	scrapped := f.String("scrapped", "", "areas given up, X1,Y1,X2,Y2 in mm, separated by semicolons")
	f.BoolVar(&o.stop.together, "together", false, "all spindles make again what is in doubt")
	f.BoolVar(&o.stop.fresh, "fresh", false, "new tools for all spindles")
	if err := f.Parse(arguments); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			f.SetOutput(os.Stderr)
			f.Usage()
		}
		return o, err
	}
	switch {
	case o.stop.pass == "":
		return o, errors.New("no -pass, expected plated, unplated, rout or plated-rout")
	case (*hit >= 0) == (*path >= 0):
		return o, fmt.Errorf("-hit %d and -path %d, expected one of them, from 0", *hit, *path)
	case f.NArg() > 1:
		return o, fmt.Errorf("%d jobs named, expected one at most", f.NArg())
	}
	o.stop.good, o.stop.isPath = max(*hit, *path), *path >= 0
	if o.job = f.Arg(0); o.job == "" {
		o.job = sample
	}
	if o.stop.spindles, err = numbers("-spindles", *spindles); err != nil {
		return o, err
	}
	if o.stop.fragments, err = numbers("-fragments", *fragments); err != nil {
		return o, err
	}
	o.stop.scrapped, err = areas(*scrapped)
	return o, err
}

// numbers reads a list such as 1,3.
func numbers(name, list string) (out []int, err error) {
	for word := range strings.SplitSeq(list, ",") {
		if strings.TrimSpace(list) == "" {
			return nil, nil
		}
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 {
			return nil, fmt.Errorf("%s has %q, expected whole numbers from 1", name, word)
		}
		out = append(out, n)
	}
	return out, nil
}

// areas reads boxes such as 10,20,60,50;0,0,5,5.
func areas(list string) (out []orb.Bound, err error) {
	if strings.TrimSpace(list) == "" {
		return nil, nil
	}
	for box := range strings.SplitSeq(list, ";") {
		var x [4]float64
		words := strings.Split(box, ",")
		if len(words) != len(x) {
			return nil, fmt.Errorf("-scrapped has %q, expected X1,Y1,X2,Y2 in mm", box)
		}
		for i, word := range words {
			if x[i], err = strconv.ParseFloat(strings.TrimSpace(word), 64); err != nil {
				return nil, fmt.Errorf("-scrapped has %q, expected a length in mm", word)
			}
		}
		out = append(out, orb.Bound{Min: orb.Point{x[0], x[1]}, Max: orb.Point{x[2], x[3]}})
	}
	return out, nil
}
