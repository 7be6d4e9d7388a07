package main

import (
	"context"
	"math"
	"slices"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling/stack"
)

// quote is what is printed. Money is the lot's own unit, seconds are machine
// time, loading included.
type quote struct {
	Schema     int      `json:"schema"`
	Job        string   `json:"job"`
	Machine    string   `json:"machine"`
	Calibrated bool     `json:"calibrated"` // the machine's times were fitted to the shop's own log
	Rows       []row    `json:"rows"`
	Breaks     []turn   `json:"break_even"`
	Limits     []string `json:"limits"` // what keeps each tool from a taller stack
}

// row is the price at one quantity.
type row struct {
	Quantity    int           `json:"quantity"`
	SetUps      []setUp       `json:"set_ups"`
	Seconds     float64       `json:"seconds_per_panel"`         // as the programs are mounted
	Planned     float64       `json:"planned_seconds_per_panel"` // as the lot was planned: the cost counts these
	Cost        float64       `json:"cost_per_panel"`
	Split       split         `json:"cost_split"` // a panel; sums to the cost
	Tools       int           `json:"tools_bought"`
	RunnerUp    *runnerUp     `json:"runner_up"`         // null: no other height can be made
	Floor       float64       `json:"floor_seconds"`     // a panel: no order of hits could take less
	FloorRatio  float64       `json:"floor_ratio"`       // seconds over floor
	Partial     float64       `json:"partial_load_cost"` // a panel: what loads and tools not used to the full cost
	HitsMinute  float64       `json:"hits_per_minute"`   // while drilling, over all drill passes
	Sensitivity []sensitivity `json:"sensitivity"`       // tool life at -30 % and +30 %
	loads       []load        // one of each pass
	limits      []string
	thinned     bool // not all mixes of speeds were looked at
}

type setUp struct {
	Number int      `json:"number"`
	Height int      `json:"height"`
	Loads  int      `json:"loads"`
	Passes []string `json:"passes"`
}

type split struct {
	Machine float64 `json:"machine"`
	Tools   float64 `json:"tools"`
	Sheets  float64 `json:"sheets"`
	SetUp   float64 `json:"set_up"`
}

type runnerUp struct {
	Cost   float64 `json:"cost_per_panel"`
	WhyNot string  `json:"why_not"`
}

type sensitivity struct {
	Life    float64 `json:"life_factor"`
	Heights []int   `json:"heights"`
	Cost    float64 `json:"cost_per_panel"`
}

// turn is a quantity from which other heights are best.
type turn struct {
	From    int   `json:"from_quantity"`
	Heights []int `json:"heights"`
	Before  []int `json:"heights_before"`
}

// price plans the stacks of one quantity and takes the figures apart.
func price(ctx context.Context, plan job.Plan, lot int) (row, error) {
	p, err := plan.For(ctx, lot)
	if err != nil {
		return row{}, err
	}
	n := float64(lot)
	c := p.Stack.Cost
	r := row{Quantity: lot, Cost: round(c.PerPanel), limits: limits(p.Stack), thinned: p.Stack.Thinned}
	r.Split = shares(r.Cost, [4]float64{c.Machine / n, c.Tools / n, c.Sheets / n, c.SetUp / n})
	for _, u := range p.Stack.SetUps {
		s := setUp{Number: u.Number, Height: u.Height, Loads: u.Loads}
		for _, t := range u.Tools {
			r.Tools += t.Bought
			if !slices.Contains(s.Passes, t.Pass) {
				s.Passes = append(s.Passes, t.Pass)
			}
		}
		r.SetUps = append(r.SetUps, s)
		r.Partial += u.Partial / n
	}
	r.Partial = round(r.Partial)
	if r.loads, err = loads(p); err != nil {
		return row{}, err
	}
	r.Planned = round(c.LotTime.Seconds() / n)
	r.times(p.Stack.SetUps)
	if o := p.Stack.RunnerUp; o != nil {
		r.RunnerUp = &runnerUp{round(o.Cost.PerPanel), o.WhyNot}
	}
	for _, s := range p.Stack.Sensitivity {
		r.Sensitivity = append(r.Sensitivity, sensitivity{s.Life, s.Heights, round(s.Cost.PerPanel)})
	}
	return r, nil
}

// round keeps six decimals: more than money and machines know, fewer than
// processors differ in.
func round(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// shares rounds the causes of a cost so that they sum to it as printed: what
// rounding leaves goes to the largest.
func shares(cost float64, causes [4]float64) split {
	micro := func(x float64) int64 { return int64(math.Round(x * 1e6)) }
	left, largest := micro(cost), 0
	var n [4]int64
	for k, c := range causes {
		n[k] = micro(c)
		left -= n[k]
		if n[k] > n[largest] {
			largest = k
		}
	}
	n[largest] += left
	money := func(k int) float64 { return float64(n[k]) / 1e6 }
	return split{money(0), money(1), money(2), money(3)}
}

// limits lists what keeps each tool from a taller stack, each line once.
func limits(r stack.Result) []string {
	out := []string{}
	for _, l := range r.Limits {
		if !slices.Contains(out, l.Detail) {
			out = append(out, l.Detail)
		}
	}
	return out
}
