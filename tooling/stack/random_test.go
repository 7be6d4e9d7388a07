package stack_test

import (
	"math/rand/v2"
	"strconv"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// draw makes invented shops and lots, small enough to try everything, skewed
// towards corners: lots around full loads, lives around one load, flutes and
// magazines that only just do.
type draw struct {
	*rand.Rand
	diameters int // at most, of a set-up's drilling
	setUps    int // at most
	heights   int // at most
}

func (d draw) between(lo, hi float64) float64 { return lo + float64((hi-lo)*d.Float64()) }

func (d draw) pick(of ...float64) float64 { return of[d.IntN(len(of))] }

func (d draw) problem() stack.Problem {
	p := stack.Problem{
		Lot:     1 + d.IntN(200),
		Panel:   tooling.Panel{Thickness: d.pick(0.4, 0.5, 0.8, 1.0, 1.6), Material: tooling.FR4, Copper: d.pick(0, 35, 140), Layers: int(d.pick(0, 4, 12))},
		Rules:   d.rules(),
		Machine: d.machine(),
	}
	if d.IntN(3) == 0 { // a lot that fills its loads
		p.Lot = p.Machine.Spindles * (1 + d.IntN(4)) * (1 + d.IntN(6))
	}
	var crib []tooling.Tool
	for k := range 1 + d.IntN(d.setUps) {
		stage := tooling.BeforePlating
		if k > 0 {
			stage = tooling.AfterPlating
		}
		p.SetUps = append(p.SetUps, d.works(stage, &crib))
	}
	return p
}

func (d draw) rules() tooling.Rules {
	r := tooling.DefaultRules()
	r.Stack.MaxHeight = 1 + d.IntN(d.heights)
	r.Stack.SetUpLabour, r.Stack.StackLabour = d.between(0, 20), d.between(0, 3)
	r.Stack.EntryPrice, r.Stack.BackupPrice = d.between(0, 2), d.between(0, 3)
	r.Stack.Ratio, r.Stack.PeckRatio = d.pick(4, 8, 12), d.pick(0, 15, 20)
	r.Life.Factors.Repoint = d.pick(0, 0.8, 0.85, 0.9)
	if d.IntN(4) == 0 {
		r.Life.Fall = tooling.Fall{}
	}
	share := d.between(0.1, 1)
	for i := range r.Life.Rows {
		r.Life.Rows[i].Life = max(1, float64(int(r.Life.Rows[i].Life*share)))
	}
	return r
}

func (d draw) machine() machine.Machine {
	m := machine.Presets()[d.IntN(4)]
	m.Spindles = 1 + d.IntN(7)
	m.Places = 5 + d.IntN(150)
	m.Rate = d.pick(0, 20, 60, 120)
	m.Change = time.Duration(d.IntN(20_000)) * time.Millisecond
	m.SpinUp = time.Duration(d.IntN(2)) * time.Second
	m.FootDwell = time.Duration(d.IntN(3)) * 5 * time.Millisecond
	m.Approach = d.pick(0, 0, 1, 1.5)
	m.Load = time.Duration(d.IntN(600)) * time.Second
	return m
}

// bit makes a bit or takes one that the crib has.
func (d draw) bit(crib *[]tooling.Tool) tooling.Tool {
	if n := len(*crib); n > 0 && d.IntN(4) == 0 {
		return (*crib)[d.IntN(n)]
	}
	t := tooling.Tool{
		ID: "B" + strconv.Itoa(len(*crib)), Kind: tooling.Bit, Diameter: float64(4+d.IntN(60)) / 20,
		Price: d.between(0.5, 4), Repoints: d.IntN(4), RepointPrice: d.between(0, 0.6),
	}
	t.Flute = t.Diameter + d.between(2.5, 9)
	*crib = append(*crib, t)
	return t
}

func (d draw) works(stage tooling.Stage, crib *[]tooling.Tool) []stack.Work {
	var out []stack.Work
	place := 0
	for range 1 + d.IntN(d.diameters) {
		place++
		w := stack.Work{
			Pass: "drill", Stage: stage, Operation: tooling.Drilling, Place: place, Tool: d.bit(crib),
			Hits: d.IntN(4000), Travel: time.Duration(d.IntN(200_000)) * time.Millisecond,
			Changes: d.IntN(3), Trip: time.Duration(d.IntN(3)) * time.Second,
		}
		if len(out) > 0 && d.IntN(6) == 0 {
			w.After = out[d.IntN(len(out))].Tool.Diameter
		}
		if w.Hits > 0 && d.IntN(4) == 0 {
			for left := w.Hits; left > 0; {
				n := min(left, 1+d.IntN(200))
				w.Pieces = append(w.Pieces, float64(n))
				left -= n
			}
		}
		out = append(out, w)
	}
	if d.IntN(2) == 0 {
		row := []struct{ diameter, flute float64 }{{1.2, 6.5}, {2.0, 8.5}, {2.4, 9.5}}[d.IntN(3)]
		w := stack.Work{
			Pass: "rout", Stage: stage, Operation: tooling.Routing, Place: place + 1,
			Tool:    tooling.Tool{ID: "C" + strconv.FormatFloat(row.diameter, 'f', 1, 64), Kind: tooling.Cutter, Diameter: row.diameter, Flute: row.flute, Price: 2 * row.diameter},
			Plunges: d.IntN(200), Travel: time.Duration(d.IntN(60_000)) * time.Millisecond, Changes: 1, Fixed: time.Duration(1+d.IntN(600)) * time.Second,
		}
		for range 1 + d.IntN(12) {
			c := float64(d.IntN(1_000_000)) / 1000
			w.Pieces = append(w.Pieces, c)
			w.Cut += c
		}
		out = append(out, w)
	}
	d.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}
