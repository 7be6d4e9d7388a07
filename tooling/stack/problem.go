package stack

import (
	"math"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Work is what ONE load, of any height, asks of one tool at one place of one
// pass. Passes make it ([tooling.Bit] work by strokes, cutters by path); the
// order in a set-up is the order of the runs.
//
// Works of one pass and place are one tool selected more than once: their
// demands are added up before tools are counted. A work without hits or path
// is a tool that is only changed to.
type Work struct {
	Pass      string            // name of the pass, such as "plated"
	Stage     tooling.Stage     // before or after plating
	Operation tooling.Operation // drill or rout
	Tool      tooling.Tool
	Place     int           // place number T
	Hits      int           // strokes of one load; bits and slot bits
	Cut       float64       // mm of path of one load; cutters
	Infeed    float64       // share of the table's infeed that strokes are made at, such as 0.5 for short slots; 0: 1
	Pieces    []float64     // hits or mm of each piece in order that one tool does whole, such as a slot or a path; nil: the work may be cut anywhere
	Plunges   int           // how often a cutter goes down and up again
	Travel    time.Duration // XY moves of one load, settle included
	Changes   int           // changes to the tool in one load, without those that worn tools ask for; normally 1
	Trip      time.Duration // detour through the change position of one further change; 0: not counted
	Fixed     time.Duration // rout time that does not depend on the height: cutting at the feed; 0: Cut as one straight line
	Tolerance float64       // position tolerance of the tightest hole, mm either way; 0: not stated
	After     float64       // diameter in mm of a bit whose holes lie so close that it has to come first: no tier may end between the two; 0: none
}

// Problem is a lot of equal panels and the work each load of them asks for.
type Problem struct {
	Lot     int // panels, 1 to 10,000,000
	Panel   tooling.Panel
	Rules   tooling.Rules
	Machine machine.Machine
	SetUps  [][]Work // each element one pinning, in order
}

// infeed is the feed of the strokes in whole mm/min: the share of the table's
// infeed rounded down.
func (w Work) infeed(f tooling.Feed) float64 {
	if w.Infeed == 0 {
		return f.Infeed
	}
	return max(1, math.Floor(float64(f.Infeed*w.Infeed)+1e-9))
}

// job is the works of one pass and place in a set-up.
type job struct {
	Work        // added up but for Pieces, which stay with the runs
	runs []Work // as given
}

// merge adds up the works of a set-up that share pass and place, in order of
// first appearance.
func merge(works []Work) []job {
	var out []job
next:
	for _, w := range works {
		for k := range out {
			if out[k].Pass == w.Pass && out[k].Place == w.Place {
				out[k].add(w)
				out[k].runs = append(out[k].runs, w)
				continue next
			}
		}
		out = append(out, job{w, []Work{w}})
	}
	return out
}

func (w *Work) add(o Work) {
	w.Hits += o.Hits
	w.Cut += o.Cut
	w.Plunges += o.Plunges
	w.Travel += o.Travel
	w.Fixed += o.Fixed
	w.Changes += o.Changes
	w.Trip, w.After = max(w.Trip, o.Trip), max(w.After, o.After)
	if w.Tolerance == 0 || (o.Tolerance > 0 && o.Tolerance < w.Tolerance) {
		w.Tolerance = o.Tolerance
	}
}

// demand is what the job asks of its tool in hits or um, and where any run has
// pieces, the pieces of all: a run without is one that may be cut anywhere.
func (j job) demand() (sum int64, pieces []piece) {
	cut := false
	for _, w := range j.runs {
		grain := func(x float64) int64 { return int64(math.Round(x)) }
		if w.Tool.Kind == tooling.Cutter {
			grain = um
		}
		if w.Pieces == nil {
			n := grain(float64(w.Hits) + w.Cut)
			sum, pieces = sum+n, append(pieces, piece{n, false})
			continue
		}
		cut = true
		for _, c := range w.Pieces {
			n := grain(c)
			sum, pieces = sum+n, append(pieces, piece{n, true})
		}
	}
	if !cut {
		return sum, nil
	}
	return sum, pieces
}

// um rounds a path in mm up to whole micrometres, so that no tool is planned
// past its life.
func um(mm float64) int64 { return int64(math.Ceil(float64(mm*1000) - 1e-6)) }
