package main

import (
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
