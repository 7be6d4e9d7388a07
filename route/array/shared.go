package array

import (
	"math"
	"slices"
	"time"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// shareOfArray turns what one board alone asks of each cutter into its share of a large
// array: neighbours one cutter apart share their channel, a bar between wider gaps is
// cut on both sides. The path of an array of c columns and r rows is taken to grow as
//
//	L(c, r) = b c r + e (c + r)
//
// and b and e follow from the board alone and from the small array that was routed
// for its check; the share is L/(c r) at the largest array that fits. Travel is that
// of the small array.
func (p *Prepared) shareOfArray(setUps [][]stack.Work, small Choice, passes []route.Pass) [][]stack.Work {
	n, m := float64(small.Boards()), float64(small.Columns+small.Rows)
	c, r := p.largest(small)
	if n < 2 {
		return setUps
	}
	out := make([][]stack.Work, len(setUps))
	for k, works := range setUps {
		stage := tooling.BeforePlating
		if k == 1 {
			stage = tooling.AfterPlating
		}
		for _, w := range works {
			if alone, travel := total(works, w.Tool.ID); w.Operation == tooling.Routing && alone > 0 {
				most, moves := total(worksOf(passes, stage), w.Tool.ID)
				b := (2*most - float64(m*alone)) / (2*n - m)
				e := (alone - b) / 2
				share := b + float64(e*(1/float64(c)+1/float64(r)))
				w = scaled(w, min(max(share/alone, 0.25), 1), min(moves/n/max(travel, 1), 1))
			}
			out[k] = append(out[k], w)
		}
	}
	return out
}

// largest is how many columns and rows of a way of parting fit on any stock panel.
func (p *Prepared) largest(c Choice) (columns, rows int) {
	for _, s := range p.Problem.Stocks {
		for _, turned := range []bool{false, true} {
			t := Choice{Panel: s, Turned: turned, Across: c.Across, Up: c.Up}
			if turned {
				t.Across, t.Up = c.Up, c.Across
			}
			x, y := p.Problem.most(t)
			if turned {
				x, y = y, x
			}
			if x*y > columns*rows {
				columns, rows = x, y
			}
		}
	}
	return max(columns, c.Columns), max(rows, c.Rows)
}

// total adds up the path in mm and the travel in ns of one cutter.
func total(works []stack.Work, tool string) (cut, travel float64) {
	for _, w := range works {
		if w.Operation == tooling.Routing && w.Tool.ID == tool {
			cut, travel = cut+w.Cut, travel+float64(w.Travel)
		}
	}
	return cut, travel
}

func worksOf(passes []route.Pass, stage tooling.Stage) (out []stack.Work) {
	for _, p := range passes {
		if p.Stage == stage {
			out = append(out, p.Work()...)
		}
	}
	return out
}

// scaled is a share of a cutter's work and of its travel, rounded so that it is the
// same on every machine: path to 0.001 mm, times to the microsecond.
func scaled(w stack.Work, path, travel float64) stack.Work {
	mm := func(x float64) float64 { return math.Round(float64(x*path)*1000) / 1000 }
	span := func(d time.Duration, f float64) time.Duration {
		return time.Duration(math.Round(float64(float64(d)*f)/1000)) * time.Microsecond
	}
	w.Cut, w.Fixed, w.Travel = mm(w.Cut), span(w.Fixed, path), span(w.Travel, travel)
	w.Plunges = int(math.Ceil(float64(float64(w.Plunges)*path) - 1e-9))
	w.Pieces = slices.Clone(w.Pieces)
	for i := range w.Pieces {
		w.Pieces[i] = mm(w.Pieces[i])
	}
	return w
}
