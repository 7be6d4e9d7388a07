package main

import (
	"context"
	"fmt"
	"os"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// result is what -json prints; lengths are mm.
type result struct {
	Schema         int       `json:"schema"`
	Job            string    `json:"job"`
	Pass           string    `json:"pass"`
	Run            int       `json:"run"`
	Machine        string    `json:"machine"`
	Spindles       int       `json:"spindles"`       // in use
	Loads          int       `json:"loads"`          // that the rest of the one load takes
	RemainingHits  int       `json:"remaining_hits"` // of the rest, those made again among them
	RepeatedHits   int       `json:"repeated_hits"`
	RemainingPaths int       `json:"remaining_paths"`
	RepeatedPaths  int       `json:"repeated_paths"`
	Parked         bool      `json:"parked"` // what is made again is made with the other spindles parked
	LeftOut        []leftOut `json:"left_out"`
	Tools          []tool    `json:"tools"`
	Seconds        float64   `json:"seconds"`                    // of the rest, all its loads, without loading
	Uninterrupted  float64   `json:"seconds_uninterrupted_rest"` // what the load would still have taken on its own machine
	Checks         []check   `json:"checks"`
	Opening        string    `json:"opening_message"`
	Counter        string    `json:"hit_counter,omitempty"` // what to do about the control's own count of hits
	Program        string    `json:"program,omitempty"`     // files written
	Sheet          string    `json:"sheet,omitempty"`
	Page           string    `json:"page,omitempty"`
	Saved          string    `json:"saved_pass,omitempty"`

	stacks int         // of the load that was stopped
	again  []orb.Point // where something is made again
}

type leftOut struct {
	At  orb.Point `json:"at_mm"` // of a path: where it starts
	Why string    `json:"why"`
}

// tool is one place of the magazine. What was made with it before counts hits
// or mm.
type tool struct {
	Place    int     `json:"place"`
	Kind     string  `json:"kind"`
	Diameter float64 `json:"diameter_mm"`
	Hits     int     `json:"hits"`
	Cut      float64 `json:"cut_mm"`
	Worn     float64 `json:"worn"`
	Life     float64 `json:"life"`
}

type check struct {
	Rule   string `json:"rule"`
	OK     bool   `json:"ok"`
	Detail string `json:"detail"`
}

// find is the index of the drill pass that came to a halt, -1 for none: of several
// tiers the one asked for, or that makes the run.
func find(passes []drill.Pass, s stop) int {
	first := -1
	for i, p := range passes {
		if p.Name != s.pass || s.tier != 0 && max(p.SetUp.Tier, 1) != s.tier {
			continue
		}
		if slices.ContainsFunc(p.Runs, func(r drill.Run) bool { return r.Number == s.run }) {
			return i
		}
		if first < 0 {
			first = i
		}
	}
	return first
}

// drill makes the rest of a drill pass and puts it into the plan.
func (r *result) drill(ctx context.Context, plan *job.Plan, before machine.Machine, o options) error {
	var p drill.Pass
	var err error
	if k := find(plan.Drill, o.stop); o.from != "" {
		var src []byte
		if src, err = os.ReadFile(o.from); err == nil {
			p, err = drill.DecodePass(src, o.from)
		}
		if err == nil && p.Name != o.stop.pass {
			err = fmt.Errorf("%s: found pass %s, expected %s as -pass says", o.from, p.Name, o.stop.pass)
		}
	} else if k < 0 {
		err = fmt.Errorf("the job has no drill pass %q, which -hit is for; expected one of %s, or -path for a rout pass", o.stop.pass, names(plan.Drill, func(d drill.Pass) string { return d.Name }))
		if o.stop.tier != 0 {
			err = fmt.Errorf("%w in tier %d", err, o.stop.tier)
		}
	} else {
		p = plan.Drill[k]
	}
	if err != nil {
		return err
	}
	s := o.stop
	at := drill.Stop{Run: s.run, Hit: s.hit, Last: s.last, Spindles: s.spindles, Together: s.together, Fresh: s.fresh, Fragments: s.pieces, Scrapped: s.scrapped}
	rest, err := drill.Resume(ctx, plan.Job.Drill, p, at, drill.Options{})
	if err != nil {
		return err
	}
	e, err := rest.Estimate(plan.Job.Drill.Machine)
	if err != nil {
		return err
	}
	r.RemainingHits, r.RepeatedHits, r.Parked = rest.Hits(), len(rest.Rest.Again), rest.Rest.Parked
	for _, l := range rest.Rest.LeftOut {
		r.LeftOut = append(r.LeftOut, leftOut{l.At, l.Why})
	}
	for _, run := range rest.Runs {
		for _, b := range run.Bits {
			r.Tools = append(r.Tools, tool{Place: b.Place, Kind: string(run.Tool.Kind), Diameter: run.Tool.Diameter, Hits: b.Hits, Worn: float64(b.Worn), Life: run.Life})
		}
	}
	for _, h := range rest.Rest.Again {
		r.again = append(r.again, h.At)
	}
	made := rest.Rest.Stop.Last
	for _, run := range p.Runs {
		if run.Number < s.run {
			made += len(run.Hits)
		}
		if run.Number == s.run && run.Limit > 0 {
			r.Counter = fmt.Sprintf("the control counts the hits of run %d and takes a spare after %d; in this program every bit of the run is called by its own T, since that count knows neither of hits made again nor of new bits: set it right before the next load", run.Number, run.Limit)
		}
	}
	r.Seconds = tooling.Snap(e.Total().Seconds() * float64(rest.SetUp.Loads))
	r.Uninterrupted = after(before, p.Steps(before), machine.Stroke, made)
	r.Spindles, r.Loads, r.stacks = rest.SetUp.Spindles, rest.SetUp.Loads, rest.Rest.Stacks
	plan.Drill, plan.Rout, plan.Stack = []drill.Pass{rest}, nil, alone(rest.SetUp)
	return nil
}
