package main

import (
	"context"
	"math"
	"slices"
	"time"

	"example.org/pinstack/route/job"
)

// quote is what is printed. Money is the lot's own unit, seconds are machine
// time, loading included.
type quote struct {
	Schema int    `json:"schema"`
	Job    string `json:"job"`
	Rows   []row  `json:"rows"`
	Breaks []turn `json:"break_even"`
}

// row is the price at one quantity.
type row struct {
	Quantity    int           `json:"quantity"`
	SetUps      []setUp       `json:"set_ups"`
	Seconds     float64       `json:"seconds_per_panel"`
	Cost        float64       `json:"cost_per_panel"`
	Split       split         `json:"cost_split"` // a panel; sums to the cost
	Tools       int           `json:"tools_bought"`
	RunnerUp    *runnerUp     `json:"runner_up"`         // null: no other height can be made
	Floor       float64       `json:"floor_seconds"`     // a panel: no order of hits could take less
	FloorRatio  float64       `json:"floor_ratio"`       // seconds over floor
	Partial     float64       `json:"partial_load_cost"` // a panel: what loads and tools not used to the full cost
	Sensitivity []sensitivity `json:"sensitivity"`       // tool life at -30 % and +30 %
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
	r := row{
		Quantity: lot, Cost: round(c.PerPanel),
		Split: split{round(c.Machine / n), round(c.Tools / n), round(c.Sheets / n), round(c.SetUp / n)},
	}
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
	seconds, floor, err := times(p)
	if err != nil {
		return row{}, err
	}
	r.Seconds, r.Floor = round(seconds.Seconds()/n), round(floor.Seconds()/n)
	r.FloorRatio = round(seconds.Seconds() / floor.Seconds())
	if o := p.Stack.RunnerUp; o != nil {
		r.RunnerUp = &runnerUp{round(o.Cost.PerPanel), o.WhyNot}
	}
	for _, s := range p.Stack.Sensitivity {
		r.Sensitivity = append(r.Sensitivity, sensitivity{s.Life, s.Heights, round(s.Cost.PerPanel)})
	}
	return r, nil
}

// times adds up the lot as it is mounted, and its floor: strokes, changes,
// cutting, loading and the proven least travel of drilling. Travel of routing
// has no bound and counts as nothing.
func times(p job.Plan) (lot, floor time.Duration, err error) {
	m := p.Job.Drill.Machine
	for _, u := range p.Stack.SetUps {
		load, least := u.Handling, u.Handling
		for _, d := range p.Drill {
			if d.SetUp.Number == u.Number {
				e, err := d.Estimate(m)
				if err != nil {
					return 0, 0, err
				}
				load, least = load+e.Total(), least+e.Floor
			}
		}
		for _, r := range p.Rout {
			if r.SetUp.Number == u.Number {
				e, err := r.Estimate(m)
				if err != nil {
					return 0, 0, err
				}
				load, least = load+e.Total(), least+e.Total()-e.Travel-e.Settle
			}
		}
		lot += time.Duration(u.Loads) * load
		floor += time.Duration(u.Loads) * least
	}
	return lot, floor, nil
}

// breaks finds the quantities from which other heights are best: between each
// two rows of different heights, by halving, one turn after the other. Where
// heights go to and fro, turns there and back may be missed.
func breaks(ctx context.Context, plan job.Plan, rows []row) ([]turn, error) {
	out := []turn{}
	for k := 1; k < len(rows); k++ {
		from, before, last := rows[k-1].Quantity, heights(rows[k-1].SetUps), heights(rows[k].SetUps)
		for !slices.Equal(before, last) {
			low, high, after := from, rows[k].Quantity, last
			for high-low > 1 {
				mid := low + (high-low)/2
				p, err := plan.For(ctx, mid)
				if err != nil {
					return nil, err
				}
				if at := best(p); slices.Equal(at, before) {
					low = mid
				} else {
					high, after = mid, at
				}
			}
			out = append(out, turn{high, after, before})
			from, before = high, after
		}
	}
	return out, nil
}

func best(p job.Plan) []int {
	var out []int
	for _, u := range p.Stack.SetUps {
		out = append(out, u.Height)
	}
	return out
}

func heights(setUps []setUp) []int {
	var out []int
	for _, u := range setUps {
		out = append(out, u.Height)
	}
	return out
}

// round keeps six decimals: more than money and machines know, fewer than
// processors differ in.
func round(x float64) float64 { return math.Round(x*1e6) / 1e6 }
