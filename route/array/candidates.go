package array

import (
	"fmt"
	"math"

	"example.org/pinstack/tooling"
)

// candidates lists all arrays that fit and are not ruled out by one with fewer
// boards, by stock, turn, variant, columns and rows, and refuses the groups
// that do not fit.
func (p Problem) candidates() (out []Choice, refused []Refusal) {
	made := p.made()
	for s, stock := range p.Stocks {
		for _, turned := range []bool{false, true} {
			for v, variant := range p.Variants {
				c := Choice{Stock: s, Variant: v, Panel: stock, Turned: turned}
				c.Across, c.Up = variant.ways(turned)
				columns, rows := p.most(c)
				if columns == 0 || rows == 0 {
					refused = append(refused, p.tooLarge(c))
					continue
				}
				for c.Columns = 1; c.Columns <= columns; c.Columns++ {
					for c.Rows = 1; c.Rows <= rows && c.Boards() <= maxBoards; c.Rows++ {
						if c.Panels = panels(made, c.Boards()); c.ruledOut(made) {
							continue
						}
						c.index = len(out)
						out = append(out, p.describe(c, made))
					}
				}
			}
		}
	}
	return out, refused
}

// most is how many columns and rows fit on the array's panel.
func (p Problem) most(c Choice) (columns, rows int) {
	w, h := p.size(c.Turned)
	return most(w, tooling.Nanometres(c.Panel.Width), c.Panel.Border, c.Across.Gap),
		most(h, tooling.Nanometres(c.Panel.Height), c.Panel.Border+p.Rails, c.Up.Gap)
}

func panels(made, boards int) int { return (made + boards - 1) / boards }

// ruledOut tells whether a column or a row fewer makes no panel more: then no
// height, load or tool of that array costs more.
func (c Choice) ruledOut(made int) bool {
	return c.Columns > 1 && panels(made, c.Boards()-c.Rows) == c.Panels || c.Rows > 1 && panels(made, c.Boards()-c.Columns) == c.Panels
}

// spot is all that tells an array from the others of a problem.
type spot struct {
	stock, variant int
	turned         bool
	columns, rows  int
}

func (c Choice) spot() spot { return spot{c.Stock, c.Variant, c.Turned, c.Columns, c.Rows} }

// freed lists the arrays that a refused one had ruled out and that no other does: with a
// column or a row more and no panel less.
func (p Problem) freed(c Choice, refused map[spot]bool) (out []Choice) {
	made := p.made()
	columns, rows := p.most(c)
	for _, more := range [2][2]int{{1, 0}, {0, 1}} {
		n := Choice{Stock: c.Stock, Variant: c.Variant, Panel: c.Panel, Turned: c.Turned, Across: c.Across, Up: c.Up,
			Columns: c.Columns + more[0], Rows: c.Rows + more[1]}
		n.Panels = panels(made, n.Boards())
		if n.Columns > columns || n.Rows > rows || n.Boards() > maxBoards || n.Panels != c.Panels {
			continue
		}
		held := false
		for _, less := range [2][2]int{{1, 0}, {0, 1}} {
			m := n
			m.Columns, m.Rows = n.Columns-less[0], n.Rows-less[1]
			held = held || m.Boards() > 0 && panels(made, m.Boards()) == n.Panels && !refused[m.spot()]
		}
		if !held {
			out = append(out, p.describe(n, made))
		}
	}
	return out
}

// describe fills in what follows from the counts.
func (p Problem) describe(c Choice, made int) Choice {
	c.Use = math.Round(float64(float64(c.Boards())*p.Area)/float64(c.Panel.Width*c.Panel.Height)*1e9) / 1e9
	c.Spare = c.Panels*c.Boards() - made
	c.Laminate = float64(float64(c.Panels) * c.Panel.Price)
	c.Scoring = float64(float64(c.Panels*c.Scores()) * p.ScorePrice)
	c.area = int64(math.Round(float64(c.Panel.Width*c.Panel.Height) * 1e6))
	return c
}

func (p Problem) tooLarge(c Choice) Refusal {
	w, h := p.size(c.Turned)
	turn := ""
	if c.Turned {
		turn = ", turned"
	}
	return Refusal{
		What: fmt.Sprintf("%v%s, columns %v, rows %v", c.Panel, turn, c.Across, c.Up),
		Reason: fmt.Sprintf("a board of %g x %g mm, expected at most the usable %g x %g mm",
			float64(w)/1e6, float64(h)/1e6, tooling.Snap(c.Panel.Width-2*c.Panel.Border), tooling.Snap(c.Panel.Height-2*(c.Panel.Border+p.Rails))),
	}
}
