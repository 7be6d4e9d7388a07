package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// The shop of this example: every figure but the usual tables is invented.
const (
	machineName = "ball screw"
	scorePrice  = 0.30 // a line of a panel
	coupon      = 0.9  // holes of the test coupon, mm, finished
	target      = 3.2  // holes that the panel is measured by, mm
)

// input is the board with the shop's own data and the flags.
func (b *board) input(o options) (in array.Input, err error) {
	m, _ := machine.Preset(machineName)
	in = array.Input{
		Board: b.route(), Holes: b.holes, Quantity: o.quantity, Scrap: o.scrap, ScorePrice: scorePrice,
		Blank: tooling.Panel{Thickness: o.thickness, Material: tooling.FR4, Layers: b.layers},
		Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: m, Coupon: coupon, Target: target,
	}
	if o.sizes != "" && o.sizes != string(tooling.Finished) && o.sizes != string(tooling.Drilled) {
		return in, misuse("-sizes", o.sizes, "finished or drilled")
	}
	if in.Stocks, err = stocks(o.panels); err != nil {
		return in, err
	}
	return in, b.ways(o.gap, &in)
}

// stocks reads panel sizes such as 400x300,457x610.
func stocks(list string) (out []array.Stock, err error) {
	for _, word := range strings.Split(list, ",") {
		w, h, ok := strings.Cut(strings.TrimSpace(word), "x")
		x, err1 := strconv.ParseFloat(w, 64)
		y, err2 := strconv.ParseFloat(h, 64)
		if !ok || err1 != nil || err2 != nil || !(x > 0 && y > 0) || !tooling.InRange(x) || !tooling.InRange(y) {
			return nil, misuse("-panels", word, "a size in mm such as 400x300")
		}
		out = append(out, array.NewStock(tooling.Snap(x), tooling.Snap(y)))
	}
	return out, nil
}

// ways sets how boards may be parted: as the customer's score lines say, as the
// gap flag says, or any way.
func (b *board) ways(gap string, in *array.Input) error {
	columns, rows, err := b.scored()
	if err != nil {
		return err
	}
	mm, err := strconv.ParseFloat(gap, 64)
	switch {
	case gap == "score":
		in.Scored = true
		return nil
	case gap != "" && (err != nil || !(mm > 0) || mm > 1000):
		return misuse("-gap", gap, "mm, or score")
	case columns || rows:
		in.Columns, in.Rows = []array.Way{{Score: columns, Gap: tooling.Snap(mm)}}, []array.Way{{Score: rows, Gap: tooling.Snap(mm)}}
	case gap != "":
		in.Columns = []array.Way{{Gap: tooling.Snap(mm)}}
		in.Rows = in.Columns
	}
	return nil
}

// scoreLayer reads the customer's score lines.
func (b *board) scoreLayer(f file) error {
	layer, err := artwork.Read(f.text, f.name, artwork.Options{})
	if err != nil {
		return err
	}
	for _, s := range layer.Strokes {
		if s.Turn != 0 {
			continue
		}
		b.scores = append(b.scores, artwork.Score{From: s.From, To: s.To, Source: tooling.Source{File: f.name, Line: s.Line, Column: s.Column}})
	}
	return nil
}

// scored says which ways the customer's score lines ask for: columns where
// they run along the board's left or right side, rows along its lower or upper one.
func (b *board) scored() (columns, rows bool, err error) {
	const near = 0.05 // mm
	box := b.route().Outline.Bound()
	for _, s := range b.scores {
		on := func(axis int) bool {
			return math.Abs(s.From[axis]-s.To[axis]) <= near &&
				(math.Abs(s.From[axis]-box.Min[axis]) <= near || math.Abs(s.From[axis]-box.Max[axis]) <= near)
		}
		switch {
		case on(0):
			columns = true
		case on(1):
			rows = true
		default:
			return false, false, &route.BoardError{Board: -1, Other: -1, At: s.From, Source: s.Source, Err: route.ErrScore,
				Found: fmt.Sprintf("a score line from X%.3f Y%.3f to X%.3f Y%.3f", s.From[0], s.From[1], s.To[0], s.To[1]), Expected: "score lines along the board's sides"}
		}
	}
	return columns, rows, nil
}
