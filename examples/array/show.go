package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/array"
	"example.org/pinstack/tooling"
)

// result is what is printed; its keys stay as they are.
type result struct {
	Schema       int            `json:"schema"`
	Board        boardFacts     `json:"board"`
	Panel        panelFacts     `json:"panel"`
	PanelsPerLot int            `json:"panels_per_lot"`
	CostPerBoard float64        `json:"cost_per_board"`
	RunnerUp     *runnerUp      `json:"runner_up"` // null: nothing else can be made
	Findings     tooling.Report `json:"findings"`
}

type boardFacts struct {
	Area     float64    `json:"area_mm2"` // without the cut-outs
	Box      [4]float64 `json:"box_mm"`   // minx, miny, maxx, maxy
	Outlines int        `json:"outlines"`
	CutOuts  int        `json:"cut_outs"`
	Holes    int        `json:"holes"` // of the drill files, distinct, slots included
	Join     float64    `json:"join_tolerance_mm"`
}

type panelFacts struct {
	Width   float64 `json:"width_mm"`
	Height  float64 `json:"height_mm"`
	Boards  int     `json:"boards"`
	Columns int     `json:"columns"`
	Rows    int     `json:"rows"`
	Turned  bool    `json:"turned"`
	Use     float64 `json:"use"` // share of the panel's area that is board
}

type runnerUp struct {
	Panel        panelFacts `json:"panel"`
	PanelsPerLot int        `json:"panels_per_lot"`
	CostPerBoard float64    `json:"cost_per_board"`
	Why          string     `json:"why_not"`
}

// summary takes the figures of a layout apart.
func summary(b *board, l array.Layout) result {
	in, c := l.Prepared.Input, l.Result.Choice
	drawn := b.drawn.Boards[b.which]
	box := drawn.Outline.Bound()
	s := result{
		Schema: 1, Panel: facts(c), PanelsPerLot: c.Panels, CostPerBoard: money(c.PerBoard),
		Board: boardFacts{
			Area: math.Round(drawn.Area()*1e6) / 1e6, Box: [4]float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]},
			Outlines: len(b.profile.Boards), CutOuts: len(drawn.CutOuts), Holes: len(in.Holes) - len(l.Prepared.Bored), Join: b.profile.Join,
		},
		Findings: append(append(tooling.Report{}, b.report...), l.Prepared.Report...),
	}
	s.Findings = append(s.Findings, l.Laid.Report...)
	if r := l.Result.RunnerUp; r != nil {
		s.RunnerUp = &runnerUp{facts(*r), r.Panels, money(r.PerBoard), l.Result.Reason}
	}
	for _, r := range l.Result.Refused {
		s.Findings.Note("array-refused", "", r.What+": "+r.Reason, 0, 0)
	}
	return s
}

func panels(n int) string {
	if n == 1 {
		return "1 panel"
	}
	return fmt.Sprintf("%d panels", n)
}

func facts(c array.Choice) panelFacts {
	return panelFacts{c.Panel.Width, c.Panel.Height, c.Boards(), c.Columns, c.Rows, c.Turned, c.Use}
}

// money keeps four decimals, more than an estimate is worth.
func money(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func (s result) json(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(s)
}

func (s result) text(w io.Writer, dir string, l array.Layout) error {
	c := l.Result.Choice
	fmt.Fprintf(w, "board   %.3f x %.3f mm, %.3f mm2, %d cut-outs, %d holes\n", s.Board.Box[2]-s.Board.Box[0], s.Board.Box[3]-s.Board.Box[1], s.Board.Area, s.Board.CutOuts, s.Board.Holes)
	fmt.Fprintf(w, "panel   %v\n        %d boards, %.1f %% of the panel\n", c, c.Boards(), 100*c.Use)
	fmt.Fprintf(w, "lot     %s for %d good boards, %d to spare; %.4f a board\n", panels(c.Panels), l.Prepared.Input.Quantity, c.Spare, c.PerBoard)
	fmt.Fprintf(w, "next    %s\n        %d of %d arrays priced, the others are proved dearer\n", l.Result.Reason, l.Result.Priced, l.Result.Candidates)
	for _, f := range s.Findings {
		fmt.Fprintf(w, "note    %s x%d: %s", f.Rule, f.Count, f.Detail)
		// a detail that ends in mm is about the value
		if f.Value != 0 && strings.HasSuffix(f.Detail, " mm") {
			fmt.Fprintf(w, ": %.3g", f.Value)
		}
		if at := f.Source.String(); at != "" {
			fmt.Fprintf(w, " (%s)", at)
		}
		fmt.Fprintln(w)
	}
	_, err := fmt.Fprintf(w, "picture %s\nnow     go run ./examples/panel %s\n", filepath.Join(dir, "array.svg"), filepath.Join(dir, "job.json"))
	return err
}

// printError prints why a board is refused, with the place where it is known.
func printError(w io.Writer, err error) {
	type place struct {
		File   string     `json:"file,omitempty"`
		Line   int        `json:"line,omitempty"`
		Column int        `json:"column,omitempty"`
		Path   string     `json:"path,omitempty"`
		Tool   string     `json:"tool,omitempty"`
		At     *orb.Point `json:"at_mm,omitempty"`
	}
	at, source := where(err)
	out := struct {
		Schema int    `json:"schema"`
		Error  string `json:"error"`
		Place  place  `json:"place"`
	}{1, err.Error(), place{source.File, source.Line, source.Column, source.Path, source.Tool, at}}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	if e := enc.Encode(out); e != nil {
		fmt.Fprintln(w, errors.Join(err, e))
	}
}
