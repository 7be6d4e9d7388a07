package main

import (
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// load is one load of one pass as it is mounted.
type load struct {
	setUp int
	pass  string
	time  machine.Estimate // of one load; no order of hits could take less than its floor
	lot   machine.Estimate // of all loads
}

// loads times one load of every pass, and the lot. Where the clock knows no
// floor, as in routing, it is everything but travel.
func loads(p job.Plan) ([]load, error) {
	m := p.Job.Drill.Machine
	var out []load
	add := func(u stack.SetUp, name string, one, lot machine.Estimate) {
		for _, e := range [...]*machine.Estimate{&one, &lot} {
			if e.Floor == 0 {
				e.Floor = e.Total() - e.Travel - e.Settle
			}
		}
		out = append(out, load{u.Number, name, one, lot})
	}
	for _, u := range p.Stack.SetUps {
		for _, d := range p.Drill {
			if d.SetUp.Number != u.Number {
				continue
			}
			one, err := d.Estimate(m)
			if err != nil {
				return nil, err
			}
			lot, err := d.Lot(m)
			if err != nil {
				return nil, err
			}
			add(u, d.Name, one, lot)
		}
		for _, r := range p.Rout {
			if r.SetUp.Number != u.Number {
				continue
			}
			one, err := r.Estimate(m)
			if err != nil {
				return nil, err
			}
			add(u, r.Name, one, one.Times(int64(u.Loads)))
		}
	}
	return out, nil
}

// times adds up the lot: every load of every set-up, with loading.
func (r *row) times(setUps []stack.SetUp) {
	var lot, floor, busy time.Duration
	hits := 0
	for _, u := range setUps {
		lot += time.Duration(u.Loads) * u.Handling
		floor += time.Duration(u.Loads) * u.Handling
	}
	for _, l := range r.loads {
		lot += l.lot.Total()
		floor += l.lot.Floor
		if l.lot.Hits > 0 {
			busy += l.lot.Travel + l.lot.Settle + l.lot.Stroke
			hits += l.lot.Hits
		}
	}
	n := float64(r.Quantity)
	r.Seconds, r.Floor = round(lot.Seconds()/n), round(floor.Seconds()/n)
	r.FloorRatio = round(lot.Seconds() / floor.Seconds())
	if busy > 0 {
		r.HitsMinute = round(float64(hits) / busy.Minutes())
	}
}

// printLoads writes a load of each pass by cause, once for each choice of
// heights.
func (q quote) printLoads(w io.Writer) error {
	seen := map[string]bool{}
	for _, r := range q.Rows {
		name := join(heights(r.SetUps))
		if seen[name] {
			continue
		}
		seen[name] = true
		fmt.Fprintf(w, "\none load of each pass at heights %s, in seconds\n\n", name)
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
		fmt.Fprintln(t, "set-up\tpass\ttravel\tsettle\tstroke\tchange\trout\tin all\tfloor\tover floor\thits\thits/min\t")
		for _, l := range r.loads {
			e := l.time
			fmt.Fprintf(t, "%d\t%s\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.3f\t%d\t%.0f\t\n", l.setUp, l.pass, e.Travel.Seconds(), e.Settle.Seconds(),
				e.Stroke.Seconds(), e.Change.Seconds(), e.Rout.Seconds(), e.Total().Seconds(), e.Floor.Seconds(),
				e.FloorRatio(), e.Hits, e.HitsPerMinute())
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	return nil
}
